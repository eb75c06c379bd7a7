"""handline crowd: waiting and time on the line, by when you arrive."""

from __future__ import annotations

from pathlib import Path

import click

from handline.cli.answering import exit_at, print_json
from handline.cli.failing import plainly
from handline.cli.options import json_option, page_option, read_in_units, trip_argument, units_option
from handline.cli.working import working
from handline.quantity import Units


@click.command("crowd")
@trip_argument
@click.option("--people", metavar="N", help="As if so many people might be on the line in a day, your party with them.")
@click.option("--days", metavar="N", help="How many days are simulated; left out, 300.")
@page_option
@json_option
@units_option
@plainly
def command(
    trip_file: Path, people: str | None, days: str | None, folder: Path | None, as_json: bool, units: Units | None
) -> None:
    """Waiting and time on the line of the file TRIP, by when you arrive: on screen, with --out pictures on a page.

    How many people come and when is typed in [crowd], or taken from the places of the first permit. Exit code 1 means
    there is a finding at "stop".
    """
    with working(pictures=folder is not None) as (told, draw):
        told("Reading the trip", 0.0)
        from handline.day.crowd_asked import asked_crowd
        from handline.day.crowd_reporting import crowd_report

        asked = asked_crowd(people, days)
        trip = read_in_units(trip_file, units)
        told("Days on the line", 0.0)
        report = crowd_report(
            trip, people=asked.people, days=asked.days, pictures=folder is not None or as_json, told=told
        )
        written: Path | None = None
        if folder is not None:
            told("Writing the page", 0.0)
            from handline.brief.crowd_page import write_crowd

            written = write_crowd(report, folder, draw)
    if as_json:
        print_json(report)
    else:
        from handline.cli.crowd_screen import show_crowd

        show_crowd(report, written)
    exit_at(report.level)
