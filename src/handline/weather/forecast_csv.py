"""Reading a forecast from CSV: a checked Forecast, or every problem of the file at once.

The columns stand in ``forecast_columns``, each with its unit in its name. Lines that begin with "#" may stand above the
header; "# issued: <time>" and "# source: <words>" are read. Sources: practice_forecast.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from pathlib import Path
from zoneinfo import ZoneInfo

import numpy as np

from handline.errors import InputError, Problem
from handline.weather.forecast import Forecast, ForecastPlace
from handline.weather.forecast_columns import Column
from handline.weather.forecast_header import columns_of
from handline.weather.forecast_sheet import Faults, Sheet, forecast_sheet
from handline.weather.forecast_times import forecast_zone, read_time, seconds
from handline.weather.indices import FloatArray, relative_humidity_share

DEW_POINT_SLACK_C = 0.5
"""By how much rounding may lift a dew point above the temperature."""
LONGEST_WORDS = 200
"""Letters of a place's name or of who says it."""

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
_WITH_COMMA = re.compile(r"[+-]?\d+,\d+", re.ASCII)
_WITH_UNIT = re.compile(r"[+-]?\d+(?:\.\d+)?\s*[^\d\s.,].*", re.ASCII)
_MISSING_CODE = re.compile(r"-?9{2,}(?:\.\d*)?", re.ASCII)
_BLANK = "leave the cell blank where nothing is known"


@dataclass
class _Rows:
    """What the rows say, in SI, one entry a row; NaN where a cell is blank or refused."""

    line: list[int] = field(default_factory=list)
    time_s: list[float] = field(default_factory=list)
    place: list[str] = field(default_factory=list)
    quantities: dict[str, list[float]] = field(default_factory=dict)
    with_offset_line: int | None = None
    without_offset_line: int | None = None
    blanks: dict[str, int] = field(default_factory=dict)


def read_forecast_csv(path: Path, timezone: str) -> Forecast:
    """The forecast in a CSV file.

    Parameters
    ----------
    path : Path
        UTF-8, commas between columns, points in decimals.
    timezone : str
        IANA name; times without an offset are local there.

    Returns
    -------
    Forecast
        Its places by name, each in the order of time.

    Raises
    ------
    InputError
        With every problem of the file; or the one that keeps it from being read at all.

    Sources: practice_forecast for what is believed of a number, bom_wbgt for humidity from a dew point.
    """
    zone = forecast_zone(timezone)
    sheet = forecast_sheet(path)
    faults = Faults()
    issued_s, said_by = _comments(sheet, zone, faults)
    columns = columns_of(sheet, faults)
    rows = _rows(sheet, columns, zone, faults)
    _check_rows(sheet, rows, columns, faults)
    notes = [f"times without an offset are read as local time of {zone.key}"] if rows.without_offset_line else []
    notes += _order_notes(rows, faults)
    humidity = _humidity(rows, faults, notes)
    places = () if faults else tuple(_places(rows, humidity, faults))
    if faults:
        raise InputError(faults.told(path))
    notes += [
        f"{name}: {count} {'cell is' if count == 1 else 'cells are'} blank, so not known"
        for name, count in rows.blanks.items()
    ]
    return Forecast(places=places, issued_s=issued_s, said_by=said_by, notes=tuple(notes))


# --- comments ------------------------------------------------------------------------------------------------------


def _comments(sheet: Sheet, zone: ZoneInfo, faults: Faults) -> tuple[float, str]:
    """When it was made, and who says it."""
    issued_s, said_by, seen = math.nan, "", set()
    for line, text in sheet.comments:
        word, colon, value = (part.strip() for part in text.partition(":"))
        word = word.lower()
        if not colon or word not in ("issued", "source"):
            continue
        problem = Problem("this stands there twice", mend="keep one of them") if word in seen else None
        seen.add(word)
        if word == "source":
            said_by = value
            problem = problem or _unfit_words(value)
        else:
            moment = read_time(value)
            at_s = moment if isinstance(moment, Problem) else seconds(moment, zone)
            if isinstance(at_s, Problem):
                problem = problem or at_s
            else:
                issued_s = at_s
        if problem:
            faults.add(problem.at(key=f"# {word}", line=line))
    return issued_s, said_by


def _unfit_words(words: str) -> Problem | None:
    if len(words) <= LONGEST_WORDS and words.isprintable():
        return None
    return Problem("this is too long or not plain words", read=repr(words[:40]), allowed=f"{LONGEST_WORDS} letters")


# --- rows ----------------------------------------------------------------------------------------------------------


def _rows(sheet: Sheet, columns: dict[int, Column], zone: ZoneInfo, faults: Faults) -> _Rows:
    rows = _Rows(quantities={column.quantity: [] for column in columns.values() if not column.is_text})
    for line, cells in sheet.rows:
        if cells[0].startswith("#"):
            faults.add(Problem("a comment stands below the header", mend="move it to the top", line=line))
            continue
        if len(cells) != len(sheet.header):
            faults.add(_uneven(len(cells), len(sheet.header)).at(line=line))
            continue
        rows.line.append(line)
        time_s, place = math.nan, ""
        for at, column in columns.items():
            if column.quantity == "time":
                time_s = _time(cells[at], line, zone, rows, faults)
            elif column.quantity == "place":
                place = " ".join(cells[at].split())
                if problem := _unfit_words(place):
                    faults.add(problem.at(line=line, key=column.name))
            else:
                rows.quantities[column.quantity].append(_value(cells[at], column, line, rows, faults))
        rows.time_s.append(time_s)
        rows.place.append(place)
    return rows


def _uneven(count: int, wanted: int) -> Problem:
    return Problem(
        "this line has not as many cells as the header",
        read=f"{count}",
        allowed=f"{wanted}",
        mend="keep the commas of blank cells" if count < wanted else "write decimals with a point, not a comma",
    )


def _time(cell: str, line: int, zone: ZoneInfo, rows: _Rows, faults: Faults) -> float:
    moment = read_time(cell)
    if isinstance(moment, Problem):
        faults.add(moment.at(line=line, key="time"))
        return math.nan
    if moment.tzinfo is None:
        rows.without_offset_line = rows.without_offset_line or line
    else:
        rows.with_offset_line = rows.with_offset_line or line
    time_s = seconds(moment, zone)
    if isinstance(time_s, Problem):
        faults.add(time_s.at(line=line, key="time"))
        return math.nan
    return time_s


def _value(cell: str, column: Column, line: int, rows: _Rows, faults: Faults) -> float:
    if not cell:
        if column.quantity != "elevation":
            rows.blanks[column.name] = rows.blanks.get(column.name, 0) + 1
        return math.nan
    if not _NUMBER.fullmatch(cell):
        faults.add(_unreadable(cell).at(line=line, key=column.name))
        return math.nan
    number = float(cell)
    rounding = 1e-9 * (column.highest - column.lowest)
    if not column.lowest - rounding <= number <= column.highest + rounding:
        faults.add(_unbelieved(cell, number, column).at(line=line, key=column.name))
        return math.nan
    return column.to_si(number)


def _unreadable(cell: str) -> Problem:
    mend = _BLANK
    if _WITH_COMMA.fullmatch(cell):
        mend = f"write a point in decimals: {cell.replace(',', '.')}"
    elif _WITH_UNIT.fullmatch(cell):
        mend = "write the number alone: its unit stands in the name of the column"
    return Problem("this is not a number", read=cell[:40], mend=mend)


def _unbelieved(cell: str, number: float, column: Column) -> Problem:
    if number < column.lowest:
        what, mend = "this number is too low", _BLANK
    else:
        what, mend = "this number is too high", "see that the unit is the one in the column's name"
        for start, words in column.looks_like:
            mend = words if number >= start else mend
    if _MISSING_CODE.fullmatch(cell):
        mend = _BLANK
    return Problem(what, read=cell[:40], allowed=f"{column.lowest:g} to {column.highest:g} {column.unit}", mend=mend)


# --- what rows say together ----------------------------------------------------------------------------------------


def _check_rows(sheet: Sheet, rows: _Rows, columns: dict[int, Column], faults: Faults) -> None:
    if not sheet.rows:
        faults.add(Problem("there are no rows below the header", line=sheet.header_line))
    first, second = rows.with_offset_line, rows.without_offset_line
    if first is not None and second is not None:
        have = "has no offset" if second > first else "has an offset"
        faults.add(
            Problem(
                f"this time {have}, and that of line {min(first, second)} is otherwise",
                mend="write an offset (such as -06:00 or Z) on all times, or on none",
                line=max(first, second),
                key="time",
            )
        )
    for column in columns.values():
        if column.unit == "per cent":
            _check_per_cent(column, rows, faults)
    if any(rows.place) and not all(rows.place):
        line = rows.line[rows.place.index("")]
        faults.add(Problem("no place here, but other lines have one", mend="name it", line=line, key="place"))


def _check_per_cent(column: Column, rows: _Rows, faults: Faults) -> None:
    """A column of shares from 0 to 1 would be read as next to nothing."""
    per_cent = np.array(rows.quantities[column.quantity]) / column.factor
    known = per_cent[np.isfinite(per_cent)]
    if known.size and known.max() <= 1.0 and bool(np.any((known > 0.0) & (known < 1.0))):
        at = int(np.flatnonzero((per_cent > 0.0) & (per_cent < 1.0))[0])
        faults.add(
            Problem(
                "these look like shares from 0 to 1, not per cent",
                read=f"{per_cent[at]:g}",
                allowed="0 to 100",
                mend="write 40 for 40 per cent; chances below one per cent are written 0 or 1",
                line=rows.line[at],
                key=column.name,
            )
        )


def _order_notes(rows: _Rows, faults: Faults) -> list[str]:
    """Whether rows were out of order; an hour that a place has twice is a fault."""
    seen: dict[tuple[str, float], int] = {}
    last: dict[str, float] = {}
    moved = 0
    for line, place, time_s in zip(rows.line, rows.place, rows.time_s, strict=True):
        if math.isnan(time_s):
            continue
        before = seen.setdefault((place, time_s), line)
        if before != line:
            where = f' for "{place}"' if place else ""
            faults.add(
                Problem(
                    f"this time is there twice{where}",
                    read=f"lines {before} and {line}",
                    mend="keep one of them; several places need a column place",
                    line=line,
                    key="time",
                )
            )
        moved += time_s < last.get(place, -math.inf)
        last[place] = max(time_s, last.get(place, -math.inf))
    return ["the rows were not in the order of time: sorted"] if moved else []


def _humidity(rows: _Rows, faults: Faults, notes: list[str]) -> FloatArray:
    """The humidity column, and where it says nothing the dew point's."""
    count = len(rows.line)
    given = np.array(rows.quantities.get("humidity", [math.nan] * count), float)
    if "dew_point" not in rows.quantities or "temperature" not in rows.quantities:
        return given
    temperature_C, dew_C = np.array(rows.quantities["temperature"]), np.array(rows.quantities["dew_point"])
    for at in np.flatnonzero(dew_C > temperature_C + DEW_POINT_SLACK_C):
        faults.add(
            Problem(
                "the dew point is above the temperature",
                read=f"{dew_C[at]:.1f} C above {temperature_C[at]:.1f} C",
                allowed="a dew point up to the temperature",
                mend="see that the two columns are not changed over",
                line=rows.line[int(at)],
                key="dew_point",
            )
        )
    from_dew = np.isnan(given) & np.isfinite(dew_C) & np.isfinite(temperature_C)
    over = from_dew & (dew_C > temperature_C)
    if over.any():
        notes.append(f"dew points a little above the temperature, taken as full humidity: {int(over.sum())}")
    if "humidity" in rows.quantities:
        notes.append(f"humidity is read from its own column; from the dew point where that is blank: {from_dew.sum()}")
    else:
        notes.append("humidity is worked out from the dew point")
    share = np.where(over, 1.0, relative_humidity_share(temperature_C, np.minimum(dew_C, temperature_C)))
    return np.where(from_dew, share, given)


def _places(rows: _Rows, humidity: FloatArray, faults: Faults) -> list[ForecastPlace]:
    time_s, names = np.array(rows.time_s), np.array(rows.place)
    unsaid = np.full(len(rows.line), math.nan)
    quantity = {name: np.array(values) for name, values in rows.quantities.items()}
    places = []
    for name in sorted(set(rows.place)):
        own = np.flatnonzero(names == name)
        own = own[np.argsort(time_s[own], kind="stable")]
        heights = quantity.get("elevation", unsaid)[own]
        known = np.unique(heights[np.isfinite(heights)])
        if known.size > 1:
            odd = int(np.flatnonzero(np.isfinite(heights) & (heights != heights[np.isfinite(heights)][0]))[0])
            faults.add(
                Problem(
                    f'"{name}" has two heights' if name else "one place has two heights",
                    read=f"{known[0]:g} and {known[-1]:g} m",
                    mend="one height for each place; several places need a column place",
                    line=rows.line[int(own[odd])],
                    key="elevation",
                )
            )
        if not np.isfinite(quantity["temperature"][own]).any():
            where = f' for "{name}"' if name else ""
            faults.add(Problem(f"there is no temperature at all{where}", line=rows.line[int(own[0])]))
        of = {key: quantity.get(key, unsaid)[own] for key in _FIELDS.values()}
        places.append(
            ForecastPlace(
                name=name,
                elevation_m=float(known[0]) if known.size else math.nan,
                time_s=time_s[own],
                humidity_share=humidity[own],
                **{field_name: of[key] for field_name, key in _FIELDS.items()},
            )
        )
    return places


_FIELDS = {
    "temperature_C": "temperature",
    "wind_m_s": "wind",
    "gust_m_s": "gust",
    "cloud_share": "cloud",
    "rain_mm": "rain",
    "rain_chance": "rain_chance",
    "thunder_chance": "thunder_chance",
}
