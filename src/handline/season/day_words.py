"""A day as people read it."""

from __future__ import annotations

from datetime import date

from handline.season.rules import MONTHS


def day_words(day: date) -> str:
    """ "22 May 2026", in English whatever the machine speaks."""
    return f"{day.day} {MONTHS[day.month - 1].title()} {day.year}"
