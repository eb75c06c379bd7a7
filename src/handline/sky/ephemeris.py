"""Where the sun and the moon stand, seen from one place: the one door to the ephemeris.

Times are seconds after 1970-01-01 00:00 UTC, days of 86,400 s. UTC is taken as UT1, the turning of the Earth: they have
been within 0.9 s since 1972, and before that civil time was UT1.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import as_file, files
from typing import Any

import numpy as np

from handline.errors import InputError, Problem
from handline.sky.curve import FloatArray
from handline.sky.zones import DAY_S

FIRST_DATE = dt.date(1900, 1, 1)
LAST_DATE = dt.date(2050, 12, 31)

_UNIX_EPOCH_JD = 2440587.5
_MOON_RADIUS_KM = 1737.4
_REFRACTION_DEG = 34.0 / 60.0


@dataclass(frozen=True)
class Sky:
    """The sky over one place while the ephemeris is open. Sources: jpl_de421."""

    _timescale: Any
    _earth: Any
    _place: Any
    _sun: Any
    _moon: Any

    def sun_altitude_deg(self, time_s: FloatArray) -> FloatArray:
        """Altitude of the sun's centre without refraction [deg], shape of ``time_s``."""
        altitude_deg: FloatArray = self._seen(self._sun, time_s).altaz()[0].degrees
        return altitude_deg

    def sun_altaz_deg(self, time_s: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Altitude of the sun's centre without refraction, and its azimuth from north by east [deg].

        Both have the shape of ``time_s``.
        """
        altitude, azimuth, _ = self._seen(self._sun, time_s).altaz()
        return altitude.degrees, azimuth.degrees

    def sun_hour_angle_deg(self, time_s: FloatArray) -> FloatArray:
        """How far the sun is past its highest, -180 to 180 [deg], shape of ``time_s``."""
        hour_angle_deg: FloatArray = np.degrees(self._seen(self._sun, time_s).hadec()[0].radians)
        return hour_angle_deg

    def sun_equatorial(self, time_s: FloatArray) -> FloatArray:
        """Hour angle [deg], declination [deg] and distance [km] of the sun from the place, shape (3, n)."""
        return self._equatorial(self._sun, time_s)

    def moon_equatorial(self, time_s: FloatArray) -> FloatArray:
        """As ``sun_equatorial``, for the moon."""
        return self._equatorial(self._moon, time_s)

    def moon_limb_deg(self, time_s: FloatArray) -> FloatArray:
        """Height of the moon's upper limb over the level horizon, with refraction there [deg], shape of ``time_s``."""
        altitude, _, distance = self._seen(self._moon, time_s).altaz()
        return limb_deg(altitude.degrees, distance.km)

    def moon_phase_deg(self, time_s: float) -> float:
        """How far the moon is ahead of the sun along the ecliptic, from the Earth's centre: 0 new, 180 full [deg]."""
        return float(self.moon_phases_deg(np.array([time_s]))[0])

    def moon_phases_deg(self, time_s: FloatArray) -> FloatArray:
        """As ``moon_phase_deg``, shape of ``time_s``."""
        from skyfield.framelib import ecliptic_frame

        at = self._earth.at(self._time(time_s))
        longitudes = [
            at.observe(body).apparent().frame_latlon(ecliptic_frame)[1].degrees for body in (self._moon, self._sun)
        ]
        phase_deg: FloatArray = (longitudes[0] - longitudes[1]) % 360.0
        return phase_deg

    def moon_lit_share(self, time_s: float) -> float:
        """Share of the moon's disc that is lit, from the Earth's centre [1]."""
        return float(self.moon_lit_shares(np.array([time_s]))[0])

    def moon_lit_shares(self, time_s: FloatArray) -> FloatArray:
        """As ``moon_lit_share``, shape of ``time_s``."""
        moon = self._earth.at(self._time(time_s)).observe(self._moon).apparent()
        share: FloatArray = moon.fraction_illuminated(self._sun)
        return share

    def _equatorial(self, body: Any, time_s: FloatArray) -> FloatArray:
        hour_angle, declination, distance = self._seen(body, time_s).hadec()
        return np.stack((np.degrees(hour_angle.radians), declination.degrees, distance.km))

    def _seen(self, body: Any, time_s: FloatArray) -> Any:
        # Without the bending of light by the planets: a few thousandths of a second of arc, for a third of the time.
        return self._place.at(self._time(time_s)).observe(body).apparent(deflectors=())

    def _time(self, time_s: FloatArray) -> Any:
        from skyfield.nutationlib import iau2000b_radians

        # The short series of the nodding of the Earth's axis, as skyfield's own almanac takes it: a thousandth of a
        # second of arc from the long one, for a fifth of the time.
        time = self._timescale.ut1_jd(_julian(time_s))
        time._nutation_angles_radians = iau2000b_radians(time)
        return time


def limb_deg(altitude_deg: FloatArray, distance_km: FloatArray) -> FloatArray:
    """Height of the moon's upper limb over the level horizon, from the altitude and distance of its centre [deg].

    The altitude of the centre, plus 34 minutes of arc, plus the half-width of the disc. Sources: usno_rise_set.
    """
    return altitude_deg + _REFRACTION_DEG + np.degrees(np.arcsin(_MOON_RADIUS_KM / distance_km))


@contextmanager
def open_sky(latitude_deg: float, longitude_deg: float) -> Iterator[Sky]:
    """The sky over a place at sea level; the ephemeris file is closed afterwards. Raises InputError."""
    _check_place(latitude_deg, longitude_deg)
    from skyfield.api import wgs84
    from skyfield.jpllib import SpiceKernel

    # Opened by path: the package's own way in warns about the age of a file that is not used here.
    with as_file(files("skyfield_data").joinpath("data/de421.bsp")) as path:
        kernel = SpiceKernel(str(path))
        try:
            earth = kernel["earth"]
            place = earth + wgs84.latlon(latitude_deg, longitude_deg)
            yield Sky(_timescale(), earth, place, kernel["sun"], kernel["moon"])
        finally:
            kernel.close()


@lru_cache(maxsize=1)
def _timescale() -> Any:
    """The tables of leap seconds and of the Earth's turning that come with skyfield: read once, they never change."""
    from skyfield.api import load

    return load.timescale(builtin=True)


def check_date(date: dt.date) -> None:
    """Raises InputError for a date that the ephemeris does not reach."""
    if not FIRST_DATE <= date <= LAST_DATE:
        raise InputError(
            Problem(
                what="no sun and moon are known for this date",
                read=date.isoformat(),
                allowed=f"{FIRST_DATE.isoformat()} to {LAST_DATE.isoformat()}",
                mend="check the year",
            )
        )


def _check_place(latitude_deg: float, longitude_deg: float) -> None:
    problems = []
    if not -90.0 <= latitude_deg <= 90.0:
        problems.append(
            Problem("not a latitude", read=f"{latitude_deg:g}", allowed="-90 to 90 degrees, north positive")
        )
    if not -180.0 <= longitude_deg <= 180.0:
        problems.append(
            Problem("not a longitude", read=f"{longitude_deg:g}", allowed="-180 to 180 degrees, east positive")
        )
    if problems:
        raise InputError(problems)


def _julian(time_s: Any) -> Any:
    return _UNIX_EPOCH_JD + np.asarray(time_s, float) / DAY_S
