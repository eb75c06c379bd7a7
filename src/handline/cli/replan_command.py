"""handline replan: the rest of the day, from where the party is."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from handline.cli.answering import print_json
from handline.cli.failing import EXIT_STOP, plainly
from handline.cli.options import json_option, read_in_units, trip_argument, units_option
from handline.quantity import Units


@click.command("replan")
@trip_argument
@click.option("--at", metavar="PLACE", multiple=True, help="A place of the plan you passed; the last is where you are.")
@click.option("--time", metavar="HH:MM", multiple=True, help="When you came to it, one for each --at, in their order.")
@click.option("--delay", metavar="TIME", help='A stay there on top of the planned stop, such as "20 min".')
@click.option("--storm", metavar="CHANCE", help='The chance of a storm from now to midnight, such as "60 %".')
@click.option("--storm-from", metavar="HH:MM", help="From when on it may begin; left out, the usual hours.")
@click.option("--rock", metavar="ROCK", help="The rock for the rest of the day: dry, damp, wet or iced.")
@json_option
@units_option
@plainly
def command(
    trip_file: Path,
    at: tuple[str, ...],
    time: tuple[str, ...],
    delay: str | None,
    storm: str | None,
    storm_from: str | None,
    rock: str | None,
    as_json: bool,
    units: Units | None,
) -> None:
    """You are on the way with the trip in the file TRIP: say where you passed and when, and read what to do now.

    For a place passed twice write "PLACE (up)" or "PLACE (down)", as the tables do, unless the order of the places
    makes it plain; to have left at another time than planned, name the start as the first --at. Nothing is written.
    Exit code 1 means: turn now.
    """
    from handline.cli.progress import progress

    with progress() as told:
        told("Reading the trip", 0.0)
        from handline.day.replan_asking import Asking, replan_asked

        trip = read_in_units(trip_file, units)
        found = replan_asked(trip, Asking(at, time, delay, storm, storm_from, rock), told)
    if as_json:
        print_json(found)
    else:
        from handline.cli.replan_screen import show_replan

        show_replan(found)
    if found.advice.key == "turn_now":
        sys.exit(EXIT_STOP)
