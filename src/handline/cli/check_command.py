"""handline check: everything that is wrong with a trip file."""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from pathlib import Path

import click

from handline.cli.failing import EXIT_UNUSABLE, plainly
from handline.cli.options import json_option, trip_argument


@click.command("check")
@trip_argument
@json_option
@plainly
def command(trip_file: Path, as_json: bool) -> None:
    """Read the file TRIP and all it names, and say everything that is wrong, at once. Exit code 2 when anything is."""
    from handline.day.file_checks import subject_problems
    from handline.day.setting import set_up
    from handline.errors import InputError
    from handline.trip.reading import read_trip

    try:
        setting = set_up(read_trip(trip_file, subject_problems))
    except InputError as error:
        if not as_json:
            raise
        print(json.dumps({"problems": [asdict(problem) for problem in error.problems]}, indent=2))
        sys.exit(EXIT_UNUSABLE)
    if as_json:
        print(json.dumps({"problems": []}, indent=2))
        return
    legs = len(setting.route.legs)
    click.echo(
        f"{trip_file}: can be planned. {len(setting.route.points)} passings, {legs} legs, line {setting.line.state}."
    )
    for key in sorted(setting.guessed):
        click.echo(f"  left open and guessed: {key.replace('_', ' ')}")
