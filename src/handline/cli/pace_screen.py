"""A fitted pace on one screen: how fast these people are, how sure that is, and what was not counted."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from handline.brief.figures.own_pace import speed_unit
from handline.brief.pace_page import climb_words, error_words, slope_name
from handline.cli.screen_parts import entry, facts_table, open_console, plain_table
from handline.quantity import show_distance, show_duration, show_height
from handline.route.counted import counted

if TYPE_CHECKING:
    from handline.day.pace_into_trip import KeptPace
    from handline.day.pace_report import PaceReport


def show_pace(report: PaceReport, written: Path, trip_file: Path | None, kept: KeptPace | None) -> None:
    """Print the pace on stdout."""
    console = open_console()
    walked = f"{show_distance(report.moving_m, report.units)} in {show_duration(report.moving_s)} on the move"
    console.print(
        Text(
            f"Pace from {counted(len(report.tracks), 'recording')} on {counted(report.days, 'day')}: {walked}",
            style="bold",
        )
    )
    console.print()
    console.print(Text(f"{report.time_factor:.2f} times as long as {report.model_title}", style="bold"))
    low, high = report.time_factor_band
    console.print(
        Padding(
            Text(
                f"Eight chances in ten that it is {low:.2f} to {high:.2f}; with {climb_words(report)} for each 100 m "
                f"of climb. Its error on stretches it was not fitted to is {error_words(report.error)}."
            ),
            (0, 0, 1, 2),
        )
    )
    console.print(_walks(report))
    console.print()
    console.print(_speeds(report))
    console.print("quick and slow: eight days in ten lie between. All is walking, without stops.", style="italic")
    console.print()
    console.print(_facts(report, trip_file, kept))
    console.print()
    for words, sentences in (("out", report.thrown_out), ("note", report.notes)):
        for sentence in sentences:
            console.print(entry(words, sentence))
    console.print()
    console.print(Text(" ".join(report.cautions[i] for i in (0, 1, 3)), style="italic"))
    console.print(f"Pace: {written}", soft_wrap=True)


def _walks(report: PaceReport) -> Table:
    table = plain_table()
    table.add_column("Walk")
    for heading in ("quick", "middle", "slow"):
        table.add_column(heading, justify="right", no_wrap=True)
    for walk in report.walks:
        size = show_distance(walk.length_m, report.units)
        if walk.up_m:
            size += f", {show_height(walk.up_m, report.units)} of climb"
        times = [show_duration(time_s) for time_s in (walk.low_s, walk.middle_s, walk.high_s)]
        table.add_row(Text(f"{walk.words} ({size})"), *times)
    return table


def _speeds(report: PaceReport) -> Table:
    unit, one_m_s = speed_unit(report.units)
    table = plain_table()
    table.add_column(f"{unit} on the map")
    for heading in ("slow", "middle", "quick"):
        table.add_column(heading, justify="right", no_wrap=True)
    table.add_column("")
    for row in report.speeds:
        speeds = [f"{speed / one_m_s:.1f}" for speed in (row.low_m_s, row.middle_m_s, row.high_m_s)]
        table.add_row(slope_name(row.grade), *speeds, "" if row.seen else "not recorded: as the model has it")
    return table


def _facts(report: PaceReport, trip_file: Path | None, kept: KeptPace | None) -> Table:
    table = facts_table()
    spread = (
        f"{error_words(report.spread)} of a day's walking time: days differ by {error_words(report.day_sd)}, and the "
        f"usual pace is known within {error_words(report.unsure_sd)}"
    )
    table.add_row("Spread", Text(spread))
    others = counted(len(report.sources) - 1, "more source")
    table.add_row("Sources", Text(f"{report.sources[0]}; {others}, common practice among them, on the page"))
    if kept is not None:
        values = ", ".join(f"{key} {value}" for key, value in kept.values.items())
        table.add_row("Saved", Text(f"[{kept.table}] of {trip_file}: {values}. {kept.says}".rstrip()))
    return table
