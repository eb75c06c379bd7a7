"""Crowd and quota reports the tests share: a small trip and the example. Computed, not made up."""

from __future__ import annotations

from functools import lru_cache

from handline.day.crowd_report import CrowdReport
from handline.day.crowd_reporting import crowd_report
from handline.day.quota_report import QuotaReport
from handline.day.quota_reporting import quota_report
from tests.day.line_reports import tamsin_trip
from tests.day.trips import typed_trip

COUNTED = 'arrivals = [{ from = "07:30", to = "09:00", people = 90 }, { from = "10:00", to = "13:00", people = 20 }]'


@lru_cache(maxsize=1)
def crowded() -> CrowdReport:
    """The trip of three legs, its party in the middle of ninety people in an hour and a half, and a quiet noon."""
    return crowd_report(typed_trip(crowd=COUNTED), days=60)


@lru_cache(maxsize=1)
def tamsin_crowd() -> CrowdReport:
    return crowd_report(tamsin_trip(), days=40)


@lru_cache(maxsize=1)
def quota() -> QuotaReport:
    return quota_report(typed_trip(crowd=COUNTED), limit_s=1800.0, most=180, days=60)
