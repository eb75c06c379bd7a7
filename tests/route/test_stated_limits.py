"""Every limit of the route room as it is stated. Common practice, no source, unless it says otherwise.

They are judgements, not measurements: whoever moves one moves it here too, and says so in the changelog.
"""

from __future__ import annotations

import pytest

from handline.route import cleaning, direction, elevation, heights, profile, route, terrain, typed, usable, waypoints

STATED = [
    (cleaning, "STANDING_M", 5.0),
    (cleaning, "SPIKE_STEP_M", 100.0),
    (cleaning, "SPIKE_STEPS", 20.0),
    (cleaning, "GAP_M", 60.0),
    (cleaning, "GAP_STEPS", 8.0),
    (heights, "SPIKE_HEIGHT_M", 15.0),
    (heights, "SPIKE_GRADE", 2.0),
    (heights, "LONGEST_SPIKE_POINTS", 3),
    (elevation, "SMOOTHING_WINDOW_M", 30.0),
    (elevation, "DEAD_BAND_M", 5.0),
    (profile, "SPACING_M", 25.0),
    (route, "NODE_APART_M", 1.0),
    (waypoints, "FARTHEST_OFF_M", 250.0),
    (waypoints, "END_REACH_M", 60.0),
    (waypoints, "SAID_IF_MOVED_M", 10.0),
    (waypoints, "LEFT_BEHIND_M", 150.0),
    (waypoints, "AS_NEAR_SLACK_M", 30.0),
    (direction, "CLOSED_M", 200.0),
    (direction, "NEAR_END_M", 250.0),
    (direction, "CLEARLY_HIGHER_M", 50.0),
    (terrain, "DRAPE_SPACING_M", 25.0),
    (typed, "STEEPEST_GRADE", 10.0),
    (usable, "SMALLEST_EXTENT_M", 20.0),
    (usable, "LONGEST_M", 500_000.0),
    (usable, "LOWEST_M", -450.0),  # from memory: the lowest shore is near -430 m
    (usable, "HIGHEST_M", 8_900.0),  # from memory: the highest summit is near 8,849 m
    (usable, "MOST_MISSING", 0.5),
]


@pytest.mark.parametrize(("room", "name", "stated"), STATED, ids=[name for _, name, _ in STATED])
def test_limit_is_as_stated(room: object, name: str, stated: float) -> None:
    assert getattr(room, name) == stated
