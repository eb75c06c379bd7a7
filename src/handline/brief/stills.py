"""Pictures without script: specs as SVG images, for readers whose phone or mail shows pages without running them.

Drawing needs about a second to start. ``drawing_apart`` starts it in a process of its own, so that it is ready when the
plan is.
"""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from functools import partial
from typing import Any
from urllib.parse import quote

from handline.brief.shorter_svg import shorter_svg

VEGA_LITE = "6.4"
# What may stand in a data URI inside a double-quoted attribute as it is; the rest is percent-encoded.
_PLAIN = " !'()*+,-./:;=?@[]_~$|^`{}"

Spec = Mapping[str, Any]
Collect = Callable[[], list[str]]
Draw = Callable[[Sequence[Spec]], Collect]
"""Asks for pictures of Vega-Lite specs; calling what it gives collects them as SVG texts."""

_SMALLEST: Spec = {"data": {"values": [{}]}, "mark": "point"}


def draw_here(specs: Sequence[Spec]) -> Collect:
    """Draw in this process, when collected."""
    return partial(_svgs, specs)


def _svgs(specs: Sequence[Spec]) -> list[str]:
    import vl_convert

    return [vl_convert.vegalite_to_svg(dict(spec), vl_version=VEGA_LITE) for spec in specs]


@contextmanager
def drawing_apart() -> Iterator[Draw]:
    """A way to draw in another process, which is started at once and gone at the end.

    Where that process fails the pictures are drawn here.
    """
    with subprocess.Popen(
        [sys.executable, "-m", __name__], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as maker:

        def draw(specs: Sequence[Spec]) -> Collect:
            with suppress(OSError), maker.stdin as asked:  # type: ignore[union-attr]
                asked.write(json.dumps(list(specs)).encode())
            return partial(_collected, maker, specs)

        try:
            yield draw
        finally:
            if maker.poll() is None:
                maker.kill()


def _collected(maker: subprocess.Popen[bytes], specs: Sequence[Spec]) -> list[str]:
    said = maker.stdout.read() if maker.stdout is not None else b""
    if maker.wait() != 0:
        return _svgs(specs)
    svgs: list[str] = json.loads(said)
    return svgs


def data_uri(svg: str) -> str:
    """An SVG, in as few bytes as it needs, as the address of an image: it may stand in double quotes as it is."""
    return "data:image/svg+xml;charset=utf-8," + quote(shorter_svg(svg), safe=_PLAIN)


def main() -> None:
    """The other process: get ready, read specs as one JSON list, write their SVGs as one."""
    _svgs([_SMALLEST])
    sys.stdout.write(json.dumps(_svgs(json.load(sys.stdin))))


if __name__ == "__main__":
    main()
