"""The invented line of the sample Plan and its tethers: numbers made up, of no real place, computed by nobody."""

from __future__ import annotations

import math
from itertools import pairwise

from handline.day.plan_line import Limit, LinePlan, TetherRow
from handline.line.audit import Outcome
from handline.line.footing import BayPull
from handline.line.friction import ROCKS as ROCK_STATES
from handline.line.grip import GLOVES, hand_load

ROCKS = ("dry", "damp", "wet", "iced")
ANCHORS_M = (0.0, 24.0, 48.0, 72.0, 96.0)
SECTION_LENGTH_M = (18.0, 24.0, 30.0, 24.0)
SECTION_ANGLE_RAD = tuple(math.radians(angle) for angle in (34.0, 41.0, 49.0, 43.0))


def _stops() -> tuple[tuple[float, ...], tuple[bool, ...]]:
    stanchions = [round(2.7 * count, 2) for count in range(1, 36) if 2.7 * count < 96.0]
    placed = sorted([(at, True) for at in ANCHORS_M] + [(at, False) for at in stanchions if at not in ANCHORS_M])
    return tuple(at for at, _ in placed), tuple(is_anchor for _, is_anchor in placed)


def _bays(stop_m: tuple[float, ...]) -> tuple[BayPull, ...]:
    bays = []
    for start_m, end_m in pairwise(stop_m):
        middle_m, foot_m, angle_rad = (start_m + end_m) / 2, 0.0, SECTION_ANGLE_RAD[-1]
        for length_m, section_rad in zip(SECTION_LENGTH_M, SECTION_ANGLE_RAD, strict=True):
            if foot_m <= middle_m < foot_m + length_m:
                angle_rad = section_rad
            foot_m += length_m
        shares = tuple(
            max(0.0, math.sin(angle_rad) - friction * math.cos(angle_rad)) for friction in (0.8, 0.6, 0.5, 0.1)
        )
        pulls_N = tuple(share * 831.8 for share in shares)
        hands = tuple(
            hand_load(pull_N, GLOVES["leather"], rock)
            for pull_N, rock in zip(pulls_N, ROCK_STATES.values(), strict=True)
        )
        bays.append(BayPull(start_m, end_m, angle_rad, pulls_N, shares, hands, hands))
    return tuple(bays)


def _outcome(tether: str, case: str, start_m: float, slide: tuple[float, float], force_kN: tuple[float, float],
             verdict: str, over: tuple[str, ...] = (), foot_share: float = 0.0) -> Outcome:  # fmt: skip
    return Outcome(
        tether=tether,
        rock="dry",
        case=case,
        free_m=(0.7 * slide[0], 0.8 * slide[1]),
        slide_m=slide,
        speed_m_s=(math.sqrt(6.0 * slide[0]), math.sqrt(6.0 * slide[1])),
        force_N=(force_kN[0] * 1000.0, force_kN[1] * 1000.0),
        reach_foot_share=foot_share,
        foot_from_m=96.0 * foot_share,
        uncaught_share=foot_share,
        stopped_share=0.0 if math.isnan(force_kN[0]) else 1.0 - foot_share,
        start_m=start_m,
        end_m=start_m - slide[1],
        over_limits=over,
        part_breaks=verdict == "breaks",
        verdict=verdict,
    )


def _tethers() -> tuple[TetherRow, ...]:
    nan = math.nan
    body = ("absorber", "harness_law", "rope_ceiling")
    return (
        TetherRow("absorbing lanyard", "Absorbing lanyard, two arms", True,
                  "A slip runs to the next post below and the absorber stops you near 5 kN, if the post holds.",
                  "If a stanchion lifts out, the slide goes on, up to 88 ft, and stops at up to 9.7 kN.",
                  0.9, 15000.0, "arm, EN 958", 39, 8.0, 0.0,
                  (_outcome("absorbing lanyard", "every stop holds", 72.0, (3.1, 5.6), (4.4, 5.6), "holds"),
                   _outcome("absorbing lanyard", "only the anchors hold", 71.9, (14.0, 26.8), (5.4, 9.7), "hurts",
                            body[:2]))),
        TetherRow("nothing", "Hands only", False,
                  "Nothing stops a slip: from anywhere on the line you slide to its foot.",
                  "",
                  0.0, nan, "", 0, 0.0, 0.0,
                  (_outcome("nothing", "nothing holds", 96.0, (48.0, 96.0), (nan, nan), "no stop", (), 1.0),)),
        TetherRow("sling", "One sewn sling and one connector", False,
                  "It looks like protection, but even raised a short stiff sling stops you above 12 kN.",
                  "If a stanchion lifts out, the sling is asked for up to 48.1 kN.",
                  0.6, 22000.0, "sling, EN 566", 39, 6.0, 234.0,
                  (_outcome("sling", "every stop holds", 72.0, (1.95, 3.9), (13.9, 20.7), "hurts", body),
                   _outcome("sling", "only the anchors hold", 71.8, (13.0, 25.2), (35.0, 48.1), "breaks", body))),
        TetherRow("two slings", "Two sewn slings, never unclipped together", False,
                  "You are never untied, but a slip still stops you above 12 kN.",
                  "If a stanchion lifts out, the sling is asked for up to 48.1 kN.",
                  0.6, 22000.0, "sling, EN 566", 39, 9.0, 0.0,
                  (_outcome("two slings", "every stop holds", 72.0, (1.95, 3.9), (13.9, 20.7), "hurts", body),
                   _outcome("two slings", "only the anchors hold", 71.9, (13.0, 25.2), (35.0, 48.1), "breaks", body))),
        TetherRow("rope lanyard", "Dynamic-rope lanyard, two arms", False,
                  "Softer than a sling: a slip stops you between 7 and 10 kN, if the post holds.",
                  "If a stanchion lifts out, the slide goes on to the next anchor.",
                  0.8, 22000.0, "connector along its spine, EN 12275 B", 39, 9.0, 0.0,
                  (_outcome("rope lanyard", "every stop holds", 72.0, (2.6, 4.7), (6.7, 9.8), "hurts", body[:2]),
                   _outcome("rope lanyard", "only the anchors hold", 71.9, (13.8, 26.0), (15.2, 22.4), "breaks",
                            body))),
        TetherRow("gripping hitch", "Gripping hitch on the cable", False,
                  "No published test says that a cord hitch grips bare steel cable; if it slips, nothing stops you.",
                  "Hang your weight on it near the foot, where the ground is right under your feet.",
                  0.8, 9800.0, "7 mm cord, EN 564", 39, 20.0, 780.0,
                  (_outcome("gripping hitch", "the hitch grips", 71.9, (0.5, 1.9), (3.2, 7.3), "hurts", body[:1]),
                   _outcome("gripping hitch", "the hitch slips", 96.0, (48.0, 96.0), (nan, nan), "no stop", (), 1.0))),
    )  # fmt: skip


def sample_line() -> LinePlan:
    """The invented line: six tethers, four rock states, forty stops."""
    stop_m, stop_is_anchor = _stops()
    return LinePlan(
        name="the Tamsin line",
        state="raised",
        state_says="raised from 12 June to 26 September 2027",
        rock="dry",
        rocks=ROCKS,
        length_m=96.0,
        height_m=64.8,
        cables=2,
        cable_diameter_m=0.016,
        section_length_m=SECTION_LENGTH_M,
        section_angle_rad=SECTION_ANGLE_RAD,
        stop_m=stop_m,
        stop_is_anchor=stop_is_anchor,
        body_mass_kg=84.8,
        body_force_N=6000.0,
        bays=_bays(stop_m),
        passage_up_s=(1500.0, 1980.0, 2700.0),
        passage_down_s=(1400.0, 1860.0, 2520.0),
        wait_up_s=(300.0, 1500.0, 4200.0),
        wait_down_s=(60.0, 600.0, 2400.0),
        tethers=_tethers(),
        limits=(
            Limit("comfort", "body", "comfort of the body", 4000.0, "from memory"),
            Limit("absorber", "body", "energy absorbers", 6000.0, "EN 355:2002; EN 958:2017"),
            Limit("harness_law", "body", "body harness, US law", 8000.0, "29 CFR 1926.502(d)(16)"),
            Limit("rope_ceiling", "body", "ceiling for dynamic rope", 12000.0, "EN 892"),
            Limit("sling", "part", "sewn sling", 22000.0, "EN 566"),
        ),
    )
