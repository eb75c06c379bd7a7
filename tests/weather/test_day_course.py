from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.weather.day_course import SunTimes, day_course_C
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("day_course"), ids=lambda row: f"{row['clock_h']} h, {row['low_C']}")
def test_course(row: dict[str, str]) -> None:
    value = {key: float(row[key]) for key in list(row)[:6]}
    sun = SunTimes(value["rise_h"] * 3600.0, value["set_h"] * 3600.0)
    low = np.array([[value["low_C"], value["next_low_C"]]])
    day = sun.days_since_low(np.array([value["clock_h"] * 3600.0]))
    found = float(day_course_C(day, low, np.full((1, 2), value["high_C"]), sun)[0, 0])
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@given(st.floats(3.0, 9.0), st.floats(15.0, 21.0), st.floats(-10.0, 10.0), st.floats(0.0, 20.0), st.floats(-5.0, 5.0))
def test_low_high_and_no_step(rise_h: float, set_h: float, low: float, rise: float, next_rise: float) -> None:
    sun = SunTimes(rise_h * 3600.0, set_h * 3600.0)
    lows, highs = np.array([[low, low + next_rise, low]]), np.full((1, 3), low + rise)
    day = np.linspace(0.0, 2.0, 5761)[:-1]
    course = day_course_C(day, lows, highs, sun)[0]
    assert course[0] == pytest.approx(low)
    assert course[day < 1.0].max() == pytest.approx(low + rise, abs=1e-3 * (rise + 1.0) + max(next_rise - rise, 0.0))
    at_high = float(sun.days_since_low(sun.high_clock_s))
    assert day_course_C(np.array([at_high]), lows, highs, sun)[0, 0] == pytest.approx(low + rise)
    # Half a minute changes little, at sunset and dawn too.
    assert abs(np.diff(course)).max() < 0.03 * (abs(rise) + abs(next_rise) + 1.0)


def test_the_high_is_in_the_afternoon() -> None:
    sun = SunTimes(6 * 3600.0, 18 * 3600.0)
    assert sun.low_clock_s == pytest.approx(5.83 * 3600.0)
    assert sun.high_clock_s == pytest.approx(13.69 * 3600.0)


@pytest.mark.parametrize(("rise", "fall"), [(np.nan, 7e4), (7e4, 2e4), (0.0, 86400.0)])
def test_days_without_rise_or_set_are_refused(rise: float, fall: float) -> None:
    with pytest.raises(ValueError, match="sunset comes after sunrise"):
        SunTimes(rise, fall)
