"""Where two lists are worth the same but for a ten-thousandth, the better one is found."""

from __future__ import annotations

import pytest

from handline.season.date_ranking import best_list, list_worth

WORTH, ELSE_WORTH = [12.0, 10.0, 8.0], 1.0


@pytest.mark.parametrize(("more", "dates"), [(1.0001, (0, 1)), (0.9999, (1, 2))])
def test_a_near_tie_of_what_comes_before_and_what_comes_after(more: float, dates: tuple[int, int]) -> None:
    # The middle one first: 0.5 x 9. Then the first adds p (12 - 5.5), the last 0.5 x 0.6 x 7 = 2.1.
    chance = [2.1 / 6.5 * more, 0.5, 0.6]
    found = best_list(WORTH, chance, 2, ELSE_WORTH)
    assert found.dates == dates
    others = [(0, 1), (0, 2), (1, 2)]
    best = max(others, key=lambda each: list_worth(WORTH, chance, each, ELSE_WORTH).expected_worth)
    assert best == dates
