"""A review on one screen: how the day went against its plan, leg by leg, and what it says of the pace."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from handline.cli.screen_parts import entry, facts_table, open_console, plain_table
from handline.day.pace_update import BAND_SHARE
from handline.quantity import show_clock, show_duration, show_share

if TYPE_CHECKING:
    from handline.day.pace_saving import SavedPace
    from handline.day.review import Review

LONGEST_STOPS = 6


def show_review(review: Review, written: Path, trip_file: Path, saved: SavedPace | None) -> None:
    """Print the review on stdout."""
    console = open_console()
    console.print(Text(f"{review.name}  recorded {review.recorded_date}  clock: {review.timezone}", style="bold"))
    console.print()
    console.print(Text(review.headline, style="bold"))
    low_s, _, high_s = review.total.planned_s
    part = "" if review.whole else " The recording covers only part of the way; these are its legs."
    planned = f"Eight simulated days in ten take {show_duration(low_s)} to {show_duration(high_s)}.{part}"
    console.print(Padding(Text(planned), (0, 0, 1, 2)))
    console.print(_legs(review))
    console.print()
    console.print(_went(review))
    console.print()
    console.print(_facts(review, trip_file, saved))
    console.print()
    for note in review.notes:
        console.print(entry("note", note))
    console.print()
    console.print(Text(f"{review.cautions[2]} {review.cautions[1]}", style="italic"))
    console.print(f"Review: {written}", soft_wrap=True)


def _legs(review: Review) -> Table:
    table = plain_table()
    table.add_column("Leg")
    for heading in ("arrived", "took", "planned, 8 days in 10", "quicker days"):
        table.add_column(heading, justify="right", no_wrap=True)
    for leg, there in zip(review.legs, review.passings[1:], strict=True):
        low_s, _, high_s = leg.time.planned_s
        arrived = there.missing if there.clock.recorded_s is None else show_clock(there.clock.recorded_s)
        took = "" if leg.time.recorded_s is None else show_duration(leg.time.recorded_s)
        rank = "" if leg.time.share_below is None else _share(leg.time.share_below)
        planned = f"{show_duration(low_s)} to {show_duration(high_s)}"
        table.add_row(Text(f"to {leg.end} ({leg.way})"), arrived, took, planned, rank)
    return table


def _share(share: float) -> str:
    return {0.0: "none", 1.0: "all"}.get(share) or show_share(share)


def _went(review: Review) -> Table:
    table = plain_table()
    table.add_column("Where the time went")
    for heading in ("recorded", "planned middle", "difference"):
        table.add_column(heading, justify="right", no_wrap=True)
    for went in review.went:
        sign = "+" if went.more_s > 0 else ""
        table.add_row(
            went.part, show_duration(went.recorded_s), show_duration(went.planned_s), sign + show_duration(went.more_s)
        )
    return table


def _facts(review: Review, trip_file: Path, saved: SavedPace | None) -> Table:
    table = facts_table()
    longest = sorted(review.stops, key=lambda stop: -stop.length_s)[:LONGEST_STOPS]
    stops = "; ".join(f"{stop.where} {show_duration(stop.length_s)}" for stop in longest)
    table.add_row("Stops", Text(f"longest: {stops}" if stops else "none of two minutes and more"))
    if review.pace is None:
        table.add_row("Pace", Text(review.pace_says))
    else:
        pace = review.pace
        band = f"{pace.low:.2f} to {pace.high:.2f} with {show_share(BAND_SHARE)}"
        table.add_row("Pace", Text(f"{pace.factor:.2f} times as long as the planned middle after this day ({band})"))
    if saved is not None:
        written = f"[party.pace] of {trip_file}: time_factor {saved.time_factor:g}, spread {show_share(saved.spread)}"
        table.add_row("Saved", Text(written))
    return table
