"""Dates along an axis: as many of them named as have room, months before weeks before days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Sequence
from itertools import pairwise

from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import Row
from handline.season.rules import MONTHS

_GAP_PX = 8.0


def short_date(date: dt.date) -> str:
    """ "16 Jul", in English whatever the machine speaks."""
    return f"{date.day} {MONTHS[date.month - 1][:3].title()}"


def date_ticks(dates: Sequence[dt.date], date_px: float, text_px: float) -> list[Row]:
    """The dates to name under an axis: every one, every Monday, or the first of every month, third or year.

    Parameters
    ----------
    dates : sequence of date
        In a row.
    date_px : float
        The width of one date [px].
    text_px : float
        The height of the words [px].

    Returns
    -------
    list of rows
        ``at``, the place of the date's middle, and ``words``; no two touch, and none passes the ends of the axis.
    """
    room_px = date_px * len(dates)
    for chosen in _CHOICES:
        ticks = [(i + 0.5, short_date(date)) for i, date in enumerate(dates) if chosen(date)]
        inside = [
            (at, words)
            for at, words in ticks
            if _half_px(words, text_px) <= min(at * date_px, room_px - at * date_px) + _half_px(words, text_px) / 2.0
        ]
        apart = all(
            (after - at) * date_px >= _half_px(words, text_px) + _half_px(next_words, text_px) + _GAP_PX
            for (at, words), (after, next_words) in pairwise(inside)
        )
        if inside and apart:
            return [{"at": at, "words": words} for at, words in inside]
    return [{"at": 0.5, "words": short_date(dates[0])}]


def _half_px(words: str, text_px: float) -> float:
    return words_width_px(words, text_px) / 2.0


_CHOICES: tuple[Callable[[dt.date], bool], ...] = (
    lambda date: True,
    lambda date: date.day % 2 == 1 and date.day < 31,
    lambda date: date.weekday() == 0,
    lambda date: date.day in (1, 15),
    lambda date: date.day == 1,
    lambda date: date.day == 1 and date.month % 2 == 1,
    lambda date: date.day == 1 and date.month % 3 == 1,
)
