"""handline plan: the whole job."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from handline.cli.failing import EXIT_STOP, plainly
from handline.cli.options import in_units, json_option, trip_argument, units_option, usual_folder
from handline.quantity import Units


@click.command("plan")
@trip_argument
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), default=None,
    help="Folder for the brief; left out, brief beside trip.toml, or brief-NAME beside another file.",
)  # fmt: skip
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
    from handline.brief.stills import drawing_apart
    from handline.cli.progress import progress

    with progress() as told, drawing_apart() as draw:
        told("Reading the trip", 0.0)
        from datetime import date

        from handline.day.file_checks import subject_problems
        from handline.day.planning import make_plan
        from handline.trip.reading import read_trip

        # The one place where the day it is comes in: deadlines of permits are seen from it.
        trip, folder = in_units(read_trip(trip_file, subject_problems), units), folder or usual_folder(trip_file)
        if not replace:
            from handline.brief.whose_folder import refuse_another_trip, trip_from

            # Before the work, not only after it.
            refuse_another_trip(folder, trip_from(folder, trip_file))
        plan = make_plan(trip, told, date.today())
        told("Writing the brief", 0.0)
        from handline.brief.writing import write_brief

        written = write_brief(plan, folder, draw, trip_file=trip_file, replace=replace)
    if as_json:
        from handline.day.plan_json import plan_json

        sys.stdout.write(plan_json(plan))
    else:
        from handline.cli.screen import show_plan

        show_plan(plan, written)
    if plan.decision.level == "stop":
        sys.exit(EXIT_STOP)
