"""handline load: packs, water and food, one push against a night out."""

from __future__ import annotations

from pathlib import Path

import click

from handline.cli.answering import exit_at, print_json
from handline.cli.failing import plainly
from handline.cli.options import json_option, page_option, read_in_units, trip_argument, units_option
from handline.cli.working import working
from handline.quantity import Units


@click.command("load")
@trip_argument
@page_option
@json_option
@units_option
@plainly
def command(trip_file: Path, folder: Path | None, as_json: bool, units: Units | None) -> None:
    """Packs, water and food of the trip in the file TRIP: on screen, with --out pictures on a page.

    One push stands beside a night out where the way has a camp. Exit code 1 means there is a finding at "stop".
    """
    with working(pictures=folder is not None) as (told, draw):
        told("Reading the trip", 0.0)
        from handline.day.load_reporting import load_report

        trip = read_in_units(trip_file, units)
        report = load_report(trip, told)
        written: Path | None = None
        if folder is not None:
            told("Writing the page", 0.0)
            from handline.brief.load_page import write_load

            written = write_load(report, folder, draw)
    if as_json:
        print_json(report)
    else:
        from handline.cli.load_screen import show_load

        show_load(report, written)
    exit_at(report.level)
