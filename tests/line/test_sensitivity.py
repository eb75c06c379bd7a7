"""Which assumption moves the verdict: one at a time, against the chances themselves."""

from __future__ import annotations

import numpy as np
import pytest

from handline.line.audit import CASE_STOPS_HOLD
from handline.line.friction import ROCKS
from handline.line.sensitivity import BAD_SHARE, chance_verdict, sensitivity, stopped_share
from handline.line.slip_chances import BREAKS, ENDS, NOT_STOPPED, SlipEnds, slip_ends
from handline.line.slip_draws import draw
from handline.line.tethers import TETHERS
from tests.line.test_slip_chances import MASS_KG, slab


def ended(*shares: tuple[str, float, float]) -> SlipEnds:
    """A thousand slips: share of them by end, and the force of each."""
    end = np.concatenate([np.full(round(1000 * share), ENDS.index(name)) for name, share, _ in shares])
    force_N = np.concatenate([np.full(round(1000 * share), force) for _, share, force in shares])
    return SlipEnds(end, np.ones(end.size), force_N)


def test_verdicts_by_their_shares() -> None:
    few, many = BAD_SHARE, BAD_SHARE + 0.01
    assert chance_verdict(ended(("under 6 kN", 1.0, 5000.0)), 6000.0) == "holds"
    assert chance_verdict(ended(("under 6 kN", 1 - few, 5e3), ("6 to 8 kN", few, 7e3)), 6000.0) == "holds"
    assert chance_verdict(ended(("under 6 kN", 1 - many, 5e3), ("6 to 8 kN", many, 7e3)), 6000.0) == "hurts"
    assert chance_verdict(ended(("under 6 kN", 1 - many, 5e3), (BREAKS, many, 9e3)), 6000.0) == "breaks"
    assert chance_verdict(ended(("under 6 kN", 0.89, 5e3), (NOT_STOPPED, 0.11, np.nan)), 6000.0) == "no stop"


def test_stopped_is_within_the_limit_with_nothing_broken() -> None:
    ends = ended(("under 6 kN", 0.6, 5e3), ("6 to 8 kN", 0.2, 7e3), (BREAKS, 0.1, 5e3), (NOT_STOPPED, 0.1, np.nan))
    assert stopped_share(ends, 6000.0) == pytest.approx(0.6)
    assert stopped_share(ends, 8000.0) == pytest.approx(0.8)


def test_each_row_holds_one_thing_at_its_ends() -> None:
    line, tether, drawn = slab(), TETHERS["rope lanyard"], draw(400, 1)
    rows = {row.what: row for row in sensitivity(line, tether, ROCKS["dry"], MASS_KG, 6000.0, drawn)}
    assert set(rows) == {"mass", "friction", "slack", "reach", "stiffness"}
    heavy = slip_ends(line, tether, ROCKS["dry"], CASE_STOPS_HOLD, (MASS_KG[1], MASS_KG[1]), drawn)
    assert rows["mass"].stopped_high == stopped_share(heavy, 6000.0)
    # Less friction and a stiffer tether stop harder.
    assert rows["friction"].stopped_low < rows["friction"].stopped_high
    assert rows["stiffness"].stopped_low > rows["stiffness"].stopped_high
    assert rows["stiffness"].force_low_N < rows["stiffness"].force_high_N


def test_the_largest_swing_comes_first() -> None:
    rows = sensitivity(slab(), TETHERS["rope lanyard"], ROCKS["dry"], MASS_KG, 6000.0, draw(400, 1))
    swings = [row.swing for row in rows]
    assert swings == sorted(swings, reverse=True)


def test_an_absorber_may_brake_weakly_or_hard() -> None:
    rows = sensitivity(slab(), TETHERS["absorbing lanyard"], ROCKS["wet"], MASS_KG, 6000.0, draw(400, 1))
    braking = next(row for row in rows if row.what == "braking")
    # Wet it may brake at 8 kN, over the party's limit: whether it does decides the verdict.
    assert (braking.verdict_low, braking.verdict_high, braking.moves_verdict) == ("holds", "hurts", True)


def test_nothing_attached_has_nothing_to_assume() -> None:
    assert sensitivity(slab(), TETHERS["none"], ROCKS["dry"], MASS_KG, 6000.0, draw(100, 1)) == ()
