from __future__ import annotations

import dataclasses

import numpy as np
import pytest

from handline.line.geometry import (
    angle_at,
    bay_edges_m,
    bays,
    build_line,
    in_state,
    rest_places_m,
    steepest_rad,
    stops_to_pass,
)
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


def test_a_bay_says_how_it_ends_and_what_it_gains() -> None:
    lowered = bays(twin_line("lowered"))
    assert [bay.ends_at for bay in lowered] == ["anchor", "anchor", "anchor", "head"]
    assert [bay.length_m for bay in lowered] == [24.0] * 4
    # By hand: the lowest bay is 18 m of 34 deg and 6 m of 41 deg: 10.0655 + 3.9364.
    assert lowered[0].rise_m == pytest.approx(14.0018, abs=1e-3)
    assert sum(bay.rise_m for bay in lowered) == pytest.approx(twin_line().height_m, abs=1e-9)
    raised = bays(twin_line())
    assert [bay.ends_at for bay in raised].count("stanchion") == 34
    assert [bay.ends_at for bay in raised].count("anchor") == 3
    assert len(raised) == len(stops_to_pass(twin_line())) + 1


def test_stances_lie_in_their_bays() -> None:
    line = dataclasses.replace(twin_line("lowered"), stance_m=(10.0, 24.0, 50.0))
    assert [bay.stance_m for bay in bays(line)] == [(10.0, 24.0), (), (50.0,), ()]
    assert build_line(
        state="raised", section_length_m=(60.0,), section_angle_rad=(0.8,), anchor_m=(), stanchion_spacing_m=None,
        cables=1, cable_diameter_m=0.012, stance_m=(40.0, 20.0, 40.0),
    ).stance_m == (20.0, 40.0)  # fmt: skip


def test_hands_rest_on_planks_only_while_they_stand() -> None:
    raised = dataclasses.replace(twin_line(), stance_m=(0.0, 50.0, 96.0))
    assert set(rest_places_m(raised)) >= {2.7, 50.0}
    # The plank of the stanchion at 24.3 m, which stands at an anchor, is not counted.
    assert rest_places_m(raised).size == 34 + 1
    assert rest_places_m(in_state(raised, "lowered")).tolist() == [50.0]


@pytest.mark.parametrize("state", ["raised", "lowered"])
def test_a_line_in_its_other_state_and_back_is_itself(state: str) -> None:
    line = dataclasses.replace(twin_line(state), stance_m=(50.0,))
    other = {"raised": "lowered", "lowered": "raised"}[state]
    assert in_state(line, other).state == other
    assert in_state(in_state(line, other), state) == line
    with pytest.raises(ValueError, match="half up"):
        in_state(line, "half up")


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
        {"stanchion_spacing_m": 0.0, "state": "lowered"},
        {"stanchion_spacing_m": float("nan")},
        {"section_angle_rad": (float("nan"),)},
        {"section_length_m": (float("inf"),)},
        {"section_angle_rad": (0.8, 0.8)},
        {"anchor_m": (-1.0,)},
        {"anchor_m": (float("nan"),)},
        {"stance_m": (60.1,)},
        {"stance_m": (-0.1, 30.0)},
        {"cables": 3},
        {"cable_diameter_m": 0.0},
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
    assert build_line(**right).length_m == 60.0  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=r"."):
        build_line(**(right | wrong))  # type: ignore[arg-type]


def test_steepest_between_two_places_sees_a_short_section() -> None:
    """2 m of 70 deg between 30 and 40: it counts from its upper end on, wherever the two places lie around it."""
    line = build_line(
        state="raised",
        section_length_m=(10.0, 2.0, 10.0),
        section_angle_rad=tuple(np.radians((30.0, 70.0, 40.0))),
        anchor_m=(),
        stanchion_spacing_m=None,
        cables=1,
        cable_diameter_m=0.012,
    )
    low_m, high_m = np.array([9.8, 0.0, 12.0, 9.8, 21.0]), np.array([12.3, 9.9, 14.5, 11.0, 30.0])
    assert np.degrees(steepest_rad(line, low_m, high_m)).round(6).tolist() == [70, 30, 40, 70, 40]
