"""The clock of a recording: another date, winter time, its own zone, and midnight."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from pathlib import Path

import pytest

from handline.day.review import review
from tests.day.recordings import RECORDED, tamsin
from tests.day.reviews import HOUR_S, one_walk, partly


def test_another_date_is_said_and_clock_times_are_compared_all_the_same(folder: Path) -> None:
    walked = one_walk()
    plain, other = partly(folder, "plain", walked), partly(folder, "other", walked, date=dt.date(2026, 8, 3))
    assert other.recorded_date == "2026-08-03"
    assert any("2026-08-03" in note and "2027-07-17" in note for note in other.notes)
    assert not any("the plan is for" in note for note in plain.notes)
    for a, b in zip(plain.passings, other.passings, strict=True):
        assert a.clock.recorded_s == pytest.approx(b.clock.recorded_s, abs=1.0)


def test_winter_time_is_taken_as_the_clock_of_its_date(folder: Path) -> None:
    """In January the zone is an hour further from UTC: 03:00 by the watch is 10:00 UTC, not 09:00."""
    reviewed = partly(folder, "winter", one_walk(), date=dt.date(2026, 1, 10))
    assert reviewed.passings[0].clock.recorded_s == pytest.approx(3.0 * HOUR_S, abs=60.0)


def test_the_example_began_at_thirteen_past_three_in_its_own_zone() -> None:
    """Its first point says 09:04:20Z; Denver's summer clock is six hours behind, and it stands for eight minutes."""
    assert "<time>2027-07-17T09:04:20Z</time>" in RECORDED.read_text(encoding="utf-8")
    reviewed = review(tamsin(), RECORDED)
    assert reviewed.recorded_date == "2027-07-17"
    assert reviewed.passings[0].clock.recorded_s == pytest.approx(3 * HOUR_S + 4 * 60 + 20 + 470, abs=90.0)
    # Standing before the day begins is no stop of it.
    assert reviewed.stops[0].where == "Quill River bridge (up)"
    assert reviewed.whole


@pytest.mark.parametrize(("planned_h", "recorded_h"), [(0.25, -0.5), (23.0, 24.5)])
def test_a_start_across_midnight_is_the_same_days(folder: Path, planned_h: float, recorded_h: float) -> None:
    """Planned just after midnight and left just before it, and the other way about."""
    trip = tamsin()
    about = trip.about.model_copy(update={"start_clock_s": planned_h * HOUR_S})
    walked = one_walk()
    shifted = replace(walked, clock_s=walked.clock_s + (recorded_h - 3.0) * HOUR_S)
    reviewed = partly(folder, f"midnight-{recorded_h:g}", shifted, trip.model_copy(update={"about": about}))
    assert reviewed.recorded_date == "2027-07-17"
    assert reviewed.passings[0].clock.recorded_s == pytest.approx(recorded_h * HOUR_S, abs=60.0)
