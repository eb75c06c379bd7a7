"""The light of one day against published tables, another ephemeris and common sense."""

from __future__ import annotations

import datetime as dt
import itertools
import math
import subprocess
import sys
from zoneinfo import ZoneInfo

import ephem
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.errors import InputError
from handline.quantity import parse_clock
from handline.sky.events import POLAR, DayLight, day_light
from handline.sky.zones import midnight_utc_s, nautical_zone
from handline.sources import source
from tests.tables.published import read_table

ROWS = read_table("usno_rise_set") + read_table("noaa_solar")
YEAR = [dt.date(2027, 1, 3) + dt.timedelta(days=day) for day in range(0, 365, 12)]
EPHEM_ZERO = ephem.Date("1970/1/1")


def clock_s(light: DayLight, event: str) -> float:
    return float(getattr(light, f"{event}_clock_s"))


@pytest.mark.parametrize(
    "row", ROWS, ids=lambda row: f"{row['source']} {row['latitude_deg']} {row['date']} {row['event']}"
)
def test_event_agrees_with_the_table(row: dict[str, str]) -> None:
    light = day_light(
        float(row["latitude_deg"]), float(row["longitude_deg"]), dt.date.fromisoformat(row["date"]), row["timezone"]
    )
    found_s = clock_s(light, row["event"])
    if row["expected"] == "none":
        assert math.isnan(found_s)
    else:
        assert found_s == pytest.approx(parse_clock(row["expected"]), abs=float(row["tolerance"]), rel=0)


def observer(latitude_deg: float, longitude_deg: float, utc_s: float, horizon: str) -> ephem.Observer:
    """A place at sea level without refraction, for the referee."""
    place = ephem.Observer()
    place.lat, place.lon, place.elevation, place.pressure = str(latitude_deg), str(longitude_deg), 0.0, 0.0
    place.date, place.horizon = EPHEM_ZERO + utc_s / 86400.0, horizon
    return place


def utc_s(date: ephem.Date) -> float:
    return float((date - EPHEM_ZERO) * 86400.0)


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "zone"),
    [(46.62, -113.41, "America/Denver"), (-42.05, 146.3, "Australia/Hobart"), (63.0, 10.0, "Europe/Oslo")],
)
def test_year_of_suns_agrees_with_another_ephemeris(latitude_deg: float, longitude_deg: float, zone: str) -> None:
    """Referee: ephem, to 2 s."""
    for date in YEAR:
        light = day_light(latitude_deg, longitude_deg, date, zone)
        midnight_s = midnight_utc_s(date, zone)
        noon_s = midnight_s + light.noon_clock_s
        sun = ephem.Sun()
        before = observer(latitude_deg, longitude_deg, noon_s - 3600.0, "0")
        assert utc_s(before.next_transit(sun)) == pytest.approx(noon_s, abs=2.0)
        at_noon = observer(latitude_deg, longitude_deg, noon_s, "0")
        for horizon, morning, evening in (("-0.833", "sunrise", "sunset"), ("-6", "civil_dawn", "civil_dusk")):
            at_noon.horizon = horizon
            try:
                rise_s = utc_s(at_noon.previous_rising(sun, use_center=True)) - midnight_s
                set_s = utc_s(at_noon.next_setting(sun, use_center=True)) - midnight_s
            except ephem.AlwaysUpError:
                rise_s = set_s = math.nan
            assert clock_s(light, morning) == pytest.approx(rise_s, abs=2.0, nan_ok=True), date
            assert clock_s(light, evening) == pytest.approx(set_s, abs=2.0, nan_ok=True), date


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "zone"), [(46.62, -113.41, "America/Denver"), (-42.05, 146.3, "Australia/Hobart")]
)
def test_moon_agrees_with_another_ephemeris(latitude_deg: float, longitude_deg: float, zone: str) -> None:
    """Referee: ephem, to 5 s and 0.002 of the disc."""
    moonless = 0
    for date in YEAR:
        light = day_light(latitude_deg, longitude_deg, date, zone)
        midnight_s = midnight_utc_s(date, zone)
        start = observer(latitude_deg, longitude_deg, midnight_s, "-0:34")
        for found_s, event in (
            (light.moonrise_clock_s, start.next_rising(ephem.Moon())),
            (light.moonset_clock_s, start.next_setting(ephem.Moon())),
        ):
            expected_s = utc_s(event) - midnight_s
            if expected_s >= 86_400.0:
                moonless += 1
                assert math.isnan(found_s)
            else:
                assert found_s == pytest.approx(expected_s, abs=5.0)
        start.date = EPHEM_ZERO + midnight_s / 86400.0
        moon = ephem.Moon(start)
        top_rad = float(moon.alt) + float(moon.radius) + math.radians(34.0 / 60.0)
        assert light.moon_up_at_midnight == (top_rad > 0.0)
        noon = ephem.Date(EPHEM_ZERO + (midnight_s + 43_200.0) / 86400.0)
        assert light.moon_lit_share == pytest.approx(ephem.Moon(noon).phase / 100.0, abs=0.002)
        ahead_rad = float(ephem.Ecliptic(ephem.Moon(noon), epoch=noon).lon) - float(
            ephem.Ecliptic(ephem.Sun(noon), epoch=noon).lon
        )
        off_deg = (light.moon_phase_deg - math.degrees(ahead_rad) + 180.0) % 360.0 - 180.0
        assert abs(off_deg) < 0.02
    assert moonless > 0


@given(
    latitude_deg=st.floats(-58.0, 58.0),
    longitude_deg=st.floats(-180.0, 180.0),
    date=st.dates(dt.date(1900, 1, 1), dt.date(2050, 12, 31)),
)
@settings(max_examples=25, deadline=None)
def test_the_day_runs_in_order(latitude_deg: float, longitude_deg: float, date: dt.date) -> None:
    light = day_light(latitude_deg, longitude_deg, date, nautical_zone(longitude_deg))
    events = ("civil_dawn", "sunrise", "noon", "sunset", "civil_dusk")
    clocks_s = [clock_s(light, event) for event in events]
    assert all(earlier < later for earlier, later in itertools.pairwise(clocks_s))
    assert light.noon_clock_s == pytest.approx(43_200.0, abs=1800.0 + 17 * 60.0)
    assert light.polar == ""
    assert 0.0 <= light.moon_lit_share <= 1.0


@pytest.mark.parametrize(
    ("latitude_deg", "date", "polar"),
    [
        (70.0, dt.date(2025, 6, 21), "sun_up_all_day"),
        (-70.0, dt.date(2025, 12, 21), "sun_up_all_day"),
        (70.0, dt.date(2025, 12, 21), "sun_down_all_day"),
        (80.0, dt.date(2025, 12, 21), "dark_all_day"),
        (-80.0, dt.date(2025, 6, 21), "dark_all_day"),
        (63.0, dt.date(2025, 6, 21), "twilight_all_night"),
        (90.0, dt.date(2025, 10, 1), "twilight_all_day"),
        (90.0, dt.date(2025, 6, 21), "sun_up_all_day"),
        (-90.0, dt.date(2025, 6, 21), "dark_all_day"),
        (50.0, dt.date(2025, 6, 21), ""),
    ],
)
def test_kind_of_day(latitude_deg: float, date: dt.date, polar: str) -> None:
    """From declination 23.4 degrees at the solstices and the two altitudes (arithmetic)."""
    light = day_light(latitude_deg, 0.0, date, "UTC")
    assert light.polar == polar
    assert (math.isnan(light.sunrise_clock_s), math.isnan(light.civil_dawn_clock_s)) == {
        "": (False, False),
        "sun_up_all_day": (True, True),
        "twilight_all_night": (False, True),
        "sun_down_all_day": (True, False),
        "twilight_all_day": (True, True),
        "dark_all_day": (True, True),
    }[polar]


def test_every_kind_of_day_has_words() -> None:
    assert len(POLAR) == 6
    assert all(POLAR.values())


def test_noon_altitude_at_a_solstice() -> None:
    """90 - latitude + obliquity 23.44 degrees (obliquity from memory)."""
    light = day_light(46.62, -113.41, dt.date(2027, 6, 21), "America/Denver")
    assert light.noon_altitude_deg == pytest.approx(90.0 - 46.62 + 23.44, abs=0.01)


def test_a_sunset_after_midnight_belongs_to_the_day_it_ends() -> None:
    """An island whose clock runs an hour and a half ahead of the sun; referee: ephem."""
    light = day_light(64.1, -21.9, dt.date(2026, 6, 20), "Atlantic/Reykjavik")
    assert light.sunrise_clock_s < light.noon_clock_s < 86_400.0 < light.sunset_clock_s
    midnight_s = midnight_utc_s(light.date, light.timezone)
    at_noon = observer(64.1, -21.9, midnight_s + light.noon_clock_s, "-0.833")
    expected_s = utc_s(at_noon.next_setting(ephem.Sun(), use_center=True)) - midnight_s
    assert light.sunset_clock_s == pytest.approx(expected_s, abs=5.0)


@pytest.mark.parametrize(
    ("date", "zone", "latitude_deg", "longitude_deg"),
    [
        (dt.date(2026, 3, 8), "America/Denver", 46.62, -113.41),
        (dt.date(2026, 11, 1), "America/Denver", 46.62, -113.41),
        (dt.date(2026, 10, 4), "Australia/Lord_Howe", -31.5, 159.1),
        (dt.date(2018, 11, 4), "America/Sao_Paulo", -23.5, -46.6),
        (dt.date(2026, 1, 15), "Asia/Kathmandu", 27.7, 85.3),
    ],
)
def test_clock_is_the_watch_on_days_of_change(
    date: dt.date, zone: str, latitude_deg: float, longitude_deg: float
) -> None:
    """Referee: ephem and the time zone database, to 2 s."""
    light = day_light(latitude_deg, longitude_deg, date, zone)
    noon = dt.datetime.combine(date, dt.time(12), ZoneInfo(zone)).timestamp()
    at_noon = observer(latitude_deg, longitude_deg, noon, "-0.833")
    for found_s, event in (
        (light.sunrise_clock_s, at_noon.previous_rising(ephem.Sun(), use_center=True)),
        (light.sunset_clock_s, at_noon.next_setting(ephem.Sun(), use_center=True)),
    ):
        watch = dt.datetime.fromtimestamp(utc_s(event), ZoneInfo(zone))
        assert watch.date() == date
        shown_s = watch.hour * 3600.0 + watch.minute * 60.0 + watch.second + watch.microsecond / 1e6
        assert found_s == pytest.approx(shown_s, abs=2.0)


@pytest.mark.parametrize("date", [dt.date(1899, 12, 31), dt.date(2051, 1, 1)])
def test_dates_out_of_reach_are_refused(date: dt.date) -> None:
    with pytest.raises(InputError, match="1900-01-01 to 2050-12-31"):
        day_light(46.0, -113.0, date, "UTC")


@pytest.mark.parametrize("date", [dt.date(1900, 1, 1), dt.date(2050, 12, 31)])
def test_first_and_last_date_have_their_sun(date: dt.date) -> None:
    assert 0.0 < day_light(0.0, 180.0, date, "Etc/GMT-12").sunrise_clock_s < 43_200.0


def test_what_is_not_a_place_is_refused_all_at_once() -> None:
    with pytest.raises(InputError) as caught:
        day_light(90.1, math.nan, dt.date(2027, 7, 17), "UTC")
    assert [problem.what for problem in caught.value.problems] == ["not a latitude", "not a longitude"]


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg"), [(90.005, 0.0), (-90.005, 0.0), (0.0, 180.05), (0.0, -180.05)]
)
def test_the_earth_ends_at_the_poles_and_the_date_line(latitude_deg: float, longitude_deg: float) -> None:
    with pytest.raises(InputError, match="not a l"):
        day_light(latitude_deg, longitude_deg, dt.date(2027, 7, 17), "UTC")


def test_sources_exist() -> None:
    light = day_light(46.62, -113.41, dt.date(2027, 7, 17), "America/Denver")
    assert [source(key).key for key in light.sources] == ["usno_rise_set", "jpl_de421"]


def test_nothing_heavy_happens_at_import() -> None:
    code = "import sys, handline.sky.events, handline.sky.nights; sys.exit('skyfield' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
