"""handline pace: a person's pace from recorded tracks."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from handline.cli.answering import print_json
from handline.cli.failing import EXIT_UNUSABLE, plainly
from handline.cli.options import json_option, out_option, units_option, usual_folder
from handline.cli.working import working
from handline.quantity import Units

if TYPE_CHECKING:
    from handline.day.pace_into_trip import KeptPace
    from handline.day.pace_report import PaceReport


@click.command("pace")
@click.argument("tracks", metavar="TRACK...", type=click.Path(path_type=Path), nargs=-1, required=True)
@click.option("--save", "trip_file", metavar="TRIP", type=click.Path(path_type=Path), help="Write the pace into TRIP.")
@click.option("--member", metavar="NAME", help="Whose pace it is, with --save; left out, the whole party's.")
@click.option("--pack", metavar="MASS", help='What was carried, such as "8 kg" or "18 lb"; left out, not known.')
@click.option(
    "--surface", "surface_key", metavar="GROUND", default="good path", show_default=True,
    help="What they walked on, as in [[route.ground]]: it is taken out of the pace.",
)  # fmt: skip
@out_option("Folder for the page; left out, that of the brief of TRIP, or pace beside the first track.")
@json_option
@units_option
@plainly
def command(
    tracks: tuple[Path, ...],
    trip_file: Path | None,
    member: str | None,
    pack: str | None,
    surface_key: str,
    folder: Path | None,
    as_json: bool,
    units: Units | None,
) -> None:
    """Learn a pace from the recorded tracks TRACK..., GPX files with times, of one person or one party.

    One track works; more narrow the spread. With --save it goes into the trip file TRIP, and plans walk at it.
    """
    from handline.errors import InputError, Problem

    if member is not None and trip_file is None:
        raise InputError(
            Problem("--member says whose pace is saved, but not where", mend="add --save TRIP", key="--member")
        )
    with working(pictures=True) as (told, draw):
        told("Reading the tracks", 0.0)
        from handline.day.pace_fitting import fit_tracks
        from handline.day.pace_into_trip import pace_table

        pack_mass_kg = None if pack is None else _mass_kg(pack)
        _refuse_unknown(surface_key)
        if trip_file is not None:
            pace_table(trip_file, member)
        report = fit_tracks(tracks, pack_mass_kg=pack_mass_kg, surface_key=surface_key, units=_units(units, trip_file))
        told("Writing the page", 0.0)
        from handline.brief.pace_page import write_pace

        written = write_pace(report, folder or _folder(tracks[0], trip_file), draw)
        kept = None if trip_file is None else _saved(trip_file, member, report, written)
    if as_json:
        print_json(report)
    else:
        from handline.cli.pace_screen import show_pace

        show_pace(report, written, trip_file, kept)


def _folder(first: Path, trip_file: Path | None) -> Path:
    return first.parent / "pace" if trip_file is None else usual_folder(trip_file)


def _units(units: Units | None, trip_file: Path | None) -> Units:
    """The units asked for, else those of the trip, else SI."""
    if units is not None:
        return units
    if trip_file is None:
        return "si"
    from handline.trip.reading import read_trip

    return read_trip(trip_file).about.units


def _refuse_unknown(surface_key: str) -> None:
    from handline.errors import InputError
    from handline.walking.surface import surface

    try:
        surface(surface_key)
    except InputError as error:
        raise InputError(problem.at(key="--surface") for problem in error.problems) from None


def _mass_kg(text: str) -> float:
    """The pack as typed, within what a trip file allows."""
    from handline.errors import InputError, Problem
    from handline.quantity import QuantityError, parse

    allowed = 'a mass from "0 kg" to "60 kg", such as "8 kg" or "18 lb"'
    try:
        mass_kg = parse(text, "mass")
    except QuantityError as error:
        raise InputError(
            Problem(str(error).partition(": write ")[0], read=text, allowed=allowed, key="--pack")
        ) from None
    if not 0.0 <= mass_kg <= 60.0:
        raise InputError(Problem("nobody walks with such a pack", read=text, allowed=allowed, key="--pack"))
    return mass_kg


def _saved(trip_file: Path, member: str | None, report: PaceReport, written: Path) -> KeptPace:
    """Save the pace; where that fails say so, and that the page is there all the same."""
    from handline.day.pace_into_trip import save_pace
    from handline.errors import HandlineError

    try:
        return save_pace(trip_file, member, report)
    except HandlineError as error:
        print(f"{error}\n\nThe trip file is as it was. The page is written: {written}", file=sys.stderr)
        sys.exit(EXIT_UNUSABLE)
