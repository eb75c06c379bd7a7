from __future__ import annotations

import numpy as np
import pytest

from handline.line.geometry import angle_at, bay_edges_m, build_line
from tests.line.lines import even_line, twin_line


def test_lowered_keeps_only_the_anchors() -> None:
    assert twin_line("lowered").stop_m.tolist() == [0.0, 24.0, 48.0, 72.0, 96.0]
    assert not twin_line("lowered").has_stanchions


def test_raised_has_a_stop_every_spacing_and_the_anchors() -> None:
    line = twin_line()
    assert np.diff(line.stop_m).max() <= 2.7 + 0.5 + 1e-9
    assert set(line.anchor_m) <= set(line.stop_m)
    # 96 / 2.7 = 35.6: 36 stanchions counting the foot; those at 0 and 24.3 m stand at an anchor and are it.
    assert len(line.stops) == 36 + 5 - 2


def test_height_is_the_sum_of_the_sections() -> None:
    # By hand: 18 sin 34 + 24 sin 41 + 30 sin 49 + 24 sin 43.
    assert twin_line().height_m == pytest.approx(10.0655 + 15.7454 + 22.6413 + 16.3680, abs=1e-3)
    assert twin_line().length_m == 96.0


def test_without_anchors_the_cable_is_held_at_both_ends() -> None:
    assert even_line(60.0, 45.0).anchor_m.tolist() == [0.0, 60.0]


def test_angle_changes_at_the_bends() -> None:
    degrees = np.degrees(angle_at(twin_line(), np.array([0.0, 17.9, 18.0, 41.9, 42.0, 96.0])))
    assert degrees.round(6).tolist() == [34, 34, 41, 41, 49, 43]


def test_bays_run_from_foot_to_head() -> None:
    assert bay_edges_m(twin_line("lowered")).tolist() == [0.0, 24.0, 48.0, 72.0, 96.0]
    assert bay_edges_m(even_line(60.0, 45.0, (10.0, 30.0))).tolist() == [0.0, 10.0, 30.0, 60.0]


@pytest.mark.parametrize(
    "wrong",
    [
        {"section_angle_rad": (np.radians(95.0),)},
        {"section_angle_rad": (0.0,)},
        {"section_length_m": (-1.0,)},
        {"section_length_m": ()},
        {"anchor_m": (70.0,)},
        {"state": "half up"},
        {"stanchion_spacing_m": 0.0},
    ],
)
def test_impossible_lines_are_refused(wrong: dict[str, object]) -> None:
    right: dict[str, object] = {
        "state": "raised",
        "section_length_m": (60.0,),
        "section_angle_rad": (0.8,),
        "anchor_m": (),
        "stanchion_spacing_m": 3.0,
        "cables": 1,
        "cable_diameter_m": 0.012,
    }
    with pytest.raises(ValueError, match=r"."):
        build_line(**(right | wrong))  # type: ignore[arg-type]
