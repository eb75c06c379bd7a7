"""What if, from a setting that is known already: the same answer as from the beginning."""

from __future__ import annotations

from functools import cache

import pytest

from handline.cache_folder import CACHE_VARIABLE
from handline.day.day_what_if import DayWhatIf, with_day
from handline.day.file_checks import subject_problems
from handline.day.line_reporting import line_report
from handline.day.line_what_if import WhatIf
from handline.day.plan_json import result_json
from handline.day.planning import first_chances, make_plan
from handline.day.setting import Setting, set_up, set_up_again
from handline.errors import InputError
from handline.trip.model import Trip
from handline.trip.reading import read_trip
from tests.day.recordings import TAMSIN


@cache
def tamsin_with_weather(by_months: bool = False) -> Trip:
    """The example with its gear and its weather, few days, and waits as typed."""
    trip = read_trip(TAMSIN, subject_problems)
    waits = {"wait_up_s": 600.0, "wait_up_long_s": 1800.0, "wait_down_s": 600.0, "wait_down_long_s": 1800.0}
    updates = {
        "about": trip.about.model_copy(update={"days": 500}),
        "crowd": trip.crowd.model_copy(update=waits),
        "weather": trip.weather.model_copy(update={"forecast": None}) if by_months else trip.weather,
    }
    return trip.model_copy(update=updates)


@cache
def known(by_months: bool = False) -> Setting:
    return set_up(tamsin_with_weather(by_months))


@pytest.fixture(autouse=True)
def nothing_kept(tmp_path, monkeypatch):
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path))


@pytest.mark.parametrize("by_months", [False, True])
@pytest.mark.parametrize(
    "what_if", [WhatIf(mass="101 kg"), WhatIf(tether="one sling"), WhatIf(rock="iced"), WhatIf(state="lowered")]
)
def test_the_line_answers_the_same(what_if, by_months, monkeypatch, tmp_path):
    trip = tamsin_with_weather(by_months)
    from_known = line_report(trip, what_if, whole=False, known=lambda: known(by_months))
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "another"))
    assert result_json(from_known) == result_json(line_report(trip, what_if, whole=False))
    if what_if.rock is not None:
        assert from_known.line.rock == what_if.rock


@pytest.mark.parametrize("by_months", [False, True])
def test_a_typed_rock_is_no_weathers(by_months):
    trip = tamsin_with_weather(by_months)
    wet = trip.model_copy(update={"weather": trip.weather.model_copy(update={"rock": "wet"})})
    assert set_up_again(known(by_months), wet, anew=True).rock.name == "wet"


@pytest.mark.parametrize("start", ["02:30", "07:00"])
@pytest.mark.parametrize("by_months", [False, True])
def test_another_start_is_planned_as_if_it_were_typed(start, by_months):
    trip = tamsin_with_weather(by_months)
    asked, changed = with_day(trip, DayWhatIf(start=start))
    assert [change.option for change in changed] == ["start"]
    again = make_plan(asked, known=lambda: set_up_again(known(by_months), asked, anew=True))
    anew = make_plan(asked)
    assert again.chances == anew.chances
    assert again.timetable == anew.timetable
    assert again.decision == anew.decision


def test_the_first_chances_are_those_of_the_plan():
    setting = known()
    assert first_chances(setting) == make_plan(tamsin_with_weather(), known=known).chances


def test_another_date_is_read_and_changes_nothing_else():
    trip = tamsin_with_weather(by_months=True)
    asked, changed = with_day(trip, DayWhatIf(date="2027-08-02"))
    assert asked.about.date.isoformat() == "2027-08-02"
    assert [(change.now, change.file_says) for change in changed] == [("on 2027-08-02", trip.about.date.isoformat())]
    assert with_day(trip, DayWhatIf(date=trip.about.date.isoformat())) == (trip, ())


def test_after_a_night_out_the_start_is_from_the_camp():
    trip = tamsin_with_weather()
    night = trip.model_copy(update={"night": trip.night.model_copy(update={"out": True})})
    asked, _ = with_day(night, DayWhatIf(start="06:15"))
    assert asked.night.start_clock_s == 6.25 * 3600
    assert asked.about.start_clock_s == night.about.start_clock_s


def test_everything_that_cannot_be_used_is_told_at_once():
    with pytest.raises(InputError) as refused:
        with_day(tamsin_with_weather(), DayWhatIf(start="soon", date="2027-02-30"))
    assert [problem.key for problem in refused.value.problems] == ["start", "date"]
