"""The numbers of a LineReport against the rooms they are made from, and by hand."""

from __future__ import annotations

import math

import pytest

from handline.day.line_reporting import line_report
from handline.day.line_traces import GIVES, RIGID
from handline.day.line_what_if import WhatIf
from handline.day.setting import set_up
from handline.line.friction import ROCKS
from handline.line.sensitivity import sensitivity, stopped_share
from handline.line.slip_chances import ENDS, slip_chances, slip_ends
from handline.line.slip_draws import draw
from handline.line.tethers import NONE
from handline.quantity import show_mass
from tests.day.line_asked import LOWERED, WET
from tests.day.line_reports import tamsin_line, tamsin_trip
from tests.day.trips import typed_trip


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


def test_careful_things_do_not_get_better_when_it_gets_worse() -> None:
    dry, wet = tamsin_line(), tamsin_line(WET)
    for before, after in zip(dry.line.tethers, wet.line.tethers, strict=True):
        assert after.today[0].stopped_share <= before.today[0].stopped_share
    longer = tamsin_line(WhatIf(reach="1.2 m")).chosen.today[0]
    assert longer.usual_slide_m > dry.chosen.today[0].usual_slide_m


def test_another_seed_gives_other_draws_within_their_error() -> None:
    trip = tamsin_trip()
    other = line_report(trip.model_copy(update={"about": trip.about.model_copy(update={"seed": 7})}))
    ours, theirs = (report.line.tethers[5].today[0].stopped_share for report in (tamsin_line(), other))
    error = math.sqrt(0.25 / tamsin_line().provenance.draws)
    assert ours != theirs
    assert abs(ours - theirs) < 4.0 * error
