"""The shares and quantiles of the verdicts, counted out."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.line.audit import CASE_STOPS_HOLD
from handline.line.friction import ROCKS
from handline.line.sensitivity import chance_verdict, sensitivity
from handline.line.slip_chances import ENDS, SlipEnds, slip_ends
from handline.line.slip_draws import draw
from handline.line.tethers import TETHERS
from tests.line.test_slip_chances import MASS_KG, slab


@pytest.mark.parametrize(("hard", "verdict"), [(5000, "holds"), (5001, "hurts")])
def test_one_in_twenty_is_a_few_and_one_more_in_a_hundred_thousand_is_not(hard: int, verdict: str) -> None:
    force_N = np.where(np.arange(100_000) < hard, 7e3, 5e3)
    ends = SlipEnds(np.full(100_000, ENDS.index("under 6 kN")), np.ones(100_000), force_N)
    assert chance_verdict(ends, 6000.0) == verdict


def test_the_high_end_is_the_heaviest_and_its_force_what_nine_in_ten_stay_under() -> None:
    line, tether, drawn = slab(), TETHERS["rope lanyard"], draw(400, 1)
    rows = sensitivity(line, tether, ROCKS["dry"], MASS_KG, 6000.0, drawn)
    heaviest = slip_ends(line, tether, ROCKS["dry"], CASE_STOPS_HOLD, (MASS_KG[1], MASS_KG[1]), drawn)
    forces_N = sorted(force for force in heaviest.force_N.tolist() if math.isfinite(force))
    place = 0.9 * (len(forces_N) - 1)
    below = math.floor(place)
    by_hand_N = forces_N[below] + (place - below) * (forces_N[below + 1] - forces_N[below])
    found_N = next(row.force_high_N for row in rows if row.what == "mass")
    assert found_N == pytest.approx(by_hand_N, rel=1e-9)
