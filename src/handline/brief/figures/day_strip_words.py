"""Where the words of the day strip stand: each beside its mark, none over another.

A word tries the places round its mark in order and takes the first that is free of other words, of marks and of the
party's own line. The words of one width need the width of their letters, which is guessed a little too large.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from handline.brief.figures import theme
from handline.brief.figures.day_strip_sheet import Sheet
from handline.brief.figures.picture import Row

Box = tuple[float, float, float, float]  # left, top, right, bottom [px]
Side = tuple[int, int]  # across and down from the mark: -1, 0 or 1 each

_LETTER_EM = 0.56  # a digit of the fonts in use; letters are narrower on average
_MARK_PX = 5.0  # half a mark
_CLEAR_PX = 2.0  # between a mark and its words

# Level with the mark on either side before aslant of it: aslant, words come near the marks of others.
LEFT_FIRST: tuple[Side, ...] = ((-1, 0), (1, 0), (-1, -1), (-1, 1), (1, -1), (1, 1), (0, -1), (0, 1))
RIGHT_FIRST: tuple[Side, ...] = ((1, 0), (-1, 0), (1, 1), (1, -1), (-1, 1), (-1, -1), (0, 1), (0, -1))
ABOVE: tuple[Side, ...] = ((0, -1), (-1, -1), (1, -1))
BELOW: tuple[Side, ...] = ((0, 1), (-1, 1), (1, 1))


@dataclass(frozen=True)
class Label:
    """Words for one mark. ``needed`` words rather stand on a mark or on the party's line than not at all."""

    kind: str
    words: str
    clock_h: float
    height: float
    sides: tuple[Side, ...]
    needed: bool = False


def words_width_px(words: str, text_px: float) -> float:
    """How much room words take across, a little more than they need."""
    return _LETTER_EM * text_px * len(words)


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
    mark_boxes = [_round(sheet.at_px(*mark), _MARK_PX) for mark in marks]
    line_boxes = [_round(point, 1.0) for point in _along([sheet.at_px(*corner) for corner in line])]
    placed: list[Box] = []
    rows = []
    for label in labels:
        boxes = [box for box in _boxes(sheet, label) if _inside(sheet, box) and _free(box, placed)]
        marked = [box for box in boxes if _free(box, mark_boxes)]
        choices = [box for box in marked if _free(box, line_boxes)] or marked or (boxes if label.needed else [])
        if choices:
            left, top, right, bottom = choices[0]
            clock_h, height = sheet.from_px((left + right) / 2.0, (top + bottom) / 2.0)
            placed.append(choices[0])
            rows.append(
                {"width": sheet.width, "kind": label.kind, "clock_h": clock_h, "height": height, "words": label.words}
            )
    return rows


def _boxes(sheet: Sheet, label: Label) -> list[Box]:
    """The places round the mark of a label, in the order of its sides."""
    text_px = theme.TEXT_PX[sheet.width]
    half_px, deep_px = words_width_px(label.words, text_px) / 2.0, text_px / 2.0
    x_px, y_px = sheet.at_px(label.clock_h, label.height)
    boxes = []
    for across, down in label.sides:
        beside_px = half_px + (_CLEAR_PX if down else _MARK_PX + _CLEAR_PX)
        middle_px = x_px + across * beside_px
        level_px = y_px + down * (_MARK_PX + _CLEAR_PX + deep_px)
        boxes.append((middle_px - half_px, level_px - deep_px, middle_px + half_px, level_px + deep_px))
    return boxes


def _round(point: tuple[float, float], reach_px: float) -> Box:
    return (point[0] - reach_px, point[1] - reach_px, point[0] + reach_px, point[1] + reach_px)


def _along(corners: Sequence[tuple[float, float]], step_px: float = 5.0) -> list[tuple[float, float]]:
    """Points along a bent line, near enough that no word slips between two of them."""
    points = []
    for (x_px, y_px), (next_x_px, next_y_px) in pairwise(corners):
        count = 1 + int(max(abs(next_x_px - x_px), abs(next_y_px - y_px)) / step_px)
        steps = (index / count for index in range(count + 1))
        points += [(x_px + step * (next_x_px - x_px), y_px + step * (next_y_px - y_px)) for step in steps]
    return points


def _inside(sheet: Sheet, box: Box) -> bool:
    return box[0] >= 0.0 and box[2] <= sheet.width_px + sheet.margins.right and box[3] <= sheet.height_px


def _free(box: Box, taken: Sequence[Box]) -> bool:
    return not any(
        box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3] for other in taken
    )
