"""What packs and water are said in."""

from __future__ import annotations

import pytest

from handline.day.load_words import over_bottles
from handline.quantity import QUART_L, Units


@pytest.mark.parametrize(
    ("wanted_L", "bottles_L", "units", "words"),
    [
        (5.0, 4.0, "si", "5.0 L each, and the bottles hold 4.0 L"),
        (12.04 * QUART_L, 12.0 * QUART_L, "us", "a little more than the 12.0 qt each that the bottles hold"),
        (4.02, 4.0, "si", "a little more than the 4.0 L each that the bottles hold"),
    ],
)
def test_more_than_the_bottles_hold_reads_as_more(wanted_L: float, bottles_L: float, units: Units, words: str) -> None:
    assert over_bottles(wanted_L, bottles_L, units) == words
