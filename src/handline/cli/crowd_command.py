"""handline crowd: waiting and time on the line, by when you arrive."""

from __future__ import annotations

import sys
from contextlib import nullcontext
from pathlib import Path

import click

from handline.cli.failing import EXIT_STOP, plainly
from handline.cli.options import in_units, json_option, trip_argument, units_option
from handline.quantity import Units


@click.command("crowd")
@trip_argument
@click.option("--people", metavar="N", help="As if so many people might be on the line in a day, your party with them.")
@click.option("--days", metavar="N", help="How many days are simulated; left out, 300.")
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), default=None,
    help="Folder for the page with the pictures; left out, tables on screen only.",
)  # fmt: skip
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
    from handline.brief.stills import draw_here, drawing_apart
    from handline.cli.progress import progress

    with progress() as told, drawing_apart() if folder is not None else nullcontext(draw_here) as draw:
        told("Reading the trip", 0.0)
        from handline.day.crowd_asked import asked_crowd
        from handline.day.crowd_reporting import crowd_report
        from handline.day.file_checks import subject_problems
        from handline.trip.reading import read_trip

        asked = asked_crowd(people, days)
        trip = in_units(read_trip(trip_file, subject_problems), units)
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
        from handline.day.plan_json import result_json

        sys.stdout.write(result_json(report))
    else:
        from handline.cli.crowd_screen import show_crowd

        show_crowd(report, written)
    if report.level == "stop":
        sys.exit(EXIT_STOP)
