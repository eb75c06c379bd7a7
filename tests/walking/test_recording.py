"""A recording as a whole: its pieces, what is no recording, and what never hangs on where it began."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking.recording import recording_of
from tests.walking.walks import START_S, kinds, line
from tests.walking.walks import recording as recording_at


def test_pieces_are_as_near_to_two_minutes_as_they_can_be() -> None:
    assert recording_at([(1190.0, 1.2)]).pieces.time_s == pytest.approx(np.full(10, 119.0))
    assert recording_at([(1250.0, 1.2)]).pieces.time_s == pytest.approx(np.full(10, 125.0))


def test_heights_are_averaged_over_a_minute() -> None:
    """A step of 12 m, 10 s past the end of the second piece: 20 s of its minute lie above."""
    time, north, _ = line([(600.0, 1.2)])
    height = np.where(time - START_S < 250.0, 1000.0, 1012.0)
    found = recording_of(time, np.zeros_like(north), north, height)
    assert found.pieces.rise_m == pytest.approx([0.0, 4.0, 8.0, 0.0, 0.0], abs=0.15)


def test_pieces_never_reach_over_what_is_not_moving() -> None:
    found = recording_at([(700.0, 1.2), (300.0, 0.0), (1000.0, 1.2), (200.0, 9.0), (800.0, 1.2)])
    moving = [(spell.start_s, spell.end_s) for spell in found.spells if spell.kind == "moving"]
    ends = found.pieces.start_s + found.pieces.time_s
    for start_s, end_s in zip(found.pieces.start_s, ends, strict=True):
        assert any(first <= start_s and end_s <= last for first, last in moving)
    assert found.pieces.run_m / found.pieces.time_s == pytest.approx(1.2, rel=0.01)


def test_points_at_one_time_count_once_in_their_middle() -> None:
    time, north, height = line([(1200.0, 1.0)])
    twice = np.repeat(time, 2)
    east = np.tile([-5.0, 5.0], time.size)
    found = recording_of(twice, east, np.repeat(north, 2), np.repeat(height, 2))
    assert found.moving_m == pytest.approx(1200.0)


@pytest.mark.parametrize(
    ("time", "north", "says"),
    [
        ([0.0, 2.0, 1.0], [0.0, 1.0, 2.0], "must not fall"),
        ([5.0, 5.0], [0.0, 1.0], "two different times"),
        ([0.0, 1.0], [0.0, np.nan], "finite"),
        ([0.0, 1.0], [0.0, 1.0, 2.0], "one length"),
    ],
)
def test_what_is_no_recording_is_refused(time: list[float], north: list[float], says: str) -> None:
    zeros = np.zeros(len(time))
    with pytest.raises(ValueError, match=says):
        recording_of(time, zeros, north, zeros)


PARTS = st.lists(
    st.tuples(st.floats(5.0, 2000.0), st.sampled_from([0.0, 0.1, 0.5, 1.0, 2.0, 12.0])), min_size=1, max_size=8
)


@settings(deadline=None, max_examples=40)
@given(parts=PARTS, every_s=st.sampled_from([1.0, 7.0, 30.0]), shift_s=st.floats(0.0, 1e6), seed=st.integers(0, 99))
def test_spells_tile_the_recording_and_nothing_hangs_on_where_it_began(
    parts: list[tuple[float, float]], every_s: float, shift_s: float, seed: int
) -> None:
    time, north, height = line(parts, every_s)
    if time.size < 2:
        return
    noise = np.random.default_rng(seed).normal(0.0, 2.0, time.size)
    found = recording_of(time, noise, north, height)
    starts, ends = [spell.start_s for spell in found.spells], [spell.end_s for spell in found.spells]
    assert (starts[0], ends[-1]) == (time[0], time[-1])
    assert starts[1:] == ends[:-1]
    assert all(before.kind != after.kind for before, after in zip(found.spells[:-1], found.spells[1:], strict=True))
    assert found.moving_s + sum(found.spent_s(k) for k in ("pause", "lost signal", "faster than walking")) == (
        pytest.approx(found.total_s)
    )
    assert found.pieces.time_s.sum() <= found.moving_s + 1e-6
    moved = recording_of(time + shift_s, noise + 5000.0, north - 300.0, height)
    assert kinds(moved) == kinds(found)
    assert moved.moving_s == pytest.approx(found.moving_s, abs=1e-3)
