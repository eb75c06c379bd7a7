"""Where a recording has no points for a while: signal lost, stood still, ridden or switched off."""

from __future__ import annotations

import numpy as np
import pytest

from handline.walking.recording import recording_of
from tests.walking.walks import START_S, kinds, line, said
from tests.walking.walks import recording as recording_at


def without(points: tuple[np.ndarray, np.ndarray, np.ndarray], start_s: float, end_s: float):
    """The recording of these points without those between two times, and the index of the first one after."""
    time, north, height = points
    kept = (time - START_S <= start_s) | (time - START_S >= end_s)
    return (time[kept], np.zeros(kept.sum()), north[kept], height[kept]), int((time - START_S <= start_s).sum())


def test_no_point_for_a_while_and_far_on_is_lost_signal() -> None:
    arrays, _ = without(line([(3000.0, 1.2)]), 1000.0, 1400.0)
    found = recording_of(*arrays)
    assert said(found) == [("moving", 1000.0), ("lost signal", 400.0), ("moving", 1600.0)]
    assert found.spells[1].length_m == pytest.approx(480.0)
    assert found.moving_m == pytest.approx(3120.0, rel=0.01)


def test_no_point_for_a_while_at_one_place_is_a_pause() -> None:
    arrays, _ = without(line([(1000.0, 1.2), (900.0, 0.0), (1000.0, 1.2)]), 1000.0, 1900.0)
    assert said(recording_of(*arrays)) == [("moving", 1000.0), ("pause", 900.0), ("moving", 1000.0)]


def test_a_long_step_of_a_recorder_that_skips_is_a_pause() -> None:
    """A point every 12 m, as many recorders write; one step of them took 70 s."""
    place = np.arange(0.0, 1200.0, 12.0)
    time = START_S + place / 1.0 + np.where(place > 600.0, 58.0, 0.0)
    found = recording_of(time, np.zeros_like(place), place, np.full_like(place, 900.0))
    assert said(found) == [("moving", 600.0), ("pause", 70.0), ("moving", 576.0)]


def test_an_hour_without_a_point_and_far_away_is_a_ride() -> None:
    arrays, _ = without(line([(1500.0, 1.2), (3600.0, 12.0), (1500.0, 1.2)]), 1500.0, 5100.0)
    found = recording_of(*arrays)
    assert kinds(found) == ["moving", "faster than walking", "moving"]
    assert found.spent_s("faster than walking") == pytest.approx(3600.0, abs=60.0)


def test_between_two_pieces_the_recorder_was_off() -> None:
    """A gap of 100 s is no gap where the recorder only missed points, but is one where it was switched off."""
    arrays, first = without(line([(2000.0, 1.2)]), 1000.0, 1100.0)
    assert kinds(recording_of(*arrays)) == ["moving"]
    assert kinds(recording_of(*arrays, piece_starts=(0, first))) == ["moving", "lost signal", "moving"]


def test_between_two_pieces_at_one_place_it_stood() -> None:
    arrays, first = without(line([(1000.0, 1.2), (50.0, 0.0), (1000.0, 1.2)]), 1000.0, 1050.0)
    assert said(recording_of(*arrays, piece_starts=(0, first))) == [
        ("moving", 1000.0), ("pause", 50.0), ("moving", 1000.0)
    ]  # fmt: skip


def test_far_apart_points_are_not_lost() -> None:
    assert kinds(recording_at([(7200.0, 1.0)], 90.0)) == ["moving"]


def test_a_stop_between_two_rides_without_points_is_part_of_them() -> None:
    arrays, _ = without(line([(900.0, 1.2), (600.0, 12.0), (150.0, 0.0), (600.0, 12.0), (900.0, 1.2)]), 900.0, 1500.0)
    time, east, north, height = arrays
    kept = (time - START_S <= 1650.0) | (time - START_S >= 2250.0)
    found = recording_of(time[kept], east[kept], north[kept], height[kept])
    assert kinds(found) == ["moving", "faster than walking", "moving"]
