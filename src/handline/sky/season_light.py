"""The light of every day of a season at one place: what ``day_light`` gives, for all dates at once.

Sun and moon are put on an hourly table once; the events of each day are then looked for as ``day_light`` does.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from handline.sky.curve import FloatArray, sample
from handline.sky.ephemeris import Sky, check_date, open_sky
from handline.sky.events import DayLight, light_between
from handline.sky.sky_table import SkyTable, tabulate
from handline.sky.zones import DAY_S, HALF_DAY_S, midnight_utc_s

_GAP_DAYS = 8
"""Dates further apart get tables of their own; those of every Saturday share one."""


def season_light(
    latitude_deg: float, longitude_deg: float, dates: Sequence[dt.date], timezone: str
) -> tuple[DayLight, ...]:
    """The light of many dates at one place.

    Parameters
    ----------
    latitude_deg, longitude_deg : float
        North and east are positive [deg].
    dates : sequence of datetime.date
        In any order.
    timezone : str
        IANA name.

    Returns
    -------
    tuple of DayLight
        One for each date in their order: times as those of ``day_light`` to 0.01 s, where the sun does not graze.

    Raises
    ------
    InputError
        A place that is not on Earth, a date out of reach, an unknown time zone.

    Validity: as ``day_light``. Sources: usno_rise_set, jpl_de421.
    """
    for date in dates:
        check_date(date)
    midnight_s = {date: midnight_utc_s(date, timezone) for date in sorted(set(dates))}
    found: dict[dt.date, DayLight] = {}
    with open_sky(latitude_deg, longitude_deg) as sky:
        for run in runs_of_dates(midnight_s):
            run_s = np.array([midnight_s[date] for date in run])
            table = tabulate(sky, latitude_deg, run_s[0] - DAY_S, run_s[-1] + 2.0 * DAY_S)
            found.update((light.date, light) for light in _lights(sky, table, run, run_s, timezone))
    return tuple(found[date] for date in dates)


def runs_of_dates(dates: Iterable[dt.date]) -> list[list[dt.date]]:
    """Rising dates, parted where more than a week lies between two of them."""
    runs: list[list[dt.date]] = []
    for date in dates:
        if runs and (date - runs[-1][-1]).days < _GAP_DAYS:
            runs[-1].append(date)
        else:
            runs.append([date])
    return runs


def solar_days_s(table: SkyTable, near_s: FloatArray) -> FloatArray:
    """Lowest sun, the noon nearest to each moment, and the next lowest sun: all on the meridian [s], shape (n, 3)."""
    past_noon_s = table.sun_hour_angle_deg(near_s) / 360.0 * DAY_S
    time_s = (near_s - past_noon_s)[:, None] + HALF_DAY_S * np.array([-1.0, 0.0, 1.0])
    for _ in range(2):  # The sun turns evenly to some 0.04 %, so the second step moves it by well under a millisecond.
        ahead_deg = table.sun_hour_angle_deg(time_s) - np.array([180.0, 0.0, 180.0])
        time_s = time_s - ((ahead_deg + 180.0) % 360.0 - 180.0) / 360.0 * DAY_S
    return time_s


def _lights(
    sky: Sky, table: SkyTable, dates: list[dt.date], midnight_s: FloatArray, timezone: str
) -> Iterator[DayLight]:
    """The light of each date of one table; the moon's phase and lit share are told for all noons at once."""
    noon_clock_s = midnight_s + HALF_DAY_S
    days_s = solar_days_s(table, noon_clock_s)
    noon_altitude_deg = table.sun_altitude_deg(days_s[:, 1])
    lit_share, phase_deg = sky.moon_lit_shares(noon_clock_s), sky.moon_phases_deg(noon_clock_s)
    for index, date in enumerate(dates):
        zero_s, (lowest_s, noon_s, next_lowest_s) = float(midnight_s[index]), days_s[index]
        yield light_between(
            date,
            timezone,
            float(noon_s),
            float(noon_altitude_deg[index]),
            sun=sample(table.sun_altitude_deg, lowest_s, next_lowest_s),
            moon=sample(table.moon_limb_deg, zero_s, zero_s + DAY_S),
            moon_lit_share=float(lit_share[index]),
            moon_phase_deg=float(phase_deg[index]),
        )
