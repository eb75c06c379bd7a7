"""Options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from handline.quantity import Units
    from handline.trip.model import Trip

trip_argument = click.argument("trip_file", metavar="TRIP", type=click.Path(path_type=Path))
json_option = click.option("--json", "as_json", is_flag=True, help="Print the result as JSON instead of words.")
units_option = click.option(
    "--units",
    type=click.Choice(["us", "si"]),
    default=None,
    help="Show results in these units, whatever the file says.",
)


def out_option(words: str) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """--out FOLDER; ``words`` say what goes into it, and what is done where it is left out."""
    return click.option("--out", "folder", type=click.Path(path_type=Path), default=None, help=words)


page_option = out_option("Folder for the page with the pictures; left out, tables on screen only.")


def read_in_units(trip_file: Path, units: Units | None) -> Trip:
    """A trip file that every subject can use, shown in other units where they are asked for."""
    from handline.day.file_checks import subject_problems
    from handline.trip.reading import read_trip

    return in_units(read_trip(trip_file, subject_problems), units)


def in_units(trip: Trip, units: Units | None) -> Trip:
    """The same trip shown in other units."""
    if units is None:
        return trip
    return trip.model_copy(update={"about": trip.about.model_copy(update={"units": units})})


def usual_folder(trip_file: Path) -> Path:
    """Where the pages of a trip go: trip files in one folder do not overwrite each other's."""
    return trip_file.parent / ("brief" if trip_file.stem == "trip" else f"brief-{trip_file.stem}")
