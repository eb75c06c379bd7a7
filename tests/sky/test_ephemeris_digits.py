"""The phase of the moon around the instant of new moon, where it goes from a whole turn to nothing."""

from __future__ import annotations

import datetime as dt

import ephem
import pytest

from handline.sky.ephemeris import open_sky

HOUR_S = 3600.0


def test_the_phase_goes_on_by_a_whole_turn_at_new_moon() -> None:
    new_s = ephem.next_new_moon("2027/7/1").datetime().replace(tzinfo=dt.UTC).timestamp()
    with open_sky(46.62, -113.41) as sky:
        before, after, later = (sky.moon_phase_deg(new_s + hours * HOUR_S) for hours in (-1.0, 1.0, 3.0))
    assert before > 350.0
    assert before + (later - after) == pytest.approx(after + 360.0, abs=0.01)
