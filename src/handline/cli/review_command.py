"""handline review: a recorded day against its plan."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from handline.cli.answering import print_json
from handline.cli.failing import EXIT_UNUSABLE, plainly
from handline.cli.options import json_option, out_option, read_in_units, trip_argument, units_option, usual_folder
from handline.cli.working import working
from handline.quantity import Units

if TYPE_CHECKING:
    from handline.day.pace_saving import SavedPace
    from handline.day.review import Review
    from handline.trip.model import Trip


@click.command("review")
@trip_argument
@click.argument("recording", metavar="TRACK", type=click.Path(path_type=Path))
@click.option("--save", is_flag=True, help="Write the pace after this day into TRIP. Save each recording once.")
@out_option("Folder for the page; left out, that of the brief.")
@json_option
@units_option
@plainly
def command(
    trip_file: Path, recording: Path, save: bool, folder: Path | None, as_json: bool, units: Units | None
) -> None:
    """Hold the recorded day TRACK against the plan of the file TRIP: leg by leg, stop by stop, and what the pace was.

    TRACK is a GPX or GeoJSON file with times, of the whole way or a part of it.
    """
    with working(pictures=True) as (told, draw):
        told("Reading the trip", 0.0)
        from handline.day.review import review

        trip = read_in_units(trip_file, units)
        told("Holding the day against its plan", 0.0)
        reviewed = review(trip, recording)
        told("Writing the page", 0.0)
        from handline.brief.review_page import write_review

        written = write_review(reviewed, folder or usual_folder(trip_file), draw)
        saved = _saved(trip, reviewed, written) if save else None
    if as_json:
        print_json(reviewed)
    else:
        from handline.cli.review_screen import show_review

        show_review(reviewed, written, trip_file, saved)


def _saved(trip: Trip, reviewed: Review, written: Path) -> SavedPace:
    """Save the pace; where that fails say so, and that the page is there all the same."""
    from handline.day.pace_saving import save_pace
    from handline.errors import HandlineError

    try:
        return save_pace(trip, reviewed.pace)
    except HandlineError as error:
        print(f"{error}\n\nThe trip file is as it was. The review is written: {written}", file=sys.stderr)
        sys.exit(EXIT_UNUSABLE)
