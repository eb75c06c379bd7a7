from __future__ import annotations

import datetime as dt

import pytest

from handline.day.itinerary_setting import USUAL_WAIT
from handline.day.setting import set_up
from handline.errors import TripError
from handline.weather.storms import DEFAULT_STORM_CHANCE
from tests.day.trips import typed_trip


def _refused(**changes: str) -> str:
    with pytest.raises(TripError) as refused:
        set_up(typed_trip(**changes))  # type: ignore[arg-type]
    return str(refused.value)


def test_the_line_is_a_leg_both_ways() -> None:
    setting = set_up(typed_trip())
    assert [leg.is_line for leg in setting.route.legs] == [False, True, False, False, True, False]
    assert setting.itinerary.off_line == 5
    assert (setting.itinerary.walking_s[:, :, [1, 4]] == 0.0).all()


def test_stops_are_made_at_each_passing() -> None:
    assert set_up(typed_trip()).itinerary.stop_s.tolist() == [0.0, 600.0, 0.0, 1200.0, 0.0, 600.0, 0.0]


def test_unknown_tether_is_named_with_the_near_miss() -> None:
    text = _refused(tether="absorbing lanyrad")
    for part in ("trip.toml", "tethers.chosen", "absorbing lanyrad", 'did you mean "absorbing lanyard"?'):
        assert part in text


def test_unknown_pace_model_is_named_with_the_choices() -> None:
    text = _refused(route='pace_model = "tobler"')
    assert "route.pace_model" in text
    assert "tobler_1993" in text


def test_every_problem_at_once() -> None:
    text = _refused(tether="rope", route='pace_model = "fast"')
    for key in ("tethers.chosen", "route.pace_model"):
        assert key in text


def test_a_closed_date_names_the_open_ones() -> None:
    text = _refused(more='\n[season]\nopen = ["1 December to 31 March"]\n')
    assert "trip.date" in text
    assert "2027-07-17" in text
    assert "1 December to 31 March" in text


def test_season_words_that_are_none() -> None:
    text = _refused(more='\n[season]\nraised = ["second Mondy of June to 1 September"]\n')
    assert "season.raised[0]" in text


def test_line_state_by_season() -> None:
    season = '\n[season]\nraised = ["Saturday before the second Monday of June to last Sunday of September"]\n'
    summer = typed_trip(more=season)
    assert set_up(summer).line.state == "raised"
    october = summer.model_copy(update={"about": summer.about.model_copy(update={"date": dt.date(2027, 10, 2)})})
    assert set_up(october).line.state == "lowered"
    assert not set_up(october).line.has_stanchions


def test_what_is_left_open_is_guessed_and_said() -> None:
    text = typed_trip(weather="")
    setting = set_up(text)
    assert setting.guessed == {"storm_chance", "line_state"}
    assert setting.storm_chance == DEFAULT_STORM_CHANCE
    no_crowd = text.model_copy(update={"crowd": type(text.crowd)()})
    guessed = set_up(no_crowd)
    assert guessed.guessed == {"storm_chance", "line_state", "wait_up", "wait_down"}
    assert {leg.wait for leg in guessed.itinerary.line_legs if leg} == {USUAL_WAIT}


def test_own_tether_takes_its_kind_for_what_is_not_typed() -> None:
    own = '\n[[tethers.own]]\nname = "old cord"\nkind = "running"\nreach = "1 m"\nstrength = "5 kN"\n'
    setting = set_up(typed_trip(tether="old cord", more=own))
    assert (setting.chosen.reach_m, setting.chosen.weakest.force_N, setting.chosen.stiffness_N) == (1.0, 5000.0, 161e3)


def test_own_tether_of_no_known_kind() -> None:
    text = _refused(tether="magic", more='\n[[tethers.own]]\nname = "magic"\nkind = "magnet"\n')
    assert "tethers.own[0].kind" in text
    assert "gripping" in text


def test_no_wait_cannot_have_a_long_tail() -> None:
    text = typed_trip().model_copy()
    crowd = text.crowd.model_copy(update={"wait_up_s": 0.0, "wait_up_long_s": 600.0})
    with pytest.raises(TripError, match=r"crowd\.wait_up"):
        set_up(text.model_copy(update={"crowd": crowd}))


def test_more_people_take_longer_on_the_line() -> None:
    small, large = (
        set_up(trip).itinerary.line_legs[1]
        for trip in (
            typed_trip(),
            typed_trip().model_copy(update={"party": typed_trip().party.model_copy(update={"size": 9})}),
        )
    )
    assert small is not None
    assert large is not None
    assert large.passage_by_rock_s > small.passage_by_rock_s
