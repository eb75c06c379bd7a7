"""A forecast in Handline's own CSV form, which ``forecast_csv`` reads back."""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from decimal import Decimal
from types import MappingProxyType

import numpy as np

from handline.weather.forecast import FloatArray, Forecast, ForecastPlace
from handline.weather.forecast_columns import COLUMNS, Column

_VALUES: Mapping[str, Callable[[ForecastPlace], FloatArray | float]] = MappingProxyType(
    {
        "elevation_m": lambda place: place.elevation_m,
        "temperature_C": lambda place: place.temperature_C,
        "humidity_pct": lambda place: place.humidity_share,
        "wind_m_s": lambda place: place.wind_m_s,
        "gust_m_s": lambda place: place.gust_m_s,
        "cloud_pct": lambda place: place.cloud_share,
        "rain_mm": lambda place: place.rain_mm,
        "rain_chance_pct": lambda place: place.rain_chance,
        "thunder_chance_pct": lambda place: place.thunder_chance,
    }
)
"""The columns written, of all those that are read, and what stands in them."""


def forecast_csv_text(forecast: Forecast) -> str:
    """The forecast as CSV text: comment lines, a header, a row for each place and time.

    Parameters
    ----------
    forecast : Forecast
        Of one place or more.

    Returns
    -------
    str
        Numbers in the fewest digits that read back as the same number; nothing where a value is not known. The notes
        stand as comments.

    Notes
    -----
    A column of per cents none of which is above 1 would be taken for shares; the ones below 1 are then written as 1,
    the careful side for a chance, and a comment says so.
    """
    comments, columns = list(forecast.notes), []
    for name, of_place in _VALUES.items():
        column = COLUMNS[name]
        in_si = np.concatenate([np.broadcast_to(of_place(place), place.time_s.shape) for place in forecast.places])
        written = [_number(float(value), column) for value in in_si]
        if column.unit == "per cent" and _look_like_shares(written):
            written = ["1" if number and float(number) > 0.0 else number for number in written]
            comments.append(f"{name}: less than one per cent is written as 1")
        columns.append(written)
    times = [_time(float(at)) for place in forecast.places for at in place.time_s]
    names = [_one_line(place.name) for place in forecast.places for _ in place.time_s]
    text = io.StringIO()
    if math.isfinite(forecast.issued_s):
        text.write(f"# issued: {_time(forecast.issued_s)}\n")
    if forecast.said_by:
        text.write(f"# source: {_one_line(forecast.said_by)}\n")
    text.writelines(f"# note: {_one_line(note)}\n" for note in comments)
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(("time", "place", *_VALUES))
    writer.writerows(zip(times, names, *columns, strict=True))
    return text.getvalue()


def _look_like_shares(written: list[str]) -> bool:
    """Whether a reader would take per cents for shares: none is above 1, and some are between 0 and 1."""
    numbers = [float(number) for number in written if number]
    return max(numbers, default=0.0) <= 1.0 and any(0.0 < number < 1.0 for number in numbers)


def _one_line(words: str) -> str:
    """A row and a comment are one line each."""
    return " ".join(words.split())


def _time(at_s: float) -> str:
    at = datetime.fromtimestamp(at_s, UTC)
    return f"{at.isoformat().removesuffix('+00:00')}Z"


def _number(value: float, column: Column) -> str:
    """The fewest digits that the column reads back as the value; where none do, digits that miss it in the last bit."""
    if not math.isfinite(value):
        return ""
    in_unit = value / column.factor + column.zero
    tries = [f"{in_unit:.{digits}g}" for digits in range(1, 17)]
    return _plain(Decimal(next((tried for tried in tries if column.to_si(float(tried)) == value), repr(in_unit))))


def _plain(value: Decimal) -> str:
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
