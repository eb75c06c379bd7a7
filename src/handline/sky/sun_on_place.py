"""When the sun reaches a place over its own horizon and leaves it, and how it falls on a slab hour by hour.

The sun shines on a place from when its upper edge comes over the horizon: as at sunrise, but over the ground that is
there, and with the refraction of that altitude. Its whole disc follows some minutes later. On a slab that looks to a
known side it shines only while its centre also stands before the slab's own plane.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.sky.curve import Curve, FloatArray
from handline.sky.ephemeris import check_date, open_sky
from handline.sky.horizon import Horizon
from handline.sky.season_light import runs_of_dates, solar_days_s
from handline.sky.sky_table import SkyTable, tabulate
from handline.sky.zones import DAY_S, HALF_DAY_S, midnight_utc_s

SUN_RADIUS_DEG = 16.0 / 60.0
"""Half the width of the sun, as in the definition of sunrise. Sources: usno_rise_set."""
REFRACTION_LOWEST_DEG = -1.9
"""True altitude under which the refraction formula turns round. Sources: saemundsson_1986."""
SLOPE_OUT_OF_RANGE = "slope_out_of_range"
"""Flag: some slope is not from level to upright; its incidence is NaN."""

_FINE_S = 60.0
_SUB_STEPS = 12
_HOUR_S = 3600.0
_SOURCES = ("usno_rise_set", "jpl_de421", "saemundsson_1986", "spherical_astronomy")


@dataclass(frozen=True)
class Plane:
    """How a slab lies: 0 is level and pi / 2 upright [rad]; where it looks down to, from north by east [deg]."""

    slope_rad: float
    facing_deg: float


@dataclass(frozen=True)
class SunOnPlace:
    """When the sun shines on a place on one date; clock times as in ``zones.py`` [s].

    ``spans_clock_s`` (k, 2) are its spans in order, within the day from one lowest sun to the next, and cut there.
    ``first_clock_s`` and ``last_clock_s`` are where the first begins and the last ends: NaN where there is none, or
    where the sun shines at that end of the day. ``notes`` are those of the horizon.
    """

    date: dt.date
    timezone: str
    spans_clock_s: FloatArray
    first_clock_s: float
    last_clock_s: float
    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = _SOURCES


@dataclass(frozen=True)
class SunHours:
    """The sun on a slab, for the hours that begin at some clock times; arrays of their shape.

    ``altitude_deg`` and ``azimuth_deg`` are of the sun's centre at the middle of the hour, as it is seen, refraction
    included [deg]. ``shines_share`` is the share of the hour with sun over the horizon, and not behind a slab whose
    facing is known [1]. ``incidence_cos`` is the mean over the hour of the cosine of the angle between sun and
    slab's normal, zero while the sun is behind the horizon or behind the slab [1].
    """

    altitude_deg: FloatArray
    azimuth_deg: FloatArray
    shines_share: FloatArray
    incidence_cos: FloatArray
    flags: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    sources: tuple[str, ...] = _SOURCES


def refraction_deg(true_altitude_deg: npt.ArrayLike) -> FloatArray:
    """By how much air lifts what stands at an altitude.

    R['] = 1.02 / tan(h + 10.3 / (h + 5.11)), h in degrees

    Parameters
    ----------
    true_altitude_deg : array_like
        Without refraction [deg].

    Returns
    -------
    array, shape of ``true_altitude_deg``
        [deg]. Below ``REFRACTION_LOWEST_DEG``, where the formula would fall again, it keeps the value there: real air
        lifts more, so a sun seen so far under level comes a little late and goes a little early.

    Validity: 1010 hPa and 10 C; at 3000 m air lifts by a third less. Within a minute of arc or so in mean air; near
    the horizon real air differs by many. The 0.002 minutes that it gives at the zenith are left in it.
    Sources: saemundsson_1986.
    """
    altitude = np.maximum(np.asarray(true_altitude_deg, dtype=float), REFRACTION_LOWEST_DEG)
    return np.asarray(1.02 / 60.0 / np.tan(np.radians(altitude + 10.3 / (altitude + 5.11))))


def incidence(
    altitude_deg: npt.ArrayLike, azimuth_deg: npt.ArrayLike, slope_rad: npt.ArrayLike, facing_deg: npt.ArrayLike
) -> FloatArray:
    """Cosine of the angle between the sun and the normal of a slab; below zero the sun is behind it.

    cos(i) = cos(slope) sin(h) + sin(slope) cos(h) cos(azimuth - facing)

    Parameters
    ----------
    altitude_deg, azimuth_deg : array_like
        Of the sun [deg].
    slope_rad : array_like
        0 is level, pi / 2 upright [rad].
    facing_deg : array_like
        Where the slab looks down to, from north by east [deg]; NaN, not known, counts as level ground.

    Returns
    -------
    array, of the shape that the arguments broadcast to; NaN where a slope is not from 0 to pi / 2.

    Sources: spherical_astronomy.
    """
    slope, facing = np.asarray(slope_rad, dtype=float), np.asarray(facing_deg, dtype=float)
    slope = np.where((slope >= 0.0) & (slope <= math.pi / 2.0), slope, np.nan)
    altitude = np.radians(altitude_deg)
    away = np.radians(np.asarray(azimuth_deg, dtype=float) - np.where(np.isnan(facing), 0.0, facing))
    tilted = np.cos(slope) * np.sin(altitude) + np.sin(slope) * np.cos(altitude) * np.cos(away)
    return np.where(np.isnan(facing) & ~np.isnan(slope), np.sin(altitude), tilted)


def sun_on_place(
    latitude_deg: float,
    longitude_deg: float,
    date: dt.date,
    timezone: str,
    horizon: Horizon,
    plane: Plane | None = None,
) -> SunOnPlace:
    """When the sun shines on a place on one date, over its own horizon, and on a slab that lies there.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        North and east are positive [deg].
    date : datetime.date
        The local date.
    timezone : str
        IANA name.
    horizon : Horizon
        What the eye sees from there; ``LEVEL`` for a plain.
    plane : Plane, optional
        Of a slab: what shines on it only from behind, ``incidence`` below 0, is left out.

    Returns
    -------
    SunOnPlace
        Looked at every minute: sun or shade of less than a minute may be missed.

    Raises
    ------
    InputError
        A place that is not on Earth, a date out of reach, an unknown time zone.

    Validity: as ``day_light`` and ``refraction_deg``. Clouds and trees are not in it.
    Sources: usno_rise_set, jpl_de421, saemundsson_1986, spherical_astronomy.
    """
    return season_sun(latitude_deg, longitude_deg, [date], timezone, horizon, plane)[0]


def season_sun(
    latitude_deg: float,
    longitude_deg: float,
    dates: Sequence[dt.date],
    timezone: str,
    horizon: Horizon,
    plane: Plane | None = None,
) -> tuple[SunOnPlace, ...]:
    """``sun_on_place`` of each date, in their order; the ephemeris is opened once. Raises InputError."""
    for date in dates:
        check_date(date)
    midnight_s = {date: midnight_utc_s(date, timezone) for date in sorted(set(dates))}
    found: dict[dt.date, SunOnPlace] = {}
    with open_sky(latitude_deg, longitude_deg) as sky:
        for run in runs_of_dates(midnight_s):
            first_s, last_s = midnight_s[run[0]], midnight_s[run[-1]]
            table = tabulate(sky, latitude_deg, first_s - DAY_S, last_s + 2.0 * DAY_S, moon=False)
            day_s = solar_days_s(table, np.array([midnight_s[date] for date in run]) + HALF_DAY_S)
            for date, (start_s, _, end_s) in zip(run, day_s, strict=True):
                spans_s = _spans_s(table, horizon, plane, float(start_s), float(end_s))
                found[date] = _on_date(date, timezone, midnight_s[date], spans_s, (start_s, end_s), horizon.notes)
    return tuple(found[date] for date in dates)


def sun_hours(
    latitude_deg: float,
    longitude_deg: float,
    date: dt.date,
    timezone: str,
    clock_s: npt.ArrayLike,
    horizon: Horizon,
    slope_rad: npt.ArrayLike,
    facing_deg: npt.ArrayLike,
) -> SunHours:
    """How the sun falls on a slab in the hours that begin at ``clock_s``.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        North and east are positive [deg].
    date : datetime.date
        The local date whose midnight is zero on the clock.
    timezone : str
        IANA name.
    clock_s : array_like
        Where each hour begins [s].
    horizon : Horizon
        As seen from the slab.
    slope_rad, facing_deg : array_like
        As in ``incidence``, of a shape that broadcasts to that of ``clock_s``.

    Returns
    -------
    SunHours
        Means over every five minutes.

    Raises
    ------
    InputError
        A place that is not on Earth, a date out of reach, an unknown time zone.
    ValueError
        A clock time that is not finite, shapes that do not fit.

    Validity: as ``sun_on_place``. Sources: usno_rise_set, jpl_de421, saemundsson_1986, spherical_astronomy.
    """
    check_date(date)
    begins_s = np.asarray(clock_s, dtype=float) + midnight_utc_s(date, timezone)
    if not np.all(np.isfinite(begins_s)):
        raise ValueError("an hour must begin at a finite clock time")
    slope, facing = (np.broadcast_to(np.asarray(value, float), begins_s.shape) for value in (slope_rad, facing_deg))
    if not begins_s.size:
        return SunHours(begins_s, begins_s, begins_s, begins_s, notes=horizon.notes)
    with open_sky(latitude_deg, longitude_deg) as sky:
        table = tabulate(sky, latitude_deg, float(begins_s.min()), float(begins_s.max()) + _HOUR_S, moon=False)
    parts_s = begins_s[..., None] + (np.arange(_SUB_STEPS) + 0.5) * (_HOUR_S / _SUB_STEPS)
    altitude_deg, azimuth_deg = _seen(table, parts_s)
    shines = altitude_deg + SUN_RADIUS_DEG > horizon.altitude_at(azimuth_deg)
    cosine = incidence(altitude_deg, azimuth_deg, slope[..., None], facing[..., None])
    behind = ~np.isnan(facing[..., None]) & (cosine <= 0.0)
    middle_altitude_deg, middle_azimuth_deg = _seen(table, begins_s + 0.5 * _HOUR_S)
    return SunHours(
        altitude_deg=middle_altitude_deg,
        azimuth_deg=middle_azimuth_deg,
        shines_share=np.mean(shines & ~behind, axis=-1),
        incidence_cos=np.mean(np.where(shines | np.isnan(cosine), np.maximum(cosine, 0.0), 0.0), axis=-1),
        flags=(SLOPE_OUT_OF_RANGE,) if bool(np.any(np.isnan(cosine))) else (),
        notes=horizon.notes,
    )


def _seen(table: SkyTable, time_s: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Altitude of the sun's centre with refraction, and its azimuth [deg]."""
    altitude_deg, azimuth_deg = table.sun_altaz_deg(time_s)
    return altitude_deg + refraction_deg(altitude_deg), azimuth_deg


def _spans_s(table: SkyTable, horizon: Horizon, plane: Plane | None, start_s: float, end_s: float) -> FloatArray:
    """Where the sun's upper edge is over the horizon, and its centre before the plane [s], shape (k, 2)."""

    def hidden_deg(time_s: FloatArray) -> FloatArray:
        altitude_deg, azimuth_deg = table.sun_altaz_deg(time_s)
        edge_deg = altitude_deg + SUN_RADIUS_DEG
        below_deg = horizon.altitude_at(azimuth_deg) - edge_deg - refraction_deg(edge_deg)
        if plane is None:
            return below_deg
        seen_deg = altitude_deg + refraction_deg(altitude_deg)
        cosine = incidence(seen_deg, azimuth_deg, plane.slope_rad, plane.facing_deg)
        return np.maximum(below_deg, -np.degrees(np.arcsin(np.clip(cosine, -1.0, 1.0))))

    time_s = np.linspace(start_s, end_s, int(np.ceil((end_s - start_s) / _FINE_S)) + 1)
    return Curve(hidden_deg, time_s, hidden_deg(time_s)).spans_below(0.0)


def _on_date(
    date: dt.date,
    timezone: str,
    midnight_s: float,
    spans_s: FloatArray,
    day_s: tuple[float, float],
    notes: tuple[str, ...],
) -> SunOnPlace:
    comes = len(spans_s) > 0 and spans_s[0, 0] > day_s[0]
    goes = len(spans_s) > 0 and spans_s[-1, 1] < day_s[1]
    return SunOnPlace(
        date=date,
        timezone=timezone,
        spans_clock_s=spans_s - midnight_s,
        first_clock_s=float(spans_s[0, 0]) - midnight_s if comes else math.nan,
        last_clock_s=float(spans_s[-1, 1]) - midnight_s if goes else math.nan,
        notes=notes,
    )
