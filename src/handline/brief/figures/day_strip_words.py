"""Where the words of the day strip stand: each beside its mark, none over another."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from handline.brief.figures import theme
from handline.brief.figures.day_strip_sheet import Sheet
from handline.brief.figures.picture import Row
from handline.brief.figures.placed_words import (
    ABOVE,
    BELOW,
    LEFT_FIRST,
    RIGHT_FIRST,
    Box,
    Side,
    Words,
    place_words,
    words_width_px,
)

__all__ = ["ABOVE", "BELOW", "LEFT_FIRST", "RIGHT_FIRST", "Label", "place_labels", "words_width_px"]


@dataclass(frozen=True)
class Label:
    """Words for one mark. ``needed`` words rather stand on a mark or on the party's line than not at all."""

    kind: str
    words: str
    clock_h: float
    height: float
    sides: tuple[Side, ...]
    needed: bool = False


def place_labels(
    sheet: Sheet, labels: Iterable[Label], marks: Iterable[tuple[float, float]], line: Sequence[tuple[float, float]]
) -> list[Row]:
    """The labels that find a place, first come first served, as rows with the middle of their words.

    Parameters
    ----------
    sheet : Sheet
    labels : the most needed first
    marks : (clock_h, height) of every mark
    line : (clock_h, height) of the corners of the party's own line
    """
    wanted = list(labels)
    boxes = place_words(
        [Words(label.words, sheet.at_px(label.clock_h, label.height), label.sides, label.needed) for label in wanted],
        theme.TEXT_PX[sheet.width],
        [sheet.at_px(*mark) for mark in marks],
        [sheet.at_px(*corner) for corner in line],
        lambda box: _inside(sheet, box),
    )
    return [_row(sheet, label, box) for label, box in zip(wanted, boxes, strict=True) if box is not None]


def _row(sheet: Sheet, label: Label, box: Box) -> Row:
    left, top, right, bottom = box
    clock_h, height = sheet.from_px((left + right) / 2.0, (top + bottom) / 2.0)
    return {"width": sheet.width, "kind": label.kind, "clock_h": clock_h, "height": height, "words": label.words}


def _inside(sheet: Sheet, box: Box) -> bool:
    return box[0] >= 0.0 and box[2] <= sheet.width_px + sheet.margins.right and box[3] <= sheet.height_px
