"""What varies in a slip, worked by hand from the ranges that `handline sources` states for our_slip_draws."""

from __future__ import annotations

import numpy as np
import pytest

from handline.line.audit import CASE_GRIPS, CASE_STOPS_HOLD
from handline.line.friction import ROCKS
from handline.line.geometry import LOWERED
from handline.line.slip_draws import Draws, Slips, slips_of
from handline.line.tethers import TETHERS
from tests.line.test_slip_chances import MASS_KG, middling, slab

DRY = ROCKS["dry"]


def _slips(drawn: Draws, name: str = "one sling", case: str = CASE_STOPS_HOLD) -> Slips:
    return slips_of(slab(LOWERED), TETHERS[name], case, DRY, MASS_KG, drawn)


@pytest.mark.parametrize(("at", "reach_share", "stiffness_share"), [(0.0, 0.85, 0.70), (1.0, 1.0, 1.0)])
def test_reach_from_85_per_cent_and_stiffness_from_70(at: float, reach_share: float, stiffness_share: float) -> None:
    slips = _slips(middling(reach=at, stiffness=at))
    assert slips.reach_m[0] == pytest.approx(reach_share * TETHERS["one sling"].reach_m, rel=1e-9)
    assert slips.stiffness_N[0] == pytest.approx(stiffness_share * TETHERS["one sling"].stiffness_N, rel=1e-9)


@pytest.mark.parametrize(("past_m", "anchor_m"), [(-1e-4, 24.0), (1e-4, 48.0)])
def test_three_quarters_of_the_slack_is_half_a_reach_ahead(past_m: float, anchor_m: float) -> None:
    reach_m = TETHERS["one sling"].reach_m
    harness_m = 48.0 - reach_m / 2.0 + past_m
    slips = _slips(middling(place=1.0 - harness_m / 96.0, slack=0.75, reach=1.0))
    assert slips.taut_m[0] == pytest.approx(anchor_m - reach_m, abs=1e-9)


def test_a_hitch_level_with_the_harness_hangs_0_3_m_and_bites_in_0_1_m() -> None:
    # Common practice, no source: practice_hitch. Climbed a reach above it there are two reaches to travel.
    level, climbed = (_slips(middling(slack=slack, reach=1.0), "friction hitch", CASE_GRIPS) for slack in (0.0, 1.0))
    assert (level.start_m - level.taut_m)[0] == pytest.approx(0.3 + 0.1, abs=1e-9)
    travel_m = 2.0 * TETHERS["friction hitch"].reach_m + 0.1
    assert (climbed.start_m - climbed.taut_m)[0] == pytest.approx(travel_m, abs=1e-9)
    assert np.isfinite(climbed.taut_m).all()
