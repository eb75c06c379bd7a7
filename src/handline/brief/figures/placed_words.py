"""Where words stand beside their marks, none over another: in pixels, for any picture.

A word tries the places round its mark in order and takes the first that is free of other words, of marks and of a line.
The width of its letters is guessed a little too large.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import chain, pairwise

Point = tuple[float, float]  # across and down [px]
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
class Words:
    """Words for one mark. ``needed`` words rather stand on a mark or on the line than not at all.

    Where no place beside the mark is free, ``rings`` more are tried all round, each a line of text farther off.
    """

    words: str
    at_px: Point
    sides: tuple[Side, ...]
    needed: bool = False
    rings: int = 0


def words_width_px(words: str, text_px: float) -> float:
    """How much room words take across, a little more than they need."""
    return _LETTER_EM * text_px * len(words)


def place_words(
    wanted: Iterable[Words],
    text_px: float,
    marks: Iterable[Point],
    line: Sequence[Point],
    inside: Callable[[Box], bool],
    taken: Iterable[Box] = (),
) -> list[Box | None]:
    """The box of each of the words, first come first served; None for words that find no place.

    Parameters
    ----------
    wanted : the most needed first
    text_px : height of the letters
    marks : every mark
    line : corners of a line to keep off
    inside : whether a box is on the sheet
    taken : boxes where no word may stand
    """
    mark_boxes = [_round(mark, _MARK_PX) for mark in marks]
    line_boxes = [_round(point, 1.0) for point in along(line)]
    placed = list(taken)
    found: list[Box | None] = []
    for words in wanted:
        boxes = [box for box in _boxes(words, text_px) if inside(box) and _free(box, placed)]
        off_marks = [box for box in boxes if _free(box, mark_boxes)]
        off_line = (box for box in off_marks if _free(box, line_boxes))
        chosen = next(chain(off_line, off_marks, boxes if words.needed else ()), None)
        found.append(chosen)
        if chosen is not None:
            placed.append(chosen)
    return found


def _boxes(words: Words, text_px: float) -> list[Box]:
    """The places round the mark, in the order of its sides, ring by ring."""
    half_px, deep_px = words_width_px(words.words, text_px) / 2.0, text_px / 2.0
    x_px, y_px = words.at_px
    boxes = []
    for ring in range(words.rings + 1):
        away_px = ring * (text_px + _CLEAR_PX)
        for across, down in words.sides:
            beside_px = half_px + away_px + (_CLEAR_PX if down else _MARK_PX + _CLEAR_PX)
            middle_px = x_px + across * beside_px
            level_px = y_px + down * (_MARK_PX + _CLEAR_PX + deep_px + away_px)
            boxes.append((middle_px - half_px, level_px - deep_px, middle_px + half_px, level_px + deep_px))
    return boxes


def _round(point: Point, reach_px: float) -> Box:
    return (point[0] - reach_px, point[1] - reach_px, point[0] + reach_px, point[1] + reach_px)


def along(corners: Sequence[Point], step_px: float = 5.0) -> list[Point]:
    """Points along a bent line, near enough that no word slips between two of them."""
    points = []
    for (x_px, y_px), (next_x_px, next_y_px) in pairwise(corners):
        count = 1 + int(max(abs(next_x_px - x_px), abs(next_y_px - y_px)) / step_px)
        steps = (index / count for index in range(count + 1))
        points += [(x_px + step * (next_x_px - x_px), y_px + step * (next_y_px - y_px)) for step in steps]
    return points


def _free(box: Box, taken: Sequence[Box]) -> bool:
    return not any(
        box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3] for other in taken
    )
