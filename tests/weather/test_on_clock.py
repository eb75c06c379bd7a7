"""A forecast on the trip's clock: joined, spread, filled where it says nothing, and honest about what is missing."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.errors import InputError
from handline.weather import on_clock as on_clock_module
from handline.weather.forecast import ForecastPlace
from handline.weather.on_clock import LONGEST_STEP_S, on_clock

MIDNIGHT_S = 1_909_375_200.0
H = 3600.0
NAMES = (
    "temperature_C",
    "humidity_share",
    "wind_m_s",
    "gust_m_s",
    "cloud_share",
    "rain_mm",
    "rain_chance",
    "thunder_chance",
)


def place_of(at_h: list[float], name: str = "", elevation_m: float = 3000.0, **values: list[float]) -> ForecastPlace:
    """A place whose times are hours after the clock's zero; what is not given is not said."""
    count = len(at_h)
    usual = {"temperature_C": [10.0] * count}
    filled = {each: np.array({**usual, **values}.get(each, [math.nan] * count), float) for each in NAMES}
    return ForecastPlace(name=name, elevation_m=elevation_m, time_s=MIDNIGHT_S + H * np.array(at_h), **filled)


def whole_day(**values: list[float]) -> ForecastPlace:
    at_h = [float(hour) for hour in range(25)]
    said = {"humidity_share": [0.5] * 25, "wind_m_s": [3.0] * 25, "cloud_share": [0.1] * 25, "rain_mm": [0.0] * 25}
    return place_of(at_h, **{**said, **values})


# --- joining -------------------------------------------------------------------------------------------------------


def test_whole_hours_come_through_as_they_are() -> None:
    place = whole_day(temperature_C=[float(hour) for hour in range(25)], rain_mm=[0.1 * hour for hour in range(25)])
    found = on_clock(place, MIDNIGHT_S, hours=24, first_clock_s=0.0)
    assert found.notes == ()
    assert found.hours.members == 1
    assert found.hours.elevation_m == 3000.0
    assert found.hours.clock_s.tolist() == [H * hour for hour in range(24)]
    assert found.hours.temperature_C[0].tolist() == pytest.approx(list(range(24)))
    assert found.hours.rain_mm[0].tolist() == pytest.approx([0.1 * hour for hour in range(24)])
    assert set(found.hours.humidity_share[0]) == {0.5}


def test_values_between_are_on_the_straight_line() -> None:
    place = place_of([0.0, 6.0, 7.5], temperature_C=[0.0, 12.0, 15.0], wind_m_s=[6.0, 0.0, 9.0])
    found = on_clock(place, MIDNIGHT_S, hours=8, first_clock_s=0.0)
    assert found.hours.temperature_C[0].tolist() == pytest.approx([0, 2, 4, 6, 8, 10, 12, 14])
    assert found.hours.wind_m_s[0].tolist() == pytest.approx([6, 5, 4, 3, 2, 1, 0, 6])


def test_half_hours_off_the_clock() -> None:
    """A zone half an hour off: each hour starts between two times, and has half the rain of each."""
    place = place_of([-0.5, 0.5, 1.5, 2.5], temperature_C=[0.0, 2.0, 6.0, 6.0], rain_mm=[1.0, 2.0, 4.0, 8.0])
    found = on_clock(place, MIDNIGHT_S, hours=3, first_clock_s=0.0)
    assert found.hours.temperature_C[0].tolist() == pytest.approx([1.0, 4.0, 6.0])
    assert found.hours.rain_mm[0].tolist() == pytest.approx([1.5, 3.0, 6.0])


def test_steps_over_six_hours_are_a_gap() -> None:
    assert LONGEST_STEP_S == 6 * 3600
    place = place_of([0.0, 2.0, 4.0, 10.5, 12.5], rain_mm=[0.0] * 5)
    found = on_clock(place, MIDNIGHT_S, hours=14, first_clock_s=0.0)
    assert found.hours.known.tolist() == [True] * 4 + [False] * 7 + [True] * 2 + [False]
    for name in ("temperature_C", "humidity_share", "wind_m_s", "cloud_share", "rain_mm"):
        assert np.array_equal(np.isfinite(getattr(found.hours, name)[0]), found.hours.known), name
    assert "no forecast from 04:00 to 11:00" in found.notes
    assert "no forecast from 13:00 to 14:00" in found.notes


def test_a_step_of_six_hours_is_none() -> None:
    found = on_clock(place_of([0.0, 6.0, 12.0]), MIDNIGHT_S, hours=12, first_clock_s=0.0)
    assert found.hours.known.all()


def test_a_blank_temperature_is_joined_over_if_its_neighbours_are_near() -> None:
    place = place_of([0.0, 3.0, 6.0, 9.0, 12.0, 15.0], temperature_C=[0.0, math.nan, 6.0, math.nan, math.nan, 15.0])
    found = on_clock(place, MIDNIGHT_S, hours=16, first_clock_s=0.0)
    assert found.hours.known.tolist() == [True] * 7 + [False] * 8 + [True]
    assert found.hours.temperature_C[0, 3] == pytest.approx(3.0)


def test_the_usual_span_and_the_days_in_words() -> None:
    found = on_clock(place_of([float(hour) for hour in range(-2, 31)]), MIDNIGHT_S)
    assert found.hours.clock_s[0] == -12 * H
    assert found.hours.clock_s.size == 72
    assert "no forecast from 12:00 the day before to 22:00 the day before" in found.notes
    assert "no forecast from 07:00 the day after to 12:00 (+2)" in found.notes


def test_one_time_only_tells_one_hour() -> None:
    found = on_clock(place_of([6.0], rain_mm=[2.0], thunder_chance=[0.3]), MIDNIGHT_S, hours=24, first_clock_s=0.0)
    assert np.flatnonzero(found.hours.known).tolist() == [6]
    assert found.hours.rain_mm[0, 6] == 2.0
    assert found.thunder_chance[6] == pytest.approx(0.3)


# --- rain and chances ----------------------------------------------------------------------------------------------


@given(
    st.lists(st.tuples(st.floats(0.05, 6.0), st.floats(0.0, 40.0)), min_size=1, max_size=20),
    st.floats(-3.0, 3.0),
)
def test_rain_is_conserved(steps: list[tuple[float, float]], begin_h: float) -> None:
    at_h = np.concatenate([[begin_h], begin_h + np.cumsum([length for length, _ in steps])])
    # Dry on either side, so that all of the rain falls in whole hours that are known.
    at_h = np.concatenate([at_h[:1] - 4.0, at_h, at_h[-1:] + np.array([4.0, 8.0])])
    rain = [0.0, *(amount for _, amount in steps), 0.0, 0.0, 0.0]
    place = place_of(at_h.tolist(), rain_mm=rain)
    found = on_clock(place, MIDNIGHT_S, hours=150, first_clock_s=-12 * H)
    assert np.nansum(found.hours.rain_mm) == pytest.approx(sum(rain), abs=1e-6)
    assert (found.hours.rain_mm[0][found.hours.known] >= 0.0).all()


@given(
    st.lists(st.tuples(st.integers(1, 6), st.floats(0.0, 1.0)), min_size=1, max_size=8),
)
def test_the_chance_of_any_over_a_step_is_kept(steps: list[tuple[int, float]]) -> None:
    at_h = [0.0, *np.cumsum([length for length, _ in steps]).astype(float)]
    chances = [*(chance for _, chance in steps), 0.0]
    found = on_clock(place_of(at_h, thunder_chance=chances), MIDNIGHT_S, hours=60, first_clock_s=0.0)
    for (first, last), chance in zip(pairwise(at_h), chances, strict=False):
        of_hours = found.thunder_chance[int(first) : int(last)]
        assert 1.0 - np.prod(1.0 - of_hours) == pytest.approx(chance, abs=1e-7)
        assert of_hours == pytest.approx(1.0 - (1.0 - chance) ** (1.0 / (last - first)), abs=1e-7)


def test_chances_by_hand() -> None:
    place = place_of([0.0, 3.0, 3.5, 4.0, 5.0], rain_chance=[0.271, 0.5, 0.5, 1.0, math.nan])
    found = on_clock(place, MIDNIGHT_S, hours=6, first_clock_s=0.0)
    assert found.rain_chance.tolist() == pytest.approx([0.1, 0.1, 0.1, 0.75, 1.0, math.nan], nan_ok=True)
    assert np.isnan(found.thunder_chance).all()


def test_a_chance_of_a_step_too_long_is_not_told() -> None:
    found = on_clock(place_of([0.0, 6.5, 7.0, 8.0], thunder_chance=[0.5] * 4), MIDNIGHT_S, 8, 0.0)
    assert np.isnan(found.thunder_chance[:7]).all()
    assert found.thunder_chance[7] == pytest.approx(0.5)


def test_a_forecast_for_each_second_does_not_burst() -> None:
    at_h = (np.arange(100_000) / 3600.0).tolist()
    found = on_clock(place_of(at_h, rain_mm=[0.001] * 100_000, thunder_chance=[1e-6] * 100_000), MIDNIGHT_S, 24, 0.0)
    assert found.hours.rain_mm[0, :27] == pytest.approx(np.full(24, 3.6))
    assert found.thunder_chance[0] == pytest.approx(-math.expm1(3600 * math.log1p(-1e-6)))


def test_the_gust_is_the_strongest_of_the_hour() -> None:
    place = place_of([0.0, 0.5, 1.0, 2.0, 8.0, 9.0], gust_m_s=[5.0, 20.0, 6.0, 9.0, 3.0, math.nan])
    found = on_clock(place, MIDNIGHT_S, hours=9, first_clock_s=0.0)
    expected = [20.0, 9.0, 9.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0]
    assert found.gust_m_s.tolist() == pytest.approx(expected)


# --- what is not said ----------------------------------------------------------------------------------------------


def test_what_is_not_said_is_taken_carefully_and_told() -> None:
    found = on_clock(place_of([0.0, 6.0, 12.0]), MIDNIGHT_S, hours=12, first_clock_s=0.0)
    assert set(found.hours.rain_mm[0].round(9)) == {0.2}
    assert set(found.hours.humidity_share[0]) == {0.95}
    assert set(found.hours.wind_m_s[0]) == {5.0}
    assert set(found.hours.cloud_share[0]) == {1.0}
    assert found.notes == (
        "the forecast does not say rain: a drizzle of 0.2 mm each hour is taken, so that no rock is reckoned dry; "
        "a column rain_mm or rain_chance_pct would tell",
        "the forecast does not say humidity: 70 % is taken, 95 % in rain; "
        "a column humidity_pct or dew_point_C would tell",
        "the forecast does not say wind: 5 m/s is taken; a column wind_m_s or of another unit would tell",
        "the forecast does not say cloud: 50 % of the sky is taken, all of it in rain; a column cloud_pct would tell",
    )


def test_a_chance_of_rain_stands_in_for_its_amount() -> None:
    place = place_of([0.0, 6.0, 12.0], rain_chance=[0.25, 0.24, 0.0])
    found = on_clock(place, MIDNIGHT_S, hours=12, first_clock_s=0.0)
    assert found.hours.rain_mm[0].tolist() == pytest.approx([1.0] * 6 + [0.0] * 6)
    assert found.hours.humidity_share[0].tolist() == [0.95] * 6 + [0.7] * 6
    assert found.hours.cloud_share[0].tolist() == [1.0] * 6 + [0.5] * 6
    assert found.notes[0] == (
        "the forecast does not say how much rain: 1 mm each hour is taken where its chance is 25 % or more, else none; "
        "a column rain_mm would tell"
    )


def test_what_is_not_said_for_some_hours_is_told_with_them() -> None:
    wind = [3.0] * 25
    wind[9:17] = [math.nan] * 8
    rain = [0.0] * 25
    rain[5] = math.nan
    found = on_clock(whole_day(wind_m_s=wind, rain_mm=rain), MIDNIGHT_S, hours=24, first_clock_s=0.0)
    assert found.hours.known.all()
    assert found.hours.wind_m_s[0].tolist() == [3.0] * 9 + [5.0] * 8 + [3.0] * 7
    assert found.hours.rain_mm[0, 4:7].tolist() == pytest.approx([0.0, 0.2, 0.0])
    assert [note.split(":", 1)[0] for note in found.notes] == [
        "the forecast does not say rain from 05",
        "the forecast does not say wind from 09",
    ]
    assert "from 09:00 to 17:00: 5 m/s" in found.notes[1]


def test_every_stand_in_is_tried() -> None:
    """The numbers of the tests above are those of the table."""
    module = on_clock_module
    assert (module.UNSAID_WIND_M_S, module.UNSAID_RAIN_MM_H, module.LIKELY_RAIN_MM_H) == (5.0, 0.2, 1.0)
    assert module.LIKELY_RAIN_CHANCE == 0.25


# --- what is refused -----------------------------------------------------------------------------------------------


def test_a_date_that_is_not_covered_is_refused_with_what_is() -> None:
    place = place_of([-30.0, -26.0, -24.0], name="Col")
    with pytest.raises(InputError) as caught:
        on_clock(place, MIDNIGHT_S)
    (found,) = caught.value.problems
    assert found.what == 'the forecast of "Col" says nothing of this date'
    assert found.read == "2030-07-03 00:00 UTC to 2030-07-03 06:00 UTC"
    assert found.allowed == (
        "hours between 2030-07-04 06:00 UTC and 2030-07-05 06:00 UTC, the date's own, at most 6 h apart"
    )


def test_only_the_evening_before_is_not_the_date() -> None:
    place = place_of([-10.0, -5.0, -1.0])
    with pytest.raises(InputError, match="says nothing of this date"):
        on_clock(place, MIDNIGHT_S)
    # A span that leaves the date out asks for no hour of it.
    assert on_clock(place, MIDNIGHT_S, hours=8, first_clock_s=-10 * H).hours.known.sum() == 8


def test_no_temperature_at_all_is_refused() -> None:
    with pytest.raises(InputError, match="no temperature at all"):
        on_clock(replace(whole_day(), temperature_C=np.full(25, math.nan)), MIDNIGHT_S)


@pytest.mark.parametrize(
    ("midnight_s", "hours", "first_s"), [(MIDNIGHT_S, 0, 0.0), (MIDNIGHT_S, 24, 90.0), (math.nan, 24, 0.0)]
)
def test_a_clock_that_is_none_is_refused(midnight_s: float, hours: int, first_s: float) -> None:
    with pytest.raises(ValueError, match="at least one hour"):
        on_clock(whole_day(), midnight_s, hours, first_s)
