"""When the party is overdue: by the simulated days and a margin, or as typed."""

from __future__ import annotations

import numpy as np
import pytest

from handline.day.contacts_planning import contacts_findings, plan_contacts
from handline.day.simulation import Days
from tests.day.trips import night_trip, typed_trip

HOUR_S = 3600.0
HOME = Days((np.array([0.0]), HOUR_S * np.linspace(14.0, 20.0, 101)), ())


def _contacts(typed: str = "", latest_home_h: float = np.nan, home_by_h: float | None = None):
    home_by_s = None if home_by_h is None else HOUR_S * home_by_h
    return plan_contacts(typed_trip(more=f"\n[contacts]\n{typed}\n"), HOME, HOUR_S * latest_home_h, home_by_s)


def test_nine_in_ten_and_two_hours_to_the_next_quarter() -> None:
    """By hand: nine in ten by 19:24, two hours more is 21:24, so 21:30."""
    found = _contacts()
    assert found.overdue_clock_s == 21.5 * HOUR_S
    assert found.overdue_says == (
        "Nine days in ten are home by 19:24; 2 h 00 min are added, up to the next quarter hour."
    )


def test_a_typed_margin() -> None:
    assert _contacts('overdue_after = "36 min"').overdue_clock_s == 20.0 * HOUR_S


def test_a_typed_time_counts_and_one_that_is_early_says_so() -> None:
    late, early = _contacts('overdue = "22:00"'), _contacts('overdue = "18:00"')
    assert (late.overdue_clock_s, early.overdue_clock_s) == (22 * HOUR_S, 18 * HOUR_S)
    assert late.overdue_says == "As typed; nine days in ten are home by 19:24."
    assert early.overdue_says.endswith("Before that: one day in ten is home later.")


def test_a_time_before_the_start_is_the_next_day() -> None:
    assert _contacts('overdue = "02:00"').overdue_clock_s == 26 * HOUR_S


def test_people_and_the_car_are_as_typed() -> None:
    found = _contacts('leader = "Wren, 555 0101"\ncall = ["Rescue, 555 0199", "Warden, 555 0198"]\ncar = "green van"')
    assert (found.leader, found.waiting, found.car) == ("Wren, 555 0101", "", "green van")
    assert found.call == ("Rescue, 555 0199", "Warden, 555 0198")


def test_after_a_night_out_it_is_on_the_date() -> None:
    assert plan_contacts(night_trip(), HOME, np.nan, None).overdue_clock_s == pytest.approx(21.5 * HOUR_S)


def test_a_latest_time_home_after_overdue_is_told_with_both_times() -> None:
    late = _contacts(latest_home_h=22.0)
    assert late.later_home_clock_s == 22.0 * HOUR_S
    assert late.overdue_says.endswith(
        "up to the next quarter hour. That is for a start at 06:00: who leaves later tells whoever waits a later time."
    )
    (finding,) = contacts_findings(late, 6.0 * HOUR_S)
    assert (finding.level, finding.key) == ("heed", "overdue_before_latest")
    assert finding.sentence == (
        "You are overdue from 21:30, and your latest time home is 22:00: help may be called while all is well. "
        "If you leave later than 06:00, tell whoever waits a later time."
    )


def test_a_typed_limit_for_being_home_after_overdue_is_told_too() -> None:
    late = _contacts(latest_home_h=20.0, home_by_h=23.0)
    assert (late.home_by_clock_s, late.later_home_clock_s) == (23.0 * HOUR_S, 23.0 * HOUR_S)
    (finding,) = contacts_findings(late, 6.0 * HOUR_S)
    assert "overdue from 21:30, and your limit for being home is 23:00" in finding.sentence


@pytest.mark.parametrize("latest_home_h", [21.5, 20.0, np.nan, np.inf])
def test_a_latest_time_home_that_is_not_after_overdue_asks_for_nothing(latest_home_h: float) -> None:
    found = _contacts(latest_home_h=latest_home_h, home_by_h=21.0)
    assert found.later_home_clock_s is None
    assert "later time" not in found.overdue_says
    assert contacts_findings(found, 6.0 * HOUR_S) == ()
