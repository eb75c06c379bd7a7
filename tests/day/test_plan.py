"""The Plan as a whole: the same bytes again, no number that is none, and the two examples."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from handline.day.cautions import CAUTIONS
from handline.day.plan import PROBABILITIES
from handline.day.plan_json import plan_json
from handline.day.planning import make_plan
from handline.sources import sources
from handline.trip.reading import read_trip
from tests.day.trips import typed_trip

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_same_seed_same_bytes() -> None:
    one, again, other = (plan_json(make_plan(typed_trip(seed=seed))) for seed in (1, 1, 2))
    assert one == again
    assert one != other


def test_json_is_the_plan() -> None:
    plan = make_plan(typed_trip())
    read = json.loads(plan_json(plan))
    assert read["decision"]["headline"] == plan.decision.headline
    assert read["timetable"][0]["arrive_clock_s"] == [6 * 3600.0] * len(PROBABILITIES)
    assert [row["name"] for row in read["line"]["tethers"]] == [row.name for row in plan.line.tethers]
    nothing = next(row for row in read["line"]["tethers"] if row["name"] == "none")
    assert nothing["outcomes"][0]["force_N"] == [None, None]


def test_units_change_words_and_no_number() -> None:
    trip = typed_trip()
    us = trip.model_copy(update={"about": trip.about.model_copy(update={"units": "us"})})
    one, other = make_plan(trip), make_plan(us)
    assert one.timetable == other.timetable
    assert one.line.bays == other.line.bays
    assert "lbf" in other.decision.tether_sentence
    assert "lbf" not in one.decision.tether_sentence


def test_cautions_are_always_there() -> None:
    assert make_plan(typed_trip()).cautions == CAUTIONS
    assert any("qualified guides come first" in caution for caution in CAUTIONS)


def test_ranges_are_in_order() -> None:
    plan = make_plan(typed_trip())
    for row in plan.timetable:
        assert list(row.arrive_clock_s) == sorted(row.arrive_clock_s)
    for leg in plan.legs:
        assert leg.time_s[0] <= leg.time_s[1] <= leg.time_s[2]
    assert all(0.0 <= chance.share <= 1.0 for chance in plan.chances)
    everything = next(chance for chance in plan.chances if chance.key == "all")
    assert everything.share <= min(chance.share for chance in plan.chances)


def test_chances_at_the_extremes() -> None:
    sure = make_plan(typed_trip(weather="storm_chance = 0.0", limits='home_by = "23:59"\nhome_before_dark = false'))
    assert {chance.share for chance in sure.chances} == {1.0}
    never = make_plan(typed_trip(limits='home_by = "06:05"'))
    assert next(chance for chance in never.chances if chance.key == "home_by").share == 0.0


def test_a_plan_may_be_stopped() -> None:
    def stop(what: str, share: float) -> None:
        if what == "Searching latest passing times":
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        make_plan(typed_trip(), stop)


@pytest.mark.parametrize(("name", "level"), [("tamsin-dome", "heed"), ("petrel-slab", "heed")])
def test_examples_plan_with_a_reasonable_tether(name: str, level: str) -> None:
    plan = make_plan(read_trip(EXAMPLES / name / "trip.toml"))
    assert plan.decision.level == level
    chosen = next(row for row in plan.line.tethers if row.chosen)
    assert chosen.name == "absorbing lanyard"
    # The poor ones stand beside it and are called out.
    verdicts = {row.name: row.outcomes[0].verdict for row in plan.line.tethers}
    assert verdicts["none"] == "no stop"
    assert verdicts["one sling"] == "breaks"


def test_every_assumption_says_where_it_comes_from() -> None:
    plan = make_plan(typed_trip(tether="friction hitch"))
    words = {source.words for source in sources().values()}
    known = words | {"as typed", "left out", "each model's own, below"}
    for assumption in plan.assumptions:
        two = any(assumption.source == f"{one}; {other}" for one in words for other in words)
        assert assumption.source in known or two, assumption


def test_storms_are_counted_from_the_start() -> None:
    storm = make_plan(typed_trip(weather='storm_chance = "40 %"')).storm
    by_clock = dict(zip(storm.clock_s, storm.begun_share, strict=True))
    assert by_clock[6 * 3600.0] == 0.0
    # What is left of the first day's 40 % after 06:00, and the second day's on top of it.
    assert by_clock[24 * 3600.0] == pytest.approx(0.40, abs=0.02)
    assert by_clock[48 * 3600.0] > by_clock[24 * 3600.0]


def test_no_latest_time_lies_before_the_start() -> None:
    """Limits that an earlier start would meet: on the way there is no time left, and the start says which one would."""
    plan = make_plan(typed_trip(limits='home_by = "09:30"\nhome_before_dark = false\noff_line_before_storm = false'))
    assert plan.decision.leave_by_clock_s is not None
    assert plan.decision.leave_by_clock_s < 6 * 3600.0
    on_the_way = [row for row in plan.timetable[1:] if row.latest_clock_s is None]
    assert on_the_way
    assert {row.latest_says for row in on_the_way} == {"not from this start"}
    assert all(row.latest_clock_s > 6 * 3600.0 for row in plan.timetable[1:] if row.latest_clock_s is not None)


def test_no_latest_time_on_the_way_to_the_line_follows_one_that_is_passed() -> None:
    """The foot would have to be reached before the start: head and top, some time after it, are not offered either."""
    plan = make_plan(
        typed_trip(limits='off_line_by = "08:35"\nhome_before_dark = false\noff_line_before_storm = false')
    )
    says = {(row.name, row.way): row.latest_says for row in plan.timetable}
    assert plan.decision.leave_by_clock_s is not None
    passed = [("Foot", "up"), ("Head", "up"), ("Top", "up"), ("Head", "down")]
    assert {says[place] for place in passed} == {"not from this start"}
    assert plan.timetable[list(says).index(("Foot", "down"))].latest_clock_s is not None


def test_late_home_is_a_finding_of_the_plan() -> None:
    plan = make_plan(typed_trip(weather="storm_chance = 0.0", limits='home_by = "23:59"\nhome_before_dark = false'))
    assert plan.contacts.home_by_clock_s == plan.contacts.later_home_clock_s == 23 * 3600.0 + 59 * 60.0
    assert [finding.level for finding in plan.findings if finding.key == "overdue_before_latest"] == ["heed"]
