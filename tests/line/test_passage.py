from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.line.geometry import build_line
from handline.line.passage import changeovers, party_passage_s, passage
from tests.line.lines import even_line, twin_line
from tests.tables.published import read_table

FOOT_M = 0.3048


def test_changeovers_are_the_stops_between_foot_and_head() -> None:
    assert changeovers(twin_line("lowered"), kind_is_none=False) == 3
    assert changeovers(twin_line("lowered"), kind_is_none=True) == 0
    assert changeovers(twin_line(), kind_is_none=False) == 37


@pytest.mark.parametrize("row", read_table("changeovers"), ids=lambda row: row["state"])
def test_changeovers_of_a_400_ft_line_with_a_stop_every_10_ft(row: dict[str, str]) -> None:
    """400 ft, a stanchion every 10 ft, and six rock anchors that stand between stanchions, each a stop of its own.

    39 stanchions stand between foot and head. Were the anchors at stanchions, each a stop shared, there would be 39
    changeovers raised: just under the usual count, which takes in clipping on at the foot and off at the head.
    """
    line = build_line(
        state=row["state"],
        section_length_m=(400 * FOOT_M,),
        section_angle_rad=(float(np.radians(47.0)),),
        anchor_m=tuple(at_ft * FOOT_M for at_ft in (55.0, 115.0, 175.0, 235.0, 295.0, 355.0)),
        stanchion_spacing_m=10 * FOOT_M,
        cables=2,
        cable_diameter_m=0.015,
    )
    count = changeovers(line, kind_is_none=False)
    assert count == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))
    assert count == {"raised": 39 + 6, "lowered": 6}[row["state"]]


def test_one_climber_alone() -> None:
    # By hand: 96 m at 0.12 m/s is 800 s, and 3 changeovers of 10 s.
    alone = passage(twin_line("lowered"), "up", rate_m_s=0.12, arms=1, changeover_s=10.0)
    assert (alone.climber_s, alone.changeovers, alone.untied_s) == (pytest.approx(830.0), 3, 30.0)
    assert [bay.start_m for bay in alone.bays] == [0.0, 24.0, 48.0, 72.0]
    assert [bay.changeover_s for bay in alone.bays] == [10.0, 10.0, 10.0, 0.0]
    assert [bay.untied_s for bay in alone.bays] == [10.0, 10.0, 10.0, 0.0]


def test_down_is_walked_from_the_head() -> None:
    down = passage(twin_line("lowered"), "down", rate_m_s=0.12, arms=1, changeover_s=10.0)
    assert [bay.start_m for bay in down.bays] == [72.0, 48.0, 24.0, 0.0]
    assert [bay.changeover_s for bay in down.bays] == [10.0, 10.0, 10.0, 0.0]
    assert down.climber_s == pytest.approx(830.0)


def test_stances_and_rests_of_the_hands_are_added_where_they_are() -> None:
    line = dataclasses.replace(twin_line("lowered"), stance_m=(0.0, 24.0, 60.0, 96.0))
    more = {"rate_m_s": 0.12, "arms": 2, "changeover_s": 10.0, "stance_rest_s": 45.0}
    up, down = (passage(line, way, hand_rest_s=(1.0, 2.0, 3.0, 4.0), **more) for way in ("up", "down"))  # type: ignore[arg-type]
    # At the foot and the head nobody is on the line; a stance at a stop counts to the bay before it.
    assert [bay.stance_s for bay in up.bays] == [45.0, 0.0, 45.0, 0.0]
    assert [bay.stance_s for bay in down.bays] == [0.0, 45.0, 45.0, 0.0]
    assert [bay.hand_rest_s for bay in up.bays] == [1.0, 2.0, 3.0, 4.0]
    assert [bay.hand_rest_s for bay in down.bays] == [4.0, 3.0, 2.0, 1.0]
    assert up.climber_s == pytest.approx(800.0 + 3 * 10.0 + 2 * 45.0 + 10.0)


def test_untied_is_all_the_way_with_nothing_attached() -> None:
    nothing = passage(twin_line(), "up", rate_m_s=0.12, arms=0, changeover_s=10.0)
    assert nothing.changeovers == 0
    assert nothing.untied_s == nothing.climber_s == pytest.approx(800.0)


@pytest.mark.parametrize(
    "wrong",
    [
        {"way": "sideways"},
        {"rate_m_s": 0.0},
        {"rate_m_s": float("nan")},
        {"changeover_s": -1.0},
        {"stance_rest_s": float("nan")},
        {"arms": -1},
        {"hand_rest_s": (1.0,)},
    ],
)
def test_impossible_passages_are_refused(wrong: dict[str, object]) -> None:
    right: dict[str, object] = {"way": "up", "rate_m_s": 0.1, "arms": 1, "changeover_s": 5.0, "hand_rest_s": (1.0,) * 4}
    assert passage(twin_line("lowered"), **right).climber_s > 0.0  # type: ignore[arg-type]
    with pytest.raises(ValueError, match=r"passage|rests"):
        passage(twin_line("lowered"), **(right | wrong))  # type: ignore[arg-type]


def test_a_party_is_paced_by_its_slowest_bay() -> None:
    line = even_line(60.0, 45.0, (0.0, 20.0, 50.0, 60.0))
    assert passage(line, "up", rate_m_s=0.1, arms=1, changeover_s=5.0).headway_s == pytest.approx(305.0)
    assert party_passage_s(620.0, 305.0, 4, 1.0) == pytest.approx(620 + 3 * 305)
    # A last bay that is the longest has no changeover.
    longest_last = even_line(60.0, 45.0, (0.0, 20.0, 60.0))
    assert passage(longest_last, "up", rate_m_s=0.1, arms=1, changeover_s=5.0).headway_s == pytest.approx(400.0)


@pytest.mark.parametrize("way", ["up", "down"])
def test_party_time_is_the_tandem_recursion(way: str) -> None:
    """Tandem line without room between bays beyond one climber: the last one out by the max-plus recursion."""
    line = dataclasses.replace(even_line(60.0, 45.0, (0.0, 20.0, 50.0, 60.0)), stance_m=(5.0, 50.0))
    rate, size = 0.1, 5
    alone = passage(line, way, rate_m_s=rate, arms=2, changeover_s=5.0, stance_rest_s=30.0, hand_rest_s=(0.0, 7.0, 0.0))
    lengths = np.array([20.0, 30.0, 10.0])
    service = lengths / rate + {"up": [5 + 30, 5 + 30 + 7, 0], "down": [30, 5 + 7, 5 + 30]}[way]
    service = service if way == "up" else service[::-1]
    leave = np.zeros((size, 3))
    for climber in range(size):
        for bay in range(3):
            ready = leave[climber, bay - 1] if bay else 0.0
            free = leave[climber - 1, bay] if climber else 0.0
            leave[climber, bay] = max(ready, free) + service[bay]
    assert party_passage_s(alone.climber_s, alone.headway_s, size, 1.0) == pytest.approx(leave[-1, -1])


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(["raised", "lowered"]),
    st.sampled_from(["up", "down"]),
    st.floats(0.02, 1.0),
    st.floats(0.0, 60.0),
    st.floats(0.0, 60.0),
    st.floats(0.0, 300.0),
    st.sets(st.floats(0.0, 96.0), max_size=4),
)
def test_two_arms_are_never_untied_and_one_is_at_every_changeover(
    state: str, way: str, rate: float, change: float, more: float, rest: float, stances: set[float]
) -> None:
    line = dataclasses.replace(twin_line(state), stance_m=tuple(sorted(stances)))
    times = {"rate_m_s": rate, "stance_rest_s": rest}
    twin, single, slower = (
        passage(line, way, arms=arms, changeover_s=change_s, **times)
        for arms, change_s in ((2, change), (1, change), (1, change + more))
    )
    assert twin.untied_s == 0.0 == max(bay.untied_s for bay in twin.bays)
    assert single.untied_s == pytest.approx(single.changeovers * change)
    assert twin.climber_s == single.climber_s <= slower.climber_s
    assert single.headway_s <= slower.headway_s <= slower.climber_s


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 40), st.integers(0, 10), st.floats(1.0, 12.0), st.floats(0.5, 6.0))
def test_more_people_and_closer_stops_never_take_less(size: int, more: int, spacing: float, closer: float) -> None:
    def party_s(spacing_m: float, people: int) -> float:
        line = even_line(96.0, 45.0, (0.0, 96.0), spacing_m)
        alone = passage(line, "up", rate_m_s=0.1, arms=2, changeover_s=10.0)
        return float(party_passage_s(alone.climber_s, alone.headway_s, people, 1.0))

    assert party_s(spacing, size + more) >= party_s(spacing, size) - 1e-9
    # For one person more stops are only more changeovers; a party may gain by them, for its bays are shorter.
    assert party_s(max(0.6, spacing - closer), 1) >= party_s(spacing, 1) - 1e-9
