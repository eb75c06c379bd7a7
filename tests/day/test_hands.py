from __future__ import annotations

import pytest

from handline.day.hands import hands_fail
from handline.day.plan import Finding, Plan
from handline.day.planning import make_plan
from handline.day.setting import set_up
from handline.line.friction import ROCKS
from tests.day.trips import typed_trip


def _found(plan: Plan, key: str) -> Finding | None:
    return next((finding for finding in plan.findings if finding.key == key), None)


def test_every_rock_and_both_ways() -> None:
    fails = hands_fail(set_up(typed_trip()))
    assert [(fail.rock, fail.way) for fail in fails] == [(rock, way) for rock in ROCKS for way in ("up", "down")]
    for fail in fails:
        assert (fail.at_m is None) == (fail.bay is None)
        assert fail.says.startswith(f"{fail.rock.capitalize()} rock, ")


def test_iced_rock_is_too_much_from_the_first_step() -> None:
    fails = {(fail.rock, fail.way): fail for fail in hands_fail(set_up(typed_trip()))}
    up, down = fails["iced", "up"], fails["iced", "down"]
    assert (up.at_m, up.bay) == (0.0, 0)
    assert "at its foot, in bay 1 of 36, where the pull is more than both can hold" in up.says
    assert (down.at_m, down.bay) == (100.0, 35)
    assert "at its head" in down.says


def test_words_say_what_the_other_norm_does() -> None:
    fails = {(fail.rock, fail.way): fail for fail in hands_fail(set_up(typed_trip(line='state = "lowered"')))}
    wet = fails["wet", "up"]
    assert wet.at_m is not None
    assert "tired before a rest" in wet.says or "more than both can hold" in wet.says
    assert "those of a median man" in wet.says


def test_feet_that_hold_need_no_hands() -> None:
    flat = typed_trip()
    flat = flat.model_copy(update={"line": flat.line.model_copy(update={"angle_rad": 0.5})})
    assert hands_fail(set_up(flat))[0].says == "Dry rock, going up in leather gloves: the feet hold."


def test_hands_that_give_out_are_a_finding_on_the_rock_of_the_day() -> None:
    assert _found(make_plan(typed_trip()), "hands_give_out") is None
    lowered = _found(make_plan(typed_trip(line='state = "lowered"')), "hands_give_out")
    assert lowered is not None
    assert lowered.level == "heed"
    assert "Type line.stances" in lowered.detail
    stances = ", ".join(f'"{at_m} m"' for at_m in range(4, 100, 4))
    rested = make_plan(typed_trip(line=f'state = "lowered"\nstances = [{stances}]'))
    assert _found(rested, "hands_give_out") is None


@pytest.mark.parametrize(
    ("gloves", "keys"),
    [
        ("", set()),
        ('gloves_up = "rubber-coated"', set()),
        ('gloves_down = "rubber-coated"', {"gloves_down"}),
        ('gloves_up = "knitted"\ngloves_down = "bare"', {"gloves_up", "gloves_down"}),
    ],
)
def test_gloves_that_do_not_fit_the_way(gloves: str, keys: set[str]) -> None:
    plan = make_plan(typed_trip(line=gloves))
    assert {finding.key for finding in plan.findings if finding.key.startswith("gloves_")} == keys


def test_bare_hands_without_gloves_are_told_once_with_the_gear() -> None:
    trip = typed_trip()
    plan = make_plan(trip.model_copy(update={"gear": type(trip.gear)()}))
    assert _found(plan, "gear_gloves") is not None
    assert not [finding for finding in plan.findings if finding.key.startswith("gloves_")]


def test_assumptions_name_gloves_rests_and_stances() -> None:
    plan = make_plan(typed_trip(rock="damp", line='stances = ["20 m"]'))
    said = {assumption.what: assumption.value for assumption in plan.assumptions}
    assert said["Hands going up"] == "leather gloves, friction on the cable 0.3"
    assert said["Rests of the hands on damp rock"].endswith("beyond those on dry rock")
    assert said["Rests on the line"] == "1 min at each of 1 stances"
    assert said["What a hand squeezes at most"] == "a median man 500 N, a median woman 304 N"
    dry = {assumption.what for assumption in make_plan(typed_trip()).assumptions}
    assert not [what for what in dry if what.startswith("Rests")]
