"""handline quota: for land managers, people a day against waiting."""

from __future__ import annotations

from pathlib import Path

import click

from handline.cli.answering import exit_at, print_json
from handline.cli.failing import plainly
from handline.cli.options import json_option, page_option, read_in_units, trip_argument, units_option
from handline.cli.working import working
from handline.quantity import Units


@click.command("quota")
@trip_argument
@click.option("--limit", metavar="TIME", help='The wait that few should pass, such as "45 min"; left out, that.')
@click.option("--people", metavar="N", help="The most people a day to try; left out, three times what the file says.")
@click.option("--days", metavar="N", help="How many days for each number of people; left out, 60.")
@page_option
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
    with working(pictures=folder is not None) as (told, draw):
        told("Reading the trip", 0.0)
        from handline.day.crowd_asked import asked_quota
        from handline.day.quota_reporting import quota_report

        asked = asked_quota(people, days, limit)
        trip = read_in_units(trip_file, units)
        report = quota_report(trip, limit_s=asked.limit_s, most=asked.people, days=asked.days, told=told)
        written: Path | None = None
        if folder is not None:
            told("Writing the page", 0.0)
            from handline.brief.quota_page import write_quota

            written = write_quota(report, folder, draw)
    if as_json:
        print_json(report)
    else:
        from handline.cli.quota_screen import show_quota

        show_quota(report, written)
    exit_at(report.level)
