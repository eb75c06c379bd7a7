"""Where hands change from letting go in turn to holding on, and where along the line they give out, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from handline.line.friction import ROCKS
from handline.line.grip import GLOVES
from handline.line.tired_hands import hands_tire
from tests.line.lines import even_line

LEATHER, DRY = GLOVES["leather"], ROCKS["dry"]
RATE_M_S = 7 / 60
# A median woman's squeeze of 31 kg, a minute at half of it, and 7.9 % of it for an hour.
EXPONENT = np.log(60.0) / np.log(0.5 / 0.079)


def _mass_kg(share: float) -> float:
    """Whose pull on 45 deg, dry, is that share of what both hands in leather give."""
    return float(share * 4 * 0.4 * 31 * 9.80665 / (9.80665 * np.sqrt(0.5) * (1 - 0.7)))


@pytest.mark.parametrize(("share", "hour_share"), [(0.49995, 0.14), (0.50005, 0.079)])
def test_half_of_the_most_is_the_last_that_one_hand_holds_alone(share: float, hour_share: float) -> None:
    line = even_line(60.0, 45.0, (0.0, 60.0), spacing_m=2.0)
    used = 2.0 / RATE_M_S / (3600.0 * (hour_share / share) ** EXPONENT)
    assert hands_tire(line, _mass_kg(share), DRY, LEATHER, RATE_M_S, "up").most_used_share == pytest.approx(
        used, rel=1e-6
    )


@pytest.mark.parametrize("way", ["up", "down"])
def test_hands_give_out_where_all_of_their_endurance_is_used(way: str) -> None:
    lasts_m = RATE_M_S * 3600.0 * (0.14 / 0.4) ** EXPONENT
    found = hands_tire(even_line(60.0, 45.0, (0.0, 60.0)), _mass_kg(0.4), DRY, LEATHER, RATE_M_S, way).gives_out
    assert found is not None
    assert found.at_m == pytest.approx(lasts_m if way == "up" else 60.0 - lasts_m, rel=1e-6)
