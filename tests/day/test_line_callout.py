"""The call-out of a tether that would pass for protection and is not."""

from __future__ import annotations

import math
from collections.abc import Mapping

from handline.day.line_callout import BRAKE, BREAKS, ONE_STRAND, RUNS_FREE, STATIC
from handline.day.line_reporting import line_report
from handline.day.line_what_if import WhatIf
from tests.day.line_asked import LOWERED
from tests.day.line_reports import tamsin_line
from tests.day.trips import typed_trip


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
