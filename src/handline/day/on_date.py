"""The same trip on another date, in one push or with a night out: the setting that a season of dates is made of."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from handline.day.setting import set_up_again
from handline.day.subjects import Setting
from handline.errors import InputError, TripError
from handline.sky.zones import DAY_S, midnight_utc_s
from handline.trip.model import Trip

FORECAST = "weather.forecast"


def trip_on(trip: Trip, date: dt.date, night_out: bool) -> Trip:
    """The trip on a date, sleeping out the night before or not; all else as typed."""
    return trip.model_copy(
        update={
            "about": trip.about.model_copy(update={"date": date}),
            "night": trip.night.model_copy(update={"out": night_out}),
        }
    )


def without_forecast(trip: Trip) -> Trip:
    """The trip with the months, if any, in place of its forecast."""
    return trip.model_copy(update={"weather": trip.weather.model_copy(update={"forecast": None})})


def forecast_dates(trip: Trip, timezone: str, dates: Sequence[dt.date]) -> frozenset[dt.date]:
    """The dates that some time of the trip's forecast lies in; none without a forecast.

    Raises
    ------
    TripError
        The forecast cannot be read.
    """
    if trip.weather.forecast is None:
        return frozenset()
    from handline.weather.forecast_csv import read_forecast_csv

    path = trip.file(trip.weather.forecast)
    try:
        forecast = read_forecast_csv(path, timezone)
    except InputError as error:
        raise TripError([trip.located(problem.at(file=path, key=FORECAST)) for problem in error.problems]) from None
    first_s = min(float(place.time_s[0]) for place in forecast.places)
    last_s = max(float(place.time_s[-1]) for place in forecast.places)
    midnights_s = {date: midnight_utc_s(date, timezone) for date in dates}
    return frozenset(date for date, at_s in midnights_s.items() if at_s <= last_s and first_s < at_s + DAY_S)


def set_up_on(known: Setting, trip: Trip, near: Setting | None = None) -> Setting:
    """The setting of a trip on its date; where its forecast says nothing of that date, with what is usual.

    ``known`` and ``near`` are as for ``set_up_again``.

    Raises
    ------
    TripError
        As ``set_up``, but for a forecast of other dates.
    """
    try:
        return set_up_again(known, trip, near)
    except TripError as error:
        if trip.weather.forecast is None or {problem.key for problem in error.problems} != {FORECAST}:
            raise
        if not trip.file(trip.weather.forecast).is_file():
            raise  # On another machine, say: nobody knows what it would have said.
        return set_up_again(known, without_forecast(trip), near)
