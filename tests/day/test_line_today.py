"""What bars the line on the way is what a plan made for that rock says stop to."""

from __future__ import annotations

import pytest

from handline.day.line_today import line_on, line_says
from handline.day.planning import make_plan
from handline.day.setting import set_up
from handline.line.friction import ROCKS
from tests.day.trips import typed_trip

BARS = {"tether", "rock_iced"}


@pytest.mark.parametrize("tether", ["absorbing lanyard", "one sling", "none"])
@pytest.mark.parametrize("rock", sorted(ROCKS))
def test_a_plan_for_that_rock_says_stop_where_the_line_is_barred(tether: str, rock: str) -> None:
    says = line_on(line_says(set_up(typed_trip(tether=tether))), rock)
    plan = make_plan(typed_trip(tether=tether, rock=rock))
    stops = {finding.key for finding in plan.findings if finding.level == "stop"} & BARS
    assert says.barred == bool(stops)
    assert plan.decision.tether_sentence in says.says
    assert plan.field.line_rock == rock


def test_hands_are_told_where_they_give_out() -> None:
    dry, iced = (line_on(line_says(set_up(typed_trip())), rock) for rock in ("dry", "iced"))
    assert "give out" in iced.hands_up
    assert "give out" in iced.hands_down
    assert "last all the way" not in dry.says
