"""A season at once against one day at a time."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable

import ephem
import numpy as np
import pytest

from handline.errors import InputError
from handline.sky.events import DayLight, day_light
from handline.sky.season_light import runs_of_dates, season_light
from handline.sky.zones import midnight_utc_s

DAY = dt.timedelta(days=1)


def days(first: dt.date, count: int, step: int = 1) -> list[dt.date]:
    return [first + index * step * DAY for index in range(count)]


def assert_same(found: DayLight, expected: DayLight, within_s: float = 0.01) -> None:
    for field in dataclasses.fields(DayLight):
        ours, theirs = getattr(found, field.name), getattr(expected, field.name)
        if isinstance(theirs, float):
            assert ours == pytest.approx(theirs, abs=within_s, rel=0, nan_ok=True), field.name
        else:
            assert ours == theirs, field.name


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "zone", "dates"),
    [
        (46.62, -113.41, "America/Denver", days(dt.date(2026, 3, 5), 7)),  # watches forward on the 8th
        (46.62, -113.41, "America/Denver", days(dt.date(2026, 10, 29), 7)),  # back on 1 November
        (-31.5, 159.1, "Australia/Lord_Howe", days(dt.date(2026, 10, 2), 4)),  # by half an hour
        (-42.05, 146.3, "Australia/Hobart", days(dt.date(2027, 1, 1), 8, 23)),
        (64.1, -21.9, "Atlantic/Reykjavik", days(dt.date(2026, 6, 14), 8, 2)),  # sunset after midnight
        (70.0, 25.0, "Europe/Oslo", days(dt.date(2026, 1, 1), 13, 29)),  # polar day and polar night
        (-80.0, 0.0, "UTC", days(dt.date(2026, 2, 1), 12, 30)),
        (0.0, 179.9, "Pacific/Kiritimati", days(dt.date(2026, 5, 1), 3)),  # a clock a day from its longitude
    ],
)
def test_every_value_is_that_of_the_day(
    latitude_deg: float, longitude_deg: float, zone: str, dates: list[dt.date]
) -> None:
    found = season_light(latitude_deg, longitude_deg, dates, zone)
    assert [light.date for light in found] == dates
    for light in found:
        assert_same(light, day_light(latitude_deg, longitude_deg, light.date, zone))


def test_the_cases_are_among_them() -> None:
    lights = season_light(70.0, 25.0, days(dt.date(2026, 1, 1), 365), "Europe/Oslo")
    assert {light.polar for light in lights} == {"", "sun_up_all_day", "twilight_all_night", "sun_down_all_day"}
    moonless = [light for light in lights if np.isnan(light.moonrise_clock_s) and np.isnan(light.moonset_clock_s)]
    assert moonless
    for light in (moonless[0], moonless[-1]):
        assert_same(light, day_light(70.0, 25.0, light.date, "Europe/Oslo"))


def test_dates_may_come_in_any_order_and_twice() -> None:
    dates = [dt.date(2027, 7, 17), dt.date(1999, 1, 3), dt.date(2027, 7, 17), dt.date(2027, 7, 1)]
    found = season_light(46.62, -113.41, dates, "America/Denver")
    assert [light.date for light in found] == dates
    assert found[0] == found[2]
    assert_same(found[1], day_light(46.62, -113.41, dates[1], "America/Denver"))
    assert season_light(46.62, -113.41, [], "America/Denver") == ()


def test_first_and_last_date_of_the_ephemeris() -> None:
    for date in (dt.date(1900, 1, 1), dt.date(2050, 12, 31)):
        assert_same(season_light(0.0, 180.0, [date], "Etc/GMT-12")[0], day_light(0.0, 180.0, date, "Etc/GMT-12"))


def test_runs_are_parted_at_more_than_a_week() -> None:
    dates = [dt.date(2027, 7, 1), dt.date(2027, 7, 8), dt.date(2027, 7, 16)]
    assert runs_of_dates(dates) == [dates[:2], dates[2:]]
    assert runs_of_dates([]) == []


def test_what_cannot_be_told_is_refused() -> None:
    with pytest.raises(InputError, match="1900-01-01 to 2050-12-31"):
        season_light(46.0, -113.0, [dt.date(2027, 7, 17), dt.date(2051, 1, 1)], "UTC")
    with pytest.raises(InputError, match="not a latitude"):
        season_light(91.0, 0.0, [dt.date(2027, 7, 17)], "UTC")
    with pytest.raises(InputError, match="unknown time zone"):
        season_light(46.0, 0.0, [dt.date(2027, 7, 17)], "Nowhere")


@pytest.mark.parametrize(
    ("latitude_deg", "longitude_deg", "zone"),
    [
        (46.0, -113.41, "America/Denver"),
        (-42.0, 146.3, "Australia/Hobart"),
        (63.0, 10.0, "Europe/Oslo"),
        (70.0, 25.0, "Europe/Oslo"),
    ],
)
def test_every_day_of_a_year_agrees_with_another_ephemeris(
    latitude_deg: float, longitude_deg: float, zone: str
) -> None:
    """Referee: ephem, to 5 s, each event for itself; where the sun lies down on the height it may find none."""
    place = ephem.Observer()
    place.lat, place.lon, place.elevation, place.pressure = str(latitude_deg), str(longitude_deg), 0.0, 0.0
    compared, grazed, none = 0, 0, 0
    for light in season_light(latitude_deg, longitude_deg, days(dt.date(2028, 1, 1), 366), zone):
        noon_utc_s = midnight_utc_s(light.date, zone) + light.noon_clock_s
        for horizon, morning_s, evening_s in (
            ("-0.833", light.sunrise_clock_s, light.sunset_clock_s),
            ("-6", light.civil_dawn_clock_s, light.civil_dusk_clock_s),
        ):
            place.horizon = horizon
            for found_s, search in ((morning_s, place.previous_rising), (evening_s, place.next_setting)):
                expected_s = event_after_noon_s(place, noon_utc_s, search) + light.noon_clock_s
                near_lowest = abs(abs(found_s - light.noon_clock_s) - 43_200.0) < 1800.0
                if np.isnan(found_s) and np.isnan(expected_s):
                    none += 1
                elif np.isnan(found_s) != np.isnan(expected_s):
                    grazed += 1
                    assert near_lowest or abs(abs(expected_s - light.noon_clock_s) - 43_200.0) < 1800.0, light.date
                else:
                    compared += 1
                    assert found_s == pytest.approx(expected_s, abs=5.0, rel=0), (light.date, horizon)
    assert compared + grazed + none == 4 * 366
    assert (none > 0) == (abs(latitude_deg) > 60.0)
    assert grazed <= (8 if none else 0)


def event_after_noon_s(place: ephem.Observer, noon_utc_s: float, search: Callable[..., ephem.Date]) -> float:
    """When the referee sees the event, seconds after noon; NaN for none within the half day around it."""
    zero = ephem.Date("1970/1/1")
    place.date = zero + noon_utc_s / 86_400.0
    try:
        event_s = (search(ephem.Sun(), use_center=True) - zero) * 86_400.0 - noon_utc_s
    except (ephem.AlwaysUpError, ephem.NeverUpError):
        return np.nan
    return float(event_s) if abs(event_s) < 43_260.0 else np.nan
