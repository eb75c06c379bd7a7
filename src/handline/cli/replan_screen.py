"""A replanned day on one screen of a phone: what to do first, then the chances, the places ahead and the pace."""

from __future__ import annotations

from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from handline.cli.screen_parts import entry, facts_table, open_console, plain_table
from handline.day.plan import PROBABILITIES
from handline.quantity import say_clock, show_chance, show_clock, show_duration, show_error, show_share

if TYPE_CHECKING:
    from handline.day.replan_report import Replan

# A phone shows no more in letters that can be read.
WIDEST_ON_A_PHONE = 80
# Below this the table of places has no room for all its columns.
NARROW = 64
_MIDDLE, _HIGH = (PROBABILITIES.index(probability) for probability in (0.50, 0.90))
# The words say it; weight only helps the eye.
_STYLE = {"turn_now": "bold reverse", "turn_by": "bold", "go_on": "bold"}


def show_replan(found: Replan) -> None:
    """Print the rest of the day on stdout."""
    console = open_console(WIDEST_ON_A_PHONE)
    console.print(Text(f"{found.advice.headline}.", style=_STYLE[found.advice.key]))
    console.print(Padding(Text(found.advice.sentence), (0, 0, 1, 2)))
    console.print(Text(_where(found), style="italic"))
    console.print()
    console.print(_chances(found))
    console.print()
    console.print(_ahead(found, console.width))
    console.print(Text(_legend(found), style="italic"))
    console.print()
    if len(found.courses) > 1:
        console.print(_courses(found))
        console.print()
    console.print(_facts(found))
    console.print()
    for note in found.notes:
        console.print(entry("note", note))
    console.print()
    console.print(Text(f"{found.cautions[3]} {found.cautions[1]}", style="italic"))


def _where(found: Replan) -> str:
    stay = "" if found.delay_s == 0.0 else f", and {show_duration(found.delay_s)} there on top of the planned stop"
    return f"{found.name}, {found.date}: at {found.at} {say_clock(found.clock_s)}{stay}; clock: {found.timezone}"


def _chances(found: Replan) -> Table:
    table = plain_table()
    table.add_column(f"Chance (you asked for {show_share(found.wanted_chance)})")
    for heading in ("now", "planned"):
        table.add_column(heading, justify="right", no_wrap=True)
    for chance in found.chances:
        planned = "none" if chance.planned_share is None else show_chance(chance.planned_share)
        table.add_row(Text(chance.sentence), f"{show_chance(chance.share)} ± {show_error(chance.error)}", planned)
    return table


def _ahead(found: Replan, width: int) -> Table:
    """The places ahead; a narrow screen leaves the chance out and keeps its word, so that places can be read."""
    with_share = width >= NARROW
    table = plain_table()
    table.add_column("\nPlace ahead", min_width=9)
    for heading in ("half\nby", "9 in 10\nby", "planned\nlatest", *(["\nby then"] if with_share else [])):
        table.add_column(heading, justify="right", no_wrap=with_share)
    table.add_column("")
    for row in found.ahead:
        clocks = [show_clock(row.arrive_clock_s[index]) for index in (_MIDDLE, _HIGH)]
        latest = "none" if row.latest_clock_s is None else show_clock(row.latest_clock_s)
        share = "" if row.by_latest_share is None else show_chance(row.by_latest_share)
        table.add_row(Text(f"{row.name} ({row.way})"), *clocks, latest, *([share] if with_share else []), row.held)
    return table


def _legend(found: Replan) -> str:
    """What the table says, and which of two latest times counts: the plan did not know today's pace."""
    if all(row.latest_clock_s is None for row in found.ahead):
        return "The plan has no latest time for any place ahead."
    legend = (
        f"held: there by the planned latest with a chance of at least {show_share(found.wanted_chance)}; "
        "lost: later is likelier; open: between."
    )
    if any(row.latest_clock_s is None for row in found.ahead):
        legend += " none: the plan has no latest time there."
    if found.advice.turn_by_clock_s is not None:
        legend += f" At {found.advice.turn_at} the time at the top counts, worked out at today's pace."
    return legend


def _courses(found: Replan) -> Table:
    table = plain_table()
    table.add_column("You may")
    for heading in ("limits hold", "home half by", "8 days in 10"):
        table.add_column(heading, justify="right")
    for course in found.courses:
        low, middle, high = (show_clock(clock_s) for clock_s in course.home_clock_s)
        what = f"turn at {course.turn_at}" if course.turn_at else "go on"
        table.add_row(Text(what), show_chance(course.share), middle, f"{low} to {high}")
    return table


def _facts(found: Replan) -> Table:
    table = facts_table()
    table.add_row("Pace", Text(found.pace.says))
    table.add_row("Storm", Text(found.storm_says))
    table.add_row("Rock", Text(found.rock_says))
    if found.line_says:
        table.add_row("Line", Text(found.line_says))
    return table
