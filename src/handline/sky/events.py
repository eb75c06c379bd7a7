"""The light of one day: when it gets light, when it gets dark, and what the moon does.

A day here runs from one lowest sun to the next, around the noon nearest to 12:00 on the clock. So dawn comes before
noon and dusk after it, even where the sun sets after midnight: then its clock time is past 24:00.
Heights of the ground and the horizon are not in it: rise and set are those of a level horizon at sea level.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np

from handline.sky.curve import Crossings, Curve, sample
from handline.sky.ephemeris import Sky, check_date, open_sky
from handline.sky.zones import DAY_S, HALF_DAY_S, midnight_utc_s, utc_offset_s

SUNRISE_ALTITUDE_DEG = -0.833
"""Of the sun's centre at rise and set: 34 minutes of arc of refraction, 16 half its width. Sources: usno_rise_set."""
CIVIL_ALTITUDE_DEG = -6.0
"""Of the sun's centre where civil twilight begins or ends. Sources: usno_rise_set."""

POLAR: Mapping[str, str] = MappingProxyType(
    {
        "": "the sun rises and sets",
        "sun_up_all_day": "the sun does not set",
        "twilight_all_night": "the sun goes down, but it does not get dark",
        "sun_down_all_day": "the sun does not rise; there is some twilight",
        "twilight_all_day": "the sun does not rise; there is twilight all day",
        "dark_all_day": "the sun does not rise and there is no twilight",
    }
)
"""What kind of day it is, in words. A day with only one rise or one set is an ordinary one."""


@dataclass(frozen=True)
class DayLight:
    """Sun and moon over one place on one date.

    Clock times are in seconds after local midnight of the date (see ``zones.py``) and NaN where there is no such event.
    ``polar`` is a key of ``POLAR``. The moon's rise and set are the first from 00:00 to 24:00; its lit share and its
    phase (0 new, 90 waxing half, 180 full) are those at 12:00; ``moon_up_at_midnight`` is at 00:00.
    """

    date: dt.date
    timezone: str
    utc_offset_s: float
    civil_dawn_clock_s: float
    sunrise_clock_s: float
    noon_clock_s: float
    sunset_clock_s: float
    civil_dusk_clock_s: float
    noon_altitude_deg: float
    polar: str
    moonrise_clock_s: float
    moonset_clock_s: float
    moon_lit_share: float
    moon_phase_deg: float
    moon_up_at_midnight: bool
    sources: tuple[str, ...] = ("usno_rise_set", "jpl_de421")


def day_light(latitude_deg: float, longitude_deg: float, date: dt.date, timezone: str) -> DayLight:
    """The light of one day.

    Rise and set: the sun's centre at -0.833 degrees; civil twilight: at -6 degrees; noon: the sun on the meridian.
    Moonrise and moonset: the upper limb on the horizon with 34 minutes of arc of refraction.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        North and east are positive [deg].
    date : datetime.date
        The local date.
    timezone : str
        IANA name.

    Returns
    -------
    DayLight
        Clock times [s]; NaN where there is no such event.

    Raises
    ------
    InputError
        A place that is not on Earth, a date out of reach, an unknown time zone.

    Validity: 1900 to 2050, level horizon at sea level, mean refraction; real air moves rise and set by a minute and
    more.
    Sources: usno_rise_set, jpl_de421.
    """
    check_date(date)
    midnight_s = midnight_utc_s(date, timezone)
    with open_sky(latitude_deg, longitude_deg) as sky:
        lowest_s, noon_s, next_lowest_s = _solar_day_s(sky, midnight_s + HALF_DAY_S)
        return light_between(
            date,
            timezone,
            noon_s,
            float(sky.sun_altitude_deg(np.array([noon_s]))[0]),
            sun=sample(sky.sun_altitude_deg, lowest_s, next_lowest_s),
            moon=sample(sky.moon_limb_deg, midnight_s, midnight_s + DAY_S),
            moon_lit_share=sky.moon_lit_share(midnight_s + HALF_DAY_S),
            moon_phase_deg=sky.moon_phase_deg(midnight_s + HALF_DAY_S),
        )


def light_between(
    date: dt.date,
    timezone: str,
    noon_s: float,
    noon_altitude_deg: float,
    *,
    sun: Curve,
    moon: Curve,
    moon_lit_share: float,
    moon_phase_deg: float,
) -> DayLight:
    """The light of a date from its noon [s UTC] and the curves of sun and moon over time.

    ``sun`` is the altitude of its centre from one lowest sun to the next, ``moon`` the height of its upper limb over
    the local day [deg].
    """
    midnight_s = midnight_utc_s(date, timezone)
    rise, civil, limb = sun.crossings(SUNRISE_ALTITUDE_DEG), sun.crossings(CIVIL_ALTITUDE_DEG), moon.crossings(0.0)
    return DayLight(
        date=date,
        timezone=timezone,
        utc_offset_s=utc_offset_s(date, timezone),
        civil_dawn_clock_s=_first_up_s(civil) - midnight_s,
        sunrise_clock_s=_first_up_s(rise) - midnight_s,
        noon_clock_s=noon_s - midnight_s,
        sunset_clock_s=_last_down_s(rise) - midnight_s,
        civil_dusk_clock_s=_last_down_s(civil) - midnight_s,
        noon_altitude_deg=noon_altitude_deg,
        polar=_kind_of_day(sun, rise, civil),
        moonrise_clock_s=_first_up_s(limb) - midnight_s,
        moonset_clock_s=_first_down_s(limb) - midnight_s,
        moon_lit_share=moon_lit_share,
        moon_phase_deg=moon_phase_deg,
        moon_up_at_midnight=bool(moon.value[0] >= 0.0),
    )


def _solar_day_s(sky: Sky, near_s: float) -> tuple[float, float, float]:
    """The noon nearest to ``near_s``, between the lowest sun before and after it: all three on the meridian."""
    past_noon_s = float(sky.sun_hour_angle_deg(np.array([near_s]))[0]) / 360.0 * DAY_S
    time_s = near_s - past_noon_s + HALF_DAY_S * np.array([-1.0, 0.0, 1.0])
    for _ in range(2):  # The sun turns evenly to some 0.04 %, so the second step moves it by well under a millisecond.
        ahead_deg = sky.sun_hour_angle_deg(time_s) - np.array([180.0, 0.0, 180.0])
        time_s = time_s - ((ahead_deg + 180.0) % 360.0 - 180.0) / 360.0 * DAY_S
    return float(time_s[0]), float(time_s[1]), float(time_s[2])


def _kind_of_day(sun: Curve, rise: Crossings, civil: Crossings) -> str:
    highest_deg = float(np.max(sun.value))
    if rise.time_s.size:
        return "" if civil.time_s.size else "twilight_all_night"
    if highest_deg >= SUNRISE_ALTITUDE_DEG:
        return "sun_up_all_day"
    if civil.time_s.size:
        return "sun_down_all_day"
    return "twilight_all_day" if highest_deg >= CIVIL_ALTITUDE_DEG else "dark_all_day"


def _first_up_s(found: Crossings) -> float:
    times_s = found.time_s[found.upward]
    return float(times_s[0]) if times_s.size else math.nan


def _first_down_s(found: Crossings) -> float:
    times_s = found.time_s[~found.upward]
    return float(times_s[0]) if times_s.size else math.nan


def _last_down_s(found: Crossings) -> float:
    times_s = found.time_s[~found.upward]
    return float(times_s[-1]) if times_s.size else math.nan
