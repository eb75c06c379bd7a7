"""handline quota: for land managers, people a day against waiting."""

from __future__ import annotations

import sys
from contextlib import nullcontext
from pathlib import Path

import click

from handline.cli.failing import EXIT_STOP, plainly
from handline.cli.options import in_units, json_option, trip_argument, units_option
from handline.quantity import Units


@click.command("quota")
@trip_argument
@click.option("--limit", metavar="TIME", help='The wait that few should pass, such as "45 min"; left out, that.')
@click.option("--people", metavar="N", help="The most people a day to try; left out, three times what the file says.")
@click.option("--days", metavar="N", help="How many days for each number of people; left out, 60.")
@click.option(
    "--out", "folder", type=click.Path(path_type=Path), default=None,
    help="Folder for the page with the pictures; left out, tables on screen only.",
)  # fmt: skip
@json_option
@units_option
@plainly
def command(
    trip_file: Path,
    limit: str | None,
    people: str | None,
    days: str | None,
    folder: Path | None,
    as_json: bool,
    units: Units | None,
) -> None:
    """For land managers: how long people wait on the line of the file TRIP, by how many may come in a day.

    Everybody is alike; the party of the file is left out. Exit code 1 means there is a finding at "stop".
    """
    from handline.brief.stills import draw_here, drawing_apart
    from handline.cli.progress import progress

    with progress() as told, drawing_apart() if folder is not None else nullcontext(draw_here) as draw:
        told("Reading the trip", 0.0)
        from handline.day.crowd_asked import asked_quota
        from handline.day.file_checks import subject_problems
        from handline.day.quota_reporting import quota_report
        from handline.trip.reading import read_trip

        asked = asked_quota(people, days, limit)
        trip = in_units(read_trip(trip_file, subject_problems), units)
        report = quota_report(trip, limit_s=asked.limit_s, most=asked.people, days=asked.days, told=told)
        written: Path | None = None
        if folder is not None:
            told("Writing the page", 0.0)
            from handline.brief.quota_page import write_quota

            written = write_quota(report, folder, draw)
    if as_json:
        from handline.day.plan_json import result_json

        sys.stdout.write(result_json(report))
    else:
        from handline.cli.quota_screen import show_quota

        show_quota(report, written)
    if report.level == "stop":
        sys.exit(EXIT_STOP)
