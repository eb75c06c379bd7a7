"""Defaults the user never types, pinned to what the docs and the brief say. Common practice, no source."""

from __future__ import annotations

from handline.day.itinerary_setting import USUAL_LONG_WAIT_FACTOR, USUAL_WAIT
from handline.day.latest import LATEST_DAYS
from handline.day.setting import set_up
from handline.day.simulation import Wait
from handline.line.passage import PASSAGE_SIGMA
from handline.weather.storms import DEFAULT_STORM_CHANCE, MOUNTAIN_LEAD_S
from tests.day.trips import typed_trip


def test_defaults_are_the_stated_ones() -> None:
    assert Wait(900.0, 2700.0) == USUAL_WAIT
    assert USUAL_LONG_WAIT_FACTOR == 3.0
    assert DEFAULT_STORM_CHANCE == 0.40
    assert MOUNTAIN_LEAD_S == 3600.0
    assert PASSAGE_SIGMA == 0.20
    assert LATEST_DAYS == 2000


def test_a_short_file_uses_them() -> None:
    itinerary = set_up(typed_trip()).itinerary
    assert (itinerary.walker_sigma.tolist(), itinerary.leg_sigma) == ([0.12] * 3, 0.08)
    assert (itinerary.tiring_after_s, itinerary.tiring_per_hour) == (6 * 3600.0, 0.02)
    assert typed_trip().party.group_per_person == 0.01
    assert typed_trip().party.light_masses_kg == (60.0,) * 3
    assert (itinerary.rest_s_per_hour, itinerary.dark_factor) == (300.0, 1.25)
    assert set_up(typed_trip()).body_mass_kg == 85.0 + 8.0
    # 5 min typed, nine in ten not: three times as long.
    assert {leg.wait for leg in itinerary.line_legs if leg} == {Wait(300.0, 900.0)}
