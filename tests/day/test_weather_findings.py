"""What the weather asks to act on, and the report that tells it; over the rules of the plan."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from handline.day.felt import felt_like
from handline.day.plan import Finding, Plan
from handline.day.planning import make_plan
from handline.day.weather_reporting import weather_report
from tests.day import skies
from tests.day.skies import fair, weather_trip, write_forecast
from tests.day.trips import LEGS


def _found(plan: Plan) -> dict[str, Finding]:
    return {finding.key: finding for finding in plan.findings}


def test_a_storm_before_the_party_is_off_the_line_stops_from_one_day_in_ten(tmp_path: Path) -> None:
    """Thunder at 8 in every hour from 08:00: on the line from half past eight to about ten."""
    for chance, level in ((0.0, None), (2.0, "heed"), (12.0, "stop")):
        write_forecast(tmp_path, lambda hour, c=chance: (*fair(hour)[:6], c if 8 <= hour < 18 else 0.0))
        found = _found(make_plan(weather_trip(tmp_path, limits="off_line_before_storm = false")))
        assert (found["storm_on_the_line"].level if "storm_on_the_line" in found else None) == level


def test_the_chance_of_that_storm_is_one_minus_what_keeps_the_limit(tmp_path: Path) -> None:
    write_forecast(tmp_path, lambda hour: (*fair(hour)[:6], 12.0 if 8 <= hour < 18 else 0.0))
    plan = make_plan(weather_trip(tmp_path))
    kept = next(chance for chance in plan.chances if chance.key == "off_line_before_storm")
    sentence = _found(plan)["storm_on_the_line"].sentence
    assert sentence.startswith(f"On {1 - kept.share:.0%}".replace("%", " %"))


@pytest.mark.parametrize(
    ("air_C", "wind_m_s", "key", "level"),
    [(-15.0, 6.0, "cold", "heed"), (-32.0, 12.0, "cold", "stop"), (40.0, 1.0, "heat", "heed"), (18.0, 3.0, None, None)],
)
def test_cold_and_heat_are_told_from_their_limits_on(
    tmp_path: Path, air_C: float, wind_m_s: float, key: str | None, level: str | None
) -> None:
    write_forecast(tmp_path, lambda hour: (air_C, 25.0, wind_m_s, 20.0, 0.0, 0.0, 0.0))
    found = _found(make_plan(weather_trip(tmp_path)))
    assert {"cold", "heat"} & set(found) == ({key} if key else set())
    if key:
        assert found[key].level == level


def test_felt_is_the_published_wind_chill_at_its_careful_end() -> None:
    # Environment Canada: -25 C and 20 km/h feel like -37.
    felt = felt_like(np.full(50, -25.0), np.full(50, 20.0 / 3.6), np.full(50, 0.5))
    assert felt is not None
    assert (felt.index, round(felt.value_C)) == ("Wind chill", -37)
    spread = felt_like(np.linspace(-30.0, -20.0, 101), np.full(101, 20.0 / 3.6), np.full(101, 0.5))
    assert spread is not None
    assert spread.value_C < felt.value_C


def test_felt_is_the_published_heat_index() -> None:
    # US National Weather Service: 88 F at 100 % feel like 121 F.
    felt = felt_like(np.full(10, (88 - 32) / 1.8), np.full(10, 1.0), np.full(10, 1.0))
    assert felt is not None
    assert (felt.index, round(felt.value_C * 1.8 + 32)) == ("Heat index", 121)


def test_without_wind_the_air_is_as_cold_as_it_is_and_nothing_known_is_nothing_felt() -> None:
    felt = felt_like(np.full(10, -5.0), np.zeros(10), np.full(10, 0.5))
    assert felt is not None
    assert felt.value_C == -5.0
    assert felt_like(np.full(3, np.nan), np.full(3, 1.0), np.full(3, 0.5)) is None


def test_heat_past_the_index_is_not_mild(tmp_path: Path) -> None:
    """Above the index's last temperature the air itself stands for it, and that is at least danger."""
    felt = felt_like(np.full(10, 48.0), np.full(10, 1.0), np.full(10, 0.1))
    assert felt is not None
    assert felt.value_C == 48.0
    assert "stroke" in felt.says


def test_heat_past_the_index_feels_no_milder_than_its_hottest_air() -> None:
    """45 C at 40 %: the index ends at 112 F, where it says 147 F by the published regression; the air is 113 F."""
    t, r = 112.0, 40.0
    regression = (
        -42.379 + 2.04901523 * t + 10.14333127 * r - 0.22475541 * t * r - 0.00683783 * t**2 - 0.05481717 * r**2
        + 0.00122874 * t**2 * r + 0.00085282 * t * r**2 - 0.00000199 * t**2 * r**2
    )  # fmt: skip
    felt = felt_like(np.full(10, 45.0), np.full(10, 1.0), np.full(10, 0.4))
    assert felt is not None
    assert felt.value_C * 1.8 + 32.0 == pytest.approx(regression, abs=1e-6)
    assert regression > 140.0
    assert "do not climb" in felt.says


def test_weather_that_late_days_do_not_know_is_not_known(tmp_path: Path) -> None:
    """The forecast ends before most days are home: the few early ones do not stand for the others."""
    write_forecast(tmp_path)
    home_s = make_plan(weather_trip(tmp_path)).timetable[-1].arrive_clock_s
    last = int(np.quantile(home_s, 0.2) // 3600.0) + 1
    write_forecast(tmp_path, last=last)
    plan = make_plan(weather_trip(tmp_path))
    home = plan.weather.there[-1]
    assert np.isnan([*home.temperature_C, *home.wind_m_s, home.rain_share]).all()
    assert home.felt is None
    found = _found(plan)["weather_unknown"]
    assert (found.level, home.name in found.sentence) == ("heed", True)
    assert np.isfinite(plan.weather.there[0].temperature_C).all()


def test_dry_hours_at_the_end_of_the_day_are_not_more_than_they_are(tmp_path: Path) -> None:
    """Rain all day and night but for its last two hours: they are not three dry ones."""

    def wet_till_late(hour: int) -> tuple[float, float, float, float, float, float, float]:
        rains = hour < 27
        return 25.0, 97.0 if rains else 10.0, 3.0 if rains else 12.0, 100.0, 1.0 if rains else 0.0, 100.0 * rains, 0.0

    write_forecast(tmp_path, wet_till_late)
    plan = make_plan(weather_trip(tmp_path))
    dry = {hour.clock_s / 3600.0: hour.rock_share[0] for hour in plan.weather.hours}
    assert (dry[27.0] < 0.9, dry[28.0] >= 0.9, dry[29.0] >= 0.9) == (True, True, True)
    assert "not dry on nine days in ten" in _found(plan)["slab_up"].detail


@pytest.mark.parametrize(
    ("dries_at", "limits", "from_clock"),
    [
        (7, "", "08:00"),
        # Dry only when it is dark soon.
        (19, "", None),
        # Half past seven is the latest at the foot.
        (10, 'home_by = "14:00"', None),
        # From this start nothing is in time at the foot.
        (10, 'home_by = "09:00"', None),
        # No limit to miss.
        (7, "home_before_dark = false\noff_line_before_storm = false", "08:00"),
    ],
)
def test_dry_hours_are_named_only_in_the_light_and_in_time(
    tmp_path: Path, dries_at: int, limits: str, from_clock: str | None
) -> None:
    """Rain until an hour, then sun and wind: the slab is dry soon after."""

    def clears_up(hour: int) -> tuple[float, float, float, float, float, float, float]:
        rains = hour < dries_at
        return 25.0, 97.0 if rains else 10.0, 3.0 if rains else 12.0, 100.0 * rains, 1.0 * rains, 100.0 * rains, 0.0

    write_forecast(tmp_path, clears_up)
    plan = make_plan(weather_trip(tmp_path, limits=limits))
    assert any(hour.clock_s >= dries_at * 3600.0 and hour.rock_share[0] >= 0.9 for hour in plan.weather.hours)
    says = "" if from_clock is None else f"It is dry on nine days in ten from {from_clock} on for three hours or more."
    assert _found(plan)["slab_up"].detail == says


def test_an_even_day_has_no_odd_warmest_hour(tmp_path: Path) -> None:
    write_forecast(tmp_path, lambda hour: (12.0, *fair(hour)[1:]))
    assert "forecast_clock" not in _found(make_plan(weather_trip(tmp_path)))


@pytest.mark.parametrize(("date", "dark"), [("2027-06-20", False), ("2027-12-20", True)])
def test_where_it_does_not_get_dark_nobody_counts_on_lamps(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, date: str, dark: bool
) -> None:
    """At 69 degrees north: a day without night, and one without sun, whose course of air is said to be assumed."""
    north = LEGS
    for here, there in (("America/Denver", "Europe/Oslo"), ("46.6", "69"), ("-113.4", "18"), ("2027-07-17", date)):
        north = north.replace(here, there)
    monkeypatch.setattr(skies, "LEGS", north)
    months = skies.JULY.replace("month = 7", f"month = {date[5:7].lstrip('0')}")
    plan = make_plan(weather_trip(tmp_path, months))
    assert plan.sky.moon_says.endswith("it does not get dark on this day.") is not dark
    assert "lamps" in plan.sky.moon_says or not dark
    assert any("a day of 12 hours" in note for note in plan.weather.notes)


def test_an_old_forecast_is_told_and_a_new_one_not(tmp_path: Path) -> None:
    for issued, told in (("2027-07-14T18:00-06:00", True), ("2027-07-16T18:00-06:00", False), ("", False)):
        write_forecast(tmp_path, issued=issued)
        assert ("forecast_old" in _found(make_plan(weather_trip(tmp_path)))) is told


def test_a_forecast_in_another_time_zone_is_told_by_its_warmest_hour(tmp_path: Path) -> None:
    """Times with an offset twelve hours off: what is warmest at 17:00 here is said for 05:00."""
    path = write_forecast(tmp_path)
    assert "forecast_clock" not in _found(make_plan(weather_trip(tmp_path)))
    path.write_text(path.read_text(encoding="utf-8").replace("-06:00,", "+06:00,"), encoding="utf-8")
    assert "05:00" in _found(make_plan(weather_trip(tmp_path)))["forecast_clock"].sentence


def test_the_report_has_the_plans_own_numbers_and_only_what_is_about_the_sky(tmp_path: Path) -> None:
    write_forecast(tmp_path, lambda hour: (*fair(hour)[:6], 12.0 if 4 <= hour < 18 else 0.0))
    trip = weather_trip(tmp_path, start="03:00")
    plan, report = make_plan(trip), weather_report(trip)
    assert (report.weather, report.sky, report.light, report.storm) == (plan.weather, plan.sky, plan.light, plan.storm)
    keys = {finding.key for finding in report.findings}
    assert "storm_on_the_line" in keys
    assert not keys & {"tether", "pull", "long_slide", "limits_missed"}
    assert report.level == "stop"
    assert report.headline == report.findings[0].sentence


def test_weather_there_is_each_days_own_and_colder_higher_up(tmp_path: Path) -> None:
    write_forecast(tmp_path)
    plan = make_plan(weather_trip(tmp_path))
    gate, top = plan.weather.there[0], plan.weather.there[3]
    assert (gate.name, top.name) == ("Gate", "Top")
    # At 06:00 the forecast says 14 - 7 cos(1/24 of a turn) = 7.2 C at 1,200 m.
    assert gate.temperature_C[1] == pytest.approx(fair(6)[0], abs=0.6)
    assert top.temperature_C[1] < fair(9)[0]
    assert plan.weather.attribution == "invented"


def test_the_moon_on_a_dark_walk(tmp_path: Path) -> None:
    """Full moon of 2027-07-18 (from memory): a walk at midnight is lit for most of its dark."""
    write_forecast(tmp_path)
    lit = make_plan(weather_trip(tmp_path, start="00:30"))
    assert 0.0 < lit.sky.moonlit_walking_s[1] <= lit.light.dark_walking_s[1] + 1.0
    assert lit.sky.moon_says.startswith("The moon is ")
    by_day = make_plan(weather_trip(tmp_path, start="09:00"))
    assert by_day.sky.moonlit_walking_s == (0.0, 0.0, 0.0)


@pytest.mark.parametrize(("wind_m_s", "level"), [(5.0, None), (9.0, "heed"), (16.0, "stop")])
def test_wind_on_the_line_is_told_from_a_strong_breeze_on(tmp_path: Path, wind_m_s: float, level: str | None) -> None:
    """The windy tenth of days is about half as much again as the forecast's mean: exp(1.28 x 0.3)."""
    write_forecast(tmp_path, lambda hour: (*fair(hour)[:2], wind_m_s, *fair(hour)[3:]))
    found = _found(make_plan(weather_trip(tmp_path)))
    assert (found["wind"].level if "wind" in found else None) == level
