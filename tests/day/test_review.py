"""A recorded day against its plan: simulated days written down as recordings and read back, whole and in part."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from handline.day.plan import RANGE
from handline.day.review import Review, review
from handline.day.setting import set_up
from handline.day.simulation import dark_movement_s, draw_days
from handline.day.time_parts import PARTS, middle_parts_s, planned_by_light_s, planned_elapsed_s, planned_parts_s
from handline.errors import TrackError, TripError
from handline.trip.model import Trip
from tests.day.recordings import RECORDED, Walk, gpx_of, simulated, tamsin, tamsin_setting, walk_of
from tests.day.trips import typed_trip

HOUR_S = 3600.0
DAYS = (0, 11, 222, 333, 444, 555, 777, 888, 999, 1234, 1555, 1900)
# Up to the summit the way has 7 passings, and 13 in all.
SUMMIT = 6


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("recordings")


@lru_cache(maxsize=40)
def whole(folder: Path, day: int) -> Review:
    """The review of one simulated day of another seed, recorded whole."""
    setting = tamsin_setting()
    walked = walk_of(setting, simulated(setting, seed=77), day)
    return review(tamsin(), gpx_of(setting, walked, folder / f"day-{day}.gpx", seed=day))


def partly(folder: Path, name: str, walked: Walk, trip: Trip | None = None, **how: object) -> Review:
    path = gpx_of(tamsin_setting(), walked, folder / f"{name}.gpx", **how)  # type: ignore[arg-type]
    return review(trip or tamsin(), path)


def one_walk(day: int = 11) -> Walk:
    setting = tamsin_setting()
    return walk_of(setting, simulated(setting, seed=77), day)


def missing(reviewed: Review) -> list[str]:
    return [passing.missing for passing in reviewed.passings]


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


def test_parts_add_up(folder: Path) -> None:
    reviewed = whole(folder, 222)
    assert [went.part for went in reviewed.went] == list(PARTS)
    assert sum(went.recorded_s for went in reviewed.went) == pytest.approx(reviewed.total.recorded_s)
    assert sum(went.planned_s for went in reviewed.went) == pytest.approx(reviewed.total.planned_s[1], rel=0.01)


def test_planned_parts_add_up_on_every_leg_and_day() -> None:
    setting = tamsin_setting()
    days = simulated(setting)
    parts = planned_parts_s(setting, days)
    assert np.allclose(sum(parts.values()), planned_elapsed_s(days))
    rest_s = setting.trip.party.rest_per_hour_s
    first = parts["stops and rests"][0] / parts["walking"][0]
    assert first == pytest.approx(np.full(first.shape, rest_s / HOUR_S))
    assert parts["standing before the line"][4].min() >= 600.0  # the stop of ten minutes at the foot is in it


def test_walking_by_light_is_what_was_drawn_before_the_dark_came_in() -> None:
    """Independent: the draws know no dark. Rests are a twelfth of the walking, by the file's five minutes an hour."""
    setting = tamsin_setting()
    about = setting.trip.about
    draws, days = draw_days(setting.itinerary, about.days, about.seed), simulated(setting)
    assert setting.trip.party.rest_per_hour_s == 300.0
    for j in (0, 2, 11):
        assert planned_by_light_s(setting, days, j) == pytest.approx(draws.movement_s[j] * 12.0 / 13.0)
    assert (dark_movement_s(setting.itinerary, days) > 3600.0).mean() > 0.9


def test_the_middle_is_the_mean_of_the_middle_tenth() -> None:
    parts = {"a": np.arange(100.0)[None, :], "b": 2.0 * np.arange(100.0)[None, :]}
    total = 3.0 * np.arange(100.0)
    # By hand: days 45 to 54 are the middle tenth.
    assert middle_parts_s(parts, total, [0]) == {"a": pytest.approx(49.5), "b": pytest.approx(99.0)}


def test_the_parts_follow_what_the_party_did(folder: Path) -> None:
    """Half an hour more at the camp is half an hour more of stops, to a few minutes, and nothing else."""
    walked = one_walk()
    camp_m = tamsin_setting().route.points[2].distance_m
    at = int(np.flatnonzero(np.isclose(walked.along_m, camp_m))[-1])
    later = np.where(np.arange(walked.clock_s.size) >= at, 1800.0, 0.0)
    plain, longer = (
        partly(folder, "plain", walked),
        partly(folder, "camp", replace(walked, clock_s=walked.clock_s + later)),
    )
    more = {a.part: b.recorded_s - a.recorded_s for a, b in zip(plain.went, longer.went, strict=True)}
    assert more["stops and rests"] == pytest.approx(1800.0, abs=120.0)
    assert more["walking"] == pytest.approx(0.0, abs=150.0)
    # What a recording knows of the line, where 75 m take half an hour.
    assert more["standing before the line"] + more["on the line"] == pytest.approx(0.0, abs=120.0)
    assert more["on the line"] == pytest.approx(0.0, abs=300.0)
    stop = max(longer.stops, key=lambda stop: stop.length_s if "Camp" in stop.where else 0.0)
    assert stop.where == "Aldermere Camp (up)"
    assert stop.length_s == pytest.approx(1800.0 + 600.0, abs=180.0)
    assert stop.clock_s == pytest.approx(walked.clock_s[at - 1], abs=120.0)


def test_a_wait_at_the_line_is_told_from_other_stops(folder: Path) -> None:
    walked = one_walk()
    foot_m = tamsin_setting().route.points[4].distance_m
    at = int(np.flatnonzero(np.isclose(walked.along_m, foot_m))[1])
    later = np.where(np.arange(walked.clock_s.size) >= at, 2400.0, 0.0)
    plain, longer = (
        partly(folder, "plain", walked),
        partly(folder, "wait", replace(walked, clock_s=walked.clock_s + later)),
    )
    more = {a.part: b.recorded_s - a.recorded_s for a, b in zip(plain.went, longer.went, strict=True)}
    assert more["standing before the line"] == pytest.approx(2400.0, abs=180.0)


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


# --- parts of a day ------------------------------------------------------------------------------------------------


def test_one_that_stopped_early(folder: Path) -> None:
    walked = one_walk()
    reviewed = partly(folder, "early", walked.between(walked.clock_s[0], 8.0 * HOUR_S))
    found = [passing for passing in reviewed.passings if not passing.missing]
    assert not reviewed.whole
    assert len(found) >= 3
    assert missing(reviewed) == [""] * len(found) + ["after it ended"] * (13 - len(found))
    assert any("ends" in note and "not reviewed" in note for note in reviewed.notes)
    assert "over the legs that were recorded" in reviewed.headline
    assert sum(leg.time.recorded_s is not None for leg in reviewed.legs) == len(found) - 1


def test_one_that_began_late(folder: Path) -> None:
    walked = one_walk()
    camp_s = float(np.interp(16_500.0, walked.along_m, walked.clock_s))
    reviewed = partly(folder, "late", walked.between(camp_s, walked.clock_s[-1]))
    assert missing(reviewed) == ["before it began"] * 11 + ["", ""]
    assert [passing.way for passing in reviewed.passings if not passing.missing] == ["down", "down"]
    assert any("begins" in note for note in reviewed.notes)
    assert reviewed.total.recorded_s == pytest.approx(reviewed.legs[-1].time.recorded_s)


def test_one_that_turned_back_before_the_top(folder: Path) -> None:
    """Up to 9,000 m, between the camp and the Lower Step, and home again."""
    walked = one_walk()
    up = walked.between(walked.clock_s[0], float(np.interp(9000.0, walked.along_m, walked.clock_s)))
    length = tamsin_setting().route.length_m
    down_m = np.linspace(length - 9000.0, length, 40)
    down_s = up.clock_s[-1] + 0.001 + np.linspace(0.0, 8.0 * HOUR_S, 40)  # at once: nobody goes over the top between
    reviewed = partly(
        folder, "turned", Walk(np.concatenate((up.clock_s, down_s)), np.concatenate((up.along_m, down_m)))
    )
    assert missing(reviewed) == ["", "", "", *["turned back before"] * 7, "", "", ""]
    assert reviewed.passings[10].way == "down"
    turned = next(note for note in reviewed.notes if "turned back" in note)
    assert "after Aldermere Camp" in turned
    assert "Lower Step (up)" in turned
    # The two legs up and the two down are reviewed; the turn itself is no leg of the plan.
    assert [leg.time.recorded_s is not None for leg in reviewed.legs] == [True, True, *[False] * 8, True, True]
    assert len(reviewed.course_clock_s) > 100


def test_one_that_went_up_only_is_not_taken_for_the_way_down(folder: Path) -> None:
    walked = one_walk()
    reviewed = partly(
        folder, "up", walked.between(walked.clock_s[0], float(np.interp(11_058.0, walked.along_m, walked.clock_s)))
    )
    assert missing(reviewed)[: SUMMIT + 1] == [""] * (SUMMIT + 1)
    assert set(missing(reviewed)[SUMMIT + 1 :]) == {"after it ended"}


def test_a_long_gap_is_said_and_teaches_nothing(folder: Path) -> None:
    """No signal from the camp's far side half way to the Lower Step: the leg's time counts, its pace does not."""
    walked = one_walk()
    gap = tuple(float(np.interp(at_m, walked.along_m, walked.clock_s)) for at_m in (6700.0, 8600.0))
    reviewed = partly(folder, "gap", walked, gaps_s=[gap])  # type: ignore[list-item]
    plain = partly(folder, "plain", walked)
    assert reviewed.whole
    assert reviewed.legs[2].unsure == "long without a signal"
    assert reviewed.legs[2].time.recorded_s == pytest.approx(plain.legs[2].time.recorded_s, abs=60.0)
    assert any("long without a signal" in note for note in reviewed.notes)
    assert reviewed.pace is not None
    assert plain.pace is not None
    assert reviewed.pace.planned_walking_s < plain.pace.planned_walking_s
    assert "recorded whole" in reviewed.pace_says


def test_a_gap_over_a_place_leaves_it_out(folder: Path) -> None:
    walked = one_walk()
    gap = tuple(float(np.interp(at_m, walked.along_m, walked.clock_s)) for at_m in (5700.0, 6600.0))
    reviewed = partly(folder, "gap-camp", walked, gaps_s=[gap])  # type: ignore[list-item]
    assert missing(reviewed)[2] == "not recorded there"
    assert not reviewed.whole
    assert reviewed.legs[1].time.recorded_s is None
    assert any("Aldermere Camp (up) not reviewed" in note for note in reviewed.notes)


# --- clocks --------------------------------------------------------------------------------------------------------


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


# --- what cannot be reviewed ---------------------------------------------------------------------------------------


def test_a_recording_of_another_place(folder: Path) -> None:
    with pytest.raises(TrackError) as refused:
        partly(folder, "elsewhere", one_walk(), shift_m=(9000.0, 0.0))
    (problem,) = refused.value.problems
    assert problem.what == "the recording never comes near the way of the plan"
    assert "mi off at the nearest" in (problem.read or "")
    assert "elsewhere.gpx" in (problem.file or "")


def test_a_drive_is_no_review(folder: Path) -> None:
    """The same way at thirty times the speed."""
    walked = one_walk()
    driven = replace(walked, clock_s=walked.clock_s[0] + (walked.clock_s - walked.clock_s[0]) / 30.0)
    with pytest.raises(TrackError) as refused:
        partly(folder, "driven", driven)
    (problem,) = refused.value.problems
    assert problem.what == "nothing but a drive: nobody walks so fast"
    assert "faster than walking" in (problem.read or "")
    assert "driven.gpx" in (problem.file or "")


def test_a_recording_between_two_places(folder: Path) -> None:
    walked = one_walk()
    start, end = (float(np.interp(at_m, walked.along_m, walked.clock_s)) for at_m in (4200.0, 5500.0))
    with pytest.raises(TrackError) as refused:
        partly(folder, "between", walked.between(start, end))
    assert "passes no two neighbouring places" in refused.value.problems[0].what
    assert refused.value.problems[0].read == "places passed: none"


def test_typed_legs_have_no_positions() -> None:
    with pytest.raises(TripError) as refused:
        review(typed_trip(days=100), RECORDED)
    (problem,) = refused.value.problems
    assert "no position" in problem.what
    assert "latitude and longitude" in (problem.allowed or "")
    assert "track" in (problem.mend or "")
    assert problem.key == "route.legs"


def test_the_same_recording_gives_the_same_review(folder: Path) -> None:
    walked = one_walk(444)
    path = gpx_of(tamsin_setting(), walked, folder / "same.gpx")
    assert review(tamsin(), path) == review(tamsin(), path)


def test_nothing_is_called_harmless(folder: Path) -> None:
    reviewed = whole(folder, 0)
    words = " ".join((reviewed.headline, *reviewed.notes, *reviewed.cautions))
    assert "safe" not in words
    assert any("qualified guides come first" in caution for caution in reviewed.cautions)


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
