"""Crowd and quota reports the tests share: a small trip and the example. Computed, not made up."""

from __future__ import annotations

from functools import lru_cache

from handline.day.crowd_report import CrowdReport
from handline.day.crowd_reporting import crowd_report
from handline.day.quota_report import QuotaReport
from handline.day.quota_reporting import quota_report
from handline.trip.model import Trip
from tests.day.line_reports import tamsin_trip
from tests.day.trips import typed_trip

PEOPLE = '{ from = "07:30", to = "09:30", people = 90 }'


def crowded_trip(crowd: str = f"arrivals = [{PEOPLE}]", **more: str) -> Trip:
    """The trip of three legs with a crowd typed below its waits, which come last in [crowd]."""
    # The rock is what stands right behind [crowd]: more keys of it go in front of its header.
    rock = more.pop("rock", "dry")
    trip = typed_trip(**more, wait=f'5 min"\n{crowd}\n#', rock=rock) if not crowd else None
    return trip or _typed(crowd, rock, **more)


def _typed(crowd: str, rock: str, **more: str) -> Trip:
    return typed_trip(**more, tether=f'absorbing lanyard"\n\n[crowd]\n{crowd}\n#', rock=rock)
