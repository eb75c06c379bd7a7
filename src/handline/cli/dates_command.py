"""handline dates: a season of dates side by side, and the best of them."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from handline.cli.answering import exit_at, print_json
from handline.cli.failing import EXIT_INTERRUPTED, plainly
from handline.cli.options import in_units, json_option, out_option, trip_argument, units_option
from handline.cli.working import working
from handline.quantity import Units


@click.command("dates")
@trip_argument
@click.option("--from", "first", metavar="DATE", help="The first date; left out, the season that TRIP tells.")
@click.option("--to", "last", metavar="DATE", help="The last date; left out, the season that TRIP tells.")
@click.option("--ways", metavar="WAYS", help="push, night or push,night; left out, both where the way has a camp.")
@click.option("--first-start", metavar="TIME", help="The first start to try; left out, 00:00.")
@click.option("--last-start", metavar="TIME", help="The last start to try; left out, 11:40.")
@click.option("--step", metavar="TIME", help='From one start to the next; left out, "20 min".')
@click.option("--days", metavar="N", help="How many days are simulated for each date and start; left out, 500.")
@click.option("--workers", metavar="N", help="How many processes work; left out, one for each core.")
@click.option("--dask", metavar="ADDRESS", help="The workers of a Dask scheduler instead, such as tcp://10.0.0.5:8786.")
@out_option("Folder for the page with the grid; left out, tables on screen only.")
@json_option
@units_option
@plainly
def command(
    trip_file: Path, folder: Path | None, as_json: bool, units: Units | None, dask: str | None, **typed: str | None
) -> None:
    """Which date: the chance of keeping all limits of the file TRIP on every date of a season and from every start.

    With the permits each date needs and their chance, in one push and with a night out; the best dates and why. Stopped
    with Ctrl-C it keeps what is done: the same command goes on from there. Exit code 1 means there is a finding at
    "stop".
    """
    with working(pictures=folder is not None) as (told, draw):
        told("Reading the trip", 0.0)
        from datetime import date

        from handline.choose.dates import dates_report
        from handline.choose.dates_asked import DatesAsking, asked_dates, dates_problems
        from handline.trip.reading import read_trip

        asked = asked_dates(DatesAsking(**typed, dask=dask))
        trip = in_units(read_trip(trip_file, dates_problems), units)
        # Deadlines of permits are seen from the day it is, as in a plan.
        with _kept_when_stopped():
            report = dates_report(trip, asked, told, date.today())
        written: Path | None = None
        if folder is not None:
            told("Writing the page", 0.0)
            from handline.brief.dates_page import write_dates

            written = write_dates(report, folder, draw)
    if as_json:
        print_json(report)
    else:
        from handline.cli.dates_screen import show_dates

        show_dates(report, written)
    exit_at(report.level)


@contextmanager
def _kept_when_stopped() -> Iterator[None]:
    """Ctrl-C while dates are worked on: say that what is done is kept."""
    try:
        yield
    except KeyboardInterrupt:
        print("Stopped. Finished dates are kept: the same command goes on from there.", file=sys.stderr)
        sys.exit(EXIT_INTERRUPTED)
