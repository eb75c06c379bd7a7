from __future__ import annotations

import numpy as np
import pytest

from handline.line.passage import changeovers, climber_passage_s, headway_s, party_passage_s
from tests.line.lines import even_line, twin_line


def test_changeovers_are_the_stops_between_foot_and_head() -> None:
    assert changeovers(twin_line("lowered"), kind_is_none=False) == 3
    assert changeovers(twin_line("lowered"), kind_is_none=True) == 0
    assert changeovers(twin_line(), kind_is_none=False) == 37


def test_one_climber_alone() -> None:
    # By hand: 96 m at 0.12 m/s is 800 s, and 3 changeovers of 10 s.
    assert climber_passage_s(twin_line("lowered"), 0.12, 10.0, 3) == pytest.approx(830.0)


def test_a_party_is_paced_by_its_slowest_bay() -> None:
    line = even_line(60.0, 45.0, (0.0, 20.0, 50.0, 60.0))
    assert headway_s(line, 0.1, 5.0) == pytest.approx(305.0)
    assert party_passage_s(620.0, 305.0, 4, 1.0) == pytest.approx(620 + 3 * 305)


def test_party_time_is_the_tandem_recursion() -> None:
    """Tandem line without room between bays beyond one climber: the last one out by the max-plus recursion."""
    line = even_line(60.0, 45.0, (0.0, 20.0, 50.0, 60.0))
    rate, change, size = 0.1, 5.0, 5
    service = np.diff([0.0, 20.0, 50.0, 60.0]) / rate + np.array([change, change, 0.0])
    leave = np.zeros((size, 3))
    for climber in range(size):
        for bay in range(3):
            ready = leave[climber, bay - 1] if bay else 0.0
            free = leave[climber - 1, bay] if climber else 0.0
            leave[climber, bay] = max(ready, free) + service[bay]
    party = party_passage_s(climber_passage_s(line, rate, change, 2), headway_s(line, rate, change), size, 1.0)
    assert party == pytest.approx(leave[-1, -1])
