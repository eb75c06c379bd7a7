"""handline line: the audit of every way of attaching, and what if."""

from __future__ import annotations

import sys
from contextlib import nullcontext
from pathlib import Path

import click

from handline.cli.failing import EXIT_STOP, plainly
from handline.cli.options import in_units, json_option, trip_argument, units_option
from handline.quantity import Units


@click.command("line")
@trip_argument
@click.option("--state", metavar="STATE", help="As if the line were raised or lowered.")
@click.option("--rock", metavar="ROCK", help="As if the rock were dry, damp, wet or iced.")
@click.option(
    "--mass", metavar="MASS", help='As if every body weighed this with clothes, such as "95 kg"; packs on top.'
)
@click.option("--tether", metavar="NAME", help="As if this tether were chosen, by its name in the list or the file.")
@click.option("--reach", metavar="LENGTH", help='As if the chosen tether had this reach, such as "0.8 m".')
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), default=None,
    help="Folder for the page with the pictures; left out, tables on screen only.",
)  # fmt: skip
@json_option
@units_option
@plainly
def command(
    trip_file: Path,
    state: str | None,
    rock: str | None,
    mass: str | None,
    tether: str | None,
    reach: str | None,
    folder: Path | None,
    as_json: bool,
    units: Units | None,
) -> None:
    """What every way of attaching does on the line of the file TRIP: tables on screen, with --out pictures on a page.

    The options ask what if; the file stays as it is. Exit code 1 means there is a finding at "stop".
    """
    from handline.brief.stills import draw_here, drawing_apart
    from handline.cli.progress import progress

    with progress() as told, drawing_apart() if folder is not None else nullcontext(draw_here) as draw:
        told("Reading the trip", 0.0)
        from handline.day.file_checks import subject_problems
        from handline.day.line_reporting import line_report
        from handline.day.line_what_if import WhatIf
        from handline.trip.reading import read_trip

        trip = in_units(read_trip(trip_file, subject_problems), units)
        told("Slipping on the line", 0.0)
        report = line_report(trip, WhatIf(state, rock, mass, tether, reach), whole=as_json or folder is not None)
        written: Path | None = None
        if folder is not None:
            told("Writing the page", 0.0)
            from handline.brief.line_page import write_line

            written = write_line(report, folder, draw)
    if as_json:
        from handline.day.plan_json import result_json

        sys.stdout.write(result_json(report))
    else:
        from handline.cli.line_screen import show_line

        show_line(report, written)
    if report.level == "stop":
        sys.exit(EXIT_STOP)
