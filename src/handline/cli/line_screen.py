"""The line on one screen: every way of attaching, what the chosen one does, and what the verdict hangs on."""

from __future__ import annotations

import itertools
from pathlib import Path
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from handline.brief.line_words import both_ends, changes_words, forces_words, hands_words
from handline.cli.screen_parts import entry, facts_table, level_line, open_console, plain_table, say_page
from handline.day.line_callout import TOLD_IN_SENTENCE
from handline.day.tether_words import LOOKS_LIKE
from handline.quantity import show_chance, show_force, show_height, show_length, show_mass, show_span

if TYPE_CHECKING:
    from handline.day.line_report import LineReport, TetherShown

# The call-out's mark, in front of a name.
MARK = "×"
HANDS_GIVE_OUT = "hands_give_out"
# Findings that the rest of the screen already tells.
_TOLD = ("tether", "brake_only", "tether_static", HANDS_GIVE_OUT, "line_lowered")


def show_line(report: LineReport, written: Path | None) -> None:
    """Print the report on stdout."""
    console = open_console()
    line, units = report.line, report.units
    console.print(Text(f"{line.name}  {line.state}  rock {line.rock}  ({report.name})", style="bold"))
    if report.changed:
        changes = "; ".join(f"{change.now} (the file: {change.file_says})" for change in report.changed)
        console.print(Text(f"Changed for this once, the file stays as it is: {changes}.", style="bold"))
    console.print(
        f"{show_height(line.length_m, units)} of cable, bodies of "
        f"{show_span(*report.mass_range_kg, show_mass, units)} with the pack, your limit "
        f"{show_force(report.body_force_N, units)}"
    )
    console.print()
    console.print(level_line(report.level, report.headline))
    chosen = report.chosen
    console.print(Padding(Text(f"{chosen.title}. {chosen.sentence}"), (0, 0, 0, 2)))
    if also := _call_out(chosen):
        console.print(Padding(Text(also, style="bold"), (0, 0, 0, 2)))
    console.print()
    console.print(_tethers(report))
    console.print(Text(_legend(report), style="italic"))
    console.print()
    console.print(_facts(report))
    console.print()
    if report.moves:
        console.print(_moves(report))
        console.print()
    told = [finding for finding in report.findings if finding.key not in _TOLD and finding.level != "note"]
    for finding in told:
        console.print(entry(finding.level, finding.sentence))
    console.print(entry("note", "The page has every bay, part, hitch, glove and source, in pictures and in words."))
    console.print(Text(f"{report.cautions[2]} {report.cautions[1]}", style="italic"))
    say_page(console, written, "Pictures, every bay, part and source")


def _call_out(chosen: TetherShown) -> str:
    """The call-out, or what it adds to a sentence that has said already that this is no protection."""
    if chosen.call_out is None:
        return ""
    if not chosen.sentence.startswith(LOOKS_LIKE):
        return chosen.call_out.sentence
    more = [words for words in chosen.call_out.reasons if not words.startswith(TOLD_IN_SENTENCE)]
    return f"Besides: {'; '.join(more)}." if more else ""


def _tethers(report: LineReport) -> Table:
    table = plain_table(apart=1)
    table.add_column("Way of attaching")
    limit = show_force(report.body_force_N, "si")
    for heading in (
        f"stopped\nto {limit}", "stopped\nharder", "a part\nbreaks", "not\nstopped", "usual\nslide", "longest\nslide",
        "if not:\nstopped", "if not:\nlongest",
    ):  # fmt: skip
        table.add_column(heading, justify="right", no_wrap=True)
    for tether in report.line.tethers:
        main, last = tether.today[0], tether.today[-1]
        mark = MARK if tether.call_out else " "
        name = Text(f"{mark} {tether.name}{' (yours)' if tether.chosen else ''}", style="bold" if tether.chosen else "")
        shares = (main.stopped_share, main.over_share, main.breaks_share, main.unstopped_share)
        other = ("–", "–")
        if len(tether.today) > 1:
            other = (show_chance(last.stopped_share), show_length(last.longest_m, report.units))
        table.add_row(
            name,
            *(show_chance(share) for share in shares),
            show_length(main.usual_slide_m, report.units),
            show_length(main.longest_m, report.units),
            *other,
        )
    return table


def _legend(report: LineReport) -> str:
    return (
        f"{MARK} would pass for protection and is not. First every stop holds, or the hitch grips; if not, only the "
        f"anchors hold. {report.provenance.draws:,} slips drawn: anywhere, all of the party, all this rock's friction. "
        "Sentences tell their careful end. Where a part breaks, the slide goes on from there."
    )


def _facts(report: LineReport) -> Table:
    table = facts_table()
    chosen = report.chosen
    for state, rows in itertools.groupby(chosen.changes, key=lambda change: change.state):
        table.add_row(f"Passing, {state}", Text(changes_words(chosen, tuple(rows))))
    if chosen.stop_load:
        table.add_row("On the stop", Text(chosen.stop_load.says))
    if report.soft_body:
        table.add_row("On the body", Text(report.soft_body.says))
    heeded = any(finding.key == HANDS_GIVE_OUT for finding in report.findings)
    table.add_row("Hands: heed" if heeded else "Hands", Text(hands_words(report)))
    return table


def _moves(report: LineReport) -> Table:
    table = plain_table()
    table.add_column(f"Held at its ends, {report.chosen.today[0].case}")
    for heading in ("stopped", "9 in 10 stops under", "verdict"):
        table.add_column(heading, justify="right", no_wrap=True)
    for moved in report.moves:
        if moved.says[0] != moved.says[1]:
            verdict = both_ends(moved.verdict, " or ")
            table.add_row(
                Text(f"{moved.what}: {moved.says[0]}, or {moved.says[1]}"),
                both_ends([show_chance(share) for share in moved.stopped_share]),
                forces_words(moved.force_N),
                Text(
                    f"turns: {verdict}" if moved.moves_verdict else verdict, style="bold" if moved.moves_verdict else ""
                ),
            )
    return table
