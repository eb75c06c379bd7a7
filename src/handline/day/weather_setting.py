"""The weather of a trip's day: a forecast or the months of the year, as many courses, at any place's height."""

from __future__ import annotations

import calendar
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from handline.day.plan_weather import WeatherFrom
from handline.errors import InputError, Problem
from handline.quantity import show_duration, show_height, show_share
from handline.route.route import Route
from handline.sky.events import DayLight
from handline.sky.zones import midnight_utc_s
from handline.trip.model import Trip
from handline.trip.weather_model import Month
from handline.weather.at_height import at_height
from handline.weather.climate import climate_hours
from handline.weather.climate_months import MonthClimate, climate_on
from handline.weather.forecast import Forecast, ForecastPlace
from handline.weather.forecast_csv import read_forecast_csv
from handline.weather.forecast_spread import with_spread
from handline.weather.hours import HOUR_S, HourlyWeather
from handline.weather.on_clock import ClockForecast, on_clock
from handline.weather.storms import (
    DEFAULT_STORM_CHANCE,
    MOST_STORM_CHANCE,
    StormHazard,
    storm_hazard,
    storm_hazard_hourly,
)

Floats = NDArray[np.float64]

# Enough courses for a chance within about 3 points (one standard error at a half).
MEMBERS = 250
# From the noon of the day before the one before, so that a slab's own past decides, to the end of a second night out.
FIRST_CLOCK_S, HOURS = -36.0 * HOUR_S, 120
# The draws of forecast and months are streams of their own, so that one does not move the other.
_FORECAST_STREAM, _CLIMATE_STREAM = 1, 2
_BEFORE_H, _AFTER_H = 12, 24
# A forecast made longer before the day than this asks for a newer one. Common practice, no source.
OLD_FORECAST_S = 48 * HOUR_S
# Where the sun does not rise or set, the air is taken to warm and cool as on a day of twelve hours.
_NO_SUN_CLOCK_S = (6 * HOUR_S, 18 * HOUR_S)
# Hours within this of the warmest are as warm, and the one nearest to the usual time counts: an even day has no other.
# [practice_weather_findings]
_AS_WARM_C, _USUALLY_WARMEST_S = 0.1, 15 * HOUR_S


@dataclass(frozen=True)
class Base:
    """The weather of one place of a forecast or climate table; the courses of all bases belong together."""

    name: str
    hours: HourlyWeather


@dataclass(frozen=True)
class DayWeather:
    """The weather of the day.

    ``bases`` is empty where the trip file gives neither forecast nor months. ``thunder_chance`` (hours,) is that of the
    place of the slab or the nearest to it, or where that says nothing the greatest of the others, NaN where none is
    said; ``storm_chance`` is the months' for a day. ``issued_clock_s`` is when the forecast was made and
    ``warmest_clock_s`` when it is warmest there on the date, both NaN if unsaid.
    """

    source: WeatherFrom
    says: str
    notes: tuple[str, ...]
    bases: tuple[Base, ...]
    clock_s: Floats
    thunder_chance: Floats
    storm_chance: float
    issued_clock_s: float
    attribution: str
    warmest_clock_s: float = math.nan

    def at(self, name: str, elevation_m: float) -> HourlyWeather | None:
        """The weather at a place: of the base with its name, else of the one nearest in height, carried to its own."""
        if not self.bases:
            return None
        named = [base for base in self.bases if base.name == name]
        if named and not math.isfinite(elevation_m):
            return named[0].hours
        height_m = elevation_m if math.isfinite(elevation_m) else self.bases[0].hours.elevation_m
        base = named[0] if named else min(self.bases, key=lambda base: abs(base.hours.elevation_m - height_m))
        return at_height(base.hours, height_m)


@dataclass(frozen=True)
class _Usual:
    """What is usual at the date: hours at the height of the months, the chance of a storm, what the months lack."""

    hours: HourlyWeather
    storm_chance: float
    notes: tuple[str, ...]


NO_WEATHER = DayWeather(
    source="nothing",
    says="No forecast and no climate is given.",
    notes=(),
    bases=(),
    clock_s=np.empty(0),
    thunder_chance=np.empty(0),
    storm_chance=math.nan,
    issued_clock_s=math.nan,
    attribution="",
)


def set_weather(trip: Trip, route: Route, timezone: str, light: DayLight) -> DayWeather:
    """The weather of a trip: its forecast, with the months for hours it does not reach where both are given.

    Raises
    ------
    InputError
        A forecast that cannot be used, with the key it is named in.
    """
    months = _months(trip.weather.months)
    usual = _usual(trip, route, light, months) if months else None
    if trip.weather.forecast is None:
        return NO_WEATHER if usual is None else _from_months(trip, usual)
    path = trip.file(trip.weather.forecast)
    try:
        forecast = read_forecast_csv(path, timezone)
        return _from_forecast(trip, route, timezone, forecast, usual)
    except InputError as error:
        raise InputError([problem.at(file=path, key="weather.forecast") for problem in error.problems]) from None


def set_storm(trip: Trip, weather: DayWeather, guessed: set[str]) -> tuple[StormHazard, float, str]:
    """When storms begin, the chance of one that day, and what it stands on in words.

    What is typed counts first, then the forecast's thunder by the hour, then the months'. A forecast's day is the 24
    hours from the start: who leaves in the evening meets the next date's storms. Adds "storm_chance" to ``guessed``
    where none of them says anything.
    """
    typed, first_s = trip.weather.storm_chance, trip.weather.storm_from_clock_s
    if typed is not None:
        return storm_hazard(typed, first_s), typed, "as typed"
    if np.isfinite(weather.thunder_chance).any():
        hourly = storm_hazard_hourly(weather.thunder_chance, weather.clock_s)
        start_s = trip.morning_clock_s
        chance = float(1.0 - hourly.hazard.none_between_share(start_s, start_s + 24 * HOUR_S))
        says = "from the forecast, hour by hour, for the 24 hours from the start"
        day = (weather.clock_s > start_s - HOUR_S) & (weather.clock_s < start_s + 24 * HOUR_S)
        if hourly.assumed[day].any():
            says += "; hours without a chance count as a mountain's usual day"
        if hourly.capped.any():
            says += f"; no hour counts as surer than {show_share(MOST_STORM_CHANCE)}"
        if first_s is not None:
            says += "; storm_from does not count beside it"
        return hourly.hazard, chance, says
    if math.isfinite(weather.storm_chance):
        says = "from how many days of storm the months have"
        return storm_hazard(weather.storm_chance, first_s), weather.storm_chance, says
    guessed.add("storm_chance")
    return storm_hazard(DEFAULT_STORM_CHANCE, first_s), DEFAULT_STORM_CHANCE, "assumed"


# --- a forecast ----------------------------------------------------------------------------------------------------


def _from_forecast(trip: Trip, route: Route, timezone: str, forecast: Forecast, usual: _Usual | None) -> DayWeather:
    midnight_s = midnight_utc_s(trip.about.date, timezone)
    issued_clock_s = forecast.issued_s - midnight_s
    notes = list(forecast.notes)
    bases, clocks, gaps = [], [], False
    for place in forecast.places:
        known = _with_height(place, route, trip, notes)
        clock = on_clock(known, midnight_s, HOURS, FIRST_CLOCK_S)
        of_place = f"{place.name}: " if place.name and len(forecast.places) > 1 else ""
        that_matters = _hours_that_matter(known, midnight_s, trip)
        notes += [f"{of_place}{note}" for note in that_matters.notes]
        gaps |= not that_matters.hours.known.all()
        # The same draws for every place, so that a course that is cold in the valley is cold on the top too.
        rng = np.random.default_rng([trip.about.seed, _FORECAST_STREAM])
        spread = with_spread(clock.hours, clock.rain_chance, MEMBERS, rng, issued_clock_s=issued_clock_s)
        bases.append(Base(place.name, spread if usual is None else _filled(spread, usual.hours)))
        clocks.append(clock)
    if gaps and usual is not None:
        notes += ["hours without a forecast are taken as is usual in the months", *usual.notes]
    nearest = _nearest_to_slab(trip, bases, clocks, route)
    return DayWeather(
        source="forecast",
        says=_forecast_says(trip, forecast, issued_clock_s),
        notes=tuple(dict.fromkeys(notes)),
        bases=tuple(bases),
        clock_s=nearest.hours.clock_s,
        thunder_chance=_thunder_chance(nearest, clocks),
        storm_chance=math.nan if usual is None else usual.storm_chance,
        issued_clock_s=issued_clock_s,
        attribution=forecast.said_by,
        warmest_clock_s=_warmest_clock_s(nearest),
    )


def _hours_that_matter(place: ForecastPlace, midnight_s: float, trip: Trip) -> ClockForecast:
    """The night before the start and the day after it, and what is missing in them."""
    first_h = math.floor(trip.depart_clock_s / HOUR_S) - _BEFORE_H
    after_h = math.floor(trip.morning_clock_s / HOUR_S) + _AFTER_H
    return on_clock(place, midnight_s, after_h - first_h, first_h * HOUR_S)


def _with_height(place: ForecastPlace, route: Route, trip: Trip, notes: list[str]) -> ForecastPlace:
    """The place with a height: one that is not said is that of the waypoint of its name, else of the start."""
    if math.isfinite(place.elevation_m):
        return place
    named = [point.elevation_m for point in route.points if point.name == place.name]
    height_m = named[0] if named else route.points[0].elevation_m
    if not math.isfinite(height_m):
        height_m = 0.0
    taken = "it is taken from the route" if named else "that of the start is taken"
    notes.append(
        f"the forecast does not say the height of {place.name or 'its place'}: {taken}, "
        f"{show_height(height_m, trip.about.units)}; a column elevation_m or elevation_ft would tell"
    )
    return replace(place, elevation_m=height_m)


def _nearest_to_slab(trip: Trip, bases: Sequence[Base], clocks: Sequence[ClockForecast], route: Route) -> ClockForecast:
    """The place with the name of the line, else the one nearest in height: as the weather of the slab is taken."""
    for base, clock in zip(bases, clocks, strict=True):
        if base.name == trip.line.name:
            return clock
    slab_m = max((point.elevation_m for point in route.points if point.kind == "line_foot"), default=0.0)
    apart_m = [abs(base.hours.elevation_m - slab_m) if math.isfinite(slab_m) else 0.0 for base in bases]
    return clocks[int(np.argmin(apart_m))]


def _thunder_chance(nearest: ClockForecast, clocks: Sequence[ClockForecast]) -> Floats:
    """The chance of thunder by the hour; where the nearest place does not say it, the greatest that another says."""
    others = np.fmax.reduce([clock.thunder_chance for clock in clocks])
    return np.where(np.isnan(nearest.thunder_chance), others, nearest.thunder_chance)


def _warmest_clock_s(clock: ClockForecast) -> float:
    """When it is warmest on the date; NaN where not all of it is known."""
    date = (clock.hours.clock_s >= 0.0) & (clock.hours.clock_s < 24 * HOUR_S)
    clock_s, air_C = clock.hours.clock_s[date], clock.hours.temperature_C[0, date]
    if not np.isfinite(air_C).all():
        return math.nan
    warmest_s = clock_s[air_C >= air_C.max() - _AS_WARM_C]
    return float(warmest_s[np.argmin(np.abs(warmest_s - _USUALLY_WARMEST_S))])


def _filled(hours: HourlyWeather, climate: HourlyWeather) -> HourlyWeather:
    """Hours the forecast does not know, from the months, at the forecast's height."""
    usual = at_height(climate, hours.elevation_m)
    return replace(
        hours,
        **{
            name: np.where(hours.known, getattr(hours, name), getattr(usual, name))
            for name in ("temperature_C", "humidity_share", "wind_m_s", "cloud_share", "rain_mm")
        },
    )


def _forecast_says(trip: Trip, forecast: Forecast, issued_clock_s: float) -> str:
    places = len(forecast.places)
    said_by = f", {forecast.said_by}" if forecast.said_by else ""
    made = "; when it was made is not said"
    if math.isfinite(issued_clock_s):
        lead_s = trip.morning_clock_s - issued_clock_s
        made = f"; made {show_duration(lead_s)} before the start" if lead_s >= 0.0 else "; made after the start"
    more = f" for {places} places" if places > 1 else ""
    return f"From the forecast in {trip.weather.forecast}{more}{said_by}{made}."


# --- the months ----------------------------------------------------------------------------------------------------


def _months(typed: Sequence[Month]) -> tuple[MonthClimate, ...]:
    """The months of the file. Raises InputError with every value that no month has."""
    months, problems = [], []
    for i, month in enumerate(typed):
        try:
            months.append(_month(month))
        except ValueError as error:
            problems.append(Problem(str(error), key=f"weather.months[{i}]"))
    if problems:
        raise InputError(problems)
    return tuple(months)


def _month(month: Month) -> MonthClimate:
    def given(value: float | None) -> float:
        return math.nan if value is None else value

    return MonthClimate(
        month=month.month,
        low_C=month.low_C,
        high_C=month.high_C,
        rain_days=given(month.rain_days),
        rain_mm=given(month.rain_m) * 1000.0,
        storm_days=given(month.storm_days),
        humidity_share=given(month.humidity),
        wind_m_s=given(month.wind_m_s),
        cloud_share=given(month.cloud),
    )


def _usual(trip: Trip, route: Route, light: DayLight, months: Sequence[MonthClimate]) -> _Usual:
    on_date, notes = climate_on(months, trip.about.date), []
    elevation_m = trip.weather.months_elevation_m
    if elevation_m is None:
        start_m = route.points[0].elevation_m
        elevation_m = start_m if math.isfinite(start_m) else 0.0
    rise_s, set_s = light.sunrise_clock_s, light.sunset_clock_s
    if not (math.isfinite(rise_s) and math.isfinite(set_s)):
        rise_s, set_s = _NO_SUN_CLOCK_S
        notes.append("the sun does not both rise and set: the air is taken to warm and cool as on a day of 12 hours")
    if on_date.assumed:
        said = ", ".join(_MONTH_WORDS[name] for name in on_date.assumed)
        notes.append(f"the months do not say {said}: usual values")
    rng = np.random.default_rng([trip.about.seed, _CLIMATE_STREAM])
    hours = climate_hours(months, trip.about.date, elevation_m, rise_s, set_s, MEMBERS, rng, HOURS, FIRST_CLOCK_S)
    return _Usual(hours, min(on_date.storm_chance, MOST_STORM_CHANCE), tuple(notes))


def _from_months(trip: Trip, usual: _Usual) -> DayWeather:
    month = calendar.month_name[trip.about.date.month]
    return DayWeather(
        source="months",
        says=f"What is usual in {month}, from the months in the trip file: no forecast of this day.",
        notes=usual.notes,
        bases=(Base("", usual.hours),),
        clock_s=usual.hours.clock_s,
        thunder_chance=np.full(usual.hours.clock_s.shape, math.nan),
        storm_chance=usual.storm_chance,
        issued_clock_s=math.nan,
        attribution="",
    )


_MONTH_WORDS = {
    "spread_C": "how days differ in warmth",
    "rain_days": "days of rain",
    "rain_mm": "rain",
    "storm_days": "days of storm",
    "humidity_share": "humidity",
    "wind_m_s": "wind",
    "cloud_share": "cloud",
}
