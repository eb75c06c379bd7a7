"""Packs, water and food on one screen: each pack, each water, and one push against a night out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rich.table import Table
from rich.text import Text

from handline.brief.load_words import (
    NOTHING,
    compared,
    flags_sentences,
    load_ways,
    longest_words,
    member_labels,
    stop_words,
    told_stops,
)
from handline.brief.words import said, said_span
from handline.cli.screen_parts import entry, level_line, number_table, open_console, plain_table, say_page, unit_of
from handline.quantity import Units, show_energy, show_pack, show_share, show_water
from handline.walking.drinking import KG_PER_L

if TYPE_CHECKING:
    from handline.day.load_report import LoadReport
    from handline.day.plan_load import LoadPlan, MemberLoad, WaterStop

# Narrower than this, the packs have two tables.
_WIDE = 84


def show_load(report: LoadReport, written: Path | None) -> None:
    """Print the report on stdout."""
    console = open_console()
    ways, units = load_ways(report), report.units
    console.print(Text(f"{report.name}  {report.date}", style="bold"))
    console.print()
    console.print(level_line(report.level, report.headline))
    for finding in report.findings:
        console.print(entry(finding.level, finding.sentence))
    console.print()
    console.print(_against(ways, units) if len(ways) > 1 else Text(report.night_says))
    for way in ways:
        console.print()
        console.print(Text(f"{way.title}. Packs {way.packs_from}.", style="bold"))
        for table in _members(way, units, wide=console.width >= _WIDE):
            console.print(table)
        console.print(_water(way, units))
        console.print(Text(f"Longest without sure water: {longest_words(way.longest, units)}."))
        # The findings are those of the push: what is to know of the night stands with it.
        for sentence in flags_sentences(way) if way.key == "night" else ():
            console.print(Text(sentence, style="bold"))
    console.print()
    for words in dict.fromkeys(_way_notes(ways, units)):
        console.print(entry("note", words))
    for words in dict.fromkeys(way.overdrinking for way in ways):
        console.print(Text(words, style="bold"))
    console.print(Text(" ".join(report.cautions), style="italic"))
    say_page(console, written, "Pictures, legs, gear and sources")


def _way_notes(ways: Sequence[LoadPlan], units: Units) -> list[str]:
    waits = any(stop.treat_wait_s > 0.0 for way in ways for stop in way.water)
    plus = " Behind a plus: minutes until it may be drunk." if waits else ""
    notes = [
        f"Water is each one's, of whoever needs most, with {show_water(way.reserve_L, units)} in reserve; treated by "
        f"{way.treatment}, which leaves in: {way.treatment_leaves_in}.{plus}"
        for way in ways
    ]
    several = len(ways) > 1
    return notes + [f"{way.title}: {way.settling.words}" if several else way.settling.words for way in ways]


def _members(way: LoadPlan, units: Units, *, wide: bool) -> list[Table]:
    """Each pack with what it holds; on a narrow terminal the packs and what they hold apart."""
    pack, water, energy = (unit_of(show, units) for show in (show_pack, show_water, show_energy))
    packs: dict[str, Callable[[MemberLoad], str]] = {
        f"start\n{pack}": lambda member: _number(member.start_kg, show_pack, units),
        f"at line\n{pack}": lambda member: _number(member.line_kg, show_pack, units),
        f"most\n{pack}": lambda member: _number(member.most_kg, show_pack, units),
        "of body\n%": lambda member: said(member.share, show_share, NOTHING).removesuffix(" %"),
    }
    held: dict[str, Callable[[MemberLoad], str]] = {
        f"water\n{water}": lambda member: _number(member.water_kg / KG_PER_L, show_water, units),
        f"food\n{pack}": lambda member: _number(member.food_kg, show_pack, units),
        f"burnt\n{energy}": lambda member: _energy(member, units),
    }
    if wide:
        return [_member_table(way, packs | held, "most at")]
    return [_member_table(way, packs, "most at"), _member_table(way, held, "")]


def _member_table(way: LoadPlan, columns: dict[str, Callable[[MemberLoad], str]], last: str) -> Table:
    table = number_table("Who", tuple(columns), last)
    for label, member in zip(member_labels(way), way.members, strict=True):
        cells = [cell(member) for cell in columns.values()]
        table.add_row(Text(label), *cells, *((Text(member.most_at),) if last else ()))
    return table


def _energy(member: MemberLoad, units: Units) -> str:
    return said_span(member.energy_J, show_energy, units, NOTHING).split(" (")[0].rsplit(" ", 1)[0]


def _water(way: LoadPlan, units: Units) -> Table:
    unit = unit_of(show_water, units)
    table = number_table("Water", (*(f"{what}\n{unit}" for what in ("come", "fill", "leave")), "treat\nmin"))
    for number, stop in told_stops(way):
        last = number == len(way.water) - 1
        says = stop_words(stop, number, len(way.water))
        table.add_row(
            Text(f"{stop.name} ({'start' if number == 0 else stop.way}){f' {says}' if says else ''}"),
            NOTHING if number == 0 else _number(stop.arrive_L, show_water, units),
            _number(stop.refill_L, show_water, units) if stop.refill_L > 0.0 else NOTHING,
            NOTHING if last else _number(stop.leave_L, show_water, units),
            _treating(stop),
        )
    return table


def _treating(stop: WaterStop) -> str:
    """Minutes with hands busy, and those of waiting behind a plus."""
    if not stop.treat_hands_s + stop.treat_wait_s > 0.0:
        return NOTHING
    hands = f"{stop.treat_hands_s / 60.0:.0f}"
    return f"{hands}+{stop.treat_wait_s / 60.0:.0f}" if stop.treat_wait_s > 0.0 else hands


def _against(ways: Sequence[LoadPlan], units: Units) -> Table:
    table = plain_table()
    table.add_column("")
    for way in ways:
        table.add_column(way.title, overflow="fold")
    for row in compared(ways, units):
        table.add_row(Text(row.what), *(Text(answer) for answer in row.answers))
    return table


# --- cells ---------------------------------------------------------------------------------------------------------


def _number(value: float, show: Callable[[float, Units], str], units: Units) -> str:
    """A value for a column whose heading has the unit."""
    return said(value, lambda one: show(one, units), NOTHING).removesuffix(f" {unit_of(show, units)}")
