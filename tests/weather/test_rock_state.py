"""The rock by hour: hand cases, the minute-by-minute referee, and what may never happen."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.line.friction import ROCKS
from handline.weather.hours import HourlyWeather
from handline.weather.moist_air import vapour_over_water_hPa
from handline.weather.rock_state import STATES, UNKNOWN, RockByHour, rock_states
from handline.weather.rock_water import RockDrying
from tests.referees.plain_rock import plain_rock

SHADE = RockDrying()
DRY, DAMP, WET, ICED = range(4)


def weather(hours: int, air: object = 15.0, humidity: object = 0.5, wind: object = 3.0, cloud: object = 1.0,
            rain: object = 0.0, members: int = 1) -> HourlyWeather:  # fmt: skip
    arrays = [np.full((members, hours), 1.0) * np.asarray(value, float) for value in (air, humidity, wind, cloud, rain)]
    return HourlyWeather(np.arange(hours) * 3600.0, 2_000.0, *arrays)


def sun(hours: HourlyWeather, W_m2: object = 0.0) -> np.ndarray:
    return np.full(hours.temperature_C.shape, 1.0) * np.asarray(W_m2, float)


def words(found: RockByHour, member: int = 0) -> list[str]:
    return ["unknown" if state == UNKNOWN else STATES[state] for state in found.state[member]]


def test_the_states_are_those_of_friction_and_rise_in_slipperiness() -> None:
    assert tuple(ROCKS) == STATES
    holds = [ROCKS[state].mu_foot for state in STATES]
    assert holds == sorted(holds, reverse=True)


# --- by hand -------------------------------------------------------------------------------------------------------
def test_rain_ends_at_ten_and_the_slab_is_dry_at_thirteen() -> None:
    rain = np.zeros(18)
    rain[8:10] = 2.0
    hours = weather(18, rain=rain)
    found = rock_states(hours, sun(hours), 45.0, SHADE, starts_dry=True)
    assert words(found)[:8] == ["dry"] * 8
    # 0.10 mm is left 2 h 8 min 34 s after the rain: the hour from 12 begins wet.
    assert words(found)[8:] == ["wet", "wet", "wet", "wet", "wet", "dry", "dry", "dry", "dry", "dry"]
    assert found.film_mm[0, 10:14] == pytest.approx([0.3, 0.3 - 0.28 / 3, 0.3 - 0.56 / 3, 0.02])
    # After twice the time it is wet twice as long, and damp in its last hour.
    slow = rock_states(hours, sun(hours), 45.0, replace(SHADE, drying_time_s=6 * 3600.0), starts_dry=True)
    assert words(slow)[10:] == ["wet", "wet", "wet", "wet", "wet", "damp", "dry", "dry"]


def test_a_wet_clear_frosty_night_ices_and_the_morning_sun_thaws_and_dries() -> None:
    clock_h = np.arange(18.0, 40.0)
    air = np.interp(clock_h, [18.0, 30.0, 40.0], [5.0, -1.5, 9.0])
    humidity = np.interp(clock_h, [18.0, 30.0, 40.0], [0.8, 0.95, 0.45])
    rain = np.where(clock_h < 20.0, 3.0, 0.0)
    hours = weather(22, air, humidity, 1.0, np.where(clock_h < 21.0, 1.0, 0.0), rain)
    found = rock_states(hours, sun(hours, np.where(clock_h >= 33.0, 600.0, 0.0)), 45.0, SHADE)
    at = dict(zip(clock_h, words(found), strict=True))
    assert at[19.0] == "wet"
    assert [at[h] for h in (29.0, 30.0, 31.0, 32.0, 33.0)] == ["iced"] * 5
    assert at[35.0] in ("wet", "damp")
    assert at[39.0] == "dry"
    # The rock was some degrees under the air before the sun came.
    dawn = int(np.flatnonzero(clock_h == 30.0)[0])
    assert -6.0 < found.rock_C[0, dawn] - hours.temperature_C[0, dawn] < -0.5


def test_hoar_on_dry_rock_is_iced() -> None:
    hours = weather(14, -3.0, 0.97, 1.0, 0.0)
    found = rock_states(hours, sun(hours), 30.0, SHADE, starts_dry=True)
    assert words(found)[0] == "dry"
    assert words(found)[-1] == "iced"


def test_dew_makes_dry_rock_damp_and_cloud_keeps_it_dry() -> None:
    clear, covered = (weather(12, 12.0, 0.95, 1.0, cloud) for cloud in (0.0, 1.0))
    assert words(rock_states(clear, sun(clear), 30.0, SHADE, starts_dry=True))[-1] in ("damp", "wet")
    assert words(rock_states(covered, sun(covered), 80.0, SHADE, starts_dry=True))[-1] == "dry"


def test_melt_runs_while_the_air_is_above_freezing() -> None:
    air = np.array([-2.0] * 4 + [6.0] * 6)
    hours = weather(10, air, 0.5, 3.0, 1.0)
    melting = rock_states(hours, sun(hours), 45.0, replace(SHADE, melt_mm_h=1.0), starts_dry=True)
    assert words(melting)[:3] == ["dry"] * 3
    # The first of it freezes to the cold rock.
    assert words(melting)[4] == "iced"
    assert words(melting)[6:] == ["wet"] * 4
    assert words(rock_states(hours, sun(hours), 45.0, SHADE, starts_dry=True)) == ["dry"] * 10


def test_a_drizzle_that_dries_as_it_falls_is_damp_still() -> None:
    hours = weather(6, 25.0, 0.2, 6.0, 0.3, 0.05)
    found = rock_states(hours, sun(hours, 800.0), 45.0, SHADE, starts_dry=True)
    assert found.film_mm[0, -1] == 0.0
    assert words(found) == ["damp"] * 6


def test_snow_stays_longer_than_a_film() -> None:
    snow = np.where(np.arange(30) < 4, 2.0, 0.0)
    hours = weather(30, np.where(np.arange(30) < 6, -4.0, 4.0), 0.6, 2.0, 1.0, snow)
    found = rock_states(hours, sun(hours), 45.0, SHADE, starts_dry=True)
    assert found.film_mm[0, 5] == pytest.approx(8.0, abs=0.3)
    # 8 mm melt at h (T - 0.5) / L: with 4 deg C of air for about 15 hours.
    assert words(found)[12] == "iced"
    assert words(found)[-1] in ("wet", "damp")


# --- what is not known ---------------------------------------------------------------------------------------------
def test_unknown_hours_are_unknown_and_wet_after() -> None:
    hours = weather(24)
    known = [array.copy() for array in (hours.temperature_C, hours.humidity_share, hours.wind_m_s, hours.cloud_share,
                                        hours.rain_mm)]  # fmt: skip
    for array in known:
        array[:, [0, 10, 11]] = np.nan
    found = rock_states(HourlyWeather(hours.clock_s, 0.0, *known), sun(hours), 45.0, SHADE, starts_dry=True)
    assert words(found)[:10] == ["unknown"] + ["dry"] * 9
    assert words(found)[10:12] == ["unknown"] * 2
    assert words(found)[12:16] == ["wet", "wet", "wet", "dry"]
    assert np.flatnonzero(found.assumed_wet).tolist() == [12]
    assert np.isnan(found.film_mm[0, [0, 10, 11]]).all()
    assert np.isnan(found.rock_C[0, [0, 10, 11]]).all()
    assert np.isfinite(found.film_mm[0, 12:]).all()


def test_the_first_hour_is_wet_unless_typed() -> None:
    hours = weather(6)
    found = rock_states(hours, sun(hours), 45.0, SHADE)
    assert words(found) == ["wet", "wet", "wet", "dry", "dry", "dry"]
    assert found.assumed_wet.tolist() == [True] + [False] * 5
    nothing = replace(hours, **{n: np.full((1, 6), np.nan) for n in ("temperature_C", "humidity_share", "wind_m_s",
                                                                    "cloud_share", "rain_mm")})  # fmt: skip
    assert words(rock_states(nothing, sun(hours), 45.0, SHADE)) == ["unknown"] * 6


def test_impossible_inputs_are_refused() -> None:
    hours = weather(3)
    for slope_deg in (-0.01, 90.01, np.nan):
        with pytest.raises(ValueError, match="slope"):
            rock_states(hours, sun(hours), slope_deg, SHADE)
    for bad in (sun(hours, -1.0), sun(hours, np.nan), np.zeros((2, 3))):
        with pytest.raises(ValueError, match="sun on the slab"):
            rock_states(hours, bad, 45.0, SHADE)


# --- against the referee -------------------------------------------------------------------------------------------
def _drawn(rng: np.random.Generator, hours: int, members: int) -> tuple[HourlyWeather, np.ndarray]:
    clock_h = np.arange(hours)
    air = rng.uniform(-8, 15) + rng.uniform(1, 7) * np.sin((clock_h - 9.0) / 24 * 2 * np.pi)
    air = air + rng.normal(0.0, 2.0, (members, 1))
    humidity = np.clip(rng.uniform(0.4, 0.9) - 0.3 * np.sin((clock_h - 9.0) / 24 * 2 * np.pi), 0.05, 1.0)
    shape = (members, hours)
    rain = np.where(rng.random(shape) < 0.06, rng.exponential(1.5, shape), 0.0)
    found = weather(hours, air, humidity, rng.uniform(0.2, 8.0, shape), rng.random(shape), rain, members)
    light = np.maximum(np.sin((clock_h - 6.0) / 24 * 2 * np.pi), 0.0) * rng.uniform(0, 900)
    return found, sun(found, light)


def test_the_referee_finds_the_same() -> None:
    rng = np.random.default_rng(11)
    total = wrong = 0
    films, rocks = [], []
    for case in range(12):
        hours, light = _drawn(rng, 60, 2)
        drying = RockDrying(rng.uniform(1, 10) * 3600.0, rng.uniform(0.15, 1.0), melt_mm_h=0.3 * (case % 4 == 3))
        found = rock_states(hours, light, 50.0, drying, starts_dry=case % 2 == 0)
        for member in range(2):
            plain = plain_rock(hours, light, member, 50.0, drying, starts_dry=case % 2 == 0)
            for hour, said in enumerate(plain):
                total += 1
                films.append(abs(found.film_mm[member, hour] - said.film_mm))
                rocks.append(abs(found.rock_C[member, hour] - said.rock_C))
                if STATES[found.state[member, hour]] != said.state:
                    wrong += 1
                    # Only where a limit is near within the hour.
                    assert said.nearest_mm < 0.02
    assert total == 1_440
    assert wrong / total < 0.01
    assert np.quantile(films, 0.99) < 0.05
    assert max(films) < 0.2
    assert max(rocks) < 0.15


# --- what may never happen -----------------------------------------------------------------------------------------
seeds = st.integers(0, 10_000)


@given(seeds, st.floats(0.01, 5.0))
def test_more_rain_is_never_drier(seed: int, more: float) -> None:
    rng = np.random.default_rng(seed)
    hours, light = _drawn(rng, 40, 3)
    wetter = replace(hours, rain_mm=hours.rain_mm + np.where(rng.random((3, 40)) < 0.2, more, 0.0))
    less, greater = (rock_states(given, light, 45.0, SHADE, starts_dry=True) for given in (hours, wetter))
    assert (greater.state >= less.state).all()
    assert (greater.film_mm >= less.film_mm - 1e-12).all()


@given(seeds, st.floats(0.1, 10.0))
def test_warmer_air_with_the_same_dew_point_is_never_later_dry(seed: int, warmer: float) -> None:
    hours, light = _drawn(np.random.default_rng(seed), 40, 3)
    air = hours.temperature_C + warmer
    humidity = hours.humidity_share * vapour_over_water_hPa(hours.temperature_C) / vapour_over_water_hPa(air)
    warm = rock_states(replace(hours, temperature_C=air, humidity_share=humidity), light, 45.0, SHADE)
    cool = rock_states(hours, light, 45.0, SHADE)
    assert (warm.film_mm <= cool.film_mm + 1e-9).all()
    assert not ((cool.state == DRY) & (warm.state > DRY)).any()


@given(seeds, st.floats(1.0, 400.0))
def test_more_sun_is_never_later_dry(seed: int, more: float) -> None:
    hours, light = _drawn(np.random.default_rng(seed), 40, 3)
    sunny, shady = (rock_states(hours, given, 45.0, SHADE) for given in (light + more, light))
    assert (sunny.film_mm <= shady.film_mm + 1e-9).all()
    assert not ((shady.state == DRY) & (sunny.state > DRY)).any()


@given(st.floats(1.0, 30.0), st.floats(0.05, 0.95), st.floats(0.0, 8.0), st.floats(0.1, 8.0))
def test_more_wind_in_the_shade_is_never_later_dry(air: float, humidity: float, wind: float, more: float) -> None:
    """Under cloud in steady air; wind also cools rock that the sun warms, and then it may hold its water longer."""
    calm, windy = (weather(30, air, humidity, u, 1.0) for u in (wind, wind + more))
    shade = RockDrying(8 * 3600.0)
    slow, fast = (rock_states(given, sun(given, 20.0), 0.0, shade) for given in (calm, windy))
    assert (fast.film_mm <= slow.film_mm + 1e-9).all()


@given(seeds, st.floats(1.0, 6.0))
def test_a_longer_drying_time_is_never_earlier_dry(seed: int, longer: float) -> None:
    hours, light = _drawn(np.random.default_rng(seed), 40, 3)
    quick = rock_states(hours, light, 45.0, SHADE)
    slow = rock_states(hours, light, 45.0, replace(SHADE, drying_time_s=SHADE.drying_time_s * longer))
    assert (slow.film_mm >= quick.film_mm - 1e-12).all()
    assert (slow.state >= quick.state).all()


@given(seeds)
def test_members_do_not_touch_each_other(seed: int) -> None:
    hours, light = _drawn(np.random.default_rng(seed), 30, 4)
    together = rock_states(hours, light, 45.0, SHADE)
    alone = {name: getattr(hours, name)[2:3] for name in ("temperature_C", "humidity_share", "wind_m_s", "cloud_share",
                                                          "rain_mm")}  # fmt: skip
    one = rock_states(replace(hours, **alone), light[2:3], 45.0, SHADE)
    assert (one.state[0] == together.state[2]).all()
    assert (one.film_mm[0] == together.film_mm[2]).all()
    assert (together.film_mm <= 10.0).all()
    assert together.state.dtype == np.int8
    assert set(np.unique(together.state)) <= {DRY, DAMP, WET, ICED}
