"""Pictures of pages by an address each: drawn when a browser asks for them, once, at the width it has room for."""

from __future__ import annotations

import hashlib
import json
import threading
from collections import OrderedDict
from collections.abc import Iterable

from handline.brief.figures.picture import Picture, Width
from handline.brief.shorter_svg import shorter_svg
from handline.brief.still_page import Drawn
from handline.brief.stills import Spec, draw_here

MOST_KEPT = 160
WIDTHS: tuple[Width, ...] = ("narrow", "wide")


class Pictures:
    """The specs of what was shown lately, and what was drawn of it."""

    def __init__(self, most_kept: int = MOST_KEPT) -> None:
        self._specs: OrderedDict[str, Spec] = OrderedDict()
        self._svgs: dict[str, str] = {}
        self._most_kept = most_kept
        self._lock = threading.Lock()

    def hung(self, pictures: Iterable[Picture]) -> dict[str, Drawn]:
        """Pictures ready for a page, by their keys, each with the addresses of its stills."""
        return {
            picture.key: Drawn(picture, *(self._address(picture, width) for width in WIDTHS)) for picture in pictures
        }

    def svg(self, digest: str) -> str | None:
        """The SVG text of an address, drawn now or before; None where it is not known (any more)."""
        with self._lock:
            spec = self._specs.get(digest)
            drawn = self._svgs.get(digest)
        if spec is None or drawn is not None:
            return drawn
        svg = shorter_svg(next(draw_here([spec])))
        with self._lock:
            if digest in self._specs:
                self._svgs[digest] = svg
        return svg

    def _address(self, picture: Picture, width: Width) -> str:
        spec = picture.complete(width)
        digest = hashlib.sha256(json.dumps(spec, sort_keys=True).encode()).hexdigest()[:32]
        with self._lock:
            self._specs[digest] = spec
            self._specs.move_to_end(digest)
            while len(self._specs) > self._most_kept:
                forgotten, _ = self._specs.popitem(last=False)
                self._svgs.pop(forgotten, None)
        return f"/pictures/{digest}.svg"
