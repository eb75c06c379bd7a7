"""A track's own arithmetic: choosing points and turning it round keep the pieces right."""

from __future__ import annotations

import numpy as np
import pytest

from handline.route.track import Track, track_of


@pytest.fixture
def three_pieces() -> Track:
    return track_of(np.arange(10.0), np.zeros(10), piece_starts=(0, 4, 7), notes=("read",))


def test_taking_points_moves_the_starts_of_pieces(three_pieces: Track) -> None:
    taken = three_pieces.take(np.array([0, 1, 3, 5, 6, 8]), "thinned")
    assert taken.latitude_deg.tolist() == [0, 1, 3, 5, 6, 8]
    assert taken.piece_starts == (0, 3, 5)
    assert taken.notes == ("read", "thinned")


def test_turning_round_twice_is_the_track_again(three_pieces: Track) -> None:
    backward = three_pieces.backward()
    assert backward.latitude_deg.tolist() == list(range(9, -1, -1))
    assert backward.piece_starts == (0, 3, 6)
    assert backward.backward().piece_starts == three_pieces.piece_starts


def test_sequences_of_different_length_are_refused() -> None:
    with pytest.raises(ValueError, match="differ in length"):
        track_of([1.0, 2.0], [1.0])
