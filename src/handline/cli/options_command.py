"""handline options: ways of doing the trip side by side."""

from __future__ import annotations

import sys
from contextlib import nullcontext
from pathlib import Path

import click

from handline.cli.failing import EXIT_STOP, plainly
from handline.cli.options import in_units, json_option, trip_argument, units_option
from handline.quantity import Units


@click.command("options")
@trip_argument
@click.option(
    "--date",
    "dates",
    metavar="DATE",
    help='A day such as 2027-07-17; "planned", as if left out; or "best": each way on its best date of the season.',
)
@click.option(
    "--tethers",
    metavar="NAMES",
    help="Names with commas between them, beside the one the file chooses; left out, those of the brief.",
)
@click.option("--days", metavar="N", help="How many days of each way are simulated; left out, 2,000.")
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), default=None,
    help="Folder for the page with the picture; left out, a table on screen only.",
)  # fmt: skip
@json_option
@units_option
@plainly
def command(
    trip_file: Path,
    dates: str | None,
    tethers: str | None,
    days: str | None,
    folder: Path | None,
    as_json: bool,
    units: Units | None,
) -> None:
    """Ways of doing the trip in the file TRIP side by side: one push or a night out, the line raised or lowered, tether
    by tether; which is recommended under your own limits, why, and what would change it.

    On screen, with --out a picture on a page. Exit code 1 means none is recommended.
    """
    from handline.brief.stills import draw_here, drawing_apart
    from handline.cli.progress import progress

    with progress() as told, drawing_apart() if folder is not None else nullcontext(draw_here) as draw:
        told("Reading the trip", 0.0)
        from datetime import date

        from handline.choose.options import options_report
        from handline.choose.options_asked import asked_options
        from handline.day.file_checks import subject_problems
        from handline.trip.reading import read_trip

        trip = in_units(read_trip(trip_file, subject_problems), units)
        asked = asked_options(trip, dates, tethers, days)
        report = options_report(trip, asked, today=date.today(), told=told)
        written: Path | None = None
        if folder is not None:
            told("Writing the page", 0.0)
            from handline.brief.options_page import write_options

            written = write_options(report, folder, draw)
    if as_json:
        from handline.day.plan_json import result_json

        sys.stdout.write(result_json(report))
    else:
        from handline.cli.options_screen import show_options

        show_options(report, written)
    if report.level == "stop":
        sys.exit(EXIT_STOP)
