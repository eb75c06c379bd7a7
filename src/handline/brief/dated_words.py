"""Days and clock times for whoever reads them at home: with the day of the week, and never as "the day after"."""

from __future__ import annotations

import math
from datetime import date, timedelta

from handline.quantity import show_clock
from handline.season.day_words import day_words
from handline.season.rules import WEEKDAYS

DAY_S = 86400.0


def weekday_words(day: date) -> str:
    """ "Saturday 17 July 2027"."""
    return f"{WEEKDAYS[day.weekday()].title()} {day_words(day)}"


def day_and_clock(day: str, clock_s: float) -> tuple[str, str]:
    """Seconds after the midnight of a day, YYYY-MM-DD, as the day they fall on and the clock time to the minute."""
    minutes = math.floor(clock_s / 60.0 + 0.5)
    days, minute = divmod(minutes, round(DAY_S / 60.0))
    return weekday_words(date.fromisoformat(day) + timedelta(days=days)), show_clock(minute * 60.0)
