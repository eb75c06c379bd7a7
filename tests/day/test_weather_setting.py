"""The weather of a trip: forecast and months as courses, at the height of a place; where storms come from."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from handline.day.assumptions import assumptions
from handline.day.setting import set_up
from handline.day.weather_setting import MEMBERS
from handline.errors import TripError
from handline.weather.hours import HOUR_S
from tests.day.skies import JULY, fair, weather_trip, write_forecast
from tests.day.trips import typed_trip


def test_without_forecast_or_months_there_is_no_weather() -> None:
    setting = set_up(typed_trip(rock="dry"))
    assert setting.weather.source == "nothing"
    assert setting.weather.at("Gate", 1200.0) is None
    assert setting.slab is None
    assert setting.storm_says == "as typed"


def test_a_forecast_is_many_courses_around_what_it_says(tmp_path: Path) -> None:
    write_forecast(tmp_path)
    weather = set_up(weather_trip(tmp_path)).weather
    hours = weather.at("Gate", 1200.0)
    assert hours is not None
    assert hours.members == MEMBERS
    noon = int(np.flatnonzero(hours.clock_s == 12 * HOUR_S)[0])
    # The mean of the courses is the forecast's own: 14 - 7 cos(7/24 of a turn). Three standard errors of 2 C.
    assert hours.temperature_C[:, noon].mean() == pytest.approx(fair(12)[0], abs=3 * 2.0 / np.sqrt(MEMBERS))
    assert hours.temperature_C[:, noon].std() > 1.0
    assert weather.says == "From the forecast in forecast.csv, invented; made 12 h 00 min before the start."
    assert weather.notes == ()


def test_a_higher_place_is_colder_by_the_lapse(tmp_path: Path) -> None:
    write_forecast(tmp_path)
    weather = set_up(weather_trip(tmp_path)).weather
    low, high = weather.at("Gate", 1200.0), weather.at("Top", 2200.0)
    assert low is not None
    assert high is not None
    # The standard atmosphere's 6.5 C for each 1000 m.
    apart = (low.temperature_C - high.temperature_C)[:, low.known]
    assert apart == pytest.approx(np.full(apart.shape, 6.5))


def test_a_named_place_of_the_forecast_counts_before_the_nearest_in_height(tmp_path: Path) -> None:
    path = write_forecast(tmp_path)
    text = path.read_text(encoding="utf-8")
    rows = [line.replace(",Gate,1200,", ",Top,1900,") for line in text.splitlines()[3:]]
    path.write_text(text + "\n".join(rows) + "\n", encoding="utf-8")
    weather = set_up(weather_trip(tmp_path)).weather
    top, foot = weather.at("Top", 1920.0), weather.at("Foot", 1800.0)
    gate = weather.at("Gate", 1200.0)
    assert top is not None
    assert foot is not None
    assert gate is not None
    known = top.known
    # Both bases say the same air; the top's is at 1900 m already, so 20 m on it is 0.13 C colder.
    apart = (gate.temperature_C - top.temperature_C)[:, known]
    assert apart == pytest.approx(np.full(apart.shape, 0.13))
    apart = (foot.temperature_C - top.temperature_C)[:, known]
    assert apart == pytest.approx(np.full(apart.shape, 120.0 * 0.0065))


def test_hours_that_a_forecast_leaves_out_are_said_and_unknown(tmp_path: Path) -> None:
    write_forecast(tmp_path, first=0, last=12)
    setting = set_up(weather_trip(tmp_path))
    assert any("no forecast from 12:00" in note for note in setting.weather.notes)
    hours = setting.weather.at("Gate", 1200.0)
    assert hours is not None
    assert np.isnan(hours.temperature_C[:, hours.clock_s == 15 * HOUR_S]).all()


def test_months_stand_in_for_hours_that_a_forecast_leaves_out(tmp_path: Path) -> None:
    write_forecast(tmp_path, first=0, last=12)
    setting = set_up(weather_trip(tmp_path, 'forecast = "forecast.csv"\n' + JULY))
    hours = setting.weather.at("Gate", 1200.0)
    assert hours is not None
    assert np.isfinite(hours.temperature_C).all()


def test_months_give_the_days_that_are_usual(tmp_path: Path) -> None:
    setting = set_up(weather_trip(tmp_path, JULY))
    assert setting.weather.source == "months"
    hours = setting.weather.at("Gate", 1200.0)
    assert hours is not None
    day = (hours.clock_s >= 0) & (hours.clock_s < 24 * HOUR_S)
    # Typed: mean low 6 C and high 21 C; days differ by 4 C, so the mean of 250 courses by 0.25 C: four of these.
    assert hours.temperature_C[:, day].min(axis=1).mean() == pytest.approx(6.0, abs=1.0)
    assert hours.temperature_C[:, day].max(axis=1).mean() == pytest.approx(21.0, abs=1.0)


def test_storms_are_as_typed_then_the_forecasts_then_the_months_then_the_usual(tmp_path: Path) -> None:
    write_forecast(tmp_path, lambda hour: (*fair(hour)[:6], 10.0 if hour in (14, 15) else 0.0))
    typed = set_up(weather_trip(tmp_path, 'forecast = "forecast.csv"\nstorm_chance = "20 %"'))
    assert (typed.storm_chance, typed.storm_says) == (0.2, "as typed")
    hourly = set_up(weather_trip(tmp_path))
    # Two hours of one in ten: 1 - 0.9 x 0.9.
    assert hourly.storm_chance == pytest.approx(0.19)
    assert hourly.storm.begun_share(14 * HOUR_S) == pytest.approx(0.0)
    assert hourly.storm.begun_share(15 * HOUR_S) == pytest.approx(0.1)
    months = set_up(weather_trip(tmp_path, JULY))
    # Six days of storm in July's 31.
    assert months.storm_chance == pytest.approx(6 / 31, abs=1e-9)
    unsaid = set_up(weather_trip(tmp_path, JULY.replace("storm_days = 6\n", "")))
    for setting, where in ((typed, "as typed"), (hourly, "from the forecast"), (months, "from how many days")):
        told = next(one for one in assumptions(setting) if one.what == "A storm that day")
        assert told.source.startswith(where)
    assert "storm_chance" in unsaid.guessed
    assert "storm_chance" not in months.guessed


def test_the_months_storms_count_where_a_forecast_says_no_thunder(tmp_path: Path) -> None:
    path = write_forecast(tmp_path)
    lines = path.read_text(encoding="utf-8").splitlines()
    cut = [line if line.startswith("#") else line.rsplit(",", 1)[0] for line in lines]
    path.write_text("\n".join(cut) + "\n", encoding="utf-8")
    both = set_up(weather_trip(tmp_path, 'forecast = "forecast.csv"\n' + JULY))
    assert both.storm_chance == pytest.approx(6 / 31, abs=1e-9)
    assert both.storm_says == "from how many days of storm the months have"
    assert "storm_chance" not in both.guessed
    # The whole day is forecast: nothing of it is from the months, and nothing says so.
    assert not any("months" in note for note in both.weather.notes)


def test_hours_that_the_months_fill_are_said(tmp_path: Path) -> None:
    write_forecast(tmp_path, first=0, last=12)
    notes = set_up(weather_trip(tmp_path, 'forecast = "forecast.csv"\n' + JULY)).weather.notes
    assert "hours without a forecast are taken as is usual in the months" in notes
    assert any("how days differ in warmth" in note for note in notes)


def test_thunder_of_another_place_counts_where_the_nearest_says_none(tmp_path: Path) -> None:
    path = write_forecast(tmp_path, lambda hour: (*fair(hour)[:6], 10.0 if hour in (14, 15) else 0.0))
    text = path.read_text(encoding="utf-8")
    high = [line.replace(",Gate,1200,", ",High,1835,").rsplit(",", 1)[0] + "," for line in text.splitlines()[3:]]
    path.write_text(text + "\n".join(high) + "\n", encoding="utf-8")
    setting = set_up(weather_trip(tmp_path))
    assert setting.storm_chance == pytest.approx(0.19)
    assert "storm_chance" not in setting.guessed


def test_the_place_with_the_name_of_the_line_tells_its_thunder(tmp_path: Path) -> None:
    """As its weather does: though another place of the forecast is nearer in height."""
    path = write_forecast(tmp_path)
    rows = path.read_text(encoding="utf-8").splitlines()
    near = [row.replace(",Gate,1200,", ",High,1800,") for row in rows[3:]]
    named = [row.replace(",Gate,1200,", ",the line,1900,")[:-2] + ",5" for row in rows[3:]]
    path.write_text("\n".join([*rows, *near, *named]) + "\n", encoding="utf-8")
    setting = set_up(weather_trip(tmp_path))
    assert setting.weather.thunder_chance[40:60] == pytest.approx(0.05)


def test_who_leaves_in_the_evening_meets_the_next_days_storms(tmp_path: Path) -> None:
    """Thunder at 14 and 15 of the next date only: that is the day of a start at 22:00."""
    write_forecast(tmp_path, lambda hour: (*fair(hour)[:6], 10.0 if hour in (38, 39) else 0.0))
    assert set_up(weather_trip(tmp_path, start="22:00")).storm_chance == pytest.approx(0.19)
    assert set_up(weather_trip(tmp_path, start="06:00")).storm_chance == pytest.approx(0.0)


def test_the_same_trip_has_the_same_weather_and_another_seed_another(tmp_path: Path) -> None:
    write_forecast(tmp_path)
    one, same, other = (
        set_up(weather_trip(tmp_path, seed=seed)).weather.bases[0].hours.temperature_C for seed in ("1", "1", "2")
    )
    assert np.array_equal(one, same, equal_nan=True)
    assert not np.array_equal(one, other, equal_nan=True)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda text: text.replace("2027-07", "2026-07"), "says nothing of this date"),
        (lambda text: text.replace("temperature_C", "temperature"), "temperature_C or temperature_F"),
        (lambda text: text.replace("wind_m_s", "wind_miles"), "column"),
        (lambda text: text + text.splitlines()[-1] + "\n", "twice"),
    ],
)
def test_a_forecast_that_cannot_be_used_is_told_with_its_key(tmp_path: Path, change: object, says: str) -> None:
    path = write_forecast(tmp_path)
    path.write_text(change(path.read_text(encoding="utf-8")), encoding="utf-8")  # type: ignore[operator]
    with pytest.raises(TripError) as refused:
        set_up(weather_trip(tmp_path))
    problems = refused.value.problems
    assert any(says in " ".join(filter(None, (p.what, p.allowed, p.mend))) for p in problems), problems
    assert all(problem.file and problem.file.endswith("forecast.csv") for problem in problems)


def test_a_missing_forecast_is_told(tmp_path: Path) -> None:
    with pytest.raises(TripError) as refused:
        set_up(weather_trip(tmp_path))
    assert "forecast.csv" in str(refused.value)


def test_a_month_that_cannot_be_is_told_with_its_key(tmp_path: Path) -> None:
    with pytest.raises(TripError) as refused:
        set_up(
            weather_trip(
                tmp_path, JULY.replace('rain = "40 mm"', 'rain = "40 mm"').replace("rain_days = 8", "rain_days = 0")
            )
        )
    assert refused.value.problems[0].key == "weather.months[0]"
