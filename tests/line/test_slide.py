"""The slide in closed form against scipy's solve_ivp, an independent referee."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from handline.line.geometry import Line, angle_at
from handline.line.slide import fastest_m_s, slide_acceleration_m_s2, slide_end_m, slide_speed_m_s
from tests.line.lines import even_line, twin_line


def _referee(line: Line, start_m: float, end_m: float, mu: float) -> tuple[float, float]:
    """(place, speed) where the body passes ``end_m`` or stands still, by integrating the motion in time."""

    def motion(_: float, y: np.ndarray) -> list[float]:
        angle = float(angle_at(line, np.array([y[0] - 1e-9]))[0])
        return [-y[1], 9.80665 * (np.sin(angle) - mu * np.cos(angle))]

    def passed(_: float, y: np.ndarray) -> float:
        return float(y[0] - end_m)

    def stands(t: float, y: np.ndarray) -> float:
        return float(y[1]) if t > 1e-6 else 1.0

    passed.terminal = stands.terminal = True  # type: ignore[attr-defined]
    # No step may jump over a bend, so steps are short.
    done = solve_ivp(motion, (0, 100), [start_m, 0.0], events=(passed, stands), rtol=1e-9, atol=1e-10, max_step=0.01)
    return float(done.y[0, -1]), float(done.y[1, -1])


@pytest.mark.parametrize("start_m", [96.0, 60.0, 43.0, 10.0])
@pytest.mark.parametrize("mu", [0.05, 0.3, 0.45])
def test_speed_at_the_foot(start_m: float, mu: float) -> None:
    _, speed = _referee(twin_line(), start_m, 0.0, mu)
    assert slide_speed_m_s(twin_line(), start_m, 0.0, mu) == pytest.approx(speed, rel=2e-4)
    assert slide_end_m(twin_line(), start_m, mu) == 0.0


@pytest.mark.parametrize("mu", [0.45, 0.78])
def test_fastest_on_the_way(mu: float) -> None:
    line, start = twin_line(), 60.0
    end = float(slide_end_m(line, start, mu))
    places = np.linspace(end, start, 2001)
    assert fastest_m_s(line, start, end, mu) == pytest.approx(
        float(slide_speed_m_s(line, start, places, mu).max()), rel=1e-3
    )


def test_a_slide_dies_on_the_flatter_part() -> None:
    # mu 0.78: faster on 41 deg, braked on 34 deg (tan 34 = 0.675).
    place, _ = _referee(twin_line(), 30.0, 0.0, 0.78)
    assert 0.0 < place < 18.0
    assert slide_end_m(twin_line(), 30.0, 0.78) == pytest.approx(place, abs=0.01)


def test_friction_above_the_slope_keeps_a_body_where_it_is() -> None:
    line = even_line(50.0, 30.0)
    assert slide_end_m(line, np.array([5.0, 50.0]), 0.6).tolist() == [5.0, 50.0]


def test_published_form_of_free_fall() -> None:
    # v = sqrt(2 g h), upright and without friction.
    assert slide_speed_m_s(even_line(20.0, 90.0), 20.0, 0.0, 0.0) == pytest.approx(np.sqrt(2 * 9.80665 * 20))


@settings(max_examples=60)
@given(st.floats(0.1, 1.5), st.floats(0.0, 1.0), st.floats(0.0, 0.5))
def test_steeper_never_slides_slower_and_rougher_never_faster(angle: float, mu: float, more: float) -> None:
    assert slide_acceleration_m_s2(min(angle + more, np.pi / 2), mu) >= slide_acceleration_m_s2(angle, mu) - 1e-12
    line = even_line(40.0, float(np.degrees(angle)))
    assert slide_speed_m_s(line, 40.0, 0.0, mu + more) <= slide_speed_m_s(line, 40.0, 0.0, mu) + 1e-12


@given(st.floats(0.1, 96.0), st.floats(0.0, 1.2))
def test_a_slide_ends_between_its_start_and_the_foot(start_m: float, mu: float) -> None:
    end = float(slide_end_m(twin_line(), start_m, mu))
    assert 0.0 <= end <= start_m
