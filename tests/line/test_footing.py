from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.line.footing import ENDURANCE_SHARE, ONE_HAND_BREAKAWAY_N, bay_pulls, pull_to_stand_N
from handline.line.friction import ROCKS
from tests.line.lines import twin_line
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("hand_pull"), ids=lambda row: row["locator"])
def test_pull_by_hand_calculation(row: dict[str, str]) -> None:
    pull = pull_to_stand_N(float(row["mass_kg"]), np.radians(float(row["angle_deg"])), float(row["mu"]))
    assert pull == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) or 1e-12)


def test_published_hand_limits() -> None:
    # Young et al. 2009: one hand, vertical cylinder, 435 +- 27 N. Bjorksten & Jonsson 1977: 7.9 % for an hour.
    assert ONE_HAND_BREAKAWAY_N == 435.0
    assert ENDURANCE_SHARE == 0.079


@given(st.floats(0.0, 1.57), st.floats(0.0, 1.0), st.floats(0.0, 0.5))
def test_steeper_or_slicker_never_asks_less(angle: float, mu: float, more: float) -> None:
    steeper = min(angle + more, np.pi / 2)
    assert pull_to_stand_N(80.0, steeper, mu) >= pull_to_stand_N(80.0, angle, mu) - 1e-9
    assert pull_to_stand_N(80.0, angle, mu + more) <= pull_to_stand_N(80.0, angle, mu)


def test_each_bay_takes_its_steepest_slope() -> None:
    lowered = bay_pulls(twin_line("lowered"), 85.0)
    assert [round(float(np.degrees(bay.angle_rad))) for bay in lowered] == [41, 49, 49, 43]
    wet = list(ROCKS).index("wet")
    assert lowered[1].pull_N[wet] == pytest.approx(410.36, abs=0.01)
    assert lowered[1].pull_body_weights[wet] == pytest.approx(410.36 / (85 * 9.80665), abs=1e-4)


def test_rock_states_are_the_low_end_of_their_ranges() -> None:
    for rock in ROCKS.values():
        assert rock.mu_foot == rock.mu_foot_range[0]
        assert rock.mu_slide == rock.mu_slide_range[0]
    # Ranges from memory: rubber sole dry 0.7 to 1.0, wet 0.4 to 0.7, ice 0.05 to 0.2; clothed body 0.45 to 0.7.
    assert [ROCKS[name].mu_foot for name in ("dry", "damp", "wet", "iced")] == [0.70, 0.55, 0.40, 0.05]
    assert [ROCKS[name].mu_foot_range[1] for name in ("dry", "damp", "wet", "iced")] == [1.0, 0.85, 0.7, 0.2]
    assert [ROCKS[name].mu_slide_range[1] for name in ("dry", "damp", "wet", "iced")] == [0.7, 0.6, 0.5, 0.2]
    assert [ROCKS[name].mu_slide for name in ("dry", "damp", "wet", "iced")] == [0.45, 0.40, 0.30, 0.05]
