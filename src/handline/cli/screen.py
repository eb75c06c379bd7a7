"""A plan on one screen: go or not and why, when to leave, when to turn back, what the tether does."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from handline.brief.chance_words import turning_back_says, water_says
from handline.brief.gpx_out import no_track
from handline.brief.pace_words import NOTHING_S, added_words
from handline.brief.permit_words import permit_line
from handline.brief.turn_words import turns
from handline.brief.words import other_days
from handline.cli.screen_parts import entry, facts_table, level_line, open_console, plain_table
from handline.cli.written_screen import show_written
from handline.day.plan import PROBABILITIES
from handline.quantity import (
    say_clock,
    show_chance,
    show_clock,
    show_distance,
    show_duration,
    show_error,
    show_height,
    show_share,
)

if TYPE_CHECKING:
    from handline.day.plan import Plan

_LOW, _MIDDLE, _HIGH = (PROBABILITIES.index(probability) for probability in (0.10, 0.50, 0.90))

# The finding that the water is short on too many days.
WATER_SHORT = "water_short"


def show_plan(plan: Plan, written: Sequence[Path]) -> None:
    """Print the plan on stdout."""
    console = open_console()
    console.print(Text(f"{plan.name}  {plan.date}  party of {plan.party_size}  clock: {plan.timezone}", style="bold"))
    console.print(
        f"{show_distance(plan.route.length_m, plan.units)} in all, "
        f"{show_height(plan.route.up_m, plan.units)} of climb; "
        f"{plan.line.name} {plan.line.state}, rock {plan.line.rock}"
    )
    decision = plan.decision
    console.print()
    console.print(level_line(decision.level, decision.headline))
    console.print(Padding(Text(decision.why), (0, 0, 1, 2)))
    console.print(_answers(plan))
    console.print()
    console.print(_timetable(plan))
    console.print(
        f"latest: by then your limits still hold in {show_share(plan.wanted_chance)} of days, if no storm has begun, "
        f"at the plan's pace from there on. Late as you are slow: ask handline replan.{other_days(plan.timetable)}",
        style="italic",
    )
    console.print()
    _say_pace(console, plan)
    for finding in plan.findings:
        if finding.level != "note":
            console.print(entry(finding.level, finding.sentence))
    notes = sum(finding.level == "note" for finding in plan.findings)
    if notes:
        console.print(entry("note", f"{notes} more in the brief."))
    if plan.route.notes:
        console.print(entry("note", "The brief says what was done to the route before it was measured."))
    console.print()
    console.print(Text(plan.cautions[1], style="italic"))
    show_written(console, written, no_track(plan))


def _answers(plan: Plan) -> Table:
    decision = plan.decision
    leave = f"{show_clock(decision.start_clock_s)} as planned"
    if decision.leave_by_clock_s is not None:
        leave += f"; {say_clock(decision.leave_by_clock_s)} is the latest that meets your limits"
    else:
        leave += f"; {plan.timetable[0].latest_says}"
    table = facts_table()
    if decision.night_at and decision.set_out_clock_s is not None:
        table.add_row("Set out", Text(f"{say_clock(decision.set_out_clock_s)}, for the night at {decision.night_at}"))
    table.add_row(Text(f"Leave {decision.night_at}".rstrip()), leave)
    for number, turn in enumerate(turns(plan)):
        by = f"{turn.at} {turn.clock}, {'at the latest' if number else 'if not yet there'}"
        table.add_row("" if number else "Turn back", Text(by if turn.clock else turn.why))
    table.add_row("Tether", Text(decision.tether_sentence))
    for chance in plan.chances:
        kept = "" if chance.kept else f"  (you asked for {show_share(chance.wanted)})"
        spread = f"{show_chance(chance.share)} ± {show_error(chance.error)}"
        table.add_row("Chance" if chance is plan.chances[0] else "", f"{chance.sentence}: {spread}{kept}")
    # A finding on it says the same.
    if not any(finding.key == WATER_SHORT for finding in plan.findings):
        table.add_row("", Text(water_says(plan.turned.water)))
    if plan.turned.turning_back is not None:
        table.add_row("Your rules", Text(turning_back_says(plan.turned.turning_back)))
    table.add_row("", Text(plan.turned.starts.says))
    return table


def _timetable(plan: Plan) -> Table:
    table = plain_table()
    table.add_column("Place")
    for heading in ("1 in 10 by", "half by", "9 in 10 by", "latest"):
        table.add_column(heading, justify="right", no_wrap=True)
    for i, row in enumerate(plan.timetable):
        arrow = "start" if i == 0 else row.way
        latest = show_clock(row.latest_clock_s) if row.latest_clock_s is not None else row.latest_says
        clocks = [show_clock(row.arrive_clock_s[index]) for index in (_LOW, _MIDDLE, _HIGH)]
        table.add_row(Text(f"{row.name} ({arrow})"), *clocks, latest)
    return table


def _say_pace(console: Console, plan: Plan) -> None:
    """What makes the day long, whom the party waits for, and what the permits ask for next."""
    told = [f for f in plan.pace.factors if f.on and abs(f.added_s) >= NOTHING_S]
    parts = [f"{factor.title.lower()} {added_words(factor.added_s)}" for factor in told]
    parts += [f"{factor.title.lower()} switched off" for factor in plan.pace.factors if not factor.on]
    base = f"{show_duration(plan.pace.base_s)} {plan.pace.base_says}; then {', '.join(parts)}."
    slowest = max(plan.pace.members, key=lambda member: member.slowest_share)
    table = facts_table()
    table.add_row("Walking", Text(base))
    if len(plan.pace.members) > 1:
        legs = [leg for leg in plan.legs if leg.slowest == slowest.names]
        longest = max(legs, key=lambda leg: leg.time_s[1], default=None)
        where = f", most of all to {longest.end} ({longest.way})" if longest else ""
        on = f"{len(legs)} of {sum(bool(leg.slowest) for leg in plan.legs)} legs"
        table.add_row("Slowest", Text(f"{slowest.names}: the party waits for them on {on}{where}."))
    for i, permit in enumerate(permit for permit in plan.permits if permit.needed):
        table.add_row("" if i else "Permit", Text(permit_line(permit)))
    console.print(table)
    console.print()
