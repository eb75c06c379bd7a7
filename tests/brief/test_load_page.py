"""The page of a load report shows what the report holds, in words and a picture, and needs no script."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from pathlib import Path

import jinja2
import pytest

from handline.brief.load_page import load_sheet, write_load
from handline.brief.load_words import (
    compared,
    energy_words,
    flags_sentences,
    load_cautions,
    load_shown,
    load_ways,
    member_labels,
    told_stops,
    treated_L,
)
from handline.brief.still_page import part, still_page
from handline.day.load_report import LoadReport
from handline.day.plan_load import LoadPlan
from handline.quantity import show_duration, show_pack, show_water
from tests.brief.closed_page import assert_closed, assert_in_order
from tests.brief.read_page import visible
from tests.brief.sample_load import BRIDGE, CAMP, OVERDRINKING, push_alone, sample_load_report, sample_way

HOSTILE = '<script>alert("x")</script>\'"&</style>{{ 7 * 7 }}'


@pytest.fixture(scope="module")
def report() -> LoadReport:
    return sample_load_report()


@pytest.fixture(scope="module")
def page(report: LoadReport) -> str:
    return still_page(load_sheet(report))


@pytest.mark.parametrize("shown", [sample_load_report(), push_alone()], ids=["both", "alone"])
def test_everything_of_the_report_is_said(shown: LoadReport) -> None:
    words, units = visible(still_page(load_sheet(shown))), shown.units
    said = [shown.headline, shown.night_says, *shown.cautions, OVERDRINKING, shown.provenance.inputs_sha256]
    said += [part for finding in shown.findings for part in (finding.sentence, finding.detail, finding.source)]
    said += [part for a in shown.assumptions for part in (a.what, a.value, a.source, a.key)]
    said += [answer for row in compared(load_ways(shown), units) for answer in (row.what, *row.answers)]
    for way in load_ways(shown):
        said += [way.title, way.packs_from, way.treatment, way.treatment_leaves_in, way.settling.words, *way.notes]
        said += [stretch.words for stretch in way.stretches] + [item.name for item in way.gear]
        for member in way.members:
            said += [member.names, member.most_at, *energy_words(member.energy_J, units)]
            said += [show_pack(kg, units) for kg in (member.start_kg, member.line_kg, member.most_kg, member.food_kg)]
        for row in load_shown(way, units).water:
            said.append(f"{row.place} {row.way} · {row.says} {row.arrive} {row.refill} {row.leave} {row.treat}")
        said += [f"{leg.start} to {leg.end} {show_duration(leg.time_s)}" for leg in way.legs]
    for sentence in said:
        assert " ".join(sentence.split()) in words, sentence
    assert not re.search(r"\b(un)?safe(ly|ty|r)?\b", words, re.IGNORECASE)
    assert not re.search(r"\b(nan|None|inf|undefined)\b", words)


def test_closed_to_the_outside_and_well_ordered(page: str) -> None:
    assert_closed(page)
    assert_in_order(page)
    assert len(page.encode()) < 400_000


def test_same_report_same_bytes(report: LoadReport, page: str, tmp_path: Path) -> None:
    assert still_page(load_sheet(report)) == page
    path = write_load(report, tmp_path / "new")
    assert path == tmp_path / "new" / "load.html"
    assert path.read_text(encoding="utf-8") == page


def test_hostile_names_stay_text(report: LoadReport) -> None:
    way = report.push
    member = replace(way.members[0], names=HOSTILE, most_at=HOSTILE, flags=(HOSTILE,))
    push = replace(way, title=HOSTILE, members=(member,), notes=(HOSTILE,), overdrinking=HOSTILE)
    page = still_page(load_sheet(replace(report, name=HOSTILE, headline=HOSTILE, push=push)))
    assert "<script" not in page
    assert visible(page).count(HOSTILE) >= 8


def test_without_a_night_or_a_known_pack_the_page_still_stands() -> None:
    alone = push_alone()
    unknown = replace(alone.push.members[0], pack_kg=(math.nan,) * 30, start_kg=math.nan, line_kg=math.nan,
                      most_kg=math.nan, share=math.nan, energy_J=(math.nan,) * 3, loss_share=math.nan)  # fmt: skip
    page = still_page(load_sheet(replace(alone, push=replace(alone.push, members=(unknown,)))))
    assert "<img" not in page
    words = visible(page)
    assert "not known" in words
    assert not re.search(r"\bnan\b", words)
    assert still_page(load_sheet(alone)).count("<img") == 2


def test_the_water_table_has_start_end_and_every_source() -> None:
    stops = told_stops(sample_way(night=False))
    assert [(i, stop.name, stop.way) for i, stop in stops] == [
        (0, "Larch Landing", "up"), (1, BRIDGE, "up"), (2, "Upper trickle", "up"), (12, "Upper trickle", "down"),
        (13, BRIDGE, "down"), (14, "Larch Landing", "down"),
    ]  # fmt: skip
    rows = load_shown(sample_way(night=False), "si").water
    assert (rows[0].way, rows[0].says, rows[0].arrive, rows[0].refill, rows[0].treat) == (
        "start", "from home", "–", "1.2 L", "–",
    )  # fmt: skip
    assert (rows[1].says, rows[1].arrive, rows[1].refill, rows[1].leave) == ("sure water", "0.5 L", "3.0 L", "3.5 L")
    # Three fill 3.0 L: at two minutes a litre somebody pumps 18 minutes.
    assert (rows[1].treat, rows[1].treat_time, rows[1].treat_wait) == ("9.0 L", "18 min", "")
    assert (rows[2].says, rows[2].refill, rows[2].sure) == ("not counted on: it may be dry from July on", "–", False)
    assert (rows[-1].says, rows[-1].arrive, rows[-1].leave) == ("the end", "0.5 L", "–")


def test_waiting_for_treated_water_is_said() -> None:
    way = sample_way(night=False)
    waits = replace(way, water=tuple(replace(s, treat_wait_s=1800.0 if s.treat_L else 0.0) for s in way.water))
    assert [row.treat_wait for row in load_shown(waits, "si").water] == [
        "", "then 30 min of waiting", "", "", "then 30 min of waiting", "",
    ]  # fmt: skip


def test_the_start_may_have_water_of_its_own() -> None:
    way = sample_way(night=False)
    tap = replace(way, water=(replace(way.water[0], source=True), *way.water[1:]))
    assert load_shown(tap, "si").water[0].says == "sure water"


def test_one_way_against_the_other() -> None:
    ways = load_ways(sample_load_report())
    answers = {row.what: row.answers for row in compared(ways, "us")}
    assert answers["Heaviest pack on setting out"] == ("18 lb, Ada", "29 lb, Ada")
    assert answers["Heaviest pack of the trip"] == (f"23 lb, Ada, at {BRIDGE}", "29 lb, Ada, at Larch Landing")
    assert answers["Most against its body"] == ("14 %, Cyr", "17 %, Cyr")
    assert answers["Walking, without stops"] == ("10 h 54 min", "11 h 24 min")
    assert answers["Day by day"] == ("13 h 12 min", "4 h 36 min, then 9 h 06 min")
    assert answers["Water to treat, the whole party"] == tuple(show_water(treated_L(way), "us") for way in ways)
    # 160 kJ for each of 82 kg.
    assert answers["Most burnt by one"] == ("about 3,140 kcal (13.1 MJ), Ada",) * 2
    assert answers["Longest without sure water"] == ("5 h 21 min", "3 h 28 min")
    alone = {row.what: row.answers for row in compared(load_ways(push_alone()), "si")}
    assert alone["Heaviest pack on setting out"] == ("8.1 kg",)


def test_who_has_the_same_to_know_is_told_together() -> None:
    way = sample_way(night=False)
    capped = "sweat may be more than anybody should drink: the rest is lost, not drunk"
    assert flags_sentences(way) == (f"Ada: {capped}.",)
    flags = (("capped", "no words for this"), (), ("capped", "no words for this"))
    some = tuple(replace(member, flags=of) for member, of in zip(way.members, flags, strict=True))
    assert flags_sentences(replace(way, members=some)) == (f"Ada, Cyr: {capped}; no words for this.",)
    everybody = tuple(replace(member, flags=("capped",)) for member in way.members)
    assert flags_sentences(replace(way, members=everybody)) == (f"For everybody: {capped}.",)
    assert flags_sentences(replace(way, members=everybody[:1])) == (f"Ada: {capped}.",)


def test_words_of_members_and_energy() -> None:
    way = sample_way(night=False)
    names = ("1 of the 9", "2 of the 9", "1 of the 9", "3 of the 9", "2 of the 9")
    members = tuple(replace(way.members[0], names=name) for name in names)
    assert member_labels(replace(way, members=members)) == (
        "1 of the 9 (a)", "2 of the 9 (b)", "1 of the 9 (c)", "3 of the 9", "2 of the 9 (d)",
    )  # fmt: skip
    assert member_labels(way) == ("Ada", "Bo", "Cyr")
    assert energy_words((11.3e6, 12e6, 13e6), "us") == ("2,700 to 3,110 kcal", "11.3 to 13.0 MJ")
    assert energy_words((11.3e6, 12e6, 13e6), "si") == ("11.3 to 13.0 MJ", "2,700 to 3,110 kcal")
    assert energy_words((math.nan,) * 3, "si") == ("not known", "")


def test_gear_says_what_is_shared_worn_and_left_at_the_camp() -> None:
    rows = {row.name: row for row in load_shown(sample_way(night=True), "us").gear}
    assert (rows["shell"].where, rows["shell"].carriers) == ("", "everybody")
    assert (rows["harness and lanyard"].where, rows["harness and lanyard"].mass) == ("worn", "2.0 lb")
    assert (rows["first aid"].where, rows["first aid"].carriers) == ("shared", "Bo")
    assert (rows["pair of spare gloves ×2"].carriers, rows["pair of spare gloves ×2"].mass) == (
        "Ada, Cyr",
        "0.2 lb each",
    )
    assert rows["tent"].where == "shared, only for the night"


def test_drinking_too_much_is_always_cautioned_and_once() -> None:
    report = sample_load_report()
    assert load_cautions(report) == (OVERDRINKING, *report.cautions)
    assert load_cautions(replace(report, cautions=(OVERDRINKING,))) == (OVERDRINKING,)


def of_brief(way: LoadPlan) -> str:
    """What the brief shows of one way, by the macro it takes in."""
    environment = jinja2.Environment(
        loader=jinja2.FunctionLoader(part), autoescape=True, undefined=jinja2.StrictUndefined
    )
    text = '{% from "load_parts.html" import load_part %}{{ load_part(way, picture) }}'
    return environment.from_string(text).render(way=load_shown(way, "us"), picture="")


def test_the_part_for_the_brief_has_packs_water_and_the_caution() -> None:
    words = visible(of_brief(sample_way(night=False)))
    for sentence in ("Packs, water and food", "Ada", "18 lb", "sure water", "3.2 qt", "5 h 21 min", OVERDRINKING):
        assert sentence in words
    assert CAMP not in words


def test_the_reserve_is_in_hand_only_where_the_bottles_hold_it() -> None:
    way = sample_way(night=False)
    assert load_shown(way, "si").reserve_says.endswith("still in hand.")
    short = tuple(replace(member, flags=(*member.flags, "reserve_not_kept")) for member in way.members)
    assert load_shown(replace(way, members=short), "si").reserve_says.endswith("there it is drunk before.")
