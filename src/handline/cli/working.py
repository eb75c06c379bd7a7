"""What lasts while a command works something out: the bar of its progress, and a maker of pictures beside it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager, nullcontext
from typing import TYPE_CHECKING

from handline.cli.progress import progress

if TYPE_CHECKING:
    from handline.brief.stills import Draw
    from handline.day.told import Told


@contextmanager
def working(*, pictures: bool) -> Iterator[tuple[Told, Draw]]:
    """Whom to tell how far the work is, and how to draw: in a process of its own where ``pictures`` are wanted."""
    from handline.brief.stills import draw_here, drawing_apart

    with progress() as told, drawing_apart() if pictures else nullcontext(draw_here) as draw:
        yield told, draw
