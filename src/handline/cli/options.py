"""Options that several commands share."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

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


def in_units(trip: Trip, units: Units | None) -> Trip:
    """The same trip shown in other units."""
    if units is None:
        return trip
    return trip.model_copy(update={"about": trip.about.model_copy(update={"units": units})})


def usual_folder(trip_file: Path) -> Path:
    """Where the pages of a trip go: trip files in one folder do not overwrite each other's."""
    return trip_file.parent / ("brief" if trip_file.stem == "trip" else f"brief-{trip_file.stem}")
