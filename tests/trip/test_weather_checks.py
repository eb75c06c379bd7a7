"""What must fit together in [weather] and in horizons."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from handline.errors import Problem
from handline.trip.model import Trip

Problems = Callable[[str], dict[str | None, Problem]]

JULY = """
[[weather.months]]
month = 7
low = "6 C"
high = "21 C"
"""


def test_months_are_read_in_either_system(read: Callable[[str], Trip], short: str) -> None:
    typed = short + JULY + 'rain = "1 in"\nwind = "10 mph"\nhumidity = "55 %"\n'
    month = read(typed).weather.months[0]
    assert (month.low_C, month.high_C, month.rain_m, month.humidity) == (6.0, 21.0, 0.0254, 0.55)
    other = read(typed.replace('"6 C"', '"42.8 F"').replace('"21 C"', '"69.8 °F"')).weather.months[0]
    assert (other.low_C, other.high_C) == pytest.approx((6.0, 21.0))
    assert month.rain_days is None


def test_a_month_twice_and_a_low_above_the_high(problems: Problems, short: str) -> None:
    found = problems(short + JULY + JULY.replace('"6 C"', '"22 C"'))
    assert found["weather.months[1].month"].what == "this month is given twice"
    assert found["weather.months[1].low"].what == "the mean low is above the mean high"
    assert found["weather.months[1].low"].allowed == "at most 21 C"


def test_the_month_of_the_day_is_needed(problems: Problems, short: str) -> None:
    found = problems(short + JULY.replace("month = 7", "month = 8"))
    assert found["weather.months"].mend == "add a [[weather.months]] with month = 7"


def test_limits_are_told_in_the_unit_that_was_typed(problems: Problems, short: str) -> None:
    found = problems(short + JULY.replace('"21 C"', '"150 F"'))
    assert found["weather.months[0].high"].allowed == "from -60 C to 55 C (-76 F to 131 F)"


def test_a_bearing_twice(problems: Problems, short: str) -> None:
    horizon = 'horizon = [{ bearing = "90 deg", height = "12 deg" }, { bearing = "E", height = "9 deg" }]\n'
    found = problems(short.replace("[party]", horizon + "\n[party]"))
    assert found["line.horizon[1].bearing"].what == "this bearing is given twice"


def test_a_typed_rock_leaves_no_room_for_drying(problems: Problems, short: str) -> None:
    found = problems(short + '\n[weather]\nrock = "wet"\ndrying_time = "2 h"\nmeltwater = true\n')
    assert set(found) == {"weather.drying_time", "weather.meltwater"}


def test_a_forecast_that_is_not_there_is_told_with_how_to_get_one(problems: Problems, short: str) -> None:
    found = problems(short + '\n[weather]\nforecast = "tomorrow.csv"\n')
    assert found["weather.forecast"].mend == "leave it out, or get one: handline weather TRIP --download"
