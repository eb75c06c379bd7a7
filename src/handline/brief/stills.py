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
from queue import SimpleQueue
from threading import Thread
from typing import Any
from urllib.parse import quote

from handline.brief.shorter_svg import shorter_svg

VEGA_LITE = "6.4"
# What may stand in a data URI inside a double-quoted attribute as it is; the rest is percent-encoded.
_PLAIN = " !'()*+,-./:;=?@[]_~$|^`{}"

Spec = Mapping[str, Any]
Draw = Callable[[Sequence[Spec]], Iterator[str]]
"""Asks for pictures of Vega-Lite specs; gives each, in their order, as an SVG text as soon as it is drawn."""

_SMALLEST: Spec = {"data": {"values": [{}]}, "mark": "point"}


def draw_here(specs: Sequence[Spec]) -> Iterator[str]:
    """Draw in this process, each picture when it is asked for."""
    import vl_convert

    for spec in specs:
        yield vl_convert.vegalite_to_svg(dict(spec), vl_version=VEGA_LITE)


@contextmanager
def drawing_apart() -> Iterator[Draw]:
    """A way to draw in another process, which is started at once and gone at the end.

    Where that process fails the pictures are drawn here.
    """
    with subprocess.Popen(
        [sys.executable, "-m", __name__], stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL
    ) as maker:

        def draw(specs: Sequence[Spec]) -> Iterator[str]:
            with suppress(OSError), maker.stdin as asked:  # type: ignore[union-attr]
                asked.write(json.dumps(list(specs)).encode())
            said: SimpleQueue[bytes] = SimpleQueue()
            # Read as they come: a pipe holds one or two pictures, and a full one would stop the drawing.
            Thread(target=_read_on, args=(maker, said), daemon=True).start()
            return _as_drawn(said, specs)

        try:
            yield draw
        finally:
            if maker.poll() is None:
                maker.kill()


def _read_on(maker: subprocess.Popen[bytes], said: SimpleQueue[bytes]) -> None:
    for line in maker.stdout or ():
        said.put(line)
    said.put(b"")


def _as_drawn(said: SimpleQueue[bytes], specs: Sequence[Spec]) -> Iterator[str]:
    for count in range(len(specs)):
        line = said.get()
        # A line without its end is of a process that was stopped while it wrote.
        if not line.endswith(b"\n"):
            yield from draw_here(specs[count:])
            return
        yield json.loads(line)


def data_uri(svg: str) -> str:
    """An SVG, in as few bytes as it needs, as the address of an image: it may stand in double quotes as it is."""
    return "data:image/svg+xml;charset=utf-8," + quote(shorter_svg(svg), safe=_PLAIN)


def main() -> None:
    """The other process: get ready, read specs as one JSON list, write each SVG as a line of JSON when it is drawn."""
    list(draw_here([_SMALLEST]))
    for svg in draw_here(json.load(sys.stdin)):
        print(json.dumps(svg), flush=True)


if __name__ == "__main__":
    main()
