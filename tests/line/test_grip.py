from __future__ import annotations

import dataclasses
import itertools
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.line.friction import ROCKS
from handline.line.grip import (
    ENDURANCE_SHARE,
    ENDURANCE_SHARE_WITH_BREAKS,
    FLAGS,
    GLOVES,
    GRIPS,
    HALF_HELD_S,
    MORE_THAN_BOTH,
    ONE_HAND_BREAKAWAY_ACROSS_N,
    ONE_HAND_BREAKAWAY_N,
    WEAKER,
    both_hands_share,
    endurance_s,
    hand_load,
    squeeze_N,
)
from handline.line.tired_hands import HANDS_BACK_S
from handline.sources import source
from tests.tables.published import read_table

LEATHER = GLOVES["leather"]


@pytest.mark.parametrize("row", read_table("grip"), ids=lambda row: row["what"])
def test_norms_of_hands(row: dict[str, str]) -> None:
    ours = {
        "men": GRIPS["men"].force_N,
        "women": GRIPS["women"].force_N,
        "breakaway": ONE_HAND_BREAKAWAY_N,
        "breakaway across": ONE_HAND_BREAKAWAY_ACROSS_N,
        "hour sustained": ENDURANCE_SHARE,
        "hour with breaks": ENDURANCE_SHARE_WITH_BREAKS,
        "half held": HALF_HELD_S,
        "hands back": HANDS_BACK_S,
    }
    assert ours[row["what"]] == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) or 1e-12)


@pytest.mark.parametrize("row", read_table("squeeze"), ids=lambda row: row["locator"])
def test_squeeze(row: dict[str, str]) -> None:
    squeeze = squeeze_N(float(row["pull_N"]), float(row["mu"]))
    assert squeeze == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) or 1e-12)


@pytest.mark.parametrize("row", read_table("endurance"), ids=lambda row: row["locator"])
def test_endurance(row: dict[str, str]) -> None:
    held_s = endurance_s(float(row["share"]), float(row["hour_share"]))
    assert held_s == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]) or 1e-12)


def test_no_pull_is_held_without_end_and_no_other() -> None:
    assert endurance_s(0.0) == math.inf
    assert np.isfinite(endurance_s([1e-3, 0.079, 1.0])).all()


def test_a_glove_that_does_not_hold_at_all_is_refused() -> None:
    with pytest.raises(ValueError, match="above 0"):
        squeeze_N(100.0, 0.0)


@pytest.mark.parametrize("row", read_table("gloves"), ids=lambda row: f"{row['glove']} {row['rock']}")
def test_friction_of_gloves(row: dict[str, str]) -> None:
    glove = GLOVES[row["glove"]]
    assert glove.mu[row["rock"]] == float(row["expected"])
    assert glove.mu_range[row["rock"]] == (float(row["expected"]), float(row["high"]))


def test_every_glove_knows_every_rock_and_has_a_source() -> None:
    assert {(row["glove"], row["rock"]) for row in read_table("gloves")} == set(itertools.product(GLOVES, ROCKS))
    for grip in GRIPS.values():
        assert source(grip.source).title
    for glove in GLOVES.values():
        assert source(glove.source).title
        assert list(glove.mu.values()) == sorted(glove.mu.values(), reverse=True)


def test_sticky_up_and_sliding_down() -> None:
    # Common practice, no source.
    assert {name: glove.for_ways for name, glove in GLOVES.items()} == {
        "bare": (),
        "leather": ("up", "down"),
        "rubber-coated": ("up",),
        "knitted": (),
    }


def test_what_a_pull_means_for_hands() -> None:
    """246.30 N in dry leather, by hand: squeeze 307.9 N; of 500.1 N 0.6156, of 304.0 N 1.0127."""
    load = hand_load(246.30, LEATHER, ROCKS["dry"])
    assert (load.grip_share_men, load.grip_share_women) == pytest.approx((0.6156, 1.0127), abs=1e-4)
    assert load.breakaway_share == pytest.approx(0.5662, abs=1e-4)
    assert load.hands == 2
    # Both hands share: 0.5063 and 0.3078 of their most; 3600 (0.079 / share)^2.218964.
    assert load.endurance_women_s == pytest.approx(58.3, abs=0.1)
    assert load.endurance_men_s == pytest.approx(176.0, abs=0.2)
    assert load.flags == ()


@pytest.mark.parametrize(
    ("pull_N", "hands"), [(0.0, 0), (1.0, 1), (243.2, 1), (243.3, 2), (486.4, 2), (486.5, MORE_THAN_BOTH), (5e3, 3)]
)
def test_how_many_hands_a_pull_takes(pull_N: float, hands: int) -> None:
    # In dry leather a median woman's 304.006 N hold 2 x 0.4 x 304.006 = 243.205 N with each hand.
    load = hand_load(pull_N, LEATHER, ROCKS["dry"])
    assert load.hands == hands
    assert ("beyond_both_hands" in load.flags) == (hands == MORE_THAN_BOTH)


def test_a_glove_that_sticks_well_is_no_help_past_the_breakaway_of_a_hand() -> None:
    # Half of 900 N is over 435 N, though rubber would hold it with 450 N of a man's 500.
    assert squeeze_N(450.0, 0.5) < GRIPS["men"].force_N
    assert both_hands_share(900.0, 0.5, GRIPS["men"]) == pytest.approx(450.0 / 435.0)


def test_one_hand_holds_no_more_than_its_breakaway_in_any_glove() -> None:
    # An invented glove that sticks: a median woman's squeeze holds 2 x 0.9 x 304.0 = 547 N; a hand lets go at 435 N.
    ranges = dict.fromkeys(ROCKS, (0.9, 1.0))
    sticky = dataclasses.replace(LEATHER, name="sticky", mu_range=ranges)
    assert [hand_load(pull_N, sticky, ROCKS["dry"]).hands for pull_N in (434.0, 436.0, 871.0)] == [1, 2, 3]


def test_what_is_past_an_hour_is_flagged() -> None:
    assert hand_load(30.0, LEATHER, ROCKS["dry"]).flags == ("over_an_hour",)
    assert hand_load(0.0, LEATHER, ROCKS["dry"]).flags == ()
    assert {"over_an_hour", "beyond_both_hands"} == set(FLAGS)


def test_hands_are_judged_by_the_weaker_norm() -> None:
    assert WEAKER is GRIPS["women"]


@given(st.floats(0.0, 2.0), st.floats(0.0, 1.0), st.sampled_from([ENDURANCE_SHARE, ENDURANCE_SHARE_WITH_BREAKS]))
def test_more_is_never_held_longer(share: float, more: float, hour_share: float) -> None:
    assert endurance_s(share + more, hour_share) <= endurance_s(share, hour_share)


@given(st.floats(0.0, 1500.0), st.floats(0.0, 500.0), st.sampled_from(list(GLOVES)), st.sampled_from(list(ROCKS)))
def test_a_harder_pull_is_never_easier_for_hands(pull: float, more: float, glove: str, rock: str) -> None:
    less, harder = (hand_load(value, GLOVES[glove], ROCKS[rock]) for value in (pull, pull + more))
    assert harder.squeeze_N >= less.squeeze_N
    assert harder.hands >= less.hands
    assert harder.endurance_women_s <= less.endurance_women_s
    assert harder.endurance_men_s <= less.endurance_men_s
    assert harder.endurance_women_s <= harder.endurance_men_s
    assert harder.grip_share_women >= harder.grip_share_men


@given(st.floats(1.0, 1500.0), st.floats(0.05, 1.0), st.floats(0.0, 0.5))
def test_a_glove_that_holds_better_asks_no_more_squeeze(pull: float, mu: float, more: float) -> None:
    assert squeeze_N(pull, mu + more) <= squeeze_N(pull, mu)
