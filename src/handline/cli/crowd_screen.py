"""The crowd on one screen: what waits for the party, and every half hour of arriving."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from handline.brief.crowd_words import clears_words, pair_words, people_words, windows_words
from handline.cli.screen_parts import entry, facts_table, level_line, open_console, plain_table, say_page
from handline.quantity import show_clock, show_height, show_share

if TYPE_CHECKING:
    from handline.day.crowd_report import CrowdReport, HourRow

# More rows than this are told on the page alone.
_MOST_ROWS = 24


def show_crowd(report: CrowdReport, written: Path | None) -> None:
    """Print the report on stdout."""
    console = open_console()
    console.print(Text(f"{report.line_name}  {report.date}  ({report.name})", style="bold"))
    console.print(
        f"{report.people} people a day ({report.people_says}), {show_share(report.come_share)} of them come: "
        f"{report.comes_says}. {show_height(report.length_m, report.units)} of cable, {report.bays} bays."
    )
    console.print()
    console.print(level_line(report.level, report.headline))
    console.print(Padding(Text(report.why), (0, 0, 1, 2)))
    console.print(_hours(report.up))
    console.print(Text("In each pair: half stay under the first, nine in ten under the second.", style="italic"))
    console.print()
    console.print(_facts(report))
    console.print()
    for finding in report.findings:
        console.print(entry(finding.level, finding.sentence))
    console.print(Text(" ".join((*report.cautions[:2], report.cautions[3])), style="italic"))
    say_page(console, written, "Pictures, the way down, rules and sources")


def _hours(rows: Sequence[HourRow]) -> Table:
    table = plain_table()
    table.add_column("At the foot", no_wrap=True)
    for heading in ("wait there", "on the line up", "of it, others cost", "people above"):
        table.add_column(heading, justify="right", overflow="fold")
    busiest = sorted(rows, key=lambda row: -row.passes)[:_MOST_ROWS]
    for row in (row for row in rows if row in busiest):
        table.add_row(
            f"{show_clock(row.from_clock_s)} to {show_clock(row.to_clock_s)}",
            pair_words(row.wait_s),
            pair_words(row.on_line_s),
            pair_words(row.stuck_s),
            people_words(row.above),
        )
    return table


def _facts(report: CrowdReport) -> Table:
    table = facts_table()
    table.add_row("Good times to arrive", Text(windows_words(report.windows, report.most_delay_s)))
    table.add_row("Last off the line", Text(clears_words(report)))
    most = (
        f"{report.off_per_h[0]:.0f} people an hour up and {report.off_per_h[1]:.0f} down in the busiest half hour; "
        f"{report.capacity_per_h[0]:.0f} and {report.capacity_per_h[1]:.0f} are the most that can follow each other"
    )
    table.add_row("Passing", Text(most))
    return table
