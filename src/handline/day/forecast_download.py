"""A forecast asked of a live service and written beside the trip file, which then names it.

A file that a person typed is never overwritten: only one whose first line says that a download wrote it.
"""

from __future__ import annotations

import datetime as dt
import math
from dataclasses import dataclass, replace
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from handline.day.route_setting import set_route
from handline.errors import InputError, Problem, TripError
from handline.route.place import LINE_HEAD
from handline.route.route import Route
from handline.sky.zones import midnight_utc_s, nautical_zone
from handline.trip.model import Trip
from handline.trip.reading import BYTE_ORDER_MARK, Check, read_trip, read_trip_text, trip_text, typed_values
from handline.trip.writing import set_values
from handline.weather.forecast import Forecast
from handline.weather.forecast_writing import forecast_csv_text
from handline.weather.live.kept import age_words
from handline.weather.live.service import ForecastService
from handline.whole_file import write_whole

FORECAST_KEY = "weather.forecast"
USUAL_FILE = "forecast.csv"
"""Where a download goes if the trip file names no forecast yet."""
MARK = "# A download of Handline wrote this file"
"""How the first line of such a file begins."""
_DAY_S = 86400.0


@dataclass(frozen=True)
class Downloaded:
    """What a download did. ``named_now`` where the trip file did not name the forecast before; ``notes`` in words."""

    path: Path
    place: str
    service: str
    attribution: str
    made_says: str
    covers_says: str
    named_now: bool
    notes: tuple[str, ...]


@dataclass(frozen=True)
class _Asked:
    """Where the forecast is asked for: the slab."""

    name: str
    latitude_deg: float
    longitude_deg: float
    elevation_m: float


def live_service(now_s: float, contact: str = "") -> ForecastService:
    """The service that is asked, its answers kept in the cache folder. Nothing is asked yet."""
    from handline.cache_folder import cache_folder
    from handline.weather.live.met_norway import MetNorway

    return MetNorway(cache_folder() / "forecasts", now_s, contact)


def download_forecast(
    trip_path: Path, service: ForecastService, now_s: float, more_checks: Check | None = None
) -> Downloaded:
    """Ask for the forecast at the slab, write it as CSV, and name it in the trip file where that names none.

    Parameters
    ----------
    trip_path : Path
        The trip file; the forecast it names need not be there yet.
    service : ForecastService
    now_s : float
        The time now [s after 1970-01-01 00:00 UTC].
    more_checks : Check
        See ``read_trip``.

    Returns
    -------
    Downloaded

    Raises
    ------
    TripError
        The trip file cannot be used, or the forecast it names was typed by hand or lies in another folder.
    InputError
        No forecast can be had, or it does not reach the date. Nothing was written.
    OutputError
        A file could not be written; the trip file is as it was.
    """
    trip = _without_its_forecast(trip_path, more_checks)
    target = _target(trip)
    route = _route(trip)
    asked = _slab(route)
    forecast = service.fetch(asked.latitude_deg, asked.longitude_deg, asked.elevation_m)
    zone = trip.route.timezone or nautical_zone(route.longitude_deg)
    covers_says = _covered(trip, forecast, zone, service.name)
    named = replace(forecast, places=tuple(replace(place, name=asked.name) for place in forecast.places))
    was_there = target.exists()
    write_whole(target, f"{_first_line(now_s)}\n{forecast_csv_text(named)}")
    if trip.weather.forecast is None:
        try:
            set_values(trip_path, {FORECAST_KEY: USUAL_FILE})
        except BaseException:
            if not was_there:
                target.unlink(missing_ok=True)
            raise
    return Downloaded(
        path=target,
        place=asked.name,
        service=service.name,
        attribution=service.attribution,
        made_says=_made_says(forecast, now_s),
        covers_says=covers_says,
        named_now=trip.weather.forecast is None,
        notes=forecast.notes,
    )


# --- the trip file -------------------------------------------------------------------------------------------------


def _without_its_forecast(path: Path, more_checks: Check | None) -> Trip:
    """The trip, though the forecast it names may not be there yet: that is what the download is for."""
    try:
        return read_trip(path, more_checks)
    except TripError as error:
        if any(problem.key != FORECAST_KEY or problem.line is None for problem in error.problems):
            raise
        text = trip_text(path)
        typed, _ = typed_values(text.removeprefix(BYTE_ORDER_MARK), path)
        lines = text.split("\n")
        for problem in error.problems:
            lines[(problem.line or 1) - 1] = ""
        trip = read_trip_text("\n".join(lines), path, more_checks)
        named = str(typed["weather"]["forecast"]).strip()
        return trip.model_copy(update={"weather": trip.weather.model_copy(update={"forecast": named})})


def _target(trip: Trip) -> Path:
    """The file that is written: the one the trip file names, and only in its folder, never over one that was typed."""
    name = trip.weather.forecast or USUAL_FILE
    path = trip.file(name)
    home = trip.path.parent.resolve()
    if not path.resolve().is_relative_to(home):
        raise TripError(
            trip.located(
                Problem(
                    "a download is written only into the folder of the trip file, and this lies elsewhere",
                    read=name,
                    allowed=f'a file name such as "{USUAL_FILE}"',
                    mend=f'write forecast = "{USUAL_FILE}", or leave --download away',
                    key=FORECAST_KEY,
                )
            )
        )
    if path.exists() and not _was_downloaded(path):
        raise TripError(trip.located(_typed_by_hand(trip, path, name)))
    return path


def _typed_by_hand(trip: Trip, path: Path, name: str) -> Problem:
    if trip.weather.forecast is None:
        what = f"{path} is there already, and it was no download that wrote it"
        mend = f'name it as it is: forecast = "{name}" in [weather]; or name another: forecast = "download.csv"'
    else:
        what = f"no download wrote {path}, so none overwrites it"
        mend = f'give it another name, or write forecast = "download.csv" in place of "{name}"'
    return Problem(what, mend=mend, key=FORECAST_KEY)


def _was_downloaded(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return file.read(len(MARK)) == MARK.encode()
    except OSError:
        return False


# --- the place and the answer --------------------------------------------------------------------------------------


def _route(trip: Trip) -> Route:
    try:
        return set_route(trip, set())
    except InputError as error:
        raise TripError([trip.located(problem) for problem in error.problems]) from None


def _slab(route: Route) -> _Asked:
    """The head of the line: a little colder than its foot, and as near to the top."""
    head = next(place for place in route.places if place.kind == LINE_HEAD)
    latitude_deg, longitude_deg = head.latitude_deg, head.longitude_deg
    if math.isnan(latitude_deg) or math.isnan(longitude_deg):
        latitude_deg, longitude_deg = route.latitude_deg, route.longitude_deg
    return _Asked(head.name, latitude_deg, longitude_deg, head.elevation_m)


def _covered(trip: Trip, forecast: Forecast, timezone: str, service: str) -> str:
    """From when to when the forecast reaches, in words. Raises InputError where it leaves out the date of the trip."""
    known_s = np.concatenate([place.time_s[np.isfinite(place.temperature_C)] for place in forecast.places])
    reaches = "no temperature at any time"
    if known_s.size:
        reaches = f"{_local(known_s.min(), timezone)} to {_local(known_s.max(), timezone)}"
    since_s = known_s - midnight_utc_s(trip.about.date, timezone)
    if np.any((since_s >= 0.0) & (since_s < _DAY_S)):
        return reaches
    raise InputError(
        trip.located(
            Problem(
                f"the forecast of {service} does not reach the date of the trip, {trip.about.date}",
                read=reaches,
                mend="download it a few days before the day; until then give the [[weather.months]], or type a CSV",
                key="trip.date",
            )
        )
    )


def _local(at_s: float, timezone: str) -> str:
    return f"{dt.datetime.fromtimestamp(at_s, ZoneInfo(timezone)):%Y-%m-%d %H:%M}"


def _first_line(now_s: float) -> str:
    return (
        f"{MARK} on {dt.datetime.fromtimestamp(now_s, dt.UTC):%Y-%m-%d at %H:%M} UTC; ages below are of then. "
        "The next one overwrites it: take this line away to keep it."
    )


def _made_says(forecast: Forecast, now_s: float) -> str:
    if math.isnan(forecast.issued_s):
        return "when it was made is not said"
    return f"made {age_words(now_s - forecast.issued_s)}"
