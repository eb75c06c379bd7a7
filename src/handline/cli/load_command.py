"""handline load: packs, water and food, one push against a night out."""

from __future__ import annotations

import sys
from contextlib import nullcontext
from pathlib import Path

import click

from handline.cli.failing import EXIT_STOP, plainly
from handline.cli.options import in_units, json_option, trip_argument, units_option
from handline.quantity import Units


@click.command("load")
@trip_argument
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), default=None,
    help="Folder for the page with the pictures; left out, tables on screen only.",
)  # fmt: skip
@json_option
@units_option
@plainly
def command(trip_file: Path, folder: Path | None, as_json: bool, units: Units | None) -> None:
    """Packs, water and food of the trip in the file TRIP: on screen, with --out pictures on a page.

    One push stands beside a night out where the way has a camp. Exit code 1 means there is a finding at "stop".
    """
    from handline.brief.stills import draw_here, drawing_apart
    from handline.cli.progress import progress

    with progress() as told, drawing_apart() if folder is not None else nullcontext(draw_here) as draw:
        told("Reading the trip", 0.0)
        from handline.day.file_checks import subject_problems
        from handline.day.load_reporting import load_report
        from handline.trip.reading import read_trip

        trip = in_units(read_trip(trip_file, subject_problems), units)
        report = load_report(trip, told)
        written: Path | None = None
        if folder is not None:
            told("Writing the page", 0.0)
            from handline.brief.load_page import write_load

            written = write_load(report, folder, draw)
    if as_json:
        from handline.day.plan_json import result_json

        sys.stdout.write(result_json(report))
    else:
        from handline.cli.load_screen import show_load

        show_load(report, written)
    if report.level == "stop":
        sys.exit(EXIT_STOP)
