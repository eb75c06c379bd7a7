"""A recorded day against its plan: simulated days written down as recordings and read back."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from handline.day.plan import RANGE
from handline.day.review import review
from handline.day.setting import set_up
from handline.day.time_parts import planned_elapsed_s
from tests.day.recordings import Walk, gpx_of, simulated, tamsin, tamsin_setting, walk_of
from tests.day.reviews import DAYS, HOUR_S, one_walk, partly, whole

# --- the numbers ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("day", DAYS[:5])
def test_recorded_times_are_those_of_the_day_that_was_recorded(folder: Path, day: int) -> None:
    """To a minute and a half; at the ends of the line, where 75 m take half an hour, to five."""
    setting, reviewed = tamsin_setting(), whole(folder, day)
    truth = simulated(setting, seed=77)
    assert reviewed.whole
    for i, passing in enumerate(reviewed.passings):
        near_s = 300.0 if passing.kind in ("line_foot", "line_head") else 90.0
        assert passing.clock.recorded_s == pytest.approx(float(truth.arrive_clock_s[i][day]), abs=near_s), passing.name
    for leg in reviewed.legs:
        assert leg.moving_s + leg.stood_s == pytest.approx(leg.time.recorded_s)


def test_standing_is_that_of_the_days_that_were_recorded(folder: Path) -> None:
    """A recording knows when a stand begins and ends to a few points, and slow walking near a place looks like one.

    At the ends of the line a wait and the first metres of climbing may look alike for ten minutes.
    """
    truth, off_s = simulated(tamsin_setting(), seed=77), []
    for day in DAYS[:5]:
        for j, leg in enumerate(whole(folder, day).legs):
            off_s.append(abs(leg.stood_s - float(truth.leave_clock_s[j][day] - truth.arrive_clock_s[j][day])))
    assert np.quantile(off_s, 0.95) < 120.0
    assert max(off_s) < 600.0


def test_shares_are_those_of_the_simulated_days(folder: Path) -> None:
    """Independent: counted here from the day's true times."""
    setting = tamsin_setting()
    planned, truth = planned_elapsed_s(simulated(setting)), planned_elapsed_s(simulated(setting, seed=77))
    off = []
    for day in DAYS:
        for j, leg in enumerate(whole(folder, day).legs):
            share = float((planned[j] < truth[j, day]).mean())
            off.append(abs(leg.time.share_below - share))
    # A minute is up to a tenth of the days on a leg as short as that from the head of the line to the top.
    assert float(np.median(off)) < 0.02
    assert max(off) < 0.25


def test_days_of_the_plan_spread_over_the_whole_of_it(folder: Path) -> None:
    """A day drawn from the plan is at home in it: shares are uniform. Bounds: three standard errors of 12 days.

    Of twelve even shares the least is above 0.45 once in 1,300 times.
    """
    shares = np.array([[leg.time.share_below for leg in whole(folder, day).legs] for day in DAYS])
    totals = np.array([whole(folder, day).total.share_below for day in DAYS])
    error = 1.0 / np.sqrt(12.0 * len(DAYS))
    assert np.all(np.abs(shares.mean(axis=0) - 0.5) < 3 * error)
    assert abs(totals.mean() - 0.5) < 3 * error
    assert np.all(shares.min(axis=0) < 0.45)
    assert np.all(shares.max(axis=0) > 0.55)
    assert totals.min() < 0.25 < 0.75 < totals.max()


def test_planned_ranges_are_quantiles_of_the_plan(folder: Path) -> None:
    setting, reviewed = tamsin_setting(), whole(folder, 0)
    days = simulated(setting)
    for j, leg in enumerate(reviewed.legs):
        expected = np.quantile(days.arrive_clock_s[j + 1] - days.arrive_clock_s[j], [0.10, 0.50, 0.90])
        assert leg.time.planned_s == pytest.approx(tuple(expected))
    for i, passing in enumerate(reviewed.passings):
        assert passing.clock.planned_s == pytest.approx(tuple(np.quantile(days.arrive_clock_s[i], RANGE)))


def test_a_plan_without_spread_met_exactly_is_at_its_middle(folder: Path) -> None:
    """Every simulated day the same: a recording of it ties with all of them."""
    trip = tamsin()
    party = trip.party.model_copy(update={"pace_spread": 0.0, "leg_spread": 0.0})
    route = trip.route.model_copy(update={"pace_model": "tobler_1993"})
    steady = trip.model_copy(update={"party": party, "route": route})
    setting = set_up(steady)
    walked = walk_of(setting, simulated(setting), 0)
    reviewed = review(steady, gpx_of(setting, walked, folder / "steady.gpx", every_s=5.0, jitter_m=0.5))
    # From the bridge to the camp and on nothing is left to chance; the line is.
    for leg in reviewed.legs[:4]:
        assert leg.time.share_below == pytest.approx(0.5), leg.start


# --- the pace ------------------------------------------------------------------------------------------------------


def test_a_slow_day_slows_the_pace_and_a_quick_one_quickens_it(folder: Path) -> None:
    setting = tamsin_setting()
    planned = simulated(setting)
    walked_legs = [j for j, leg in enumerate(setting.route.legs) if not leg.is_line]
    middle_s = np.median(planned_elapsed_s(planned)[walked_legs].sum(axis=0))
    for day in DAYS[:6]:
        pace = whole(folder, day).pace
        assert pace is not None
        times = pace.recorded_walking_s / pace.planned_walking_s
        assert (pace.factor > 1.0) == (times > np.exp(0.05)) or abs(np.log(times)) < 0.1
        assert pace.low < pace.factor < pace.high
        assert abs(np.log(pace.factor)) < abs(np.log(times)) + 0.02
        assert pace.planned_walking_s < middle_s


def test_starting_later_in_the_light_is_not_a_better_pace(folder: Path) -> None:
    """The same walking in the plan's dark hours and by day: the dark is taken out of both."""
    setting = tamsin_setting()
    start = float(setting.trip.about.start_clock_s)
    dark = one_walk(int(np.argmin(simulated(setting, seed=77).arrive_clock_s[-1])))
    factor = setting.itinerary.dark_factor
    assert factor > 1.0
    work = [0.0]  # the same day as if it were light, by hand: the dark stretches take 1/factor of their time
    for a, b in zip(dark.clock_s[:-1], dark.clock_s[1:], strict=True):
        spans = setting.itinerary.dark_spans_clock_s
        in_dark = sum(max(0.0, min(b, end) - max(a, begin)) for begin, end in spans)
        work.append(work[-1] + (b - a) - in_dark * (1.0 - 1.0 / factor))
    light = Walk(start + 4.5 * HOUR_S + np.array(work), dark.along_m)
    assert light.clock_s[-1] < 20.5 * HOUR_S
    by_night, by_day = partly(folder, "night", dark).pace, partly(folder, "light", light).pace
    assert by_night is not None
    assert by_day is not None
    assert by_day.recorded_walking_s == pytest.approx(by_night.recorded_walking_s, rel=0.01)


# --- what is told --------------------------------------------------------------------------------------------------


def test_the_same_recording_gives_the_same_review(folder: Path) -> None:
    walked = one_walk(444)
    path = gpx_of(tamsin_setting(), walked, folder / "same.gpx")
    assert review(tamsin(), path) == review(tamsin(), path)


def test_nothing_is_called_harmless(folder: Path) -> None:
    reviewed = whole(folder, 0)
    words = " ".join((reviewed.headline, *reviewed.notes, *reviewed.cautions))
    assert "safe" not in words
    assert any("qualified guides come first" in caution for caution in reviewed.cautions)
