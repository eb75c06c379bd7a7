"""Trips with permits made up for the tests of this room."""

from __future__ import annotations

from handline.trip.model import Trip
from tests.day.trips import SHORT_WAY, typed_trip

LINE = """
[[permits]]
name = "Line permit"
places_per_day = 40
checked_at = "Foot"
largest_party = 6
documents = ["list of names"]
fees = [{ amount = 12, currency = "USD", per = "person" }, { amount = 6, currency = "USD", per = "application" }]
pay_by = "10 days after the result"
pick_up = "the day before"
pick_up_at = "the hut"

[permits.needed]
periods = ["1 June to last Sunday of September"]
state = "raised"

[[permits.ways]]
way = "draw"
opens = "1 March"
closes = "31 March"
closes_at = "16:00"
result = "second Monday of April"
applicants = [{ applications = 20, people = 2 }, { applications = 10, people = 4 }]
"""
WALK_UP = """
[[permits.ways]]
way = "walk-up"
given_out = "07:00"
days_before = 1
where = "the hut"
places = 8
people_ahead = 10
parties_of = 2
"""
CAMP = """
[[permits]]
name = "Camp permit"
places_per_day = 12
needed = { night_out = true }
ways = [{ way = "first come", opens = "100 days before", opens_at = "08:00" }]
"""


def permit_trip(more: str = LINE + WALK_UP + CAMP, **changes: str | int) -> Trip:
    """A trip of typed legs on 17 July 2027, a Saturday, with a party of three."""
    return typed_trip(days=200, more=more, **changes)  # type: ignore[arg-type]


TEXT = f"""
[trip]
name = "Three legs"
date = 2027-07-17
days = 100

[route]
timezone = "America/Denver"
latitude = 46.6
longitude = -113.4

{SHORT_WAY}

[weather]
rock = "dry"
storm_chance = "10 %"
"""
"""A short trip as it is typed, for what is read from a file; permits go behind it."""
