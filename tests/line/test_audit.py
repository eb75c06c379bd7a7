from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from handline.line.arrest import stopping_force_N
from handline.line.audit import (
    BODY_LENGTH_M,
    CASE_ANCHORS_ONLY,
    CASE_GRIPS,
    CASE_SLIPS,
    CASE_SLIPS_TO_STOP,
    CASE_STOPS_HOLD,
    NO_STOP_SHARE,
    audit,
    cases_of,
)
from handline.line.friction import ROCKS
from handline.line.geometry import build_line
from handline.line.tethers import HITCH_BITE_M, HITCH_SLACK_M, TETHERS
from handline.sources import source
from tests.line.lines import even_line, twin_line

DRY = ROCKS["dry"]


def test_free_travel_is_the_bay_and_twice_the_reach_at_worst() -> None:
    # By hand: d = x + r, and x is even over (0, s + r]: at worst s + 2 r, at the median (s + r) / 2 + r.
    line = even_line(60.0, 45.0, tuple(np.arange(0.0, 60.1, 3.0)))
    tether = TETHERS["one sling"]
    (outcome,) = audit(line, tether, DRY, 85.0, 6000.0)
    assert outcome.free_m[1] == pytest.approx(3.0 + 2 * tether.reach_m, abs=1e-9)
    assert outcome.free_m[0] == pytest.approx((3.0 + tether.reach_m) / 2 + tether.reach_m, abs=0.15)


def test_forces_are_the_closed_form_on_an_even_slope() -> None:
    line = even_line(60.0, 45.0, tuple(np.arange(0.0, 60.1, 3.0)))
    tether = TETHERS["one sling"]
    (outcome,) = audit(line, tether, DRY, 85.0, 6000.0)
    a = 9.80665 * (math.sin(math.pi / 4) - 0.45 * math.cos(math.pi / 4))
    worst = stopping_force_N(85.0, a, 85.0 * a * 4.2, tether.stiffness_N, tether.reach_m)
    assert outcome.force_N[1] == pytest.approx(float(worst), rel=1e-6)
    assert outcome.slide_m[1] == pytest.approx(4.2 + float(worst) * tether.reach_m / tether.stiffness_N, rel=1e-6)


def test_nothing_attached_goes_to_the_foot() -> None:
    (outcome,) = audit(twin_line(), TETHERS["none"], DRY, 85.0, 6000.0)
    assert outcome.reach_foot_share == 1.0
    assert outcome.slide_m[1] == pytest.approx(96.0)
    assert outcome.verdict == "no stop"
    assert outcome.stopped_share == 0.0
    assert math.isnan(outcome.force_N[1])


def test_where_friction_alone_holds_no_tether_stops_anything() -> None:
    """No slide, no force: that no number stands there is told by the share beside it."""
    for outcome in audit(even_line(60.0, 4.0, (0.0, 30.0, 60.0)), TETHERS["one sling"], DRY, 85.0, 6000.0):
        assert (outcome.stopped_share, outcome.slide_m, outcome.verdict) == (0.0, (0.0, 0.0), "holds")
        assert all(map(math.isnan, outcome.force_N))


def test_a_static_sling_is_called_out_even_raised() -> None:
    held, anchors_only = audit(twin_line(), TETHERS["one sling"], DRY, 85.0, 6000.0)
    assert (held.case, anchors_only.case) == (CASE_STOPS_HOLD, CASE_ANCHORS_ONLY)
    assert held.force_N[0] > 12000.0
    assert held.verdict == "breaks"
    assert "rope_ceiling" in held.over_limits
    assert anchors_only.verdict == "no stop"


def test_lowered_a_running_connector_runs_to_the_next_anchor() -> None:
    (outcome,) = audit(twin_line("lowered"), TETHERS["two slings"], DRY, 85.0, 6000.0)
    assert outcome.free_m[1] == pytest.approx(24.0 + 2 * 0.6, abs=1e-9)
    # The lowest of four bays ends on the ground: 24.6 m of slips out of 4 x 24.6 m.
    assert outcome.reach_foot_share == pytest.approx(0.25, abs=0.005)
    assert outcome.foot_from_m == pytest.approx(24.6)
    assert outcome.stopped_share == pytest.approx(0.75, abs=0.005)
    assert outcome.verdict == "no stop"


def test_an_absorber_keeps_its_ceiling_while_stops_are_near() -> None:
    held, _ = audit(twin_line(), TETHERS["absorbing lanyard"], DRY, 85.0, 6000.0)
    assert held.force_N[1] == 6000.0
    assert held.verdict == "holds"


def test_a_hitch_is_always_shown_twice() -> None:
    for state in ("raised", "lowered"):
        grips, slips = audit(twin_line(state), TETHERS["friction hitch"], DRY, 85.0, 6000.0)
        assert (grips.case, slips.case) == (CASE_GRIPS, CASE_SLIPS)
        assert grips.slide_m[1] < 2.0 < slips.slide_m[1]


def test_a_hitch_that_grips_is_the_closed_form() -> None:
    grips, _ = audit(even_line(60.0, 45.0, (0.0, 60.0)), TETHERS["friction hitch"], DRY, 85.0, 6000.0)
    a = 9.80665 * (math.sin(math.pi / 4) - 0.45 * math.cos(math.pi / 4))
    assert grips.force_N[1] == pytest.approx(float(stopping_force_N(85.0, a, 85.0 * a * 1.7, 80e3, 0.8)), rel=1e-6)


@pytest.mark.parametrize("name", list(TETHERS))
@pytest.mark.parametrize("state", ["raised", "lowered"])
def test_slicker_rock_never_slides_less(name: str, state: str) -> None:
    line, tether = twin_line(state), TETHERS[name]
    rows = [audit(line, tether, rock, 85.0, 6000.0) for rock in ROCKS.values()]
    for drier, slicker in itertools.pairwise(rows):
        for one, other in zip(drier, slicker, strict=True):
            assert other.free_m[1] >= one.free_m[1] - 1e-9
            if not math.isnan(one.force_N[1]):
                assert other.force_N[1] >= one.force_N[1] - 1e-6


def test_on_rock_that_holds_nothing_slides() -> None:
    for outcome in audit(even_line(30.0, 20.0, (0.0, 30.0)), TETHERS["one sling"], DRY, 85.0, 6000.0):
        assert outcome.slide_m == (0.0, 0.0)
        assert outcome.verdict == "holds"


def test_stops_about_ten_feet_apart_give_slides_of_ten_to_fifteen_feet() -> None:
    # Common practice, no source: a short tether on stanchions about 10 ft apart.
    foot = 0.3048
    line = even_line(400 * foot, 45.0, tuple(np.arange(0.0, 400.1, 10.0) * foot))
    (outcome,) = audit(line, TETHERS["one sling"], DRY, 80.0, 6000.0)
    assert 10 * foot <= outcome.slide_m[1] <= 15 * foot


def test_every_tether_has_cases_and_a_source() -> None:
    for tether in TETHERS.values():
        assert cases_of(tether, twin_line())
        assert source(tether.source).title


def test_stiffness_and_reach_of_the_registry() -> None:
    # HMPE sling 161 kN (16.7 kN test turned round), PA 55 to 80 kN from memory, of which the stiff end.
    assert TETHERS["one sling"].stiffness_N == TETHERS["two slings"].stiffness_N == 161e3
    assert TETHERS["friction hitch"].stiffness_N == TETHERS["absorbing lanyard"].stiffness_N == 80e3
    assert [part.force_N for part in TETHERS["one sling"].parts] == [11e3, 7e3, 15e3]
    assert [part.force_N for part in TETHERS["rope lanyard"].parts] == pytest.approx([17.6e3, 7e3, 15e3])
    assert TETHERS["friction hitch"].weakest.force_N == 7.2e3
    assert TETHERS["absorbing lanyard"].weakest.force_N == 12e3


def test_rope_stiffness_is_the_standard_equation_turned_round() -> None:
    # EN 892: 80 kg, fall factor 1.77 (4.6 m on 2.6 m); a rope rated 10 kN.
    force = stopping_force_N(80.0, 9.80665, 80.0 * 9.80665 * 4.6 / 2.6, TETHERS["rope lanyard"].stiffness_N, 1.0)
    assert float(force) == pytest.approx(10_000.0, abs=10.0)
    assert TETHERS["rope lanyard"].stiffness_N == 30.4e3


def test_friction_that_ends_a_long_slide_is_no_tether_that_holds() -> None:
    """50 m of 45 deg above 82 m of 10 deg: a slip from the top ends on the flat part, far from any stop."""
    line = build_line(
        state="raised",
        section_length_m=(82.0, 50.0),
        section_angle_rad=(math.radians(10.0), math.radians(45.0)),
        anchor_m=(0.0, 132.0),
        stanchion_spacing_m=None,
        cables=1,
        cable_diameter_m=0.012,
    )
    for name in ("none", "two slings"):
        (outcome,) = audit(line, TETHERS[name], DRY, 85.0, 6000.0)
        assert outcome.verdict == "no stop"
        assert outcome.reach_foot_share == 0.0
        # The fastest is at the bend: sqrt(2 x 9.80665 (sin 45 - 0.45 cos 45) x 50) = 19.53 m/s.
        assert outcome.speed_m_s[1] == pytest.approx(19.53, abs=0.15)


def test_an_absorber_that_reaches_the_ground_while_it_gives_is_no_stop_there() -> None:
    """40 m at 60 deg, wet: taut 2.1 m above the foot, and up to 2.2 m of absorber and the arm's stretch."""
    line = even_line(40.0, 60.0, (0.0, 3.0, 20.0, 40.0))
    (outcome,) = audit(line, TETHERS["absorbing lanyard"], ROCKS["wet"], 85.0, 6000.0)
    assert outcome.foot_from_m > 3.0 + 2 * 0.9
    assert outcome.uncaught_share > 0.10
    assert outcome.verdict == "no stop"


def test_a_wet_absorber_may_pull_harder() -> None:
    # EN 958:2017: 8 kN after an hour in water.
    dry, wet = (
        audit(twin_line(), TETHERS["absorbing lanyard"], ROCKS[rock], 85.0, 6000.0)[0] for rock in ("dry", "wet")
    )
    assert (dry.force_N[1], wet.force_N[1]) == (6000.0, 8000.0)
    assert (dry.verdict, wet.verdict) == ("holds", "hurts")


def test_numbers_of_our_own_are_what_the_docs_say() -> None:
    # Ours, no source: see docs/methods.md.
    assert (BODY_LENGTH_M, NO_STOP_SHARE) == (1.8, 0.10)
    assert (HITCH_SLACK_M, HITCH_BITE_M) == (0.3, 0.1)
    assert [tether.changeover_s for tether in TETHERS.values()] == [
        0.0,
        6.0,
        10.0,
        10.0,
        10.0,
        25.0,
        50.0,
        31.0,
        25.0,
        10.0,
    ]
    assert [tether.reach_m for tether in TETHERS.values()] == [0.0, 0.6, 0.6, 0.8, 0.9, 0.8, 0.8, 0.8, 0.8, 0.9]


def test_an_absorber_looks_at_the_steeper_slope_it_gives_into() -> None:
    """Taut just above a bend from 30 to 60 deg: the stop is computed on the 60 deg that it runs into."""
    line = build_line(
        state="raised",
        section_length_m=(10.0, 10.0),
        section_angle_rad=(math.radians(60.0), math.radians(30.0)),
        anchor_m=(0.0, 11.0, 20.0),
        stanchion_spacing_m=None,
        cables=1,
        cable_diameter_m=0.012,
    )
    gentle = even_line(20.0, 30.0, (0.0, 11.0, 20.0))
    bent, even = (audit(way, TETHERS["rope lanyard"], DRY, 85.0, 6000.0)[0] for way in (line, gentle))
    assert bent.force_N[1] > even.force_N[1]


@pytest.mark.parametrize("state", ["raised", "lowered"])
def test_behind_a_hitch_that_slips_the_backup_acts(state: str) -> None:
    line = twin_line(state)
    backed = TETHERS["hitch with backup"]
    rows = {row.case: row for row in audit(line, backed, DRY, 85.0, 6000.0)}
    alone = {row.case: row for row in audit(line, TETHERS["one sling"], DRY, 85.0, 6000.0)}
    bare = {row.case: row for row in audit(line, TETHERS["friction hitch"], DRY, 85.0, 6000.0)}
    assert rows[CASE_GRIPS].force_N == bare[CASE_GRIPS].force_N
    only_anchors = alone[CASE_ANCHORS_ONLY] if state == "raised" else alone[CASE_STOPS_HOLD]
    for case, same in ((CASE_SLIPS, only_anchors), (CASE_SLIPS_TO_STOP, alone[CASE_STOPS_HOLD])):
        if case in rows:
            assert (rows[case].force_N, rows[case].slide_m) == (same.force_N, same.slide_m)
            assert rows[case].part_breaks == same.part_breaks
    assert (CASE_SLIPS_TO_STOP in rows) == (state == "raised")


def test_an_autoblock_is_counted_as_running_free() -> None:
    """A brake is never shown as gripping: it slides as far as one running connector of the same reach."""
    brake = TETHERS["autoblock hitch"]
    rows = audit(twin_line("lowered"), brake, DRY, 85.0, 6000.0)
    connector = audit(twin_line("lowered"), replace(TETHERS["one sling"], reach_m=0.8), DRY, 85.0, 6000.0)
    assert [row.case for row in rows] == [CASE_STOPS_HOLD]
    assert rows[0].free_m == connector[0].free_m
    assert rows[0].verdict == "no stop"
