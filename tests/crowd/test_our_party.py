"""The party that asks, read out of days by hand."""

from __future__ import annotations

import numpy as np
import pytest

from handline.crowd.draws import Drawn
from handline.crowd.our_party import party_days
from handline.crowd.rules import Arrivals, CrowdLine
from handline.crowd.simulate import follow_days


def test_its_first_at_the_queue_and_its_last_off_the_line() -> None:
    """Three days: ours come second and third, do not come, come alone. One bay, 20 s up and 10 s down each."""
    clock = np.array([0.0, 5.0, 6.0, 0.0, 50.0])
    arrivals = Arrivals(clock, np.array([0, 3, 4, 5]), np.array([False, True, True, False, True]))
    service = np.tile(np.array([[20.0], [10.0]]), (5, 1, 1))
    days = follow_days(
        CrowdLine(np.ones(1), np.zeros(2, int), 0.0), arrivals, Drawn(service, np.full(5, 100.0)), first_day=4
    )
    party = party_days(days)
    assert party.day.tolist() == [4, 6]
    assert party.up.join_clock_s.tolist() == [5.0, 50.0]
    assert party.up.wait_s.tolist() == [15.0, 0.0]
    assert party.up.off_clock_s.tolist() == [60.0, 70.0]
    assert party.up.on_line_s.tolist() == [40.0, 20.0]
    assert party.down.join_clock_s.tolist() == [140.0, 170.0]
    assert party.down.off_clock_s == pytest.approx([170.0, 180.0])
    assert party.down.on_line_s.tolist() == [30.0, 10.0]


def test_days_without_it() -> None:
    arrivals = Arrivals(np.zeros(2), np.array([0, 2]))
    days = follow_days(CrowdLine(np.ones(1), np.zeros(2, int), 0.0), arrivals, Drawn(np.ones((2, 2, 1)), np.zeros(2)))
    party = party_days(days)
    assert party.day.size == party.up.wait_s.size == party.down.off_clock_s.size == 0
