"""Every rule of the review as it is stated. Common practice, no source.

They are judgements, not measurements: whoever moves one moves it here too, and says so in the changelog.
"""

from __future__ import annotations

import pytest

from handline.day import (
    pace_saving,
    pace_update,
    passings_found,
    quantile_reached,
    recorded_day,
    review_words,
    time_parts,
    way_matched,
)

STATED = [
    (way_matched, "APART_M", 8.0),
    (way_matched, "USUAL_OFF_M", 30.0),
    (way_matched, "NEAR_M", 100.0),
    (way_matched, "WANDER", 2.0),
    (way_matched, "LEAP_POINTS", 8.0),
    (way_matched, "LEAP_M", 150.0),
    (way_matched, "TURN_M", 120.0),
    (passings_found, "REACH_M", 60.0),
    (passings_found, "NARROWEST_M", 10.0),
    (passings_found, "LINE_EDGE", 1.0 / 6.0),
    (passings_found, "UNSEEN_S", 600.0),
    (recorded_day, "MOST_UNSEEN", 0.2),
    (recorded_day, "SHORTEST_STOP_S", 120.0),
    (quantile_reached, "TIE_S", 30.0),
    (time_parts, "MIDDLE_SHARE", 0.05),
    (pace_update, "LEAST_DAY_SIGMA", 0.05),
    (pace_update, "BAND_SHARE", 0.80),
    (pace_saving, "CLOSE_ENOUGH", 1e-3),
    (pace_saving, "MOST_STEPS", 8),
    (review_words, "START_SAID_S", 300.0),
    (review_words, "LOW", 0.10),
    (review_words, "HIGH", 0.90),
]


@pytest.mark.parametrize(("room", "name", "stated"), STATED, ids=[name for _, name, _ in STATED])
def test_rule_is_as_stated(room: object, name: str, stated: float) -> None:
    assert getattr(room, name) == stated
