"""handline new: a starter trip file."""

from __future__ import annotations

import datetime as dt
import json
import os
from pathlib import Path

import click

from handline.cli.failing import plainly
from handline.cli.options import json_option
from handline.quantity import Units


@click.command("new")
@click.argument("trip_file", metavar="[TRIP]", type=click.Path(path_type=Path), default=Path("trip.toml"))
@click.option("--track", type=click.Path(path_type=Path), help="A GPX or GeoJSON track of the way.")
@click.option("--date", "date_text", metavar="YYYY-MM-DD", help="The day; left out, the next Saturday.")
@click.option("--name", help="The trip's name; left out, the name of the file's folder.")
@click.option("--units", type=click.Choice(["us", "si"]), default="si", help="How results are shown.")
@json_option
@plainly
def command(
    trip_file: Path, track: Path | None, date_text: str | None, name: str | None, units: Units, as_json: bool
) -> None:
    """Write a starter trip file (trip.toml if not named), every common key explained. Never overwrites a file."""
    from handline.errors import OutputError
    from handline.trip.starter import starter_text
    from handline.whole_file import write_whole

    if trip_file.exists():
        raise OutputError(f"{trip_file}: a file of this name is there already. Name another, or move it away.")
    if track is not None:
        from handline.route.reading import read_track
        from handline.route.usable import refuse_unusable_positions

        # Heights may still come from a terrain model that the file names.
        refuse_unusable_positions(read_track(track))
    folder = trip_file.resolve().parent
    text = starter_text(
        name or folder.name,
        None if track is None else Path(os.path.relpath(track.resolve(), folder)).as_posix(),
        _date(date_text),
        units=units,
    )
    write_whole(trip_file, text)
    if as_json:
        click.echo(json.dumps({"written": str(trip_file)}))
    else:
        click.echo(f"Written: {trip_file}. Fill it in, then: handline plan {trip_file}")


def _date(text: str | None) -> dt.date:
    from handline.errors import InputError, Problem

    if text is None:
        from handline.trip.starter import next_saturday

        return next_saturday(dt.date.today())
    try:
        return dt.date.fromisoformat(text)
    except ValueError:
        raise InputError(
            Problem("this is not a date", read=text, allowed="year-month-day, such as 2027-07-17", key="--date")
        ) from None
