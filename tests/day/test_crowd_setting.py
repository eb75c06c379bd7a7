"""From the trip file to bays, times and arrivals; the party alone on them takes what the plan says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from handline.crowd.arrivals import ByHour, StartsAndWalk
from handline.crowd.rules import DOWN, UP, UP_WAITS, Climbers
from handline.day import crowd_setting
from handline.day.crowd_setting import (
    CrowdSetting,
    capacity_per_h,
    crowd_days,
    has_crowd,
    people_of,
    set_crowd,
    some_days,
)
from handline.day.line_passage import passage_of
from handline.day.setting import set_up
from handline.errors import TripError
from handline.line.geometry import bays
from handline.trip.day_model import (
    USUAL_FREEZE_CHANCE,
    USUAL_OTHERS_START_S,
    USUAL_PARTIES_OF,
    USUAL_SHARE_WHO_COME,
    USUAL_STANCE_PLACES,
)
from handline.trip.model import Trip
from tests.day.trips import STEADY, typed_trip

PERMIT = '\n[[permits]]\nname = "Entry"\n\n[[permits]]\nname = "Line permit"\nplaces_per_day = 60\n'
NAISMITH = 'pace_model = "naismith_1892"'
# Three miles an hour and an hour for each 2,000 ft, over 6 km with 600 m of climb; the foot has 10 min of stop.
WALK_S = 3600.0 * (6000.0 / 1609.344 / 3.0 + 600.0 / 0.3048 / 2000.0)


def _crowd(trip: Trip, people: int | None = None) -> CrowdSetting:
    return set_crowd(set_up(trip), 20, people)


def _no_chance(crowd: CrowdSetting) -> CrowdSetting:
    """Everybody alike, nobody freezes."""
    known = crowd.climbers
    even = Climbers(
        known.up_m_s, known.down_m_s, changeover_s=known.changeover_s, rest_chance=known.rest_chance,
        rest_s=known.rest_s, top_s=known.top_s,
    )  # fmt: skip
    return replace(crowd, climbers=even)


def test_practice_is_as_stated() -> None:
    assert (crowd_setting.CHANGEOVER_SIGMA, crowd_setting.FREEZE_SIGMA, crowd_setting.TOP_SIGMA) == (0.30, 0.50, 0.30)
    assert (USUAL_OTHERS_START_S, USUAL_SHARE_WHO_COME, USUAL_PARTIES_OF) == (21600.0, 0.9, 3)
    assert (USUAL_FREEZE_CHANCE, USUAL_STANCE_PLACES) == (0.02, 2)


def test_where_the_number_of_people_is_from() -> None:
    assert people_of(typed_trip()) is None
    assert people_of(typed_trip(more=PERMIT)) == (60, "the places of Line permit")
    assert people_of(typed_trip(more=PERMIT, crowd="people_per_day = 50")) == (50, "as typed in the trip file")
    spans = '{ from = "07:00", to = "09:00", people = 20 }, { from = "09:00", to = "10:00", people = 9 }'
    assert people_of(typed_trip(crowd=f"arrivals = [{spans}]")) == (29, "as counted, in the trip file")
    crowd = _crowd(typed_trip(more=PERMIT), people=44)
    assert (crowd.people, crowd.arrivals.people, crowd.party_size) == (44, 41, 3)
    assert "as asked" in crowd.people_says


def test_what_cannot_be_used_is_told() -> None:
    with pytest.raises(TripError, match="nothing says how many people") as refused:
        _crowd(typed_trip())
    (problem,) = refused.value.problems
    assert problem.key == "crowd.people_per_day"
    assert problem.mend == "write people_per_day = 120 in [crowd], or add --people 120"
    with pytest.raises(TripError, match="fewer than your own party") as refused:
        _crowd(typed_trip(), people=2)
    assert refused.value.problems[0].key == "--people"
    with pytest.raises(TripError, match="fewer than your own party") as refused:
        _crowd(typed_trip(more=PERMIT.replace("60", "2")))
    assert refused.value.problems[0].key.startswith("permits")
    with pytest.raises(TripError, match="does not come back over the line"):
        _crowd(typed_trip(route="out_and_back = false", crowd="people_per_day = 50"))


def test_whether_there_is_a_crowd_is_asked_without_an_error() -> None:
    assert has_crowd(set_up(typed_trip(crowd="people_per_day = 50")))
    assert has_crowd(set_up(typed_trip(more=PERMIT)))
    assert not has_crowd(set_up(typed_trip()))
    assert not has_crowd(set_up(typed_trip(more=PERMIT.replace("60", "2"))))
    assert not has_crowd(set_up(typed_trip(route="out_and_back = false", crowd="people_per_day = 50")))


def test_bays_and_places() -> None:
    trip = typed_trip(
        line='stances = ["30 m", "31 m", "76 m"]\nstance_rest = "40 s"',
        crowd='people_per_day = 50\nstance_places = 3\npass_time = "21 s"\nyields = "up waits"\nfreeze_time = "7 min"',
    )
    crowd = _crowd(trip)
    known = bays(crowd.setting.line)
    assert crowd.line.bay_length_m == pytest.approx([bay.length_m for bay in known])
    edges = np.concatenate(([0.0], np.cumsum(crowd.line.bay_length_m)))
    # Each stance is at the end of a bay nearest to it.
    expected = {}
    for at_m in (30.0, 31.0, 76.0):
        nearest = int(np.argmin(np.abs(edges - at_m)))
        expected[nearest] = expected.get(nearest, 0) + 3
    assert {node: int(n) for node, n in enumerate(crowd.line.places) if n} == expected
    assert (crowd.line.pass_s, crowd.line.yields) == (21.0, UP_WAITS)
    climbers = crowd.climbers
    assert (climbers.rest_chance, climbers.rest_s) == (1.0, 40.0)
    assert (climbers.freeze_chance, climbers.freeze_s, climbers.freeze_sigma) == (0.02, 420.0, 0.50)
    assert (climbers.up_m_s, climbers.changeover_s) == (pytest.approx(7 / 60), crowd.setting.chosen.changeover_s)


@pytest.mark.parametrize("rock", ["dry", "wet"])
def test_one_climber_alone_takes_what_the_line_says(rock: str) -> None:
    trip = typed_trip(rock=rock, line='stances = ["30 m"]', crowd="people_per_day = 50")
    crowd = _no_chance(_crowd(trip)).with_people(3)
    alone = replace(crowd, arrivals=replace(crowd.arrivals, ours=replace(crowd.arrivals.ours, size=1), people=0))
    day = some_days(alone, 0, 1)
    setting = crowd.setting
    for way, passes in (("up", day.up), ("down", day.down)):
        told = passage_of(trip, setting.line, setting.chosen, setting.rock, way)
        # The rest is counted at the end of a bay here, and within one there: the sum is the same.
        assert passes.on_line_s[0] == pytest.approx(told.climber_s)
        assert passes.wait_s[0] == 0.0
    rests_s = sum(bay.hand_rest_s for bay in passage_of(trip, setting.line, setting.chosen, setting.rock, "up").bays)
    assert (rests_s > 0.0) == (rock == "wet")


def test_spreads_of_a_climber() -> None:
    climbers = _crowd(typed_trip(crowd="people_per_day = 50")).climbers
    assert (climbers.rate_sigma, climbers.changeover_sigma, climbers.top_sigma) == (0.20, 0.30, 0.30)
    assert (climbers.rest_chance, climbers.rest_sigma) == (0.0, 0.0)


def test_rests_of_the_hands_stand_in_their_own_bay_both_ways() -> None:
    trip = typed_trip(rock="wet", crowd="people_per_day = 50")
    crowd = _crowd(trip)
    starts_m = [0.0, *np.cumsum(crowd.line.bay_length_m)[:-1]]
    for way, told_s in zip(("up", "down"), crowd.hands_s, strict=True):
        passed = passage_of(trip, crowd.setting.line, crowd.setting.chosen, crowd.setting.rock, way).bays
        by_place = {round(bay.start_m, 6): bay.hand_rest_s for bay in passed}
        assert told_s == pytest.approx([by_place[round(float(at_m), 6)] for at_m in starts_m])
    assert not np.array_equal(crowd.hands_s[DOWN], crowd.hands_s[DOWN][::-1])


def test_others_walk_by_the_published_mix_and_its_hand_sum() -> None:
    trip = typed_trip(party=STEADY, route=NAISMITH, crowd='people_per_day = 50\nstarts = "08:00"')
    comes = _crowd(trip).arrivals.comes
    assert isinstance(comes, StartsAndWalk)
    assert comes.walk_s == pytest.approx([WALK_S + 600.0], rel=1e-6)
    assert (comes.start_clock_s, comes.start_sigma_s, comes.walk_sigma) == (28800.0, 3600.0, 0.0)
    early = _crowd(typed_trip(party=STEADY, route=NAISMITH, crowd='people_per_day = 50\nstarts = "02:00"'))
    # All of the way in the dark takes 1.25 times as long; the stop does not.
    assert early.arrivals.comes.walk_s == pytest.approx([1.25 * WALK_S + 600.0], rel=1e-6)
    mixed = _crowd(typed_trip(crowd="people_per_day = 50")).arrivals.comes
    assert mixed.walk_s.size == 8
    assert mixed.walk_sigma == 0.12
    assert np.ptp(mixed.walk_s) > 1200.0


def test_above_the_line() -> None:
    trip = typed_trip(party=STEADY, route=NAISMITH, crowd="people_per_day = 50")
    # Head to top and back: 500 m each way, 50 m of climb, 20 min on top.
    assert _crowd(trip).climbers.top_s == pytest.approx(2 * 500.0 / 1609.344 * 1200.0 + 50.0 / 0.3048 * 1.8 + 1200.0)


def test_the_party_comes_when_its_own_days_say() -> None:
    crowd = _crowd(typed_trip(party=STEADY, route=NAISMITH, crowd="people_per_day = 50"))
    ours = crowd.arrivals.ours
    assert ours is not None
    assert (ours.size, np.size(ours.clock_s)) == (3, 20)
    assert np.ptp(ours.clock_s) == 0.0
    assert ours.clock_s[0] == pytest.approx(6 * 3600.0 + WALK_S + 600.0)


def test_as_counted_everybody_comes() -> None:
    crowd = _crowd(typed_trip(crowd='arrivals = [{ from = "07:30", to = "09:00", people = 40 }]'))
    assert isinstance(crowd.arrivals.comes, ByHour)
    assert crowd.arrivals.come_share == 1.0
    assert np.diff(crowd.arrivals(0, 5).day_first).tolist() == [40] * 5
    assert crowd.without_us().arrivals(0, 1).people == 40
    assert crowd.with_people(70).arrivals(0, 1).people == 70


def test_days_are_the_same_in_parts_and_parties_stay_together_above() -> None:
    crowd = _crowd(typed_trip(crowd='arrivals = [{ from = "07:30", to = "09:00", people = 40 }]'))
    parts = list(crowd_days(crowd, 120))
    assert [part.days for part in parts] == [50, 50, 20]
    again = some_days(crowd, 60, 1)
    rows = slice(*parts[1].arrivals.day_first[10:12])
    assert np.array_equal(parts[1].up.leave_clock_s[rows], again.up.leave_clock_s)
    stay_s = again.down.join_clock_s - again.up.leave_clock_s
    for clock in np.unique(again.arrivals.clock_s):
        together = again.arrivals.clock_s == clock
        assert np.ptp(stay_s[together]) == pytest.approx(0.0, abs=1e-6)
    assert np.ptp(stay_s) > 60.0


def test_big_crowds_come_in_smaller_parts() -> None:
    crowd = _crowd(typed_trip(crowd="people_per_day = 50"))
    assert [part.days for part in crowd_days(crowd.with_people(4000), 7)] == [3, 3, 1]


def test_capacity_is_one_over_the_slowest_bay() -> None:
    trip = typed_trip(line='stances = ["30 m"]', crowd="people_per_day = 50")
    crowd = _crowd(trip)
    setting = crowd.setting
    for way, per_h in zip(("up", "down"), capacity_per_h(crowd), strict=True):
        assert per_h == pytest.approx(
            3600.0 / passage_of(trip, setting.line, setting.chosen, setting.rock, way).headway_s
        )
    # And so many do come through, one after the other, in a crowd without chance that comes all at once.
    even = _no_chance(crowd).with_people(200)
    rush = even.coming(ByHour(np.array([25_000.0]), np.array([25_001.0]), np.array([1.0])))
    rush = replace(rush, arrivals=replace(rush.arrivals, ours=None), line=replace(rush.line, pass_s=0.0))
    leave = np.sort(some_days(rush, 0, 1).up.leave_clock_s)
    assert 3600.0 / np.diff(leave)[20:].mean() == pytest.approx(capacity_per_h(crowd)[UP], rel=1e-6)
    assert DOWN == 1
