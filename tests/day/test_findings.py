from __future__ import annotations

import datetime as dt
import re

import pytest

from handline.day.line_hitch import ADVICE
from handline.day.plan import LEVELS, Finding, Plan
from handline.day.planning import make_plan
from handline.day.tether_words import TEST_HITCH
from handline.line.limits import LIMITS
from tests.day.trips import typed_trip


def _plan(**changes: object) -> Plan:
    return make_plan(typed_trip(**changes))  # type: ignore[arg-type]


def _found(plan: Plan, key: str) -> Finding | None:
    return next((finding for finding in plan.findings if finding.key == key), None)


def test_gravest_first() -> None:
    plan = _plan(tether="one sling", limits='home_by = "10:00"')
    order = [LEVELS.index(finding.level) for finding in plan.findings]
    assert order == sorted(order)
    assert plan.decision.level == plan.findings[0].level == "stop"
    assert "more reason" in plan.decision.why


@pytest.mark.parametrize(
    ("tether", "words"),
    [
        ("none", "Nothing stops a slip"),
        ("one sling", "looks like protection and is not"),
        ("two slings", "looks like protection and is not"),
        ("rope lanyard", "connector pulled across the stop"),
        ("friction hitch", "grips"),
    ],
)
def test_a_tether_that_does_not_do_its_work_is_a_stop(tether: str, words: str) -> None:
    finding = _found(_plan(tether=tether), "tether")
    assert finding is not None
    assert finding.level == "stop"
    assert words in finding.sentence


def test_an_absorbing_lanyard_is_no_stop_on_close_stops() -> None:
    plan = _plan()
    assert _found(plan, "tether") is None
    assert _found(plan, "stanchions") is not None


def test_a_running_connector_on_a_lowered_line_is_called_out() -> None:
    finding = _found(_plan(line='state = "lowered"'), "tether")
    assert finding is not None
    assert "runs free to the next anchor" in finding.sentence


def test_typed_stanchions_that_hold_need_no_warning() -> None:
    assert _found(_plan(line='stanchion_holds = "10 kN"'), "stanchions") is None
    assert _found(_plan(line='stanchion_holds = "3 kN"'), "stanchions") is not None


def test_stanchions_known_to_be_too_weak_are_a_stop() -> None:
    plan = _plan(line='stanchion_holds = "3 kN"')
    finding = _found(plan, "tether")
    assert finding is not None
    assert finding.level == "stop"
    assert "within your limit" not in plan.decision.tether_sentence


def test_a_force_near_the_limit_is_called_at_it_and_one_well_under_is_within() -> None:
    """The absorber stops at 6.0 kN."""
    near, far = _plan(limits='body_force = "6.5 kN"'), _plan(limits='body_force = "7 kN"')
    assert "stops at 6.0 kN: at your limit on a body" in near.decision.tether_sentence
    finding = _found(near, "force_at_limit")
    assert finding is not None
    assert finding.level == "heed"
    assert finding.sentence == "A stop at 6.0 kN is at your limit on a body: treat it as over."
    assert "Your limit is 6.5 kN, and the standard equation can be up to 30 % too low" in finding.detail
    assert "stops at 6.0 kN: within your limit on a body" in far.decision.tether_sentence
    assert _found(far, "force_at_limit") is None


def test_no_word_says_that_a_slip_does_no_harm() -> None:
    words = f"{TEST_HITCH} {ADVICE} {LIMITS['comfort'].what} " + " ".join(
        finding.sentence for finding in _plan(tether="friction hitch").findings
    )
    assert "where the ground is right under your feet, before you trust it" in words
    assert "harm" not in words


def test_a_kind_sentence_names_what_it_counts_on() -> None:
    assert "as long as every stanchion holds" in _plan().decision.tether_sentence
    assert "stanchion" not in _plan(line='stanchion_holds = "10 kN"').decision.tether_sentence


def test_turning_back_is_told_at_the_foot_first() -> None:
    decision = _plan().decision
    assert (decision.turn_back_at, decision.top_at) == ("Foot", "Top")
    assert decision.turn_back_clock_s is not None
    assert decision.top_clock_s is not None
    assert decision.turn_back_clock_s < decision.top_clock_s


def test_a_route_that_ends_on_top_says_so() -> None:
    assert _found(_plan(route="out_and_back = false"), "not_home") is not None
    assert _found(_plan(), "not_home") is None


def test_a_line_that_does_not_fit_its_track_is_said() -> None:
    # 100 m at 44 deg gain 69 m, and so does the typed leg; at 20 deg they gain 34 m.
    assert _found(_plan(), "line_against_track") is None
    steep = typed_trip()
    line = steep.line.model_copy(update={"angle_rad": 0.349})
    assert _found(make_plan(steep.model_copy(update={"line": line})), "line_against_track") is not None


def test_clocks_that_change_and_zones_that_do_not_fit_are_said() -> None:
    trip = typed_trip()
    spring = trip.about.model_copy(update={"date": dt.date(2027, 3, 14)})
    assert _found(make_plan(trip.model_copy(update={"about": spring})), "clock_change") is not None
    far = trip.route.model_copy(update={"timezone": "Australia/Hobart"})
    assert _found(make_plan(trip.model_copy(update={"route": far})), "zone_far") is not None
    assert _found(make_plan(trip), "clock_change") is None
    assert _found(make_plan(trip), "zone_far") is None


def test_missed_limits_name_the_start_that_meets_them() -> None:
    late = _plan(limits='home_by = "12:30"', weather="storm_chance = 0.0")
    finding = _found(late, "limits_missed")
    assert finding is not None
    assert late.decision.leave_by_clock_s is not None
    assert late.decision.leave_by_clock_s < 6 * 3600.0
    assert "Leave by" in finding.sentence


def test_limits_that_no_start_meets() -> None:
    trip = typed_trip()
    polar = trip.route.model_copy(update={"latitude_deg": 80.0})
    winter = trip.about.model_copy(update={"date": dt.date(2027, 12, 21)})
    plan = make_plan(trip.model_copy(update={"route": polar, "about": winter}))
    assert _found(plan, "no_light") is not None
    finding = _found(plan, "limits_missed")
    assert finding is not None
    assert "No start meets them" in finding.sentence


@pytest.mark.parametrize(
    ("rock", "key", "level"),
    [("iced", "rock_iced", "stop"), ("wet", "rock_wet", "heed"), ("damp", "rock_damp", "heed")],
)
def test_slick_rock(rock: str, key: str, level: str) -> None:
    finding = _found(_plan(rock=rock), key)
    assert finding is not None
    assert finding.level == level


def test_more_than_a_hand_can_hold_is_a_stop() -> None:
    iced, dry = _found(_plan(rock="iced"), "pull"), _found(_plan(), "pull")
    assert iced is not None
    assert dry is not None
    # 85 kg and 8 kg of pack on 44 deg: 912.0 (0.69466 - 0.05 x 0.71934) = 601 N iced, over 435 N; dry 174 N.
    assert (iced.level, dry.level) == ("stop", "note")
    assert "601 N" in iced.sentence
    assert "174 N" in dry.sentence


def test_what_is_guessed_is_said() -> None:
    assert _found(_plan(weather=""), "storm_guessed") is not None
    assert _found(_plan(), "storm_guessed") is None


def test_heavy_members_pass_the_absorbers_standard() -> None:
    trip = typed_trip()
    heavy = trip.model_copy(update={"party": trip.party.model_copy(update={"body_mass_kg": 130.0})})
    plan = make_plan(heavy)
    assert _found(plan, "absorber_mass") is not None
    assert _found(_plan(), "absorber_mass") is None


def test_missing_gear_and_permits() -> None:
    trip = typed_trip(more='\n[[permits]]\nname = "Line permit"\nchecked_at = "Foot"\n')
    bare = trip.model_copy(update={"gear": type(trip.gear)()})
    plan = make_plan(bare)
    for key in ("gear_gloves", "gear_harness", "permit:Line permit"):
        assert _found(plan, key) is not None


_SUMMER = """
[season]
raised = ["1 June to 30 September"]

[[permits]]
name = "Line permit"
needed = { state = "raised" }

[[permits]]
name = "Winter permit"
needed = { state = "lowered" }

[[permits]]
name = "Park permit"
"""


def test_a_typed_state_against_the_typed_season_is_said_with_the_permits_it_lets_go() -> None:
    found = _found(_plan(line='state = "lowered"', more=_SUMMER), "state_against_season")
    assert found is not None
    assert (found.level, found.sentence) == (
        "heed",
        "The line is typed as lowered, but by the season of the trip file it is raised on this date (stands from 1 "
        "June to 30 September). Permits needed only while it is raised are not asked for: Line permit. Ask the land "
        "manager which it is.",
    )
    assert "season.raised" in found.detail
    winter = _SUMMER.replace("1 June to 30 September", "1 May to 31 May").replace('"lowered"', '"raised"')
    standing = _found(_plan(line='state = "raised"', more=winter), "state_against_season")
    assert standing is not None
    assert "it is lowered on this date (stands only from 1 May to 31 May). Ask" in standing.sentence


def test_a_state_that_is_that_of_the_season_or_hangs_on_it_is_not_said() -> None:
    for line, more in (('state = "raised"', _SUMMER), ('state = "by season"', _SUMMER), ('state = "lowered"', "")):
        assert _found(_plan(line=line, more=more), "state_against_season") is None


def test_no_verdict_of_safety_anywhere() -> None:
    for tether in ("none", "one sling", "absorbing lanyard", "friction hitch"):
        plan = _plan(tether=tether)
        words = [finding.sentence + finding.detail for finding in plan.findings]
        words += [row.sentence + row.also for row in plan.line.tethers]
        words += [plan.decision.headline, plan.decision.why, *plan.cautions]
        assert not re.search(r"\bsafe(ly|ty)?\b", " ".join(words), re.IGNORECASE)


def test_no_finding_twice() -> None:
    plan = _plan(tether="none", rock="iced", weather="")
    keys = [finding.key for finding in plan.findings]
    assert len(keys) == len(set(keys))


@pytest.mark.parametrize(
    ("members", "level"),
    [
        (('fitness = "low"', "pace = { time_factor = 1.1 }", 'fitness = "high"'), "heed"),
        (("pace = { time_factor = 1.1 }",) * 3, "note"),
        (('fitness = "low"', "", 'fitness = "high"'), None),
    ],
)
def test_a_recorded_pace_that_counts_for_nobody_is_said(members: tuple[str, ...], level: str | None) -> None:
    listed = "".join(f'\n[[party.members]]\nname = "{"ABC"[i]}"\n{keys}\n' for i, keys in enumerate(members))
    found = _found(_plan(days=200, party="pace = { time_factor = 1.2 }", more=listed), "party_pace_unused")
    assert (found.level if found else None) == level
