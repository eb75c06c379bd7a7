"""The quota on one screen: people a day against waiting, the knee, and what other ways of coming do."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from handline.brief.quota_words import chance_words, knee_words, time_words, within_words
from handline.cli.screen_parts import entry, level_line, open_console, plain_table, say_page
from handline.quantity import show_duration, show_height, show_share

if TYPE_CHECKING:
    from handline.day.quota_report import QuotaReport


def show_quota(report: QuotaReport, written: Path | None) -> None:
    """Print the report on stdout."""
    console = open_console()
    console.print(Text(f"{report.line_name}  people a day  ({report.name})", style="bold"))
    console.print(
        f"Now {report.people_now} ({report.people_says}), {show_share(report.come_share)} of them come: "
        f"{report.comes_says}. {show_height(report.length_m, report.units)} of cable, {report.bays} bays."
    )
    console.print()
    console.print(level_line(report.level, report.headline))
    console.print(Padding(Text(report.why), (0, 0, 1, 2)))
    console.print(_points(report))
    console.print()
    console.print(_curves(report))
    console.print()
    for finding in report.findings:
        console.print(entry(finding.level, finding.sentence))
    for method in (report.methods[0], report.methods[2], report.methods[-1]):
        console.print(Text(method, style="italic"))
    console.print(Text(" ".join((*report.cautions[:2], report.cautions[3])), style="italic"))
    say_page(console, written, "Pictures, every curve, rules and sources")


def _points(report: QuotaReport) -> Table:
    table = plain_table()
    table.add_column("People a day", justify="right")
    limit = show_duration(report.limit_s)
    for heading in (f"wait over {limit}", "mean wait", "on the line, 19 in 20 under"):
        table.add_column(heading, justify="right", overflow="fold")
    table.add_column("")
    now = report.curves[0]
    for point in now.points:
        table.add_row(
            f"{point.people}",
            chance_words(point.over),
            show_duration(point.wait_s),
            time_words(point.on_line_s),
            "knee" if point.people == now.knee else "",
        )
    return table


def _curves(report: QuotaReport) -> Table:
    table = plain_table()
    table.add_column("If people come or pass otherwise", overflow="fold")
    table.add_column(f"at most {show_share(report.accepted)} over it", justify="right", no_wrap=True)
    table.add_column("knee", justify="right", no_wrap=True)
    for curve in report.curves:
        table.add_row(Text(curve.words), within_words(curve, report), knee_words(curve))
    return table
