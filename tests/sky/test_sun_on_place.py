"""The sun over a local horizon, and on a slab."""

from __future__ import annotations

import datetime as dt
import math

import ephem
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.errors import InputError
from handline.sky.ephemeris import open_sky
from handline.sky.events import day_light
from handline.sky.horizon import LEVEL, Horizon, horizon_of_bearings
from handline.sky.sun_on_place import (
    SLOPE_OUT_OF_RANGE,
    Plane,
    SunOnPlace,
    incidence,
    refraction_deg,
    season_sun,
    sun_hours,
    sun_on_place,
)
from handline.sky.zones import midnight_utc_s
from tests.tables.published import read_table

PLACE, ZONE, DATE = (46.62, -113.41), "America/Denver", dt.date(2027, 7, 17)
HOURS_S = np.arange(0.0, 24.0) * 3600.0


def flat(altitude_deg: float) -> Horizon:
    return horizon_of_bearings([0.0], [altitude_deg])


@pytest.mark.parametrize("row", read_table("saemundsson_1986"), ids=lambda row: row["true_altitude_deg"])
def test_refraction_agrees_with_the_table(row: dict[str, str]) -> None:
    found = 60.0 * refraction_deg(float(row["true_altitude_deg"]))
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


def test_refraction_falls_with_altitude() -> None:
    assert np.all(np.diff(refraction_deg(np.linspace(-1.9, 89.9, 400))) < 0.0)
    assert refraction_deg(np.zeros((2, 2))).shape == (2, 2)


@pytest.mark.parametrize("latitude_deg", [0.0, 30.0, 46.62, -42.05, 58.0])
@pytest.mark.parametrize("month", [1, 3, 6, 9, 12])
def test_over_a_level_horizon_it_is_sunrise_and_sunset(latitude_deg: float, month: int) -> None:
    """To 20 s. Both want the upper edge on the horizon; sunrise is defined by 34 minutes of refraction whatever the
    formula, which gives 34.4 there, and so some seconds of difference that grow as the sun rises more aslant."""
    date = dt.date(2027, month, 17)
    found, light = (
        sun_on_place(latitude_deg, 0.0, date, "UTC", LEVEL),
        day_light(latitude_deg, 0.0, date, "UTC"),
    )
    assert found.spans_clock_s.shape == (1, 2)
    assert found.first_clock_s == pytest.approx(light.sunrise_clock_s, abs=20.0)
    assert found.last_clock_s == pytest.approx(light.sunset_clock_s, abs=20.0)
    assert found.first_clock_s < light.sunrise_clock_s
    assert found.spans_clock_s.tolist() == [[found.first_clock_s, found.last_clock_s]]


def test_the_sun_comes_when_its_upper_edge_stands_on_the_ridge() -> None:
    """The ephemeris itself at that moment: centre plus 16 minutes plus refraction is the height of the ridge."""
    ridge = horizon_of_bearings([60.0, 120.0, 250.0, 300.0], [5.0, 25.0, 12.0, 8.0])
    found = sun_on_place(*PLACE, DATE, ZONE, ridge)
    with open_sky(*PLACE) as sky:
        altitude_deg, azimuth_deg = sky.sun_altaz_deg(
            midnight_utc_s(DATE, ZONE) + np.array([found.first_clock_s, found.last_clock_s])
        )
    edge_deg = altitude_deg + 16.0 / 60.0
    seen_deg = edge_deg + 1.02 / 60.0 / np.tan(np.radians(edge_deg + 10.3 / (edge_deg + 5.11)))
    assert seen_deg == pytest.approx(ridge.altitude_at(azimuth_deg), abs=1e-5)
    assert found.first_clock_s > day_light(*PLACE, DATE, ZONE).sunrise_clock_s + 1800.0


def test_a_tower_at_noon_parts_the_day() -> None:
    """A tower two degrees wide to the south: minutes of shade, with the sun on its sides at both ends."""
    tower = horizon_of_bearings([0.0, 179.0, 179.01, 180.99, 181.0], [0.0, 0.0, 80.0, 80.0, 0.0])
    found = sun_on_place(*PLACE, DATE, ZONE, tower)
    noon_s = day_light(*PLACE, DATE, ZONE).noon_clock_s
    assert found.spans_clock_s.shape == (2, 2)
    (_, goes_s), (comes_s, _) = found.spans_clock_s
    assert goes_s < noon_s < comes_s
    with open_sky(*PLACE) as sky:
        azimuth_deg = sky.sun_altaz_deg(midnight_utc_s(DATE, ZONE) + np.array([goes_s, comes_s]))[1]
    assert azimuth_deg == pytest.approx([179.0, 181.0], abs=0.01)


def test_no_sun_and_sun_all_day() -> None:
    well = sun_on_place(*PLACE, DATE, ZONE, flat(80.0))
    assert well.spans_clock_s.shape == (0, 2)
    assert np.isnan([well.first_clock_s, well.last_clock_s]).all()
    always = sun_on_place(78.0, 15.0, dt.date(2027, 6, 21), "Europe/Oslo", LEVEL)
    assert always.spans_clock_s.shape == (1, 2)
    assert np.ptp(always.spans_clock_s) == pytest.approx(86_400.0, abs=40.0)
    assert np.isnan([always.first_clock_s, always.last_clock_s]).all()
    behind_noon = horizon_of_bearings([0.0, 100.0, 101.0, 259.0, 260.0], [0.0, 0.0, 60.0, 60.0, 0.0])
    parted = sun_on_place(78.0, 15.0, dt.date(2027, 6, 21), "Europe/Oslo", behind_noon)
    assert parted.spans_clock_s.shape == (2, 2)
    assert np.isnan([parted.first_clock_s, parted.last_clock_s]).all()


def test_notes_and_sources_go_along() -> None:
    noted = horizon_of_bearings([0.0], [3.0], ("from the map",))
    assert sun_on_place(*PLACE, DATE, ZONE, noted).notes == ("from the map",)
    assert sun_hours(*PLACE, DATE, ZONE, HOURS_S, noted, 0.5, 0.0).notes == ("from the map",)
    assert sun_hours(*PLACE, DATE, ZONE, np.empty(0), noted, 0.5, 0.0).notes == ("from the map",)


def test_a_season_is_its_days() -> None:
    ridge = horizon_of_bearings([60.0, 120.0, 250.0, 300.0], [5.0, 25.0, 12.0, 8.0])
    dates = [dt.date(2026, 11, 2), dt.date(2026, 3, 7), dt.date(2026, 3, 8), dt.date(2026, 11, 1)]
    season = season_sun(*PLACE, dates, ZONE, ridge)
    assert [found.date for found in season] == dates
    for found, date in zip(season, dates, strict=True):
        alone = sun_on_place(*PLACE, date, ZONE, ridge)
        assert found.spans_clock_s == pytest.approx(alone.spans_clock_s, abs=0.01)
    spring_s = [found.first_clock_s for found in season[1:3]]
    assert spring_s[1] - spring_s[0] == pytest.approx(3600.0, abs=300.0)


@given(lower_deg=st.floats(0.0, 40.0), more_deg=st.floats(0.0, 40.0), seed=st.integers(0, 1000))
@settings(deadline=None, max_examples=15)
def test_a_higher_horizon_never_lengthens_the_sun(lower_deg: float, more_deg: float, seed: int) -> None:
    azimuth_deg = np.arange(0.0, 360.0, 7.5)
    rough_deg = np.random.default_rng(seed).uniform(0.0, 1.0, azimuth_deg.size)
    low = sun_on_place(*PLACE, DATE, ZONE, Horizon(azimuth_deg, lower_deg * rough_deg))
    high = sun_on_place(*PLACE, DATE, ZONE, Horizon(azimuth_deg, lower_deg * rough_deg + more_deg * rough_deg[::-1]))
    assert lasting_s(high) <= lasting_s(low) + 1e-3
    for found in (low, high):
        assert np.all(np.diff(found.spans_clock_s.ravel()) > 0.0)
        inside = found.spans_clock_s.size
        assert (found.first_clock_s, found.last_clock_s) == (
            pytest.approx(found.spans_clock_s[0, 0] if inside else math.nan, nan_ok=True),
            pytest.approx(found.spans_clock_s[-1, 1] if inside else math.nan, nan_ok=True),
        )


def lasting_s(found: SunOnPlace) -> float:
    return float(np.sum(found.spans_clock_s[:, 1] - found.spans_clock_s[:, 0]))


@pytest.mark.parametrize(
    ("altitude_deg", "azimuth_deg", "slope_deg", "facing_deg", "expected"),
    [
        (90.0, 0.0, 45.0, 90.0, math.cos(math.radians(45.0))),
        (40.0, 180.0, 50.0, 180.0, 1.0),
        (0.0, 90.0, 90.0, 90.0, 1.0),
        (0.0, 270.0, 90.0, 90.0, -1.0),
        (30.0, 123.0, 0.0, 45.0, 0.5),
        (30.0, 123.0, 45.0, math.nan, 0.5),
        (30.0, 90.0, 90.0, 0.0, 0.0),
        (30.0, 60.0, 60.0, 0.0, 0.5 * 0.5 + 0.75 * 0.5),
    ],
)
def test_incidence_by_hand(
    altitude_deg: float, azimuth_deg: float, slope_deg: float, facing_deg: float, expected: float
) -> None:
    found = incidence(altitude_deg, azimuth_deg, math.radians(slope_deg), facing_deg)
    assert found == pytest.approx(expected, abs=1e-12)


@given(
    altitude_deg=st.floats(0.0, 90.0),
    azimuth_deg=st.floats(0.0, 360.0),
    slope_rad=st.floats(0.0, math.pi / 2.0),
    facing_deg=st.floats(0.0, 360.0),
)
def test_incidence_is_the_dot_product(
    altitude_deg: float, azimuth_deg: float, slope_rad: float, facing_deg: float
) -> None:
    """Referee: unit vectors east, north and up."""
    sun = [
        math.cos(math.radians(altitude_deg)) * math.sin(math.radians(azimuth_deg)),
        math.cos(math.radians(altitude_deg)) * math.cos(math.radians(azimuth_deg)),
        math.sin(math.radians(altitude_deg)),
    ]
    normal = [
        math.sin(slope_rad) * math.sin(math.radians(facing_deg)),
        math.sin(slope_rad) * math.cos(math.radians(facing_deg)),
        math.cos(slope_rad),
    ]
    assert incidence(altitude_deg, azimuth_deg, slope_rad, facing_deg) == pytest.approx(np.dot(sun, normal), abs=1e-12)


def test_hours_of_sun_on_a_slab() -> None:
    """A slab to the east has its sun in the morning, one to the west in the evening, level ground at noon."""
    noon_h = day_light(*PLACE, DATE, ZONE).noon_clock_s / 3600.0
    best_h = {}
    for name, slope_rad, facing_deg in (("east", 0.9, 90.0), ("west", 0.9, 270.0), ("level", 0.0, math.nan)):
        hours = sun_hours(*PLACE, DATE, ZONE, HOURS_S, LEVEL, slope_rad, facing_deg)
        best_h[name] = float(np.sum(hours.incidence_cos * (HOURS_S / 3600.0 + 0.5)) / np.sum(hours.incidence_cos))
        assert np.all((hours.incidence_cos >= 0.0) & (hours.incidence_cos <= 1.0))
        assert hours.flags == ()
    assert best_h["east"] < noon_h - 2.0
    assert best_h["west"] > noon_h + 2.0
    assert best_h["level"] == pytest.approx(noon_h, abs=0.05)


def test_hours_are_means_of_what_the_ephemeris_says() -> None:
    """Referee: every second of one hour from the ephemeris, over a ridge that the sun crosses in it."""
    ridge = flat(20.0)
    first_s = sun_on_place(*PLACE, DATE, ZONE, ridge).first_clock_s
    begins_s = first_s - 1000.0
    hours = sun_hours(*PLACE, DATE, ZONE, begins_s, ridge, 0.7, 100.0)
    with open_sky(*PLACE) as sky:
        altitude_deg, azimuth_deg = sky.sun_altaz_deg(midnight_utc_s(DATE, ZONE) + begins_s + np.arange(3601.0))
    altitude_deg = altitude_deg + refraction_deg(altitude_deg)
    shines = altitude_deg + 16.0 / 60.0 > 20.0
    cosine = np.where(shines, incidence(altitude_deg, azimuth_deg, 0.7, 100.0), 0.0)
    assert hours.shines_share.shape == ()
    assert hours.shines_share == pytest.approx(1.0 - 1000.0 / 3600.0, abs=0.5 / 12.0)
    assert hours.incidence_cos == pytest.approx(float(np.mean(cosine)), abs=0.5 / 12.0)
    assert hours.altitude_deg == pytest.approx(altitude_deg[1800], abs=1e-5)
    assert hours.azimuth_deg == pytest.approx(azimuth_deg[1800], abs=1e-5)
    full = sun_hours(*PLACE, DATE, ZONE, begins_s + 7200.0, ridge, 0.7, 100.0)
    assert full.shines_share == 1.0


def test_shares_of_all_hours_add_up_to_the_spans() -> None:
    ridge = horizon_of_bearings([60.0, 120.0, 250.0, 300.0], [5.0, 25.0, 12.0, 8.0])
    hours = sun_hours(*PLACE, DATE, ZONE, HOURS_S, ridge, 0.5, math.nan)
    spans_s = lasting_s(sun_on_place(*PLACE, DATE, ZONE, ridge))
    assert 3600.0 * np.sum(hours.shines_share) == pytest.approx(spans_s, abs=300.0)
    on_slab = sun_hours(*PLACE, DATE, ZONE, HOURS_S, ridge, 1.2, 270.0)
    slab_s = lasting_s(sun_on_place(*PLACE, DATE, ZONE, ridge, Plane(1.2, 270.0)))
    assert 3600.0 * np.sum(on_slab.shines_share) == pytest.approx(slab_s, abs=300.0)
    assert slab_s < spans_s - 3600.0


@pytest.mark.parametrize(
    ("latitude_deg", "date", "slope_deg", "facing_deg", "spans"),
    [
        (46.6, dt.date(2026, 12, 15), 65.0, 0.0, 0),
        (46.6, dt.date(2027, 7, 17), 65.0, 0.0, 2),
        (46.6, dt.date(2027, 7, 17), 42.0, 225.0, 1),
        (46.6, dt.date(2027, 3, 20), 80.0, 90.0, 1),
        (-42.0, dt.date(2027, 6, 15), 65.0, 180.0, 0),
        (-42.0, dt.date(2027, 1, 16), 75.0, 180.0, 2),
        (-42.0, dt.date(2027, 1, 16), 42.0, 315.0, 1),
    ],
)
def test_sun_on_a_slab_agrees_with_another_ephemeris_and_vectors(
    latitude_deg: float, date: dt.date, slope_deg: float, facing_deg: float, spans: int
) -> None:
    """Referee: ephem's sun every 20 s, and the dot product of two unit vectors; nothing of ours but the refraction,
    which ephem has of its own. Both to 40 s at each edge."""
    plane = Plane(math.radians(slope_deg), facing_deg)
    found = sun_on_place(latitude_deg, 0.0, date, "UTC", LEVEL, plane)
    place = ephem.Observer()
    place.lat, place.lon, place.pressure = str(latitude_deg), "0", 1010.0
    clock_s = np.arange(0.0, 86_400.0, 20.0)
    normal = _up_vector(90.0 - slope_deg, facing_deg)
    lit = np.zeros(clock_s.size, dtype=bool)
    for at, time_s in enumerate(clock_s):
        place.date = ephem.Date(dt.datetime.combine(date, dt.time(0)) + dt.timedelta(seconds=float(time_s)))
        sun = ephem.Sun(place)
        altitude_deg, azimuth_deg = math.degrees(sun.alt), math.degrees(sun.az)
        edge_up = altitude_deg + math.degrees(sun.radius) > 0.0
        lit[at] = edge_up and float(np.dot(_up_vector(altitude_deg, azimuth_deg), normal)) > 0.0
    edges_s = clock_s[1:][lit[1:] != lit[:-1]] - 10.0
    assert found.spans_clock_s.shape == (spans, 2)
    assert found.spans_clock_s.ravel() == pytest.approx(edges_s, abs=40.0)


def _up_vector(altitude_deg: float, azimuth_deg: float) -> list[float]:
    """East, north and up."""
    altitude, azimuth = math.radians(altitude_deg), math.radians(azimuth_deg)
    return [math.cos(altitude) * math.sin(azimuth), math.cos(altitude) * math.cos(azimuth), math.sin(altitude)]


def test_slopes_by_hour_and_those_out_of_range() -> None:
    slope_rad = np.where(HOURS_S < 43_200.0, 0.5, -0.1)
    hours = sun_hours(*PLACE, DATE, ZONE, HOURS_S, LEVEL, slope_rad, math.nan)
    assert np.isnan(hours.incidence_cos).tolist() == (HOURS_S >= 43_200.0).tolist()
    assert hours.flags == (SLOPE_OUT_OF_RANGE,)
    assert np.all(np.isfinite(hours.shines_share))
    level = sun_hours(*PLACE, DATE, ZONE, HOURS_S, LEVEL, 0.0, 0.0)
    assert hours.incidence_cos[:12] == pytest.approx(level.incidence_cos[:12])


def test_what_cannot_be_told_is_refused() -> None:
    with pytest.raises(InputError, match="1900-01-01 to 2050-12-31"):
        sun_on_place(*PLACE, dt.date(2051, 1, 1), ZONE, LEVEL)
    with pytest.raises(InputError, match="1900-01-01 to 2050-12-31"):
        sun_hours(*PLACE, dt.date(1899, 1, 1), ZONE, HOURS_S, LEVEL, 0.0, 0.0)
    with pytest.raises(InputError, match="not a latitude"):
        sun_on_place(99.0, 0.0, DATE, ZONE, LEVEL)
    with pytest.raises(ValueError, match="finite clock time"):
        sun_hours(*PLACE, DATE, ZONE, np.array([0.0, math.nan]), LEVEL, 0.0, 0.0)
