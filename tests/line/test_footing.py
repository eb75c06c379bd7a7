from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.line.footing import bay_pulls, pull_to_stand_N
from handline.line.friction import ROCKS
from handline.line.geometry import build_line
from handline.line.grip import GLOVES
from handline.line.passage import passage
from handline.line.tired_hands import hand_rests_s, hands_tire
from tests.line.lines import twin_line
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("hand_pull"), ids=lambda row: row["locator"])
def test_pull_by_hand_calculation(row: dict[str, str]) -> None:
    pull = pull_to_stand_N(float(row["mass_kg"]), np.radians(float(row["angle_deg"])), float(row["mu"]))
    assert pull == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) or 1e-12)


@given(st.floats(0.0, 1.57), st.floats(0.0, 1.0), st.floats(0.0, 0.5))
def test_steeper_or_slicker_never_asks_less(angle: float, mu: float, more: float) -> None:
    steeper = min(angle + more, np.pi / 2)
    assert pull_to_stand_N(80.0, steeper, mu) >= pull_to_stand_N(80.0, angle, mu) - 1e-9
    assert pull_to_stand_N(80.0, angle, mu + more) <= pull_to_stand_N(80.0, angle, mu)


def test_each_bay_takes_its_steepest_slope() -> None:
    lowered = bay_pulls(twin_line("lowered"), 85.0, GLOVES["leather"], GLOVES["leather"])
    assert [round(float(np.degrees(bay.angle_rad))) for bay in lowered] == [41, 49, 49, 43]
    wet = list(ROCKS).index("wet")
    assert lowered[1].pull_N[wet] == pytest.approx(410.36, abs=0.01)
    assert lowered[1].pull_body_weights[wet] == pytest.approx(410.36 / (85 * 9.80665), abs=1e-4)


def test_each_way_is_set_against_its_own_glove() -> None:
    """Bay from 24 to 48 m, 49 deg, 85 kg: 246.30 N dry, 410.36 N wet, by hand in hand_pull.csv."""
    bay = bay_pulls(twin_line("lowered"), 85.0, GLOVES["rubber-coated"], GLOVES["leather"])[1]
    assert [load.rock for load in bay.hands_up] == list(ROCKS)
    dry_up, dry_down = bay.hands_up[0], bay.hands_down[0]
    assert (dry_up.glove, dry_down.glove) == ("rubber-coated", "leather")
    assert dry_up.squeeze_N == pytest.approx(246.30 / (2 * 0.5), abs=0.02)
    assert dry_down.squeeze_N == pytest.approx(246.30 / (2 * 0.4), abs=0.02)
    assert dry_up.breakaway_share == dry_down.breakaway_share == pytest.approx(246.30 / 435.0, abs=1e-4)


def test_everything_runs_from_45_to_50_deg_on_15_mm_cable() -> None:
    # Common practice, no source: slabs of 45 to 50 deg on 15 mm cable.
    for angle_deg in range(45, 51):
        for state in ("raised", "lowered"):
            line = build_line(
                state=state,
                section_length_m=(120.0,),
                section_angle_rad=(float(np.radians(angle_deg)),),
                anchor_m=(0.0, 30.0, 60.0, 90.0, 120.0),
                stanchion_spacing_m=3.0,
                cables=2,
                cable_diameter_m=0.015,
            )
            for bay in bay_pulls(line, 85.0, GLOVES["leather"], GLOVES["leather"]):
                assert np.degrees(bay.angle_rad) == pytest.approx(angle_deg)
                assert list(bay.pull_N) == sorted(bay.pull_N)
                assert 0.0 < bay.pull_N[0] < bay.pull_N[-1] < 85.0 * 9.80665
            for way in ("up", "down"):
                for rock in ROCKS.values():
                    tires = hands_tire(line, 85.0, rock, GLOVES["leather"], 7 / 60, way)
                    assert tires.most_used_share > 0.0
                rests_s = hand_rests_s(line, 85.0, ROCKS["wet"], GLOVES["leather"], 7 / 60)
                alone = passage(line, way, rate_m_s=7 / 60, arms=2, changeover_s=10.0, hand_rest_s=rests_s)
                assert 120.0 / (7 / 60) < alone.climber_s < 3 * 3600.0


def test_rock_states_are_the_low_end_of_their_ranges() -> None:
    for rock in ROCKS.values():
        assert rock.mu_foot == rock.mu_foot_range[0]
        assert rock.mu_slide == rock.mu_slide_range[0]
    # Ranges from memory: rubber sole dry 0.7 to 1.0, wet 0.4 to 0.7, ice 0.05 to 0.2; clothed body 0.45 to 0.7.
    assert [ROCKS[name].mu_foot for name in ("dry", "damp", "wet", "iced")] == [0.70, 0.55, 0.40, 0.05]
    assert [ROCKS[name].mu_foot_range[1] for name in ("dry", "damp", "wet", "iced")] == [1.0, 0.85, 0.7, 0.2]
    assert [ROCKS[name].mu_slide_range[1] for name in ("dry", "damp", "wet", "iced")] == [0.7, 0.6, 0.5, 0.2]
    assert [ROCKS[name].mu_slide for name in ("dry", "damp", "wet", "iced")] == [0.45, 0.40, 0.30, 0.05]
