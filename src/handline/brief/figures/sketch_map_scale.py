"""The scale bar and the arrow to the north of the sketch map: each in a corner that the way leaves free."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from handline.brief.figures import theme
from handline.brief.figures.picture import Row
from handline.brief.figures.placed_words import Box, Point, along, words_width_px
from handline.brief.figures.sketch_map_sheet import MapSheet
from handline.quantity import Units, parse

_BAR_SHARE = 0.28  # of the sheet's width, at most
_STEPS = (1.0, 2.0, 5.0)
_EDGE_PX, _TICK_PX, _ARROW_PX, _ARROW_WIDE_PX = 10.0, 4.0, 30.0, 14.0

Corner = tuple[int, int]  # 0 or 1 from the left, and from the top
_BAR_CORNERS: tuple[Corner, ...] = ((0, 1), (1, 1), (0, 0), (1, 0))
_ARROW_CORNERS: tuple[Corner, ...] = ((1, 0), (0, 0), (1, 1), (0, 1))


@dataclass(frozen=True)
class Furniture:
    """The bar, ``length_px`` long and with its ``words``, and the arrow: each with the box it stands in."""

    length_px: float
    words: str
    bar_px: Box
    arrow_px: Box

    @property
    def boxes_px(self) -> tuple[Box, Box]:
        return self.bar_px, self.arrow_px

    def rows(self, sheet: MapSheet) -> list[Row]:
        """Rules, the arrow's head, and words."""
        text_px = float(theme.TEXT_PX[sheet.width])
        left, level = self.bar_px[0], self.bar_px[3] - _TICK_PX
        right = left + self.length_px
        north, top, foot = (self.arrow_px[0] + self.arrow_px[2]) / 2.0, self.arrow_px[1], self.arrow_px[1] + _ARROW_PX
        ticks = [((at, level - _TICK_PX), (at, level + _TICK_PX)) for at in (left, right)]
        rules = [((left, level), (right, level)), *ticks, ((north, top + 4.0), (north, foot))]
        words_at = (left + max(self.length_px, words_width_px(self.words, text_px)) / 2.0, level - text_px)
        return [
            *(_between(sheet, "rule", start, end) for start, end in rules),
            _between(sheet, "head", (north, top + 4.0), (north, top + 4.0)),
            {**_between(sheet, "words", words_at, words_at), "words": self.words},
            {**_between(sheet, "words", (north, foot + text_px), (north, foot + text_px)), "words": "N"},
        ]


def furniture_of(sheet: MapSheet, units: Units, track_m: Sequence[Point]) -> Furniture:
    """The bar and the arrow of one width, off the way where there is such a corner."""
    length_m, words = scale_bar(sheet, units)
    text_px = float(theme.TEXT_PX[sheet.width])
    way_px = along([sheet.at_px(*at) for at in track_m])
    length_px = length_m * sheet.px_per_m
    bar = (max(length_px, words_width_px(words, text_px)), 2.0 * text_px + 2.0 * _TICK_PX)
    arrow = (_ARROW_WIDE_PX, _ARROW_PX + 1.6 * text_px)
    at_bar = _free_corner(sheet, bar, _BAR_CORNERS, way_px)
    at_arrow = _free_corner(sheet, arrow, [corner for corner in _ARROW_CORNERS if corner != at_bar], way_px)
    return Furniture(length_px, words, _box(sheet, bar, at_bar), _box(sheet, arrow, at_arrow))


def scale_bar(sheet: MapSheet, units: Units) -> tuple[float, str]:
    """The length of the bar [m] and its words: 1, 2 or 5 of a ten of the party's unit, as long as there is room."""
    room_m = _BAR_SHARE * sheet.plan.width_m
    for unit, least in (("km", 0.5), ("m", 1.0)) if units == "si" else (("mi", 0.1), ("ft", 1.0)):
        unit_m = parse(f"1 {unit}", "length")
        lengths = [step * 10.0**power for power in range(-1, 4) for step in _STEPS]
        fitting = [length for length in lengths if least <= length and length * unit_m <= room_m]
        if fitting:
            return fitting[-1] * unit_m, f"{fitting[-1]:g} {unit}"
    raise ValueError("no sheet is so small")


def _free_corner(sheet: MapSheet, size_px: Point, corners: Sequence[Corner], way_px: Sequence[Point]) -> Corner:
    """The first corner whose box, and a little round it, the way does not cross; the first of all where all are."""

    def crossed(corner: Corner) -> bool:
        left, top, right, bottom = _box(sheet, size_px, corner)
        near = 1.5 * _EDGE_PX
        return any(left - near <= x <= right + near and top - near <= y <= bottom + near for x, y in way_px)

    return next((corner for corner in corners if not crossed(corner)), corners[0])


def _box(sheet: MapSheet, size_px: Point, corner: Corner) -> Box:
    left, top, right, bottom = sheet.plan_px
    wide, high = size_px
    x = right - _EDGE_PX - wide if corner[0] else left + _EDGE_PX
    y = bottom - _EDGE_PX - high if corner[1] else top + _EDGE_PX
    return x, y, x + wide, y + high


def _between(sheet: MapSheet, kind: str, start_px: Point, end_px: Point) -> Row:
    (x, y), (x2, y2) = sheet.from_px(*start_px), sheet.from_px(*end_px)
    at = {"x": round(x, 1), "y": round(y, 1), "x2": round(x2, 1), "y2": round(y2, 1)}
    return {"width": sheet.width, "kind": kind, **at}
