"""The limits by which a recording is read and a pace fitted, as they are stated."""

from __future__ import annotations

import pytest

from handline.walking import fitting, recording, robust_fit, spells, walker

# Judgements, not measurements: whoever moves one moves it here too, and says so in the changelog.
STATED = [
    (spells, "CLOCK_S", 5.0),
    (spells, "HALF_WINDOW_S", 30.0),
    (spells, "HALF_WINDOW_STEPS", 2.5),
    (spells, "STANDING_M_S", 0.15),
    (spells, "SHORTEST_PAUSE_S", 60.0),
    (spells, "WANDERING_M_S", 0.12),
    (spells, "WANDERING_WINDOWS", 4.0),
    (spells, "SHORTEST_WANDERING_S", 180.0),
    (spells, "PLACE_M", 15.0),
    (spells, "SLOWEST_WALK_M_S", 0.08),
    (spells, "FASTEST_WALK_M_S", 2.5),
    (spells, "FASTEST_CLIMB_M_S", 0.5),
    (spells, "SHORTEST_RIDE_S", 60.0),
    (spells, "SHORTEST_LIFT_S", 180.0),
    (spells, "RIDE_BREAK_S", 300.0),
    (spells, "CLIMB_WINDOWS", 2.0),
    (spells, "GAP_S", 120.0),
    (spells, "GAP_STEPS", 6.0),
    (spells, "PIECE_GAP_S", 30.0),
    (spells, "PIECE_GAP_STEPS", 2.0),
    (spells, "STAYED_M", 25.0),
    (spells, "LONG_STEP_STEPS", 4.0),
    (spells, "NEAR_S", 300.0),
    (recording, "PIECE_S", 120.0),
    (recording, "SHORTEST_PIECE_S", 60.0),
    (recording, "CHORD_S", 20.0),
    (recording, "POSITION_WINDOW_S", 20.0),
    (recording, "HEIGHT_WINDOW_S", 60.0),
    (recording, "GUARD_S", 15.0),
    (fitting, "NEW_DAY_S", 6 * 3600.0),
    (fitting, "BLOCK_S", 1200.0),
    (fitting, "FEWEST_BLOCKS", 5),
    (fitting, "FOLDS", 5),
    (fitting, "SHORTEST_WALK_S", 1200.0),
    (fitting, "USUAL_DAY_SD", 0.09),
    (fitting, "DAY_SD_COUNTS", 4.0),
    (fitting, "USUAL_ALIKE", 3.0),
    (fitting, "ALIKE_COUNTS", 5.0),
    (fitting, "CLIMB_SD_S_M", 2.0),
    (walker, "LEAST_SHARE", 0.5),
    (walker, "MOST_CREDIT_SHARE", 0.5),
    (robust_fit, "CLIPPED_AT", 3.0),
    (robust_fit, "SMALLEST_SD", 0.02),
]


@pytest.mark.parametrize(("room", "name", "stated"), STATED, ids=[name for _, name, _ in STATED])
def test_limit_is_as_stated(room: object, name: str, stated: float) -> None:
    assert getattr(room, name) == stated
