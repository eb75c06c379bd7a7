"""The LineReport: what is in it, its findings and headline, and what may not change it."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import numpy as np
import pytest

from handline.day.line_report import LineReport
from handline.day.line_reporting import line_report
from handline.day.line_what_if import WhatIf
from handline.day.plan_json import result_json
from handline.line.friction import ROCKS
from handline.line.tethers import GRIPPING, NONE, RUNNING
from handline.quantity import show_mass
from tests.day.line_asked import LOWERED
from tests.day.line_reports import tamsin_line, tamsin_trip
from tests.day.trips import typed_trip


def test_every_tether_is_there_the_chosen_one_first() -> None:
    report = tamsin_line()
    tethers = report.line.tethers
    assert [tether.number for tether in tethers] == list(range(1, len(tethers) + 1))
    assert [tether.chosen for tether in tethers] == [True] + [False] * (len(tethers) - 1)
    assert report.chosen.name == "absorbing lanyard"
    assert {tether.name for tether in tethers} >= {"none", "one sling", "two friction hitches", "autoblock hitch"}


def test_two_cases_everywhere() -> None:
    for what_if, running in ((None, 2), (LOWERED, 1)):
        for tether in tamsin_line(what_if).line.tethers:
            cases = {case.case for case in tether.today}
            least = {NONE: 1, GRIPPING: 2}.get(tether.kind, running)
            assert len(cases) >= least, tether.name
            assert {(c.case, c.rock) for c in tether.by_rock} == {(case, rock) for case in cases for rock in ROCKS}


def test_no_hitch_no_facts() -> None:
    assert tamsin_line().chosen.hitch is None


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
        (None, "This tether stops a slip at your limit, as long as every stop holds."),
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


def test_json_is_the_report_and_the_same_seed_gives_the_same_bytes() -> None:
    told = json.loads(result_json(tamsin_line()))
    assert told["line"]["tethers"][0]["name"] == "absorbing lanyard"
    assert told["mass_range_kg"] == list(tamsin_line().mass_range_kg)
    again = line_report(tamsin_trip(), WhatIf())
    assert result_json(again) == result_json(tamsin_line())


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
