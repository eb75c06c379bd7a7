"""How far credit for climbing goes, worked by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from handline.walking.party_pace import OwnPace
from tests.walking.test_party_pace import ALONE, leg, one_model_s


def test_credit_for_climbing_leaves_half_of_the_time() -> None:
    # Common practice, no source: half is a bound of ours.
    own = OwnPace("tobler_1993", 1.0, -50.0, 0.08, 0.0, 0.0)
    assert one_model_s(replace(ALONE, pace=own), leg()) == pytest.approx(0.5 * one_model_s(ALONE, leg()), rel=1e-9)
