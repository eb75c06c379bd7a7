"""The day of a new trip before anybody has told one."""

from __future__ import annotations

import datetime as dt


def next_saturday(today: dt.date) -> dt.date:
    """The first Saturday after a day."""
    return today + dt.timedelta(days=(5 - today.weekday()) % 7 or 7)
