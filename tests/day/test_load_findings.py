"""What is told about packs, water, food and gear: each with a reason of the plan, and each only then."""

from __future__ import annotations

from pathlib import Path

import pytest

from handline.day import load_setting
from handline.day.load_report import LoadReport
from handline.day.load_reporting import load_report
from handline.day.plan import LEVELS, Finding
from handline.day.plan_json import result_json
from handline.day.planning import make_plan
from handline.quantity import show_share, show_temperature
from handline.trip.model import Trip
from handline.trip.reading import read_trip
from tests.day.load_trips import ITEMS, LISTED, load_trip, months

ALL_GEAR = ", ".join(
    f'"{use}"'
    for use in ("light", "gloves", "grippy shoes", "harness", "helmet", "map", "first aid", "layers", "water treatment",
                "bottles", "tether")
)  # fmt: skip


def report(**changes: str) -> LoadReport:
    return load_report(load_trip(**changes))


def found(result: LoadReport, key: str) -> Finding | None:
    return next((finding for finding in result.findings if finding.key == key), None)


def told(key: str, **changes: str) -> Finding:
    finding = found(report(**changes), key)
    assert finding is not None, key
    return finding


def test_small_bottles_first_cost_the_reserve_and_then_the_water() -> None:
    wanted_L = report().push.longest.wanted_L
    enough = report(load=f'bottles = "{wanted_L + 0.01} L"')
    assert found(enough, "reserve_not_kept") is found(enough, "water_runs_out") is None
    reserve = report(load=f'bottles = "{wanted_L - 0.2:.3f} L"')
    assert found(reserve, "water_runs_out") is None
    assert (
        "the reserve is drunk on the way"
        in told("reserve_not_kept", load=f'bottles = "{wanted_L - 0.2:.3f} L"').sentence
    )
    short = told("water_runs_out", load='bottles = "1 L"')
    assert short.level == "stop"
    assert "Creek by Top and back" in short.sentence
    assert report(load='bottles = "1 L"').level == "stop"


def test_the_longest_way_without_water_is_named() -> None:
    finding = told("longest_dry")
    assert (finding.level, "Creek by Top and back" in finding.sentence) == ("note", True)
    assert found(report(creek="place"), "longest_dry") is None
    assert told("no_source", creek="place").level == "heed"


def test_a_dry_source_says_when() -> None:
    finding = told("dry_source:Creek", water='dry = ["1 July to 30 September"]')
    assert "1 July to 30 September" in finding.sentence
    assert [one.key for one in report(water='dry = ["1 July to 30 September"]').findings].count("dry_source:Creek") == 1
    assert found(report(water='dry = ["1 May to 2 May"]'), "dry_source:Creek") is None


def test_too_much_need_is_told_with_the_words_on_drinking_too_much() -> None:
    hot = {"weather": months("26 C", "40 C"), "load": 'sure = "99 %"'}
    finding = told("need_over_cap", **hot)
    assert "do not drink more" in finding.sentence
    assert "has killed" in finding.detail
    slow = hot | {"route": 'ground = [{ from = "Gate", to = "Foot", surface = "stream" }]'}
    assert told("loss_over_limit", **slow).level == "stop"
    assert told("loss_over_limit", load='bottles = "1 L"').level == "stop"
    cool = report(weather=months("0 C", "8 C"), load='sure = "50 %"')
    assert found(cool, "need_over_cap") is found(cool, "loss_over_limit") is None


def test_a_loss_only_of_the_careful_end_is_to_heed() -> None:
    finding = told("loss_over_limit", weather=months("0 C", "8 C"), load='sure = "99 %"')
    assert finding.level == "heed"


@pytest.mark.parametrize(
    ("pack", "light", "key", "level"),
    [("14 kg", "60 kg", "pack_over_first_mark", "note"), ("22 kg", "60 kg", "pack_over_second_mark", "heed"),
     ("59 kg", "50 kg", "load_over_body_mass", "stop")],
)  # fmt: skip
def test_heavy_packs(pack: str, light: str, key: str, level: str) -> None:
    full = report(party=f'size = 2\nlightest_mass = "{light}"\npack_mass = "{pack}"', load='bottles = "0.2 L"')
    finding = found(full, key)
    assert finding is not None
    assert finding.level == level
    keys = {"pack_over_first_mark", "pack_over_second_mark", "load_over_body_mass"}
    assert {one.key for one in full.findings} & keys == {key}


def test_typed_packs_that_are_too_light() -> None:
    light = told("typed_pack_light", party='size = 2\npack_mass = "1 kg"')
    assert "less than its own water and food" in light.sentence
    assert found(report(party='size = 2\npack_mass = "9 kg"'), "typed_pack_light") is None
    on_line = told("line_pack_light", party='size = 2\npack_mass = "5 kg"')
    assert "forces and slides here are for the 85.0 kg of the heaviest as typed" in on_line.sentence
    assert found(report(items=ITEMS), "line_pack_light") is None


def test_the_heaviest_with_the_pack_sets_the_force_not_who_gains_most() -> None:
    """Bo's pack gains most, but Ada with hers is the heavier: 82 kg and what her pack comes to."""
    both = report(party='pack_mass = "6 kg"' + LISTED.replace('mass = "58 kg"', 'mass = "58 kg"\npack_mass = "3 kg"'))
    finding = found(both, "line_pack_light")
    assert finding is not None
    ada, bo = both.push.members
    assert (ada.names, ada.line_kg - ada.start_kg < bo.line_kg - bo.start_kg) == ("Ada", True)
    assert f"the pack of Ada comes to {ada.line_kg:.1f} kg at the foot" in finding.sentence
    assert f"{ada.body_mass_kg + ada.line_kg:.1f} kg with the body" in finding.sentence
    assert "for the 88.0 kg of the heaviest as typed" in finding.sentence
    two = '\n[[party.members]]\nname = "Cy"\nbody_mass = "82 kg"\n'
    alike = told("line_pack_light", party='pack_mass = "6 kg"' + LISTED + two).sentence
    assert "the pack of each of Ada, Cy comes to " in alike


def test_a_loop_that_does_not_settle_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    assert found(report(items=ITEMS), "packs_not_settled") is None
    monkeypatch.setattr(load_setting, "MOST_STEPS", 1)
    assert told("packs_not_settled", items=ITEMS).level == "heed"


def test_treating_longer_than_the_stop() -> None:
    finding = told("treating:Creek:up", load='treatment = "boiling"')
    assert "you stop 10 min there" in finding.sentence
    ultra = report(load='treatment = "chlorine"', water="", party="size = 1")
    assert found(ultra, "treating:Creek:up") is None


def test_water_nobody_treats() -> None:
    assert told("untreated:Creek").level == "heed"
    assert found(report(load='treatment = "filter"'), "untreated:Creek") is None
    assert found(report(water='treatment = "filter"'), "untreated:Creek") is None
    assert found(report(creek="place"), "untreated:Creek") is None


def test_frost_is_told_by_the_air_from_where_to_where_and_what_it_feels_like() -> None:
    assert found(report(weather=months("9 C", "16 C")), "bottles_freeze") is None
    finding = told("bottles_freeze", weather=months("-6 C", "0 C"))
    assert finding.level == "note"
    assert finding.sentence.startswith("On half the days or more the air is at or below freezing from Gate (up) about ")
    assert " to Gate (down) about " in finding.sentence
    assert finding.sentence.endswith("bottles, filters and sources may freeze.")
    assert "WBGT" not in finding.sentence + finding.detail
    there = make_plan(load_trip(weather=months("-6 C", "0 C"))).weather.there
    coldest = min((one for one in there if one.felt is not None), key=lambda one: one.felt.value_C if one.felt else 0.0)
    assert coldest.felt is not None
    assert (
        f"down to {show_temperature(min(one.temperature_C[0] for one in there), 'si')} on the way" in finding.sentence
    )
    assert f"feels like {show_temperature(coldest.felt.value_C, 'si')} at {coldest.name} (up)" in finding.sentence


def test_frost_is_to_heed_from_where_skin_freezes_within_half_an_hour() -> None:
    """By the table of the wind chill from -27 on; its words stand beside it."""
    finding = told("bottles_freeze", weather=months("-10 C", "-4 C"))
    assert finding.level == "heed"
    assert finding.detail.startswith("Bare skin can freeze in 10 to 30 minutes")


def test_frost_of_the_top_alone_is_told_there_alone() -> None:
    """On the careful tenth of days the air at the foot of the line and above it freezes, and below it does not."""
    finding = told("bottles_freeze", weather=months("6 C", "16 C"))
    assert finding.sentence.startswith("On one day in ten or more the air is at or below freezing from Foot (up) about")
    assert " to Top (up) about " in finding.sentence


# --- gear ----------------------------------------------------------------------------------------------------------


def gear(result: LoadReport) -> set[str]:
    return {finding.key for finding in result.findings if finding.key.startswith("gear_")}


def test_gear_that_is_there_is_not_asked_for() -> None:
    full = report(carried=ALL_GEAR, weather=months("-5 C", "5 C"), load='treatment = "filter"')
    assert gear(full) == set()


def test_gear_is_asked_for_with_the_reason_of_the_plan() -> None:
    """Lights too: treating water for three by one filter keeps them so long that one day in fifty ends in the dark."""
    bare = report(carried="", weather=months("-5 C", "5 C"), load='treatment = "filter"')
    assert gear(bare) == {
        f"gear_{use}"
        for use in ("gloves", "harness", "tether", "helmet", "grippy_shoes", "layers", "water_treatment", "bottles",
                    "map", "first_aid", "light")
    }  # fmt: skip
    said = {finding.key: finding.sentence for finding in bare.findings}
    assert "on 100 m up and down" in said["gear_gloves"]
    assert "energy-absorbing lanyard" in said["gear_harness"]
    assert "44 deg of dry rock" in said["gear_grippy_shoes"]
    assert "it feels like -" in said["gear_layers"]
    assert "to be treated by filter" in said["gear_water_treatment"]
    assert "from Top it is " in said["gear_first_aid"]


def test_gear_the_day_gives_no_reason_for_is_not_asked_for() -> None:
    mild = report(carried='"gloves", "harness"', weather=months("24 C", "30 C"))
    assert not gear(mild) & {"gear_layers", "gear_light", "gear_water_treatment"}
    untied = load_trip(carried="")
    untied = untied.model_copy(update={"tethers": untied.tethers.model_copy(update={"chosen": "none"})})
    assert not gear(load_report(untied)) & {"gear_harness", "gear_tether"}


def test_a_dark_start_asks_for_light_once() -> None:
    def early(carried: str) -> Trip:
        trip = load_trip(carried=carried)
        return trip.model_copy(update={"about": trip.about.model_copy(update={"start_clock_s": 3 * 3600.0})})

    without, having = make_plan(early('"gloves"')), make_plan(early('"gloves", "light"'))
    light = [one for one in without.findings if "dark" in one.sentence]
    assert [(one.key, one.level) for one in light] == [("gear_light", "heed")]
    assert [(one.key, one.level) for one in having.findings if "walked in the dark" in one.sentence] == [
        ("dark_walking", "note")
    ]


def test_boiling_may_have_a_stove() -> None:
    assert "gear_water_treatment" in gear(report(load='treatment = "boiling"'))
    assert "gear_water_treatment" not in gear(report(load='treatment = "boiling"', carried='"stove"'))


def test_a_night_out_asks_for_its_gear() -> None:
    assert "gear_stove" in gear(report(items=ITEMS))
    assert not gear(report(items=ITEMS)) & {"gear_shelter", "gear_sleeping_bag"}
    assert "gear_stove" not in gear(report())


# --- the report and the plan ---------------------------------------------------------------------------------------


def test_the_report_is_in_order_and_the_same_again() -> None:
    one = report(items=ITEMS, party=LISTED)
    order = [LEVELS.index(finding.level) for finding in one.findings]
    assert order == sorted(order)
    assert one.level == one.findings[0].level
    assert one.night is not None
    assert one.night_says == ""
    assert result_json(one) == result_json(report(items=ITEMS, party=LISTED))
    assert all(assumption.source for assumption in one.assumptions)


def test_the_plan_has_the_same_push_and_tells_the_same() -> None:
    trip = load_trip(items=ITEMS)
    plan, one = make_plan(trip), load_report(trip)
    assert result_json(plan.load) == result_json(one.push)
    night = {f"gear_{use}" for use in ("shelter", "sleeping_bag", "stove")}
    assert {finding.key for finding in one.findings} - night <= {finding.key for finding in plan.findings}
    keys = [finding.key for finding in plan.findings]
    assert len(set(keys)) == len(keys)


def test_water_that_is_short_on_many_days_is_told_once() -> None:
    plan = make_plan(load_trip())
    water = plan.turned.water
    assert water.share < plan.wanted_chance
    (finding,) = [one for one in plan.findings if one.key == "water_short"]
    assert finding.level == "heed"
    assert finding.sentence == (
        f"On {show_share(1.0 - water.share)} of days the water runs short, most often from {water.where}: carry more "
        "than is planned."
    )
    assert "with a chance of 70 %, load.sure" in finding.detail
    keys = {one.key for one in make_plan(load_trip(load='bottles = "1 L"')).findings}
    assert "water_runs_out" in keys
    assert "water_short" not in keys


def test_water_that_is_enough_on_as_many_days_as_asked_is_no_finding() -> None:
    plan = make_plan(load_trip(load="sure = 0.9", weather=months("0 C", "8 C")))
    assert plan.turned.water.share >= plan.wanted_chance
    assert all(one.key != "water_short" for one in plan.findings)


def test_who_cannot_drink_more_is_not_told_to_carry_more() -> None:
    plan = make_plan(load_trip(load="sure = 0.95"))
    (finding,) = [one for one in plan.findings if one.key == "water_short"]
    assert any(one.key == "need_over_cap" for one in plan.findings)
    assert finding.sentence.endswith("shorten the day, or find a cooler one.")


def test_the_demos_have_a_load() -> None:
    for path in sorted((Path(__file__).parents[2] / "examples").glob("*/trip.toml")):
        trip = read_trip(path)
        result = load_report(trip.model_copy(update={"about": trip.about.model_copy(update={"days": 200})}))
        assert result.push.longest.wanted_L > 1.0
        assert result.headline
        assert "nan" not in " ".join(finding.sentence for finding in result.findings)


def test_what_is_told_on_the_way() -> None:
    said: list[str] = []
    load_report(load_trip(), told=lambda what, share: said.append(what))
    assert said == ["Reading the way", "Packing", "Simulating days"]
