"""handline weather: light, weather, storms and rock of the day, from a forecast or from the months."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from handline.cli.answering import exit_at, print_json
from handline.cli.failing import EXIT_INTERRUPTED, EXIT_UNUSABLE, plainly
from handline.cli.options import json_option, page_option, read_in_units, trip_argument, units_option
from handline.cli.working import working
from handline.quantity import Units

if TYPE_CHECKING:
    from handline.day.forecast_download import Downloaded
    from handline.day.told import Told


@click.command("weather")
@trip_argument
@click.option(
    "--download", is_flag=True,
    help="First ask a live service for the forecast at the slab, write it beside TRIP and name it there.",
)  # fmt: skip
@click.option(
    "--contact", metavar="TEXT", default="",
    help="With --download: a mail address or page of yours to send along, where the service asks for one.",
)  # fmt: skip
@page_option
@json_option
@units_option
@plainly
def command(
    trip_file: Path, download: bool, contact: str, folder: Path | None, as_json: bool, units: Units | None
) -> None:
    """Light, weather, storms and the rock of the slab for the file TRIP: on screen, with --out pictures on a page.

    The weather is the forecast that [weather] names, or what is usual in its months. Only --download asks the network;
    the place of the slab and its height leave the machine then. Exit code 1 means there is a finding at "stop".
    """
    from handline.errors import InputError, Problem

    if contact and not download:
        raise InputError(
            Problem("a contact is sent with a download only", mend="add --download, or leave it", key="--contact")
        )
    with working(pictures=folder is not None) as (told, draw):
        told("Reading the trip", 0.0)
        from handline.day.weather_reporting import weather_report

        downloaded = _downloaded(trip_file, contact, told) if download else None
        with _as_written(trip_file, downloaded):
            trip = read_in_units(trip_file, units)
            told("Weather and rock", 0.0)
            report = weather_report(trip, told)
            written: Path | None = None
            if folder is not None:
                told("Writing the page", 0.0)
                from handline.brief.weather_page import write_weather

                written = write_weather(report, folder, draw)
    from handline.cli.weather_screen import show_download, show_weather

    if downloaded is not None:
        show_download(downloaded, trip_file, apart=as_json)
    if as_json:
        print_json(report)
    else:
        show_weather(report, written)
    exit_at(report.level)


def _downloaded(trip_file: Path, contact: str, told: Told) -> Downloaded:
    import time

    from handline.day import forecast_download
    from handline.day.file_checks import subject_problems

    told("Asking for the forecast", 0.0)
    now_s = time.time()
    service = forecast_download.live_service(now_s, contact)
    return forecast_download.download_forecast(trip_file, service, now_s, subject_problems)


@contextmanager
def _as_written(trip_file: Path, downloaded: Downloaded | None) -> Iterator[None]:
    """Where the report fails after a download: say so, and that the forecast is there all the same."""
    from handline.errors import HandlineError

    try:
        yield
    except (HandlineError, KeyboardInterrupt) as error:
        if downloaded is None:
            raise
        stopped = isinstance(error, KeyboardInterrupt)
        named = f", and {trip_file} names it now" if downloaded.named_now else ""
        what = "Stopped." if stopped else f"{error}\n"
        print(f"{what}\nThe forecast is written: {downloaded.path}{named}. Nothing else was.", file=sys.stderr)
        sys.exit(EXIT_INTERRUPTED if stopped else EXIT_UNUSABLE)
