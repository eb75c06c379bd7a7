"""Sun and moon of one place on an hourly table, read between its rows: a season of minutes for hours of ephemeris.

Hour angle, declination and distance run so evenly that a fifth-degree polynomial through the six rows around a moment
gives them back to a hundredth of a second of arc for the moon and better for the sun: under a millisecond of its rise.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.sky.curve import FloatArray
from handline.sky.ephemeris import Sky, limb_deg

STEP_S = 3600.0
_ROWS = np.arange(-2, 4)
"""The six rows around a moment, counted from the last one before it."""
_WEIGHTS = np.linalg.inv(np.vander(_ROWS.astype(float), increasing=True)).T
"""Of each row, by powers of the part of an hour past that one: Lagrange's polynomials."""


@dataclass(frozen=True)
class SkyTable:
    """What ``Sky`` tells of sun and moon from ``start_s`` on, each row an hour after the last; rows (n, 3).

    A row is hour angle, without its jump at 180 [deg], declination [deg] and distance [km], all from the place.
    Raises ValueError for a time that is not on the table. Sources: jpl_de421.
    """

    latitude_deg: float
    start_s: float
    sun: FloatArray
    moon: FloatArray

    def sun_altaz_deg(self, time_s: FloatArray) -> tuple[FloatArray, FloatArray]:
        """As ``Sky.sun_altaz_deg``."""
        hour_angle_deg, declination_deg, _ = self._between(self.sun, time_s)
        return altaz_deg(self.latitude_deg, hour_angle_deg, declination_deg)

    def sun_altitude_deg(self, time_s: FloatArray) -> FloatArray:
        """As ``Sky.sun_altitude_deg``."""
        return self.sun_altaz_deg(time_s)[0]

    def sun_hour_angle_deg(self, time_s: FloatArray) -> FloatArray:
        """As ``Sky.sun_hour_angle_deg``."""
        return (self._between(self.sun, time_s)[0] + 180.0) % 360.0 - 180.0

    def moon_altaz_deg(self, time_s: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Altitude of the moon's centre without refraction, and its azimuth from north by east [deg]."""
        hour_angle_deg, declination_deg, _ = self._between(self.moon, time_s)
        return altaz_deg(self.latitude_deg, hour_angle_deg, declination_deg)

    def moon_limb_deg(self, time_s: FloatArray) -> FloatArray:
        """As ``Sky.moon_limb_deg``."""
        hour_angle_deg, declination_deg, distance_km = self._between(self.moon, time_s)
        return limb_deg(altaz_deg(self.latitude_deg, hour_angle_deg, declination_deg)[0], distance_km)

    def _between(self, rows: FloatArray, time_s: FloatArray) -> FloatArray:
        """The three columns at the times, shape (3, *time_s.shape): Lagrange's polynomial through six rows."""
        at = (np.asarray(time_s, float) - self.start_s) / STEP_S
        before = np.floor(at).astype(int)
        if at.size and (before.min() < -_ROWS[0] or before.max() > len(rows) - 1 - _ROWS[-1]):
            raise ValueError("a time that is not on the table of the sky")
        weights = (at - before)[..., None] ** np.arange(_ROWS.size) @ _WEIGHTS.T
        around = rows[before[..., None] + _ROWS]
        return np.moveaxis(np.einsum("...r,...rc->...c", weights, around), -1, 0)


def tabulate(sky: Sky, latitude_deg: float, start_s: float, end_s: float, *, moon: bool = True) -> SkyTable:
    """The table that holds every moment from ``start_s`` to ``end_s``; without the moon in half the time."""
    first_s = start_s - 3.0 * STEP_S
    time_s = first_s + np.arange(int(np.ceil((end_s - first_s) / STEP_S)) + 5, dtype=np.float64) * STEP_S
    sun_rows = _evenly(sky.sun_equatorial(time_s))
    moon_rows = _evenly(sky.moon_equatorial(time_s)) if moon else np.empty((0, 3))
    return SkyTable(latitude_deg, first_s, sun_rows, moon_rows)


def altaz_deg(
    latitude_deg: float, hour_angle_deg: npt.ArrayLike, declination_deg: npt.ArrayLike
) -> tuple[FloatArray, FloatArray]:
    """Altitude and azimuth, from north by east, of what stands at an hour angle and a declination [deg].

    sin(altitude) = sin(latitude) sin(declination) + cos(latitude) cos(declination) cos(hour angle)

    Shapes of the arguments. Validity: everywhere; at the poles north is the meridian of the place's longitude.
    Sources: spherical_astronomy.
    """
    latitude = np.radians(latitude_deg)
    hour_angle, declination = np.radians(hour_angle_deg), np.radians(declination_deg)
    up = np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(declination) * np.cos(hour_angle)
    east = -np.cos(declination) * np.sin(hour_angle)
    north = np.cos(latitude) * np.sin(declination) - np.sin(latitude) * np.cos(declination) * np.cos(hour_angle)
    return np.degrees(np.arctan2(up, np.hypot(east, north))), np.degrees(np.arctan2(east, north)) % 360.0


def _evenly(columns: FloatArray) -> FloatArray:
    columns[0] = np.unwrap(columns[0], period=360.0)
    return np.ascontiguousarray(columns.T)
