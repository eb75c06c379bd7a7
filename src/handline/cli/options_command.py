"""handline options: ways of doing the trip side by side."""

from __future__ import annotations

from pathlib import Path

import click

from handline.cli.answering import exit_at, print_json
from handline.cli.failing import plainly
from handline.cli.options import json_option, out_option, read_in_units, trip_argument, units_option
from handline.cli.working import working
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
@out_option("Folder for the page with the picture; left out, a table on screen only.")
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
    with working(pictures=folder is not None) as (told, draw):
        told("Reading the trip", 0.0)
        from datetime import date

        from handline.choose.options import options_report
        from handline.choose.options_asked import asked_options

        trip = read_in_units(trip_file, units)
        asked = asked_options(trip, dates, tethers, days)
        report = options_report(trip, asked, today=date.today(), told=told)
        written: Path | None = None
        if folder is not None:
            told("Writing the page", 0.0)
            from handline.brief.options_page import write_options

            written = write_options(report, folder, draw)
    if as_json:
        print_json(report)
    else:
        from handline.cli.options_screen import show_options

        show_options(report, written)
    exit_at(report.level)
