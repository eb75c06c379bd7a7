"""The LineReport: what it holds against the rooms it is made from, by hand, and what may not change it."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest

from handline.day.line_callout import BRAKE, BREAKS, ONE_STRAND, RUNS_FREE, STATIC
from handline.day.line_report import LineReport
from handline.day.line_reporting import line_report
from handline.day.line_traces import GIVES, RIGID
from handline.day.line_what_if import WhatIf
from handline.day.plan_json import result_json
from handline.day.setting import set_up
from handline.line.friction import ROCKS
from handline.line.sensitivity import sensitivity, stopped_share
from handline.line.slip_chances import ENDS, slip_chances, slip_ends
from handline.line.slip_draws import draw
from handline.line.tethers import GRIPPING, NONE, RUNNING
from handline.quantity import show_mass
from tests.day.line_reports import tamsin_line, tamsin_trip
from tests.day.trips import typed_trip

LOWERED = WhatIf(state="lowered", rock="wet", mass="95 kg", tether="one sling")
WET = WhatIf(rock="wet")


def test_every_tether_is_there_the_chosen_one_first() -> None:
    report = tamsin_line()
    tethers = report.line.tethers
    assert [tether.number for tether in tethers] == list(range(1, len(tethers) + 1))
    assert [tether.chosen for tether in tethers] == [True] + [False] * (len(tethers) - 1)
    assert report.chosen.name == "absorbing lanyard"
    assert {tether.name for tether in tethers} >= {"none", "one sling", "two friction hitches", "autoblock hitch"}


@pytest.mark.parametrize("what_if", [None, LOWERED])
def test_shares_sum_to_one(what_if: WhatIf | None) -> None:
    for tether in tamsin_line(what_if).line.tethers:
        assert [case.case for case in tether.today] == [outcome.case for outcome in tether.outcomes]
        for case in tether.today:
            shares = (case.stopped_share, case.over_share, case.breaks_share, case.unstopped_share)
            assert sum(shares) == pytest.approx(1.0, abs=1e-12)
            assert min(shares) >= 0.0
            assert case.usual_slide_m <= case.longest_m
        for chances in tether.by_rock:
            assert [entry.end for entry in chances.ends] == list(ENDS)
            assert sum(entry.share for entry in chances.ends) == pytest.approx(1.0, abs=1e-12)
        assert {chances.rock for chances in tether.by_rock} == set(ROCKS)


def test_the_chances_are_those_of_the_line_room() -> None:
    report, setting = tamsin_line(), set_up(tamsin_trip())
    draws = draw(report.provenance.draws, report.provenance.seed)
    for tether in setting.tethers:
        shown = next(other for other in report.line.tethers if other.name == tether.name)
        for chances in slip_chances(setting.line, tether, setting.rock, report.mass_range_kg, draws):
            same = next(c for c in shown.by_rock if (c.case, c.rock) == (chances.case, chances.rock))
            assert {entry.end: entry.share for entry in same.ends} == dict(chances.share)
            assert (same.slide_m, same.longest_m) == (chances.slide_m, chances.longest_m)
            today = next(case for case in shown.today if case.case == chances.case)
            # The party's limit is one of the edges, so the two countings must agree.
            assert today.stopped_share == pytest.approx(chances.under(6000.0), abs=1e-12)
            assert today.usual_slide_m == pytest.approx(chances.slide_m[1])
            assert today.hardest_N == pytest.approx(chances.hardest_N, nan_ok=True)


def test_a_limit_between_the_edges_counts_as_typed() -> None:
    trip = typed_trip(tether="rope lanyard", limits='body_force = "5 kN"')
    report, setting = line_report(trip), set_up(trip)
    case = report.chosen.today[0]
    draws = draw(report.provenance.draws, report.provenance.seed)
    ends = slip_ends(setting.line, setting.chosen, setting.rock, case.case, report.mass_range_kg, draws)
    assert report.body_force_N == 5000.0
    assert case.stopped_share == stopped_share(ends, 5000.0) < stopped_share(ends, 6000.0)


def test_the_mass_goes_from_the_lightest_to_the_heaviest_with_packs() -> None:
    members = (
        '\n[[party.members]]\nname = "Ann"\nbody_mass = "58 kg"\npack_mass = "5 kg"\n'
        '[[party.members]]\nname = "Bo"\nbody_mass = "90 kg"\npack_mass = "12 kg"\n'
        '[[party.members]]\nname = "Cy"\nbody_mass = "56 kg"\npack_mass = "9 kg"\n'
    )
    report = line_report(typed_trip(more=members))
    assert report.mass_range_kg == (63.0, 102.0)
    assert report.body_mass_kg == 102.0


def test_the_hardest_slip_is_the_hardest_of_those_drawn() -> None:
    for what_if in (None, LOWERED):
        report = tamsin_line(what_if)
        for trace in report.traces:
            case = next(t for t in report.line.tethers if t.name == trace.tether).today[0]
            assert trace.case == case.case
            if trace.body == RIGID:
                assert trace.peak_N == pytest.approx(case.hardest_N, rel=1e-9)
                assert max(trace.force_N) == pytest.approx(trace.peak_N, rel=1e-3)
            assert trace.force_N[0] == pytest.approx(0.0, abs=1e-6)
            assert list(trace.time_s) == sorted(trace.time_s)
            assert trace.taut_m < trace.start_m


def test_a_body_that_gives_lowers_the_hardest_stop_of_the_chosen_tether_alone() -> None:
    report = tamsin_line(LOWERED)
    assert [trace.tether for trace in report.traces if trace.body == GIVES] == ["one sling"]
    assert report.soft_body is not None
    # From memory, as the source says: on a person about 1 / 1.4 of that on a rigid weight, in a short stiff sling.
    assert 1.2 < report.soft_body.rigid_N / report.soft_body.gives_N < 1.6
    assert "careful side" in report.soft_body.says
    assert "from memory" in report.soft_body.says


def test_two_cases_everywhere() -> None:
    for what_if, running in ((None, 2), (LOWERED, 1)):
        for tether in tamsin_line(what_if).line.tethers:
            cases = {case.case for case in tether.today}
            least = {NONE: 1, GRIPPING: 2}.get(tether.kind, running)
            assert len(cases) >= least, tether.name
            assert {(c.case, c.rock) for c in tether.by_rock} == {(case, rock) for case in cases for rock in ROCKS}


def test_an_absorber_on_a_part_of_unknown_strength_is_called_out() -> None:
    own = """
[[tethers.own]]
name = "absorber on a daisy chain"
kind = "absorbing"
arms = 2

[[tethers.own.parts]]
part = "absorber EN 958:2017"

[[tethers.own.parts]]
part = "daisy chain"
length = "0.9 m"

[[tethers.own.parts]]
part = "connector K"
"""
    call_out = line_report(typed_trip(tether="absorber on a daisy chain", more=own)).chosen.call_out
    assert call_out is not None
    assert call_out.key == BREAKS
    assert "a part may break, the pocket of a daisy chain" in call_out.sentence


def test_the_call_out_says_why() -> None:
    def reason(what_if: WhatIf | None) -> Mapping[str, str]:
        tethers = tamsin_line(what_if).line.tethers
        return {tether.name: tether.call_out.key for tether in tethers if tether.call_out is not None}

    raised, lowered = reason(None), reason(LOWERED)
    assert "absorbing lanyard" not in raised
    assert "none" not in raised
    assert (raised["one sling"], raised["rope lanyard"], raised["autoblock hitch"]) == (STATIC, BREAKS, BRAKE)
    assert (lowered["one sling"], lowered["absorbing lanyard"], lowered["autoblock hitch"]) == (
        RUNS_FREE, RUNS_FREE, BRAKE,
    )  # fmt: skip
    sling = tamsin_line(LOWERED).chosen.call_out
    assert sling is not None
    assert sling.sentence.startswith("It would pass for protection and is not: it runs free to the next anchor")
    assert "a static part, the HMPE sling" in sling.sentence
    assert "tied to one strand, nothing holds you at 3 changeovers each way" in sling.sentence


def test_a_tether_that_holds_on_one_strand_is_called_out_for_its_changeovers() -> None:
    own = """
[[tethers.own]]
name = "one soft arm"
kind = "absorbing"
arms = 1

[[tethers.own.parts]]
part = "plain arm"
length = "60 cm"

[[tethers.own.parts]]
part = "connector K"

[[tethers.own.parts]]
part = "absorber EN 958:2017"
"""
    report = line_report(typed_trip(tether="one soft arm", more=own, line='stanchion_holds = "20 kN"'))
    assert report.chosen.verdict == "holds"
    call_out = report.chosen.call_out
    assert call_out is not None
    assert call_out.key == ONE_STRAND
    assert call_out.sentence.startswith("It would pass for protection and is none at the changeovers")


def test_where_friction_holds_nothing_is_called_out() -> None:
    report = line_report(typed_trip(tether="one sling").model_copy(update={"line": _flat()}))
    assert report.chosen.call_out is None
    assert all(case.unstopped_share == 0.0 for case in report.chosen.today)
    assert report.headline == "On this rock and slope friction alone keeps a body from sliding."


def _flat():  # type: ignore[no-untyped-def]
    line = typed_trip().line
    return line.model_copy(update={"angle_rad": math.radians(15.0)})


def test_changeovers_both_ways_in_both_states() -> None:
    # Counted by hand: of the stanchions at 2.7 m, 5.4 m ... 94.5 m, 35 in all, the one at 24.3 m stands within half a
    # metre of the anchor at 24 m and is it. With the three inner anchors that makes 37.
    for tether in tamsin_line(LOWERED).line.tethers:
        counts = {(change.state, change.way): change.count for change in tether.changes}
        passed = 0 if tether.kind == NONE else 37
        assert counts == {
            ("raised", "up"): passed, ("raised", "down"): passed,
            ("lowered", "up"): min(passed, 3), ("lowered", "down"): min(passed, 3),
        }  # fmt: skip
        for change in tether.changes:
            untied_s = {0: change.climber_s, 1: change.count * change.each_s, 2: 0.0}[tether.arms]
            assert change.untied_s == pytest.approx(untied_s)


def test_two_on_one_stop_bear_twice() -> None:
    for tether in tamsin_line().line.tethers:
        if tether.stop_load is not None:
            assert tether.stop_load.two_N == pytest.approx([2.0 * force_N for force_N in tether.stop_load.one_N])
    load = tamsin_line().chosen.stop_load
    assert load is not None
    assert "what its stanchions bear is not typed" in load.says
    assert tamsin_line().line.tethers[1].stop_load is None
    typed = line_report(typed_trip(line='stanchion_holds = "9 kN"')).chosen.stop_load
    assert typed is not None
    assert typed.holds_N == 9000.0
    assert "typed: 9.0 kN" in typed.says


def test_hitch_facts_by_hand() -> None:
    report = tamsin_line(WET)
    hitch = next(tether for tether in report.line.tethers if tether.name == "friction hitch").hitch
    assert hitch is not None
    # Independent: 1 / (2 pi 6 coils half the load); exp(2 pi 6 mu) for mu 0.15; m g sin 49 deg and with mu 0.30.
    assert hitch.mu_to_lock == pytest.approx(1.0 / (2.0 * math.pi * 6 * 0.5), rel=1e-9)
    assert hitch.capstan[0] == pytest.approx(math.exp(2.0 * math.pi * 6 * 0.15), rel=1e-9)
    weight_N = report.body_mass_kg * 9.80665
    assert hitch.hang_test_N == pytest.approx(weight_N * math.sin(math.radians(49.0)), rel=1e-9)
    pull_N = weight_N * (math.sin(math.radians(49.0)) - 0.30 * math.cos(math.radians(49.0)))
    assert hitch.pull_N == pytest.approx(pull_N, rel=1e-9)
    assert [heat.slip_m for heat in hitch.heat] == [0.1, 0.5, 1.0]
    rises = [heat.temperature_C[1] - 20.0 for heat in hitch.heat]
    assert rises == pytest.approx([rises[2] * 0.1, rises[2] * 0.5, rises[2]])
    own = next(fibre for fibre in hitch.fibres if fibre.own)
    # Slipping as far as that brings it to the low end of its melting range.
    assert rises[2] * own.slip_m[0] == pytest.approx(own.melting_C[0] - 20.0)
    assert hitch.flag == ""
    assert "your whole weight" in hitch.advice


def test_no_hitch_no_facts() -> None:
    assert tamsin_line().chosen.hitch is None


def test_what_moves_the_verdict_is_the_sensitivity_of_the_line_room() -> None:
    report, setting = tamsin_line(LOWERED), set_up(tamsin_trip())
    chosen = next(tether for tether in setting.tethers if tether.name == "one sling")
    assert {moved.what for moved in report.moves} >= {"mass", "friction", "slack", "reach", "stiffness"}
    report, setting = tamsin_line(), set_up(tamsin_trip())
    chosen = setting.chosen
    draws = draw(report.provenance.draws, report.provenance.seed)
    rows = sensitivity(setting.line, chosen, setting.rock, report.mass_range_kg, report.body_force_N, draws)
    assert [moved.stopped_share for moved in report.moves] == [(row.stopped_low, row.stopped_high) for row in rows]
    assert [moved.verdict for moved in report.moves] == [(row.verdict_low, row.verdict_high) for row in rows]
    said = {moved.what: moved.says for moved in report.moves}
    # From the lightest of the party, 60 kg unless typed, to its heaviest, each with the pack of the line.
    pack_kg = setting.trip.party.pack_mass_kg
    assert said["mass"] == tuple(show_mass(body_kg + pack_kg, "us") for body_kg in (60.0, 187 * 0.45359237))
    assert said["stiffness"] == ("70 % of it", "100 % of it")
    assert not line_report(typed_trip(tether="none")).moves


def test_findings_are_those_of_the_plan_about_the_line() -> None:
    keys = {finding.key for finding in tamsin_line(LOWERED).findings}
    assert {"tether", "rock_wet", "line_lowered", "tether_static"} <= keys
    assert not {"permit", "storm_guessed", "wait_guessed", "timezone_guessed"} & keys
    assert tamsin_line(LOWERED).level == "stop"
    assert tamsin_line().level == "heed"


def test_a_guess_about_the_line_is_told() -> None:
    trip = typed_trip(weather="")
    bare = trip.line.model_copy(update={"anchors_m": ()})
    keys = {finding.key for finding in line_report(trip.model_copy(update={"line": bare})).findings}
    assert "anchors_guessed" in keys
    assert "storm_guessed" not in keys


@pytest.mark.parametrize(
    ("what_if", "headline"),
    [
        (None, "This tether stops a slip within your limit, as long as every stop holds."),
        (WhatIf(tether="one sling"), "Do not count on this tether: a part of it may break."),
        (WhatIf(tether="one sling", state="lowered"), "Do not count on this tether: it is no stop here."),
        (WhatIf(tether="none"), "Nothing is attached, and nothing stops a slip."),
    ],
)
def test_the_headline_answers(what_if: WhatIf | None, headline: str) -> None:
    assert tamsin_line(what_if).headline == headline


def test_what_is_graver_than_the_tether_comes_first() -> None:
    report = line_report(typed_trip(rock="iced", limits='body_force = "8 kN"', line='stanchion_holds = "20 kN"'))
    stops = [finding for finding in report.findings if finding.level == "stop"]
    assert report.chosen.verdict == "holds"
    assert report.headline == stops[0].sentence
    assert stops[0].key == "rock_iced"


def test_what_was_asked_stands_in_no_file() -> None:
    report = tamsin_line(LOWERED)
    assert [change.option for change in report.changed] == ["--state", "--rock", "--mass", "--tether"]
    assert report.line.state_says == "as asked, whatever the file says"
    assert "typed in the trip file" not in result_json(report)
    assert report.provenance.inputs_sha256 == tamsin_line().provenance.inputs_sha256


def test_the_file_s_own_tether_keeps_its_typed_reach_when_another_is_asked_about() -> None:
    lanyard = next(t for t in tamsin_line(LOWERED).line.tethers if t.name == "absorbing lanyard")
    assert lanyard.reach_m == pytest.approx(0.9144)
    assert tamsin_line(LOWERED).chosen.reach_m == pytest.approx(0.6)
    assert tamsin_line(WhatIf(reach="1.2 m")).chosen.reach_m == pytest.approx(1.2)


def test_careful_things_do_not_get_better_when_it_gets_worse() -> None:
    dry, wet = tamsin_line(), tamsin_line(WET)
    for before, after in zip(dry.line.tethers, wet.line.tethers, strict=True):
        assert after.today[0].stopped_share <= before.today[0].stopped_share
    longer = tamsin_line(WhatIf(reach="1.2 m")).chosen.today[0]
    assert longer.usual_slide_m > dry.chosen.today[0].usual_slide_m


def test_json_is_the_report_and_the_same_seed_gives_the_same_bytes() -> None:
    told = json.loads(result_json(tamsin_line()))
    assert told["line"]["tethers"][0]["name"] == "absorbing lanyard"
    assert told["mass_range_kg"] == list(tamsin_line().mass_range_kg)
    again = line_report(tamsin_trip(), WhatIf())
    assert result_json(again) == result_json(tamsin_line())


def test_another_seed_gives_other_draws_within_their_error() -> None:
    trip = tamsin_trip()
    other = line_report(trip.model_copy(update={"about": trip.about.model_copy(update={"seed": 7})}))
    ours, theirs = (report.line.tethers[5].today[0].stopped_share for report in (tamsin_line(), other))
    error = math.sqrt(0.25 / tamsin_line().provenance.draws)
    assert ours != theirs
    assert abs(ours - theirs) < 4.0 * error


def test_units_change_words_and_no_number() -> None:
    trip = tamsin_trip()
    si = line_report(trip.model_copy(update={"about": trip.about.model_copy(update={"units": "si"})}))
    us_values, si_values = list(_leaves(tamsin_line())), list(_leaves(si))
    assert [v for v in us_values if not isinstance(v, str)] == [v for v in si_values if not isinstance(v, str)]
    said = " ".join(v for v in si_values if isinstance(v, str))
    assert not re.search(r"\d (ft|lb|lbf|mph)\b", said)
    assert re.search(r"\d ft\b", " ".join(v for v in us_values if isinstance(v, str)))


def _leaves(report: LineReport) -> list[object]:
    def walk(value: object) -> list[object]:
        if isinstance(value, dict):
            return [leaf for part in value.values() for leaf in walk(part)]
        if isinstance(value, list):
            return [leaf for part in value for leaf in walk(part)]
        return [value]

    return walk(json.loads(result_json(report)))


def test_nothing_says_safe() -> None:
    for what_if in (None, LOWERED, WhatIf(tether="friction hitch")):
        assert not re.search(r"\bsafe\b", result_json(tamsin_line(what_if)), re.IGNORECASE)


def test_every_kind_is_told_apart_in_the_assumptions() -> None:
    whats = {assumption.what: assumption for assumption in tamsin_line().assumptions}
    low, high = (show_mass(mass_kg, "us") for mass_kg in tamsin_line().mass_range_kg)
    assert whats["Who slips"].value == f"{low.removesuffix(' lb')} to {high} with the pack, evenly"
    assert whats["Friction of a sliding body on dry rock"].value == "0.45 to 0.7, evenly; 0.45 in the sentences"
    assert whats["Reach"].value == "85 % to 100 % of it"
    assert whats["Stiffness"].value == "70 % to 100 % of the stiff end of what is known"
    assert "Absorber" in whats
    assert all(assumption.source for assumption in whats.values())


def test_bays_and_hands_cover_the_line() -> None:
    report = tamsin_line()
    assert len(report.line.bays) == len(report.passages[0].bays) == 38
    assert len(report.hands) == 2 * len(ROCKS)
    assert {tether.kind for tether in report.line.tethers} >= {NONE, RUNNING, GRIPPING}
    assert np.isclose(report.line.bays[-1].end_m, report.line.length_m)
    worn = [glove.title for glove in report.gloves if glove.worn == ("up", "down")]
    assert worn == ["leather gloves"]


def test_the_screen_s_report_leaves_out_only_what_the_page_shows() -> None:
    whole, short = line_report(tamsin_trip()), line_report(tamsin_trip(), whole=False)
    assert all(tether.by_rock for tether in whole.line.tethers)
    bare = [replace(tether, by_rock=()) for tether in whole.line.tethers]
    assert result_json(short) == result_json(replace(whole, line=replace(whole.line, tethers=tuple(bare))))
