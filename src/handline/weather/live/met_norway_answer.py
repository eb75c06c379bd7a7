"""The "complete" answer of the Norwegian service's Locationforecast 2.0, read into a Forecast.

Its units are read with it: another unit than the known one is an error, never a guess.
Sources: met_norway_locationforecast.
"""

from __future__ import annotations

import json
import math
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

import numpy as np
from numpy.typing import NDArray

from handline.errors import InputError, Problem
from handline.weather.forecast import Forecast, ForecastPlace
from handline.weather.forecast_columns import COLUMNS, QUANTITIES
from handline.weather.live.asking import NoAnswerError
from handline.weather.live.rain_spans import chance_to_next, rain_to_next

FloatArray = NDArray[np.float64]

ANSWER = "the service's answer"
_BAD_SHOWN = 3
# The answer names the place it is for: one farther off than this is an answer to another question.
_ANOTHER_PLACE_DEG = 0.1
_ANOTHER_HEIGHT_M = 1.0


@dataclass(frozen=True)
class Amount:
    """One amount of the answer: its unit there, our column of the same unit, and what a user calls it."""

    unit: str
    column: str
    words: str


AMOUNTS = {
    "air_temperature": Amount("celsius", "temperature_C", "temperature"),
    "relative_humidity": Amount("%", "humidity_pct", "humidity"),
    "wind_speed": Amount("m/s", "wind_m_s", "wind"),
    "wind_speed_of_gust": Amount("m/s", "gust_m_s", "gusts"),
    "cloud_area_fraction": Amount("%", "cloud_pct", "cloud"),
    "precipitation_amount": Amount("mm", "rain_mm", "rain"),
    "probability_of_precipitation": Amount("%", "rain_chance_pct", "the chance of rain"),
    "probability_of_thunder": Amount("%", "thunder_chance_pct", "the chance of thunder"),
}
INSTANT, ONE_HOUR, SIX_HOURS = "instant", "next_1_hours", "next_6_hours"
AT_ONCE = ("air_temperature", "relative_humidity", "wind_speed", "wind_speed_of_gust", "cloud_area_fraction")
RAIN, RAIN_CHANCE, THUNDER_CHANCE = "precipitation_amount", "probability_of_precipitation", "probability_of_thunder"


def read_answer(
    body: bytes, *, latitude_deg: float, longitude_deg: float, elevation_m: float, said_by: str
) -> Forecast:
    """The forecast in an answer to a question for one place.

    Parameters
    ----------
    body : bytes
        The answer, GeoJSON.
    latitude_deg, longitude_deg, elevation_m : float
        The place that was asked for [deg, m]; the height is NaN where none was.
    said_by : str
        Handed through.

    Returns
    -------
    Forecast
        One place without a name. What the answer leaves out is NaN, and the notes say how much of it.

    Raises
    ------
    NoAnswerError
        No JSON, or cut off.
    InputError
        JSON of another form, another unit, or another place: all problems together.

    Notes
    -----
    Sources: met_norway_locationforecast.
    """
    reading = _Reading(_json(body))
    reading.check_place(latitude_deg, longitude_deg)
    time_s = reading.times()
    issued_s = reading.issued_s()
    at = {name: reading.amounts(INSTANT, name) for name in AT_ONCE}
    one, six = (
        {name: reading.amounts(span, name) for name in (RAIN, RAIN_CHANCE, THUNDER_CHANCE)}
        for span in (ONE_HOUR, SIX_HOURS)
    )
    if reading.problems:
        raise InputError([problem.at(file=ANSWER) for problem in reading.problems])
    rain = rain_to_next(time_s, one[RAIN], six[RAIN])
    rain_chance, rain_longer = chance_to_next(time_s, one[RAIN_CHANCE], six[RAIN_CHANCE])
    thunder_chance, thunder_longer = chance_to_next(time_s, one[THUNDER_CHANCE], six[THUNDER_CHANCE])
    reading.note_height(elevation_m)
    ahead = {RAIN: rain.rain_mm, RAIN_CHANCE: rain_chance, THUNDER_CHANCE: thunder_chance}
    # A forecast ends at its last time: that it says nothing of what comes after is no gap in it.
    reading.note_missing({**at, **{name: values[:-1] for name, values in ahead.items()}})
    reading.note_spans(rain.spread, rain.short, rain_longer + thunder_longer)
    place = ForecastPlace(
        name="",
        elevation_m=reading.elevation_m if math.isfinite(reading.elevation_m) else elevation_m,
        time_s=time_s,
        temperature_C=at["air_temperature"],
        humidity_share=at["relative_humidity"],
        wind_m_s=at["wind_speed"],
        gust_m_s=at["wind_speed_of_gust"],
        cloud_share=at["cloud_area_fraction"],
        rain_mm=rain.rain_mm,
        rain_chance=rain_chance,
        thunder_chance=thunder_chance,
    )
    return Forecast((place,), issued_s, said_by, tuple(reading.notes))


def _json(body: bytes) -> Any:
    try:
        return json.loads(body.decode("utf-8"), parse_constant=_refuse)
    except (ValueError, RecursionError):
        raise NoAnswerError("the answer was no whole JSON") from None


def _refuse(constant: str) -> float:
    raise ValueError(f"{constant} is no JSON")


def _inside(value: Any, *keys: str) -> Any:
    """What lies under these keys, None where the way there is missing."""
    for key in keys:
        value = value.get(key) if isinstance(value, dict) else None
    return value


def _number(value: Any) -> float | None:
    """A finite number, or None for whatever else it is."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        return float(value) if math.isfinite(value) else None
    except OverflowError:
        return None


def _time_s(value: Any) -> float | None:
    """An ISO 8601 time with its zone [s UTC], or None."""
    try:
        read = datetime.fromisoformat(value)
    except (TypeError, ValueError):
        return None
    return read.timestamp() if read.tzinfo is not None else None


@dataclass
class _Reading:
    """One answer as it is gone through, with what is wrong in it and what is to be said of it."""

    document: Any
    problems: list[Problem] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        steps = _inside(self.document, "properties", "timeseries")
        self.steps: list[Any] = steps if isinstance(steps, list) else []
        position = _inside(self.document, "geometry", "coordinates")
        self.position = [_number(part) for part in position] if isinstance(position, list) else []
        height_m = self.position[2] if len(self.position) > 2 else None
        believed = QUANTITIES["elevation"]
        self.elevation_m = math.nan if height_m is None else height_m
        if height_m is not None and not believed.lowest <= height_m <= believed.highest:
            self.notes.append(f"a height of {height_m:g} m is not believed and left out")
            self.elevation_m = math.nan

    def wrong(self, what: str, key: str, read: Any = None, allowed: str | None = None) -> None:
        """Take down a problem of the answer's form, which its reader cannot mend."""
        shown = None if read is None else str(read)[:60]
        mend = "the service may have changed its form: type the forecast into a CSV file"
        self.problems.append(Problem(what, read=shown, allowed=allowed, mend=mend, key=key))

    def check_place(self, latitude_deg: float, longitude_deg: float) -> None:
        """The answer must be for the place that was asked for."""
        key = "geometry.coordinates"
        longitude, latitude = (*self.position, None, None)[:2]
        if latitude is None or longitude is None:
            self.wrong("the answer does not say which place it is for", key)
            return
        east_deg = abs((longitude - longitude_deg + 180.0) % 360.0 - 180.0)
        if max(abs(latitude - latitude_deg), east_deg) > _ANOTHER_PLACE_DEG:
            place = f"{latitude:.4f}, {longitude:.4f}"
            self.wrong("the answer is for another place", key, place, f"{latitude_deg:.4f}, {longitude_deg:.4f}")

    def times(self) -> FloatArray:
        """The times of the answer (n,) [s UTC], which must rise."""
        key = "properties.timeseries"
        read = [_time_s(_inside(step, "time")) for step in self.steps]
        bad = [i for i, at in enumerate(read) if at is None]
        for i in bad[:_BAD_SHOWN]:
            self.wrong("no time with its zone", f"{key}[{i}].time", _inside(self.steps[i], "time"), "ISO 8601 with Z")
        if len(bad) > _BAD_SHOWN:
            self.wrong(f"no time with its zone in {len(bad) - _BAD_SHOWN} more", key)
        if not self.steps:
            self.wrong("the answer holds no times", key)
        times = np.array([math.nan if at is None else at for at in read])
        if not bad and np.any(np.diff(times) <= 0.0):
            self.wrong("the times do not rise", key)
        return times

    def issued_s(self) -> float:
        """When the forecast was made [s UTC], NaN where it is not said."""
        made = _time_s(_inside(self.document, "properties", "meta", "updated_at"))
        if made is None:
            self.notes.append("the service does not say when the forecast was made")
            return math.nan
        return made

    def amounts(self, span: str, name: str) -> FloatArray:
        """One amount at every time (n,), as a Forecast holds it; NaN where it is left out or past belief."""
        found = [_inside(step, "data", span, "details", name) for step in self.steps]
        amount = AMOUNTS[name]
        column = COLUMNS[amount.column]
        values = np.full(len(found), math.nan)
        bad = []
        for i, value in enumerate(found):
            number = _number(value)
            if number is not None:
                values[i] = number
            elif value is not None:
                bad.append(i)
        if bad:
            key = f"properties.timeseries[{bad[0]}].data.{span}.details.{name}"
            self.wrong(f"no number, here and {len(bad) - 1} times more", key, found[bad[0]], "a number")
        if np.any(np.isfinite(values)):
            self._check_unit(name, amount.unit)
        beyond = (values < column.lowest) | (values > column.highest)
        if np.any(beyond):
            values[beyond] = math.nan
            limits = f"{column.lowest:g} to {column.highest:g} {column.unit}"
            self.notes.append(f"{amount.words}: {np.sum(beyond)} values outside {limits} left out")
        return (values - column.zero) * column.factor

    def _check_unit(self, name: str, unit: str) -> None:
        said = _inside(self.document, "properties", "meta", "units", name)
        key = f"properties.meta.units.{name}"
        if said != unit and not any(problem.key == key for problem in self.problems):
            self.wrong("another unit than the known one" if said is not None else "no unit", key, said, unit)

    def note_height(self, asked_m: float) -> None:
        """Say where the forecast is for another height than was asked."""
        if abs(self.elevation_m - asked_m) > _ANOTHER_HEIGHT_M:
            self.notes.append(f"the forecast is for {self.elevation_m:.0f} m, asked for {asked_m:.0f} m")

    def note_missing(self, values: dict[str, FloatArray]) -> None:
        """Say what the forecast leaves out, and how much of it."""
        for name, series in values.items():
            missing = int(np.sum(np.isnan(series)))
            if missing and missing == len(series):
                self.notes.append(f"the forecast says nothing of {AMOUNTS[name].words}")
            elif missing:
                self.notes.append(f"the forecast leaves out {AMOUNTS[name].words} at {missing} of {len(series)} times")

    def note_spans(self, spread: int, short: int, longer: int) -> None:
        """Say where an amount or chance of six hours stands for fewer."""
        if spread:
            self.notes.append(f"rain at {spread} times is an even part of six hours' rain")
        if short:
            self.notes.append(f"six hours' rain is less than its single hours at {short} times: the single hours stand")
        if longer:
            self.notes.append(f"{longer} chances are those of six hours, for fewer: the careful side")
