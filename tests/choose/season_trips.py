"""A small trip with a camp, permits, months and a season in which the cables rise, and reports of it. Invented."""

from __future__ import annotations

import datetime as dt
from functools import lru_cache

from handline.choose.dates import dates_report
from handline.choose.dates_asked import DatesAsked, DatesAsking, asked_dates
from handline.choose.dates_report import DatesReport
from handline.trip.model import Trip
from tests.day.trips import BY_CAMP, typed_trip

MONTHS = """
[[weather.months]]
month = 5
low = "3 C"
high = "15 C"
storm_days = 2

[[weather.months]]
month = 6
low = "6 C"
high = "19 C"
storm_days = 6

[[weather.months]]
month = 7
low = "9 C"
high = "24 C"
storm_days = 12
"""
COLD = """
[[weather.months]]
month = 7
low = "-4 C"
high = "14 C"
rain_days = 15
"""
SEASON = """
[season]
open = ["20 May to 4 July"]
raised = ["29 May to 3 October"]
holidays = "US"
"""
PERMITS = """
[[permits]]
name = "Line permit"
places_per_day = 60
needed = { state = "raised" }

[[permits.ways]]
way = "draw"
opens = "1 March"
closes = "31 March"
result = "12 April"
date_choices = 3
rates = [
  { weekdays = ["Saturday", "Sunday"], granted = 30, asked = 300 },
  { weekdays = ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday"], granted = 90, asked = 300 },
]

[[permits]]
name = "Camp permit"
needed = { night_out = true }
"""
CHOICE = """
[choice]
prefer = ["Saturday", "Sunday"]
others_worth = 0.5
"""
NIGHT = '\n[night]\nset_out = "14:00"\nstart = "04:30"\n'
FIRST, LAST = dt.date(2027, 5, 24), dt.date(2027, 6, 6)
STARTS = {"first_start": "02:00", "last_start": "12:00", "step": "1 h"}


def season_trip(*, more: str = MONTHS + SEASON + PERMITS + CHOICE, limits: str = 'home_by = "19:00"') -> Trip:
    return typed_trip(approach=BY_CAMP, weather="", limits=limits, more=NIGHT + more)


def asked(first: dt.date = FIRST, last: dt.date = LAST, **typed: str) -> DatesAsked:
    options = {"days": "150", "workers": "1", **STARTS, **typed}
    return asked_dates(DatesAsking(first=first.isoformat(), last=last.isoformat(), **options))


@lru_cache(maxsize=1)
def season_report() -> DatesReport:
    """Two weeks round the day on which the cables rise, in both ways."""
    return dates_report(season_trip(), asked())


@lru_cache(maxsize=1)
def push_report() -> DatesReport:
    """Three weeks over the end of the open season, in one push, with no permits; none is home by 07:30 often enough."""
    trip = season_trip(more=MONTHS + SEASON, limits='home_by = "07:30"')
    return dates_report(trip, asked(dt.date(2027, 6, 20), dt.date(2027, 7, 10), ways="push"))
