"""Numbers of the arrest over time that only show near them, to the fourth digit."""

from __future__ import annotations

import numpy as np
import pytest

from handline.line.chain import Chain, GivingPart, slipping_hitch
from handline.line.dynamic_arrest import GIVES_EASILY, dynamic_arrest, force_trace

UPRIGHT = np.pi / 2


@pytest.mark.parametrize(("times_the_pull", "easily"), [(1.9995, True), (2.0005, False)])
def test_a_part_gives_easily_below_twice_the_pull(times_the_pull: float, easily: bool) -> None:
    # A hanging body: its pull is its weight. The bound is ours.
    plateau_N = times_the_pull * 80.0 * 9.80665
    arrest = dynamic_arrest(Chain(8e4, 0.8, giving=(GivingPart(plateau_N, plateau_N, 5.0),)), 80.0, UPRIGHT, 0.0, 3.0)
    assert (GIVES_EASILY in arrest.flags) == easily


def test_one_second_of_a_slip_without_end_is_shown_unless_told_otherwise() -> None:
    usual, told = (
        force_trace(Chain(80e3, 0.8, giving=(slipping_hitch(300.0),)), 85.0, 1.2, 0.2, 2.0, **more)
        for more in ({}, {"endless_s": 1.0})
    )
    assert usual.time_s[-1] == pytest.approx(told.time_s[-1], rel=1e-9)
