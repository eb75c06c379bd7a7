"""Chances of how a slip ends: against counting by hand, closed forms, and what must hold whatever is drawn."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.line.arrest import stopping_force_N
from handline.line.audit import BODY_LENGTH_M, CASE_GRIPS, CASE_NOTHING, CASE_STOPS_HOLD, audit, cases_of
from handline.line.friction import ROCKS
from handline.line.geometry import LOWERED, RAISED, Line, build_line
from handline.line.slide import slide_acceleration_m_s2
from handline.line.slip_chances import BREAKS, ENDS, NOT_STOPPED, slip_chances, slip_ends
from handline.line.slip_draws import REACH_SHARE, STIFFNESS_SHARE, VARIED, Draws, draw, slips_of
from handline.line.tethers import HITCH_BITE_M, HITCH_SLACK_M, TETHERS

MASS_KG = (70.0, 95.0)


def slab(state: str = RAISED, angle_deg: float = 45.0, spacing_m: float | None = 3.0) -> Line:
    """96 m at one angle, five anchors, stanchions between them while raised."""
    return build_line(
        state=state,
        section_length_m=(96.0,),
        section_angle_rad=(math.radians(angle_deg),),
        anchor_m=(0.0, 24.0, 48.0, 72.0, 96.0),
        stanchion_spacing_m=spacing_m,
        cables=2,
        cable_diameter_m=0.016,
    )


def middling(count: int = 1, **at: float) -> Draws:
    """Draws with everything in the middle of its range, but for what is said."""
    return Draws(**{what: np.full(count, at.get(what, 0.5)) for what in VARIED})


def test_draws_take_one_value_from_each_part_of_the_range() -> None:
    drawn = draw(500, 3)
    for what in VARIED:
        values = np.sort(getattr(drawn, what))
        assert ((values * 500).astype(int) == np.arange(500)).all()
    assert abs(np.corrcoef(drawn.place, drawn.mass)[0, 1]) < 0.15


def test_same_seed_same_draws() -> None:
    assert np.array_equal(draw(50, 1).slack, draw(50, 1).slack)
    assert not np.array_equal(draw(50, 1).slack, draw(50, 2).slack)


def test_one_slip_of_a_running_connector_by_hand() -> None:
    """Harness at 48 m + 1.2 m, connector level with it: down to the anchor at 48 m, so 1.2 m and the reach.

    By hand with reach 0.925 of 0.6 m, 82.5 kg, friction in the middle of the dry range: F = m a + sqrt(...).
    """
    line, sling, rock = slab(LOWERED), TETHERS["one sling"], ROCKS["dry"]
    drawn = middling(place=1.0 - 49.2 / 96.0)
    reach_m = sling.reach_m * sum(REACH_SHARE) / 2.0
    slips = slips_of(line, sling, CASE_STOPS_HOLD, rock, MASS_KG, drawn)
    assert slips.start_m[0] == pytest.approx(49.2)
    assert slips.taut_m[0] == pytest.approx(48.0 - reach_m)
    ends = slip_ends(line, sling, rock, CASE_STOPS_HOLD, MASS_KG, drawn)
    a = float(slide_acceleration_m_s2(math.pi / 4, sum(rock.mu_slide_range) / 2.0))
    mass, free_m = 82.5, 1.2 + reach_m
    stiffness_N = sling.stiffness_N * sum(STIFFNESS_SHARE) / 2.0
    force_N = float(stopping_force_N(mass, a, mass * a * free_m, stiffness_N, reach_m))
    assert ends.force_N[0] == pytest.approx(force_N, rel=1e-6)
    assert ends.slide_m[0] == pytest.approx(free_m + force_N * reach_m / stiffness_N, rel=1e-6)
    assert ENDS[int(ends.end[0])] == (BREAKS if force_N > sling.weakest.force_N else "over 12 kN")


def test_a_hitch_that_grips_travels_slack_and_bite() -> None:
    hitch = TETHERS["friction hitch"]
    level, climbed = (
        slips_of(slab(), hitch, CASE_GRIPS, ROCKS["dry"], MASS_KG, middling(slack=slack, reach=1.0))
        for slack in (0.0, 1.0)
    )
    assert level.start_m - level.taut_m == pytest.approx([HITCH_SLACK_M + HITCH_BITE_M])
    assert climbed.start_m - climbed.taut_m == pytest.approx([2.0 * hitch.reach_m + HITCH_BITE_M])


@pytest.mark.parametrize("name", list(TETHERS))
@pytest.mark.parametrize("rock", list(ROCKS))
def test_every_slip_ends_in_one_way(name: str, rock: str) -> None:
    for state in (RAISED, LOWERED):
        line = slab(state)
        chances = slip_chances(line, TETHERS[name], ROCKS[rock], MASS_KG, draw(300, 5))
        assert [chance.case for chance in chances] == list(cases_of(TETHERS[name], line))
        for chance in chances:
            assert sum(chance.share.values()) == pytest.approx(1.0)
            assert tuple(chance.share) == ENDS
            assert chance.under(6000.0) <= chance.under(8000.0) <= chance.under(12000.0)


def test_with_nothing_on_every_long_slip_is_not_stopped() -> None:
    """On 45 degrees no friction of the dry range holds a body: all but the lowest 1.8 m of starts are not stopped."""
    (chance,) = slip_chances(slab(), TETHERS["none"], ROCKS["dry"], MASS_KG, draw(4000, 1))
    assert chance.case == CASE_NOTHING
    assert chance.share[NOT_STOPPED] == pytest.approx(1.0 - BODY_LENGTH_M / 96.0, abs=1.5 / 4000)
    assert math.isnan(chance.hardest_N)


def test_friction_that_holds_leaves_nothing_to_stop() -> None:
    (chance,) = slip_chances(slab(angle_deg=20.0), TETHERS["none"], ROCKS["dry"], MASS_KG, draw(300, 1))
    assert chance.share["under 6 kN"] == 1.0
    assert chance.longest_m == 0.0


@pytest.mark.parametrize("name", [name for name in TETHERS if name != "none"])
def test_drawn_slips_stay_within_the_worst_of_the_closed_form(name: str) -> None:
    """The audit takes the heaviest body, least friction, full reach and the stiff end: nothing drawn is worse."""
    line, tether, rock = slab(), TETHERS[name], ROCKS["dry"]
    worst = {outcome.case: outcome for outcome in audit(line, tether, rock, MASS_KG[1], 6000.0)}
    for chance in slip_chances(line, tether, rock, MASS_KG, draw(1500, 2)):
        outcome = worst[chance.case]
        assert chance.longest_m <= outcome.slide_m[1] + 0.05
        if tether.absorber is None and not math.isnan(chance.hardest_N):
            assert chance.hardest_N <= outcome.force_N[1] * (1.0 + 1e-6)


def test_stops_about_10_ft_apart_slide_10_to_15_ft() -> None:
    """Common practice, no source: with a short tether, from stop to stop, a slide of 10 to 15 ft at its long end."""
    line = slab(spacing_m=3.048)
    chance = slip_chances(line, TETHERS["one sling"], ROCKS["dry"], (80.0, 80.0), draw(4000, 1))[0]
    assert 10.0 <= chance.longest_m / 0.3048 <= 15.0


def test_free_to_the_next_anchor_is_called_by_its_numbers() -> None:
    """Lowered, anchors 24 m apart: half the slips run past 9 m, and the sling stops hardly one under 6 kN."""
    chance = slip_chances(slab(LOWERED), TETHERS["one sling"], ROCKS["dry"], MASS_KG, draw(2000, 1))[0]
    assert chance.slide_m[1] > 9.0
    assert chance.under(6000.0) < 0.1
    assert chance.share[NOT_STOPPED] > 0.15


@given(angle=st.floats(25.0, 85.0), more=st.floats(0.5, 10.0))
@settings(max_examples=25, deadline=None)
def test_steeper_is_never_stopped_better(angle: float, more: float) -> None:
    gentle, steep = (
        slip_chances(slab(angle_deg=min(degrees, 90.0)), TETHERS["rope lanyard"], ROCKS["dry"], MASS_KG, draw(200, 1))
        for degrees in (angle, angle + more)
    )
    for before, after in zip(gentle, steep, strict=True):
        assert after.longest_m >= before.longest_m - 1e-9
        assert after.under(6000.0) <= before.under(6000.0) + 1e-9


@given(low=st.floats(50.0, 90.0), more=st.floats(1.0, 40.0))
@settings(max_examples=25, deadline=None)
def test_a_heavier_party_is_never_stopped_softer(low: float, more: float) -> None:
    light, heavy = (
        slip_chances(slab(), TETHERS["rope lanyard"], ROCKS["wet"], (kg, kg), draw(200, 1))[0]
        for kg in (low, low + more)
    )
    assert heavy.hardest_N >= light.hardest_N * (1.0 - 1e-9)
    assert heavy.under(8000.0) <= light.under(8000.0) + 1e-9


def test_nothing_comes_down_on_an_anchor_at_the_head() -> None:
    """Just below the head with the connector as far ahead as it goes: it is under that anchor, and runs to 72 m."""
    line, sling = slab(LOWERED), TETHERS["one sling"]
    top = middling(place=0.1 / 96.0, slack=1.0, reach=1.0)
    slips = slips_of(line, sling, CASE_STOPS_HOLD, ROCKS["dry"], MASS_KG, top)
    assert slips.start_m[0] == pytest.approx(95.9)
    assert slips.taut_m[0] == pytest.approx(72.0 - sling.reach_m)


def test_a_slip_whose_tether_breaks_counts_as_longer_than_a_body() -> None:
    """0.7 m of slide on ice breaks the sling's connector: what is left to slide is the whole slab."""
    line, sling, rock = slab(), TETHERS["one sling"], ROCKS["iced"]
    drawn = middling(place=1.0 - 48.2 / 96.0, mass=1.0, friction=0.0, stiffness=1.0)
    ends = slip_ends(line, sling, rock, CASE_STOPS_HOLD, MASS_KG, drawn)
    assert ENDS[int(ends.end[0])] == BREAKS
    assert ends.slide_m[0] < BODY_LENGTH_M
    assert slip_chances(line, sling, rock, MASS_KG, drawn)[0].body_share == 1.0


def test_a_short_steep_section_where_the_tether_gives_counts() -> None:
    """1.5 m of 80 deg just below where the tether comes taut, gentle again 2.5 m below: the stop is computed on it."""

    def hardest_N(middle_deg: float) -> float:
        line = build_line(
            state=RAISED,
            section_length_m=(10.0, 1.5, 12.5),
            section_angle_rad=tuple(math.radians(degrees) for degrees in (40.0, middle_deg, 40.0)),
            anchor_m=(0.0, 12.5, 24.0),
            stanchion_spacing_m=None,
            cables=1,
            cable_diameter_m=0.012,
        )
        drawn = middling(place=1.0 - 13.5 / 24.0)
        ends = slip_ends(line, TETHERS["rope lanyard"], ROCKS["dry"], CASE_STOPS_HOLD, MASS_KG, drawn)
        return float(ends.force_N[0])

    assert hardest_N(80.0) > 1.05 * hardest_N(40.0)


@pytest.mark.parametrize("name", ["one sling", "rope lanyard", "absorbing lanyard"])
def test_a_tether_drawn_short_stops_at_most_9_percent_harder_than_the_closed_form(name: str) -> None:
    """The audit has the whole reach; k = EA / L grows by 1 / 0.85 with the shortest, a force by its root at most."""
    line, tether, rock = slab(LOWERED), TETHERS[name], ROCKS["dry"]
    drawn = draw(1500, 2)
    for what, at in (("mass", 1.0), ("friction", 0.0), ("stiffness", 1.0), ("reach", 0.0), ("slack", 1.0)):
        drawn = drawn.fixed(what, at)
    (outcome,) = audit(line, tether, rock, MASS_KG[1], 6000.0)
    hardest_N = float(np.nanmax(slip_ends(line, tether, rock, CASE_STOPS_HOLD, MASS_KG, drawn).force_N))
    assert 1.0 < hardest_N / outcome.force_N[1] < math.sqrt(1.0 / REACH_SHARE[0]) < 1.09
