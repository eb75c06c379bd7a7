"""A part of a place goes to the draw."""

from __future__ import annotations

from handline.season.draw_chances import split_places


def test_half_a_place_in_ten_thousand_is_none() -> None:
    # 4999.5 places: 4999 for walk-up.
    assert split_places(10_000, 0.49995) == (5001, 4999)
