"""handline line: the audit of every way of attaching, and what if."""

from __future__ import annotations

from pathlib import Path

import click

from handline.cli.answering import exit_at, print_json
from handline.cli.failing import plainly
from handline.cli.options import json_option, page_option, read_in_units, trip_argument, units_option
from handline.cli.working import working
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
@page_option
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
    with working(pictures=folder is not None) as (told, draw):
        told("Reading the trip", 0.0)
        from handline.day.line_reporting import line_report
        from handline.day.line_what_if import WhatIf

        trip = read_in_units(trip_file, units)
        told("Slipping on the line", 0.0)
        report = line_report(trip, WhatIf(state, rock, mass, tether, reach), whole=as_json or folder is not None)
        written: Path | None = None
        if folder is not None:
            told("Writing the page", 0.0)
            from handline.brief.line_page import write_line

            written = write_line(report, folder, draw)
    if as_json:
        print_json(report)
    else:
        from handline.cli.line_screen import show_line

        show_line(report, written)
    exit_at(report.level)
