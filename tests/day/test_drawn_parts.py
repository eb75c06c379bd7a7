"""Days taken apart and put together again are the same days; one source moved moves that source alone."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from handline.day.drawn_parts import at_pace, draw_parts, log_pace, put_together
from handline.day.setting import set_up
from handline.day.simulation import Itinerary, Night, draw_days
from tests.day.trips import typed_trip


def _tiring() -> Itinerary:
    """The typed trip with a little of everything: tiring soon, rests, spread, legs that remember."""
    return replace(
        set_up(typed_trip(days=200)).itinerary, tiring_after_s=3600.0, tiring_per_hour=0.05, rest_s_per_hour=400.0
    )


@pytest.mark.parametrize("night", [None, Night(1, 5 * 3600.0)])
@pytest.mark.parametrize("seed", [1, 5])
def test_put_together_they_are_the_days_drawn(seed: int, night: Night | None) -> None:
    itinerary = replace(_tiring(), night=night)
    assert itinerary.leg_memory == 0.5
    drawn, again = draw_days(itinerary, 200, seed), put_together(itinerary, draw_parts(itinerary, 200, seed))
    assert again.movement_s == pytest.approx(drawn.movement_s, rel=1e-12)
    assert np.array_equal(again.wait_normal, drawn.wait_normal)
    assert np.array_equal(again.member, drawn.member)
    assert np.array_equal(again.slowest, drawn.slowest)


def test_the_parts_are_told_apart() -> None:
    """Leg noise has the typed spread and nothing of the pace; on the line there is neither."""
    itinerary = _tiring()
    parts = draw_parts(itinerary, 20_000, 3)
    on_line = np.array([leg is not None for leg in itinerary.line_legs])
    noise = np.log(parts.leg_noise[~on_line])
    assert noise.std(axis=1) == pytest.approx(np.full(noise.shape[0], itinerary.leg_sigma), rel=0.02)
    assert np.corrcoef(noise[0], log_pace(parts))[0, 1] == pytest.approx(0.0, abs=4 / np.sqrt(20_000))
    assert (parts.leg_noise[on_line] == 1.0).all()
    assert (parts.party_s[on_line] == 0.0).all()


def test_a_slower_pace_is_walked_by_every_leg_and_tires_more() -> None:
    itinerary = _tiring()
    parts = draw_parts(itinerary, 50, 1)
    fresh = replace(itinerary, tiring_per_hour=0.0)
    walked = parts.party_s[:, 0] > 0.0
    times = (
        put_together(fresh, at_pace(parts, np.full(50, np.log(1.2)))).movement_s / put_together(fresh, parts).movement_s
    )
    assert times[walked] == pytest.approx(np.full_like(times[walked], 1.2))
    assert (times[~walked] == 1.0).all()
    tired = (
        put_together(itinerary, at_pace(parts, np.full(50, np.log(1.2)))).movement_s
        / put_together(itinerary, parts).movement_s
    )
    assert (tired[np.flatnonzero(walked)[-1]] > 1.2).all()


def test_the_pace_is_that_of_what_is_left() -> None:
    """By hand: two days, 100 and 200 s on the first leg, 400 and 100 s after it."""
    parts = replace(draw_parts(_tiring(), 2, 1), party_s=np.array([[100.0, 200.0], [400.0, 100.0]]))
    middle = np.log(np.sqrt(500.0 * 300.0))
    assert log_pace(parts) == pytest.approx(np.log([500.0, 300.0]) - middle)
    assert log_pace(parts, 1) == pytest.approx(np.log([2.0, 0.5]))
    assert log_pace(parts, 2).tolist() == [0.0, 0.0]


def test_the_first_days_stay_the_first() -> None:
    parts = draw_parts(_tiring(), 30, 1)
    few = put_together(_tiring(), parts.first(7))
    assert few.days == parts.first(7).days == 7
    assert np.array_equal(few.movement_s, put_together(_tiring(), parts).movement_s[:, :7])
