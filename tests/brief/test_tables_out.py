"""The tables, read back with the csv module: the Plan's own numbers, and nothing a spreadsheet would run."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.brief.load_words import member_labels
from handline.brief.table_cells import Shape, Table, csv_of, harmless, table
from handline.brief.tables_out import QUANTILES, TABLES, tables_of
from handline.brief.writing import beside_the_page
from handline.day.plan import PROBABILITIES, Finding, Permit, Plan
from handline.day.plan_json import plan_json
from handline.quantity import show_clock
from tests.brief.written_plans import tamsin, typed, typed_night

PLANS = {"example": tamsin, "typed": typed, "night": typed_night}


def _text(content: bytes) -> str:
    return content.decode("utf-8")


def _rows(plan: Plan, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(_text(tables_of(plan)[f"tables/{name}.csv"]), newline="")))


def _numbers(rows: Sequence[dict[str, str]], column: str) -> list[float | None]:
    return [float(row[column]) if row[column] else None for row in rows]


def _known(value: float | None) -> float | None:
    return None if value is None or not math.isfinite(value) else value


@pytest.mark.parametrize("name", list(PLANS))
def test_every_table_is_whole(name: str) -> None:
    """RFC 4180: lines end in CR LF, every line has as many cells as the first, names of columns are not doubled."""
    tables = tables_of(PLANS[name]())
    assert len(tables) == len(TABLES) > 25
    for content in tables.values():
        text = _text(content)
        rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
        assert text.endswith("\r\n")
        assert "\n" not in text.replace("\r\n", "")
        assert {len(row) for row in rows} == {len(rows[0])}
        assert len(set(rows[0])) == len(rows[0])
        assert not content.startswith(b"\xef\xbb\xbf")


def test_the_timetable_is_the_plans() -> None:
    plan = tamsin()
    rows = _rows(plan, "timetable")
    assert QUANTILES == ("p05", "p10", "p25", "p50", "p75", "p90", "p95")
    for index, probability in enumerate(PROBABILITIES):
        column = f"arrive_p{round(100 * probability):02d}_clock"
        arrive = [row.arrive_clock_s[index] for row in plan.timetable]
        assert _numbers(rows, f"{column}_s") == arrive
        assert [row[column] for row in rows] == [show_clock(clock_s) for clock_s in arrive]
    for column in ("distance_m", "elevation_m", "stop_s", "latest_clock_s", "latest_error_s", "latitude_deg"):
        assert _numbers(rows, column) == [getattr(row, column) for row in plan.timetable]
    assert [(row["name"], row["way"], row["kind"]) for row in rows] == [
        (row.name, row.way, row.kind) for row in plan.timetable
    ]


def test_a_time_that_is_not_there_is_empty_with_its_reason_beside_it() -> None:
    plan = typed_night()
    rows = _rows(plan, "timetable")
    camp = rows[1]
    assert float(camp["latest_clock_s"]) < 0.0
    assert camp["latest_clock"].endswith("(-1)")
    assert camp["sleeps_until_clock"] == "04:30"
    gone = replace(plan.timetable[1], latest_clock_s=None, latest_says="no time meets the limits")
    other = _rows(replace(plan, timetable=(gone,)), "timetable")[0]
    assert (other["latest_clock_s"], other["latest_clock"]) == ("", "")
    assert other["latest_says"] == "no time meets the limits"


def test_legs_and_their_factors() -> None:
    plan = tamsin()
    rows = _rows(plan, "legs")
    for index, column in enumerate(("time_p10_s", "time_p50_s", "time_p90_s")):
        assert _numbers(rows, column) == [leg.time_s[index] for leg in plan.legs]
    assert [row["is_line"] for row in rows] == ["true" if leg.is_line else "false" for leg in plan.legs]
    for row, leg in zip(rows, plan.legs, strict=True):
        factors = {
            column.removeprefix("factor_"): float(row[column]) for column in row if "factor_" in column and row[column]
        }
        assert factors == dict(leg.factors)
    assert any(leg.factors for leg in plan.legs)


# Each plain table, and where its rows are in the Plan.
PLAIN: dict[str, Any] = {
    "chances": lambda plan: plan.chances,
    "fails_first": lambda plan: plan.turned.fails_first,
    "moves": lambda plan: plan.turned.moves,
    "spread": lambda plan: plan.turned.spread,
    "findings": lambda plan: plan.findings,
    "tethers": lambda plan: plan.line.tethers,
    "limits": lambda plan: plan.line.limits,
    "sun": lambda plan: plan.sky.places,
    "water": lambda plan: plan.load.water,
    "dry_stretches": lambda plan: plan.load.stretches,
    "gear": lambda plan: plan.load.gear,
    "members": lambda plan: plan.pace.members,
    "pace_factors": lambda plan: plan.pace.factors,
    "pace_models": lambda plan: plan.models,
    "assumptions": lambda plan: plan.assumptions,
    "permits": lambda plan: plan.permits,
    "deadlines": lambda plan: [one for permit in plan.permits for one in permit.deadlines],
}


@pytest.mark.parametrize("plan_name", list(PLANS))
@pytest.mark.parametrize("name", list(PLAIN))
def test_a_plain_table_has_every_number_and_word(name: str, plan_name: str) -> None:
    plan = PLANS[plan_name]()
    items, rows = PLAIN[name](plan), _rows(plan, name)
    assert len(rows) == len(items)
    for row, item in zip(rows, items, strict=True):
        for part in fields(item):
            value = getattr(item, part.name)
            if part.name not in row:
                assert not isinstance(value, str | int | float), part.name
            elif isinstance(value, bool):
                assert row[part.name] == str(value).lower()
            elif value is None or isinstance(value, int | float):
                assert (float(row[part.name]) if row[part.name] else None) == _known(value)
            elif isinstance(value, str):
                assert row[part.name] == harmless(value)
            else:
                assert row[part.name] == harmless("; ".join(value))


def test_the_line() -> None:
    plan = tamsin()
    slips = _rows(plan, "slips")
    outcomes = [outcome for row in plan.line.tethers for outcome in row.outcomes]
    assert len(slips) == len(outcomes) > 40
    for pair in ("free_{}_m", "slide_{}_m", "speed_{}_m_s", "force_{}_N"):
        for index, which in enumerate(("typical", "worst")):
            values = [_known(getattr(one, pair.replace("_{}", ""))[index]) for one in outcomes]
            assert _numbers(slips, pair.format(which)) == values
    bays = _rows(plan, "bays")
    for index, rock in enumerate(plan.line.rocks):
        assert _numbers(bays, f"pull_{rock}_N") == [bay.pull_N[index] for bay in plan.line.bays]
    hands = _rows(plan, "hands")
    assert len(hands) == 2 * len(plan.line.rocks) * len(plan.line.bays)
    loads = [load for bay in plan.line.bays for load in (*bay.hands_up, *bay.hands_down)]
    assert _numbers(hands, "squeeze_N") == [load.squeeze_N for load in loads]
    assert _numbers(hands, "endurance_men_s") == [_known(load.endurance_men_s) for load in loads]
    assert _numbers(_rows(plan, "stops"), "stop_m") == list(plan.line.stop_m)


def test_the_crowd_by_the_half_hour() -> None:
    plan = tamsin()
    rows = _rows(plan, "crowd_hours")
    hours = [hour for way in plan.crowd.ways for hour in way.hours]
    assert _numbers(rows, "long_s") == [hour.long_s for hour in hours]
    assert [row["place"] for row in rows] == [way.place for way in plan.crowd.ways for _ in way.hours]


def test_weather_hour_by_hour_and_place_by_place() -> None:
    plan = tamsin()
    hours = _rows(plan, "weather_hours")
    assert len(hours) == len(plan.weather.hours) > 10
    assert _numbers(hours, "temperature_p90_C") == [hour.temperature_C[2] for hour in plan.weather.hours]
    for index, rock in enumerate(plan.weather.rocks):
        assert _numbers(hours, f"rock_{rock}_share") == [_known(hour.rock_share[index]) for hour in plan.weather.hours]
    places = _rows(plan, "weather_places")
    assert _numbers(places, "p50_clock_s") == [there.clock_s[1] for there in plan.weather.there]
    felt = [None if there.felt is None else there.felt.value_C for there in plan.weather.there]
    assert _numbers(places, "felt_value_C") == felt


def test_packs_water_and_effort_of_each_member() -> None:
    plan = tamsin()
    load = plan.load
    labels = list(member_labels(load))
    packs = _rows(plan, "packs")
    assert [row["member"] for row in packs] == labels
    assert len(set(labels)) == len(labels) > 1
    assert _numbers(packs, "line_kg") == [member.line_kg for member in load.members]
    assert _numbers(packs, "need_high_L") == [member.need_L[2] for member in load.members]
    on_the_way = _rows(plan, "packs_on_the_way")
    coming = [value for member in load.members for value in member.pack_kg[::2]]
    going = [value for member in load.members for value in member.pack_kg[1::2]]
    assert (_numbers(on_the_way, "coming_kg"), _numbers(on_the_way, "going_kg")) == (coming, going)
    effort = _rows(plan, "effort")
    assert _numbers(effort, "rate_centre_W") == [leg.rate_W[1] for member in load.members for leg in member.legs]
    drinking = _rows(plan, "drinking")
    assert _numbers(drinking, "need_low_L") == [
        hour.need_L[0] for member in load.members for hour in member.need_by_hour
    ]
    assert {row["member"] for row in effort} == {row["member"] for row in drinking} == set(labels)


def test_starts_permits_and_their_dates() -> None:
    plan = typed()
    starts = _rows(plan, "starts")
    assert _numbers(starts, "start_clock_s") == list(plan.turned.starts.clock_s)
    assert _numbers(starts, "share") == list(plan.turned.starts.share)
    permits = _rows(plan, "permits")
    chances = [None if permit.chance is None else permit.chance.share for permit in plan.permits]
    assert _numbers(permits, "chance_share") == chances
    assert any(chance is not None for chance in chances)
    names = [permit.name for permit in plan.permits for _ in permit.deadlines]
    assert [row["permit"] for row in _rows(plan, "deadlines")] == names
    assert len(names) > 2


def test_about_says_what_it_is_and_what_comes_first() -> None:
    for plan in (tamsin(), typed()):
        rows = _rows(plan, "about")
        told = {row["what"]: row["says"] for row in rows}
        assert told["trip"] == plan.name
        assert told["inputs_sha256"] == plan.provenance.inputs_sha256
        assert plan.timezone in told["clock_times"]
        assert [row["says"] for row in rows if row["what"] == "caution"] == list(plan.cautions)


def test_the_json_beside_the_page_is_the_plan() -> None:
    plan = tamsin()
    written = beside_the_page(plan)["plan.json"]
    assert written == plan_json(plan).encode("utf-8")
    read = json.loads(written)
    assert read["timetable"][3]["arrive_clock_s"] == list(plan.timetable[3].arrive_clock_s)
    assert read["route"]["track_latitude_deg"] == list(plan.route.track_latitude_deg)


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert tables_of(tamsin()) == tables_of(replace(tamsin()))


# --- cells ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("text", ["=1+1", "+1", "-2 C", "@sum", "  =1+1", "\t=1", "\rx", "\n=A1", '=HYPERLINK("x")'])
def test_what_begins_like_a_formula_is_made_harmless(text: str) -> None:
    assert harmless(text) == f"'{text}"
    finding = Finding("note", "key", text)
    (row,) = csv.DictReader(io.StringIO(_text(csv_of(table(Shape(Finding), [finding]))), newline=""))
    assert row["sentence"] == f"'{text}"


@pytest.mark.parametrize("text", ["", "Lower Step", "1 - 2", "a=b", "–", "'quoted'", 'snow, or "ice"'])
def test_other_text_is_left_alone(text: str) -> None:
    assert harmless(text) == text


def test_a_name_that_is_a_formula_is_harmless_in_every_table() -> None:
    plan = tamsin()
    bad = '=HYPERLINK("file:///x","y")'
    named = replace(
        plan,
        name=bad,
        timetable=tuple(replace(row, name=bad) for row in plan.timetable),
        load=replace(plan.load, gear=tuple(replace(item, name=bad, carriers=(bad,)) for item in plan.load.gear)),
    )
    found = 0
    for content in tables_of(named).values():
        for row in csv.reader(io.StringIO(_text(content), newline="")):
            assert not [cell for cell in row if cell.startswith(("=", "@", "+"))]
            found += sum(cell == f"'{bad}" for cell in row)
    assert found > len(plan.timetable)


@dataclass(frozen=True)
class _Measured:
    force_N: float
    at_clock_s: float | None
    words: str


@given(
    st.floats(allow_nan=True, allow_infinity=True),
    st.one_of(st.none(), st.floats(-2e5, 2e5)),
    st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\x00")),
)
def test_any_number_and_text_come_back(force_N: float, clock_s: float | None, words: str) -> None:
    """Numbers to the last bit, negative ones among them and without an apostrophe."""
    content = csv_of(table(Shape(_Measured), [_Measured(force_N, clock_s, words)]))
    (row,) = csv.DictReader(io.StringIO(_text(content), newline=""))
    assert (float(row["force_N"]) if row["force_N"] else None) == _known(force_N)
    assert (float(row["at_clock_s"]) if row["at_clock_s"] else None) == clock_s
    assert row["at_clock"] == ("" if clock_s is None else show_clock(clock_s))
    assert row["words"] in (words, f"'{words}")
    assert not row["words"].lstrip().startswith(("=", "+", "-", "@"))


def test_a_part_without_a_place_in_a_table_is_no_table() -> None:
    """A field of several values that no column was thought of is a defect, not a cell."""
    with pytest.raises(TypeError):
        csv_of(Table(("pair",), (((1.0, 2.0),),)))
    with pytest.raises(ValueError, match="zip"):
        Shape(Permit, {"name": ("one",)}).cells(typed().permits[0])
