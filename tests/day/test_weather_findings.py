"""What the weather asks to act on, and the report that tells it; over the rules of the plan."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from handline.day.felt import felt_like
from handline.day.plan import Finding, Plan
from handline.day.planning import make_plan
from handline.day.weather_reporting import weather_report
from tests.day.skies import fair, weather_trip, write_forecast


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
    [(-15.0, 6.0, "cold", "heed"), (-32.0, 12.0, "cold", "stop"), (43.0, 1.0, "heat", "heed"), (18.0, 3.0, None, None)],
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
