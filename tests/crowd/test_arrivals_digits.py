"""Everybody comes unless told otherwise."""

from __future__ import annotations

from dataclasses import replace

from handline.crowd.arrivals import CrowdArrivals
from tests.crowd.test_arrivals import WALK


def test_all_come_where_no_share_is_said() -> None:
    crowd = CrowdArrivals(60, WALK, seed=5)
    assert crowd(0, 2).clock_s.tolist() == replace(crowd, come_share=1.0)(0, 2).clock_s.tolist()
