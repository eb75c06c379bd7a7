"""Where hands give out, against a walk along the line in small steps of time."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from handline.line.friction import ROCKS
from handline.line.geometry import Line, in_state
from handline.line.grip import GLOVES, GRIPS
from handline.line.tired_hands import TIRED, TOO_MUCH, hand_rests_s, hands_tire
from tests.line.lines import ANGLES_DEG, SECTIONS_M, even_line, twin_line

LEATHER, DRY, WET = GLOVES["leather"], ROCKS["dry"], ROCKS["wet"]
RATE_M_S = 7 / 60


def _walked(line: Line, mass_kg: float, mu_foot: float, mu_glove: float, rests_m: list[float], way: str) -> float:
    """Where a median woman's hands give out, by small steps; NaN where they last. Formulas written out again."""
    step_m = 0.002
    places = np.arange(step_m / 2, 96.0, step_m)
    used, ends_m = 0.0, np.cumsum(SECTIONS_M)
    for at_m in places if way == "up" else places[::-1]:
        angle = np.radians(ANGLES_DEG[int(np.searchsorted(ends_m, at_m))])
        pull = max(0.0, mass_kg * 9.80665 * (np.sin(angle) - mu_foot * np.cos(angle)))
        share = max(pull / (4 * mu_glove) / (31 * 9.80665), pull / 2 / 435.0)
        if share > 1.0:
            return float(at_m)
        exponent = np.log(60.0) / np.log(0.5 / 0.079)
        hour_share = 0.14 if share <= 0.5 else 0.079  # above half one hand alone does not hold, and none lets go
        used += step_m / RATE_M_S / (3600 * (hour_share / share) ** exponent) if share else 0.0
        if used >= 1.0:
            return float(at_m)
        if any(abs(at_m - rest_m) <= step_m / 2 + 1e-9 for rest_m in rests_m):
            used = 0.0
    return float("nan")


@pytest.mark.parametrize("way", ["up", "down"])
@pytest.mark.parametrize("mass_kg", [65.0, 85.0, 105.0])
@pytest.mark.parametrize("stances_m", [[], [30.0, 60.0]])
def test_against_small_steps(way: str, mass_kg: float, stances_m: list[float]) -> None:
    line = dataclasses.replace(twin_line("lowered"), stance_m=tuple(stances_m))
    walked_m = _walked(line, mass_kg, 0.7, 0.4, stances_m, way)
    found = hands_tire(line, mass_kg, DRY, LEATHER, RATE_M_S, way).gives_out
    if np.isnan(walked_m):
        assert found is None
    else:
        assert found is not None
        assert found.at_m == pytest.approx(walked_m, abs=0.02)
        assert found.bay == int(walked_m // 24.0)


def test_where_the_pull_is_too_much_they_give_out_at_once() -> None:
    # 49 deg, wet: 410.36 N; both hands of a median woman in wet leather hold 4 x 0.3 x 304.0 = 364.8 N. So quick that
    # nobody tires before.
    quick_m_s = 20.0 * RATE_M_S
    found = hands_tire(twin_line(), 85.0, WET, LEATHER, quick_m_s, "up").gives_out
    assert found is not None
    assert (found.at_m, found.why) == (42.0, TOO_MUCH)
    down = hands_tire(twin_line(), 85.0, WET, LEATHER, quick_m_s, "down").gives_out
    assert down is not None
    assert (down.at_m, down.why) == (72.0, TOO_MUCH)
    # A median man's hold 4 x 0.3 x 500.1 = 600 N, and rest at every plank.
    assert hands_tire(twin_line(), 85.0, WET, LEATHER, quick_m_s, "up", GRIPS["men"]).gives_out is None


def test_where_it_takes_both_hands_neither_lets_go() -> None:
    """Up 2 m of 45 deg between planks, dry: just over half of a median woman's most, and just under it."""
    exponent = np.log(60.0) / np.log(0.5 / 0.079)
    for share, hour_share in ((0.51, 0.079), (0.49, 0.14)):
        mass_kg = share * 4 * 0.4 * 31 * 9.80665 / (9.80665 * np.sqrt(0.5) * (1 - 0.7))
        line = even_line(60.0, 45.0, (0.0, 60.0), spacing_m=2.0)
        used = 2.0 / RATE_M_S / (3600.0 * (hour_share / share) ** exponent)
        assert hands_tire(line, mass_kg, DRY, LEATHER, RATE_M_S, "up").most_used_share == pytest.approx(used, rel=1e-6)


def test_planks_are_rests_while_they_stand() -> None:
    raised = hands_tire(twin_line(), 85.0, DRY, LEATHER, RATE_M_S, "up")
    assert raised.gives_out is None
    lowered = hands_tire(twin_line("lowered"), 85.0, DRY, LEATHER, RATE_M_S, "up").gives_out
    assert lowered is not None
    assert lowered.why == TIRED


def test_where_the_feet_hold_hands_do_not_tire() -> None:
    tires = hands_tire(even_line(60.0, 30.0), 85.0, DRY, LEATHER, RATE_M_S, "up")
    assert (tires.gives_out, tires.most_used_share) == (None, 0.0)


@pytest.mark.parametrize(("way", "rate"), [("sideways", 0.1), ("up", 0.0), ("up", float("nan"))])
def test_no_way_and_no_rate_are_refused(way: str, rate: float) -> None:
    with pytest.raises(ValueError, match="a rate above 0"):
        hands_tire(twin_line(), 85.0, DRY, LEATHER, rate, way)


def test_dry_rock_needs_no_rest_beyond_the_rate() -> None:
    for line in (twin_line(), twin_line("lowered")):
        assert not any(hand_rests_s(line, 85.0, DRY, LEATHER, RATE_M_S))


def test_rests_give_back_what_the_hands_used() -> None:
    """An even slope of 45 deg, 60 kg: what is used on 30 m and on 20 m, wet less dry, times two minutes, by hand."""
    line = even_line(50.0, 45.0, (0.0, 30.0, 50.0))
    exponent = np.log(60.0) / np.log(0.5 / 0.079)
    weight_N = 60.0 * 9.80665 * np.sqrt(0.5)
    wet, dry = ((weight_N * (1 - mu_foot)) / (4 * mu * 304.00615) for mu_foot, mu in ((0.4, 0.3), (0.7, 0.4)))
    per_m = ((wet / 0.14) ** exponent - (dry / 0.14) ** exponent) / 3600.0 / RATE_M_S
    rests_s = hand_rests_s(line, 60.0, WET, LEATHER, RATE_M_S)
    assert rests_s == pytest.approx((120.0 * per_m * 30.0, 120.0 * per_m * 20.0), rel=1e-6)


def test_hands_give_no_more_than_their_most() -> None:
    # Iced, 45 deg: over the most of both hands; counted as at it. At the most with breaks: 3600 x 0.14^2.218964 s.
    line = even_line(50.0, 45.0, (0.0, 50.0))
    (rest_s,) = hand_rests_s(line, 85.0, ROCKS["iced"], LEATHER, RATE_M_S)
    all_used_s = 3600.0 * 0.14 ** (np.log(60.0) / np.log(0.5 / 0.079))
    dry = 85.0 * 9.80665 * np.sqrt(0.5) * 0.3 / (4 * 0.4 * 304.00615)
    dry_used_s = 3600.0 * (0.14 / dry) ** (np.log(60.0) / np.log(0.5 / 0.079))
    assert rest_s == pytest.approx(120.0 * 50.0 / RATE_M_S * (1 / all_used_s - 1 / dry_used_s), rel=1e-6)


_LINES = st.builds(
    lambda state, stances: dataclasses.replace(in_state(twin_line(), state), stance_m=tuple(sorted(stances))),
    st.sampled_from(["raised", "lowered"]),
    st.sets(st.floats(1.0, 95.0), max_size=4),
)


@settings(max_examples=60, deadline=None)
@given(_LINES, st.floats(40, 120), st.floats(0, 40), st.sampled_from(list(GLOVES)), st.sampled_from(["up", "down"]))
def test_heavier_never_lasts_longer(line: Line, mass: float, more: float, glove: str, way: str) -> None:
    for rock in ROCKS.values():
        lighter, heavier = (
            hands_tire(line, kg, rock, GLOVES[glove], RATE_M_S, way).gives_out for kg in (mass, mass + more)
        )
        if lighter is not None:
            assert heavier is not None
            sooner = heavier.at_m <= lighter.at_m + 1e-9 if way == "up" else heavier.at_m >= lighter.at_m - 1e-9
            assert sooner


@settings(max_examples=60, deadline=None)
@given(_LINES, st.floats(40, 120), st.floats(1.0, 95.0), st.sampled_from(["up", "down"]))
def test_one_more_stance_is_never_worse(line: Line, mass: float, stance_m: float, way: str) -> None:
    assume(stance_m not in line.stance_m)
    more = dataclasses.replace(line, stance_m=tuple(sorted((*line.stance_m, stance_m))))
    without, with_it = (hands_tire(one, mass, DRY, LEATHER, RATE_M_S, way) for one in (line, more))
    assert with_it.most_used_share <= without.most_used_share + 1e-9


@settings(max_examples=40, deadline=None)
@given(_LINES, st.floats(40, 120), st.sampled_from(list(GLOVES)))
def test_worse_rock_never_needs_less_rest(line: Line, mass: float, glove: str) -> None:
    rests = [hand_rests_s(line, mass, rock, GLOVES[glove], RATE_M_S) for rock in ROCKS.values()]
    for drier, slicker in itertools.pairwise(rests):
        assert all(one <= other + 1e-9 for one, other in zip(drier, slicker, strict=True))
    # The same rest in all, however the line is cut into bays.
    other = in_state(line, "lowered" if line.state == "raised" else "raised")
    whole = sum(hand_rests_s(other, mass, WET, GLOVES[glove], RATE_M_S))
    assert whole == pytest.approx(sum(rests[2]), rel=1e-6, abs=1e-6)
