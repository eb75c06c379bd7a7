"""The day from here: learned pace, its coverage, what it must never do, and the report."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.day.limits import chance_from
from handline.day.passed_told import PassedAt
from handline.day.plan import PROBABILITIES
from handline.day.planning import Simulated, simulate
from handline.day.replanning import learn, replan
from handline.day.setting import Setting, set_up
from handline.day.simulation import RockClock, draw_days, walk
from handline.day.today_typed import StormToday, rock_all_day
from handline.day.turning import go_on, turn_at
from handline.errors import InputError
from tests.day.trips import STEADY, typed_trip

H = 3600.0
LIMITS = 'home_by = "15:30"\nhome_before_dark = false'


@cache
def _trip(
    days: int = 1000, limits: str = LIMITS, weather: str = 'storm_chance = "20 %"', party: str = ""
) -> tuple[Setting, Simulated]:
    setting = set_up(typed_trip(days=days, limits=limits, weather=weather, party=party))
    return setting, simulate(setting)


def _middle(simulated: Simulated, passing: int) -> PassedAt:
    return PassedAt(passing, float(np.median(simulated.days.arrive_clock_s[passing])))


def test_having_left_as_planned_is_the_plan() -> None:
    setting, simulated = _trip()
    found = replan(setting, simulated, [PassedAt(0, setting.trip.about.start_clock_s)])
    for chance in found.chances:
        assert chance.share == pytest.approx(float(simulated.kept[chance.key].mean()), abs=1e-12)
        assert chance.share == pytest.approx(chance.planned_share)
    assert found.pace.factor == 1.0
    for i, row in enumerate(found.ahead, start=1):
        expected = np.quantile(simulated.days.arrive_clock_s[i], PROBABILITIES)
        assert row.arrive_clock_s == pytest.approx(tuple(expected))
        assert row.planned_clock_s == float(np.median(simulated.days.arrive_clock_s[i]))


def test_arriving_in_the_planned_middle_keeps_the_pace_and_narrows_it() -> None:
    setting, simulated = _trip()
    found = replan(setting, simulated, [_middle(simulated, 1)])
    assert found.pace.factor == pytest.approx(1.0, abs=0.02)
    assert found.pace.sigma < 0.6 * found.pace.prior_sigma
    assert "as planned" in found.notes[0]
    assert found.pace.low < found.pace.factor < found.pace.high


def _in_the_band(party: str, passings: tuple[int, ...]) -> float:
    """The share of 300 days with a pace of their own that end in the band told by their passings.

    The minutes told are those on a watch: the days' own, rounded down. The band is narrower than the plan's.
    """
    setting, simulated = _trip(party=party)
    start = setting.trip.about.start_clock_s
    true = walk(setting.itinerary, draw_days(setting.itinerary, 300, 99), np.array([start]))
    held, width = [], []
    for day in range(300):
        told = [PassedAt(i, float(np.floor(true.arrive_clock_s[i][day] / 60.0)) * 60.0) for i in passings]
        on = go_on(learn(setting, simulated, told).at)
        low, high = np.quantile(on.days.arrive_clock_s[-1], (0.1, 0.9))
        held.append(low <= true.arrive_clock_s[-1][day] <= high)
        width.append(high - low)
    plan_low, plan_high = np.quantile(simulated.days.arrive_clock_s[-1], (0.1, 0.9))
    assert np.mean(width) < 0.5 * (plan_high - plan_low)
    return float(np.mean(held))


@pytest.mark.parametrize("passings", [(1,), (1, 2), (1, 2, 3, 4)])
def test_eight_days_in_ten_end_in_the_band(passings: tuple[int, ...]) -> None:
    """Three standard errors of 80 %."""
    error = np.sqrt(0.8 * 0.2 / 300)
    assert _in_the_band("leg_memory = 0.0", passings) == pytest.approx(0.8, abs=3.0 * error)


def test_what_the_next_leg_remembers_makes_the_band_rather_wide() -> None:
    """The pace learned does not know that the leg ahead is partly like the last: at the default nine days in ten."""
    assert 0.8 < _in_the_band("", (1, 2, 3, 4)) < 0.95


@settings(deadline=None, max_examples=25)
@given(st.integers(1, 5), st.floats(-20.0, 90.0), st.floats(1.0, 120.0), st.booleans())
def test_a_slower_passing_never_raises_the_chance_of_being_home(
    passing: int, later_min: float, more_min: float, first_told: bool
) -> None:
    setting, simulated = _trip(300)
    middle = _middle(simulated, passing)
    before = [_middle(simulated, 1)] if first_told and passing > 1 else []
    shares = [
        learn_share(setting, simulated, [*before, PassedAt(passing, middle.clock_s + 60.0 * minutes)])
        for minutes in (max(later_min, 0.0), max(later_min, 0.0) + more_min)
    ]
    assert shares[1] <= shares[0]


def learn_share(setting: Setting, simulated: Simulated, told: list[PassedAt]) -> float:
    return float(go_on(learn(setting, simulated, told).at).kept["home_by"].mean())


def test_a_plan_without_spread_moves_by_the_clock_alone() -> None:
    """DIN 33466, no spread: an hour late at the foot is an hour late at home, whatever was walked."""
    setting = set_up(typed_trip(days=100, party=STEADY, route='pace_model = "din_33466"', wait="0 min", limits=LIMITS))
    plain = replace(setting.itinerary, size=1)
    simulated = simulate(replace(setting, itinerary=plain))
    setting = replace(setting, itinerary=plain)
    here = PassedAt(1, float(simulated.days.arrive_clock_s[1][0]) + H)
    found = go_on(learn(setting, simulated, [here]).at)
    assert found.days.arrive_clock_s[-1] == pytest.approx(simulated.days.arrive_clock_s[-1] + H)


def test_a_delay_is_a_later_arrival_everywhere_ahead() -> None:
    setting, simulated = _trip()
    here = _middle(simulated, 4)
    plain, late = (replan(setting, simulated, [here], delay_s=delay) for delay in (0.0, 1800.0))
    for before, after in zip(plain.ahead, late.ahead, strict=True):
        assert np.array(after.arrive_clock_s) == pytest.approx(np.array(before.arrive_clock_s) + 1800.0)
    assert late.delay_s == 1800.0


def test_latest_times_are_held_open_or_lost() -> None:
    """At the foot sooner and later: each state follows from the share, and all three come about."""
    setting, simulated = _trip(weather='storm_chance = "0 %"')
    seen = set()
    for late_h in np.arange(-0.4, 2.4, 0.2):
        here = PassedAt(1, _middle(simulated, 1).clock_s + late_h * H)
        days = go_on(learn(setting, simulated, [here]).at).days
        for i, row in enumerate(replan(setting, simulated, [here]).ahead, start=2):
            latest = simulated.latest_clock_s[i]
            assert row.latest_clock_s == latest
            assert row.by_latest_share == float((days.arrive_clock_s[i - 1] <= latest).mean())
            expected = "held" if row.by_latest_share >= 0.9 else "open" if row.by_latest_share >= 0.5 else "lost"
            assert row.held == expected
            seen.add(row.held)
    assert seen == {"held", "open", "lost"}


def test_the_advice_changes_from_going_on_to_turning() -> None:
    setting, simulated = _trip()
    advice = [
        replan(setting, simulated, [PassedAt(1, _middle(simulated, 1).clock_s + late * 1800.0)]).advice
        for late in (-1.0, 4.0)
    ]
    assert [one.key for one in advice] == ["turn_by", "turn_now"]
    assert advice[0].turn_at == "Top"
    assert advice[0].headline.startswith("Go on, turn at Top by ")


def test_the_time_to_turn_is_the_last_minute_that_meets_the_limits() -> None:
    """At that minute the chance at the place, on the days learned, is as wanted; ten minutes later it is not."""
    setting, simulated = _trip()
    here = PassedAt(0, setting.trip.about.start_clock_s + 600.0)
    advice = replan(setting, simulated, [here]).advice
    at = learn(setting, simulated, [here]).at
    assert (advice.key, advice.turn_at) == ("turn_by", "Foot")
    by_s = advice.turn_by_clock_s
    assert by_s is not None
    around = chance_from(at.limits, at.itinerary, at.draws, at.storm, 1, by_s + np.array([0.0, 60.0]))
    assert around[0] >= setting.limits.chance > around[1]


def test_on_the_way_home_there_is_nothing_to_turn() -> None:
    setting, simulated = _trip()
    for passing in (3, 4, 5):
        found = replan(setting, simulated, [_middle(simulated, passing)])
        assert [course.key for course in found.courses] == ["go on"]
        assert found.advice.key == "go_on"
    assert [course.key for course in replan(setting, simulated, [_middle(simulated, 2)]).courses] == [
        "go on",
        "turn here",
    ]


def test_a_way_that_does_not_come_back_is_not_turned() -> None:
    setting, simulated = _trip()
    once = replace(
        setting,
        trip=setting.trip.model_copy(update={"route": setting.trip.route.model_copy(update={"out_and_back": False})}),
    )
    found = replan(once, simulated, [_middle(simulated, 1)])
    assert len(found.courses) == 1
    assert "not worked out" in found.notes[-1]


def test_with_no_limit_left_every_time_is_free() -> None:
    setting, simulated = _trip(limits="home_before_dark = false\noff_line_before_storm = false")
    found = replan(setting, simulated, [_middle(simulated, 1)])
    assert found.advice.sentence == "There is no limit left to miss."
    assert [chance.key for chance in found.chances] == ["all"]
    assert found.ahead[0].held == ""
    assert found.ahead[0].latest_clock_s is None


def test_a_storm_typed_replaces_the_plans() -> None:
    setting, simulated = _trip()
    here = _middle(simulated, 1)
    shares = [
        replan(setting, simulated, [here], storm=storm).chances[0].share
        for storm in (StormToday(0.0), None, StormToday(0.6), StormToday(0.6, here.clock_s))
    ]
    assert shares[0] == 1.0
    assert shares == sorted(shares, reverse=True)
    assert len(set(shares)) == 4
    typed = replan(setting, simulated, [here], storm=StormToday(0.6, 13 * H))
    assert typed.storm_says == "60 % for the rest of the day from 13:00 on, as typed"
    assert any("what you typed" in note for note in typed.notes)


def test_a_rock_typed_is_the_rock_of_the_rest() -> None:
    setting, simulated = _trip()
    here = _middle(simulated, 1)
    wet = learn(setting, simulated, [here], rock="wet").at
    same = replace(learn(setting, simulated, [here]).at, itinerary=replace(setting.itinerary, rock=rock_all_day("wet")))
    assert np.array_equal(go_on(wet).days.arrive_clock_s[-1], go_on(same).days.arrive_clock_s[-1])
    plain = replan(setting, simulated, [here])
    typed = replan(setting, simulated, [here], rock="wet")
    assert typed.chances[-1].share < plain.chances[-1].share
    assert typed.pace == plain.pace
    assert (plain.rock_says, typed.rock_says) == ("as in the plan", "wet for the rest of the day, as typed")


def test_on_iced_rock_nobody_is_sent_onto_the_line_however_good_the_chances_are() -> None:
    setting, simulated = _trip()
    off = setting.itinerary.off_line
    foot = next(j for j, leg in enumerate(setting.itinerary.line_legs) if leg is not None)
    for passing in range(1, setting.itinerary.legs):
        found = replan(setting, simulated, [_middle(simulated, passing)], rock="iced")
        if passing <= foot:
            assert found.advice.key != "go_on"
            assert "Iced rock: soles hold almost nothing." in found.advice.sentence
        elif passing < off:
            assert "mind the line on iced rock" in found.advice.headline
        else:
            assert "line" not in found.advice.headline
        assert (found.line_says == "") == (passing >= off)


def test_all_that_is_wrong_at_once() -> None:
    setting, simulated = _trip()
    told = [PassedAt(1, 5 * H), PassedAt(2, 4 * H)]
    with pytest.raises(InputError) as refused:
        replan(setting, simulated, told, delay_s=-1.0, storm=StormToday(2.0), rock="slimy")
    assert [problem.key for problem in refused.value.problems] == ["--time", "--time", "--delay", "--storm", "--rock"]


def test_days_of_another_seed_are_refused() -> None:
    setting, simulated = _trip()
    other = replace(simulated, draws=draw_days(setting.itinerary, 1000, 2))
    with pytest.raises(ValueError, match="seed"):
        replan(setting, other, [_middle(simulated, 1)])


def test_a_stretch_outside_all_days_asks_to_look_again() -> None:
    setting, simulated = _trip()
    quick = replan(setting, simulated, [PassedAt(1, setting.trip.about.start_clock_s + 1800.0)])
    assert any("look again at place and time" in note for note in quick.notes)
    slow = replan(setting, simulated, [PassedAt(1, setting.trip.about.start_clock_s + 9 * H)])
    assert any("slower than on any simulated day" in note for note in slow.notes)
    assert quick.pace.factor < 1.0 < slow.pace.factor


def test_the_report_says_where_and_when() -> None:
    setting, simulated = _trip()
    found = replan(setting, simulated, [_middle(simulated, 1), _middle(simulated, 2)])
    assert (found.at, found.clock_s) == ("Head (up)", _middle(simulated, 2).clock_s)
    assert [(row.name, row.way) for row in found.ahead] == [
        ("Top", "up"),
        ("Head", "down"),
        ("Foot", "down"),
        ("Gate", "down"),
    ]
    assert [(row.start, row.end, row.tells) for row in found.pace.stretches] == [
        ("Gate (up)", "Foot (up)", True),
        ("Foot (up)", "Head (up)", False),
    ]
    assert [chance.key for chance in found.chances] == ["off_line_before_storm", "home_by", "all"]
    kept = go_on(learn(setting, simulated, [_middle(simulated, 1), _middle(simulated, 2)]).at).kept["all"]
    assert found.chances[-1].error == pytest.approx(float(kept.std()) / np.sqrt(1000))


def test_the_courses_are_those_of_the_ways_on() -> None:
    """Before the foot it may turn here or at the foot, at its foot only here; home by the quantiles of the days."""
    setting, simulated = _trip()
    left, foot = PassedAt(0, setting.trip.about.start_clock_s), _middle(simulated, 1)
    assert [course.key for course in replan(setting, simulated, [left]).courses] == [
        "go on",
        "turn here",
        "turn at the foot",
    ]
    found = replan(setting, simulated, [foot])
    assert [(course.key, course.turn_at) for course in found.courses] == [("go on", ""), ("turn here", "Foot")]
    at = learn(setting, simulated, [foot]).at
    ways = (go_on(at), turn_at(at, 1, go_on(at)))
    for course, way in zip(found.courses, ways, strict=True):
        assert course.home_clock_s == pytest.approx(tuple(np.quantile(way.days.arrive_clock_s[-1], (0.1, 0.5, 0.9))))
        assert course.share == pytest.approx(float(way.kept["all"].mean()))


def test_a_storm_typed_has_its_chance_from_here_to_midnight() -> None:
    setting, simulated = _trip()
    here = PassedAt(1, 14 * H)
    storm = learn(setting, simulated, [here], storm=StormToday(0.6)).at.storm
    assert 1.0 - float(storm.none_between_share(14 * H, 24 * H)) == pytest.approx(0.6)


def test_a_rock_typed_has_one_course_whatever_the_weather_had() -> None:
    setting, _ = _trip(100)
    courses = RockClock(0.0, np.array([[0] * 24, [1] * 24, [2] * 24], np.int8))
    changing = replace(setting, itinerary=replace(setting.itinerary, rock=courses))
    simulated = simulate(changing)
    assert simulated.draws.member.max() == 2
    at = learn(changing, simulated, [_middle(simulated, 1)], rock="dry").at
    took = go_on(at).days.arrive_clock_s[1] - go_on(at).days.leave_clock_s[0]
    dry_s = changing.itinerary.line_legs[1].passage_by_rock_s[0]  # type: ignore[union-attr]
    assert took == pytest.approx(at.draws.movement_s[1] * dry_s)
