"""A season of dates on one screen: the best of them and why, what to apply for, each month by its middle."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from handline.brief.dates_words import (
    START_BY,
    WITH_REASONS,
    date_words,
    list_words,
    months_of,
    permit_words,
    start_words,
    state_words,
)
from handline.choose.dates_report import WAY_WORDS
from handline.cli.screen_parts import entry, level_line, open_console, plain_table, say_page
from handline.quantity import show_chance, show_share

if TYPE_CHECKING:
    from handline.choose.dates_report import DatesReport


_CHANCES = (
    "Then: the share of days that keep all limits from that latest start. Surest start: the share from the surest one, "
    "which may be hours earlier."
)


def show_dates(report: DatesReport, written: Path | None) -> None:
    """Print the report on stdout."""
    console = open_console()
    console.print(Text(f"{report.name}  party of {report.party_size}  clock: {report.timezone}", style="bold"))
    console.print(f"{len(report.rows)} dates: {report.dates_say}.")
    console.print()
    console.print(level_line(report.level, report.headline))
    console.print(Padding(Text(report.why), (0, 0, 1, 2)))
    if report.best:
        console.print(_best(report))
        console.print(Text(_CHANCES, style="italic"))
        console.print()
        for one in report.best[:WITH_REASONS]:
            console.print(entry(f"{one.rank}.", " ".join(one.reasons)))
        console.print()
    for found in report.lists:
        title = f"On an application for {found.permit}, {WAY_WORDS[found.way]}"
        console.print(Text(f"{title}: {show_share(found.chance)}", style="bold"))
        console.print(Padding(Text(f"{list_words(found)}. {found.says}"), (0, 0, 1, 2)))
    for row in report.in_a_row:
        title = f"{row.permit}, {WAY_WORDS[row.way]}, asking again day by day: {show_share(row.chance_by_day[-1])}"
        console.print(Text(title, style="bold"))
        console.print(Padding(Text(row.says), (0, 0, 1, 2)))
    console.print(_months(report))
    console.print()
    for finding in report.findings:
        console.print(entry(finding.level, finding.sentence))
    console.print(Text(f"{report.cautions[1]} {report.cautions[3]}", style="italic"))
    say_page(console, written, "The grid, every date and how to read it")


def _best(report: DatesReport) -> Table:
    table = plain_table()
    table.add_column("", justify="right", no_wrap=True)
    table.add_column("Date", overflow="fold")
    table.add_column("way", overflow="fold")
    for heading in ("start by", "then", "surest start", "permits", "cables"):
        table.add_column(heading, justify="right", overflow="fold")
    for one in report.best:
        table.add_row(
            f"{one.rank}",
            date_words(one.date),
            one.way,
            start_words(one),
            show_chance(one.start_chance) if one.meets else "",
            show_chance(one.best_chance),
            permit_words(one),
            state_words(one.raised),
        )
    return table


def _months(report: DatesReport) -> Table:
    table = plain_table()
    table.add_column("Month", overflow="fold")
    table.add_column("open dates", justify="right", overflow="fold")
    for way in report.ways:
        table.add_column(f"{way}: {START_BY[way]}", justify="right", overflow="fold")
        table.add_column("on dates", justify="right", overflow="fold")
    for month in months_of(report):
        told = [cell for way in month.ways for cell in (way.start_by, f"{way.meeting}")]
        table.add_row(month.words, f"{month.open_dates}", *told)
    return table
