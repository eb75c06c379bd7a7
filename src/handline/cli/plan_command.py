"""handline plan: the whole job."""

from __future__ import annotations

from pathlib import Path

import click

from handline.cli.answering import exit_at, print_json
from handline.cli.failing import plainly
from handline.cli.options import json_option, out_option, read_in_units, trip_argument, units_option, usual_folder
from handline.cli.working import working
from handline.quantity import Units


@click.command("plan")
@trip_argument
@out_option("Folder for the brief; left out, brief beside trip.toml, or brief-NAME beside another file.")
@click.option("--replace", is_flag=True, help="Write over what another trip left in the folder.")
@json_option
@units_option
@plainly
def command(trip_file: Path, folder: Path | None, replace: bool, as_json: bool, units: Units | None) -> None:
    """Plan the trip in the file TRIP: findings on screen, the brief and the files beside it on disk.

    Beside the page lie a card of two pages and a copy for home to print, a GPX file for a map, a calendar file, and
    every number as JSON and as tables.

    Exit code 1 means the plan was made and has a finding at "stop".
    """
    with working(pictures=True) as (told, draw):
        told("Reading the trip", 0.0)
        from datetime import date

        from handline.day.planning import make_plan

        # The one place where the day it is comes in: deadlines of permits are seen from it.
        trip, folder = read_in_units(trip_file, units), folder or usual_folder(trip_file)
        if not replace:
            from handline.brief.whose_folder import refuse_another_trip, trip_from

            # Before the work, not only after it.
            refuse_another_trip(folder, trip_from(folder, trip_file))
        plan = make_plan(trip, told, date.today())
        told("Writing the brief", 0.0)
        from handline.brief.writing import write_brief

        written = write_brief(plan, folder, draw, trip_file=trip_file, replace=replace)
    if as_json:
        print_json(plan)
    else:
        from handline.cli.screen import show_plan

        show_plan(plan, written)
    exit_at(plan.decision.level)
