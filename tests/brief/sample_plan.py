"""An invented Plan for the tests of the brief: plausible numbers of no real place, made up here, computed by nobody."""

from __future__ import annotations

import math
from itertools import pairwise

from handline.day.plan import (
    PROBABILITIES,
    Assumption,
    Chance,
    Decision,
    Finding,
    LegTime,
    Passing,
    Plan,
    Provenance,
    RouteSummary,
    Way,
)
from handline.day.plan_contacts import ContactsPlan
from handline.day.plan_line import Limit, LinePlan, TetherRow
from handline.day.plan_pace import MemberPace, ModelTime, PaceFactor, PacePlan
from handline.line.audit import Outcome
from handline.line.footing import BayPull
from handline.line.friction import ROCKS as ROCK_STATES
from handline.line.grip import GLOVES, hand_load
from tests.brief.sample_chances import sample_chances
from tests.brief.sample_crowd import sample_crowd
from tests.brief.sample_field import sample_field
from tests.brief.sample_load import sample_way
from tests.brief.sample_map import along_deg, sample_map
from tests.brief.sample_permits import sample_permits
from tests.brief.sample_weather import sample_light, sample_sky, sample_storm, sample_weather

HOUR_S = 3600.0
NORMAL = (-1.645, -1.282, -0.674, 0.0, 0.674, 1.282, 1.645)
ROCKS = ("dry", "damp", "wet", "iced")
ANCHORS_M = (0.0, 24.0, 48.0, 72.0, 96.0)
SECTION_LENGTH_M = (18.0, 24.0, 30.0, 24.0)
SECTION_ANGLE_RAD = tuple(math.radians(angle) for angle in (34.0, 41.0, 49.0, 43.0))

# name, kind, metres one way, elevation, median arrival up and down [h], stop [min], latest arrival up and down [h]
PLACES = (
    ("Larch Landing", "trailhead", 0.0, 1262.0, 4.0, 19.4, 0, 5.4, 21.5),
    ("Quill River bridge", "water", 3400.0, 1490.0, 5.45, 18.1, 15, 6.7, 20.2),
    ("Aldermere Camp", "camp", 6100.0, 1790.0, 7.0, 16.9, 10, 8.1, 18.9),
    ("Lower Step", "permit_check", 9700.0, 2390.0, 9.75, 14.9, 5, 10.6, 16.6),
    ("Foot of the cables", "line_foot", 10550.0, 2521.0, 10.5, 14.2, 10, 11.3, 14.9),
    ("Head of the cables", "line_head", 10630.0, 2585.0, 11.9, 13.1, 0, 12.5, 13.7),
    ("Tamsin summit", "summit", 11000.0, 2648.0, 12.2, 0.0, 30, 12.7, 0.0),
)


def _arrive(median_h: float) -> tuple[float, ...]:
    spread_s = 0.07 * (median_h - 4.0) * HOUR_S
    return tuple(median_h * HOUR_S + z * spread_s for z in NORMAL)


def _passing(place: tuple[str, str, float, float, float, float, float, float, float], way: Way) -> Passing:
    name, kind, distance_m, elevation_m, up_h, down_h, stop_min, latest_up_h, latest_down_h = place
    latitude_deg, longitude_deg = along_deg(distance_m)
    return Passing(
        name=name,
        kind=kind,
        way=way,
        distance_m=distance_m,
        elevation_m=elevation_m,
        arrive_clock_s=_arrive(up_h if way == "up" else down_h),
        stop_s=0.0 if way == "down" and kind == "trailhead" else stop_min * 60.0,
        latest_clock_s=(latest_up_h if way == "up" else latest_down_h) * HOUR_S,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
    )


def _timetable() -> tuple[Passing, ...]:
    up = tuple(_passing(place, "up") for place in PLACES)
    down = tuple(_passing(place, "down") for place in reversed(PLACES[:-1]))
    return up + down


def _legs(timetable: tuple[Passing, ...]) -> tuple[LegTime, ...]:
    legs = []
    for here, there in pairwise(timetable):
        climb_m = there.elevation_m - here.elevation_m
        median_s = there.arrive_clock_s[3] - here.arrive_clock_s[3] - here.stop_s
        legs.append(
            LegTime(
                start=here.name,
                end=there.name,
                way=there.way,
                length_m=abs(there.distance_m - here.distance_m),
                up_m=max(0.0, climb_m) + 12.0,
                down_m=max(0.0, -climb_m) + 12.0,
                is_line={here.kind, there.kind} == {"line_foot", "line_head"},
                time_s=(0.85 * median_s, median_s, 1.25 * median_s),
                factors=(("load", 1.07), ("altitude", 1.001)),
                slowest="" if here.kind == "line_foot" else "Tove",
                slowest_share=0.42,
            )
        )
    return tuple(legs)


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
                  "Hang your weight on it near the foot, where a slip does no harm.",
                  0.8, 9800.0, "7 mm cord, EN 564", 39, 20.0, 780.0,
                  (_outcome("gripping hitch", "the hitch grips", 71.9, (0.5, 1.9), (3.2, 7.3), "hurts", body[:1]),
                   _outcome("gripping hitch", "the hitch slips", 96.0, (48.0, 96.0), (nan, nan), "no stop", (), 1.0))),
    )  # fmt: skip


def _line() -> LinePlan:
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


def sample_plan() -> Plan:
    """The invented Plan: six tethers, four rock states, forty stops, thirteen passings."""
    timetable = _timetable()
    assert all(len(passing.arrive_clock_s) == len(PROBABILITIES) for passing in timetable)
    return Plan(
        name="Tamsin Dome in one push",
        date="2027-07-17",
        units="us",
        paper="letter",
        timezone="America/Denver",
        zone="America/Denver",
        party_size=6,
        wanted_chance=0.90,
        decision=Decision(
            level="stop",
            headline="Do not go like this: leave by 02:50, not 04:00.",
            why="Leaving at 04:00, 78 % of days have the party off the line before a storm; 90 % is wanted.",
            start_clock_s=4.0 * HOUR_S,
            leave_by_clock_s=2.0 * HOUR_S + 3000.0,
            turn_back_at="Foot of the cables",
            turn_back_clock_s=11.3 * HOUR_S,
            top_at="Tamsin summit",
            top_clock_s=12.7 * HOUR_S,
            tether_sentence="Absorbing lanyard: a slip stops near 5 kN if the post holds, over 8 kN if posts give way.",
        ),
        findings=(
            Finding("stop", "storm", "Off the line before a storm on 78 % of days; you want 90 %.",
                    "Half the days reach the foot again by 14:12; storms double between 13:00 and 15:00.", "ours"),
            Finding("heed", "stanchion", "A stanchion in a socket is no rated anchor: its holding force is not typed.",
                    "Each running tether is shown twice: if the stop holds, and if stanchions give way.",
                    "common practice, no source"),
            Finding("heed", "dark", "About 35 minutes of the day are walked in the dark: carry a light each."),
            Finding("note", "permit", "The line permit is checked at Lower Step."),
        ),
        chances=(
            Chance("storm", "off the line before a storm", 0.78, 0.004, 0.90),
            Chance("home_by", "home by 21:30", 0.965, 0.002, 0.90),
            Chance("body_force", "a slip on the chosen tether stays under 6 kN, if the stop holds", 1.0, 0.0, 0.90),
        ),
        route=RouteSummary(11000.0, 1492.0, 106.0, 1911.0, 5.0, 1262.0, 2648.0, 46.62, -113.41,
                           tuple(place[2] for place in PLACES), tuple(place[3] for place in PLACES),
                           ("two points without a height were filled from their neighbours",
                            "climb counted with a dead band of 5 m; the raw sum is 28 % larger"),
                           tuple(along_deg(place[2])[0] for place in PLACES),
                           tuple(along_deg(place[2])[1] for place in PLACES),
                           tuple(place[3] for place in PLACES), 5.0),
        legs=_legs(timetable),
        timetable=timetable,
        turned=sample_chances(),
        light=sample_light(),
        sky=sample_sky(),
        weather=sample_weather(),
        storm=sample_storm(),
        line=_line(),
        crowd=sample_crowd(),
        pace=PacePlan(
            base_s=26000.0,
            base_says="on a good path without a pack",
            factors=(
                PaceFactor("load", "Packs", True, 1.03, 1.09, 1500.0, "packs up to 13 % of body mass",
                           "D. Looney et al., 2022", "party.factors.load"),
                PaceFactor("altitude", "Thin air", False, 1.0, 1.0, 0.0, "up to 8,688 ft", "Wehrlin and Hallen, 2006",
                           "party.factors.altitude"),
                PaceFactor("snow", "Snow", True, 1.0, 1.0, 0.0, "none typed", "from memory", "party.factors.snow"),
            ),
            members=(
                MemberPace("Tove", 1, 58.0, 8.0, "own pace: 1.10 times Tobler 1993, on a path", 0.09, 30000.0, 0.7),
                MemberPace("one of 5: Bram, Ilse, Neve ...", 5, 60.0, 8.0, "pace not known", 0.12, 28000.0, 0.3),
            ),
            day_s=(40000.0, 46000.0, 58000.0),
        ),
        load=sample_way(night=False),
        models=(
            ModelTime("sullivan_2020", "Loaded crews on trails (Sullivan 2020, moderate)", 0.4, 27000.0, 0.0,
                      "P. Sullivan et al., Fire 3(3) 52, 2020"),
            ModelTime("tobler_1993", "Hiking function (Tobler 1993)", 0.2, 24800.0, 320.0,
                      "W. Tobler, NCGIA Technical Report 93-1, 1993"),
            ModelTime("din_33466", "Signposted trails (DIN 33466)", 0.4, 31500.0, 0.0, "DIN 33466:2004"),
        ),
        permits=sample_permits(),
        permits_together=None,
        contacts=ContactsPlan(
            leader="Wren, 555 0101",
            waiting="Rowan, 555 0102",
            call=("Quill River rescue, 555 0199",),
            car="green van, plate 7-2141, at Larch Landing",
            names=(),
            overdue_clock_s=23.5 * HOUR_S,
            overdue_says="Nine days in ten are home by 21:20; 2 h 00 min are added.",
        ),
        field=sample_field(timetable),
        map=sample_map(),
        assumptions=(
            Assumption("friction of boots on dry rock", "0.8", "from memory", "line.friction"),
            Assumption("time for one changeover", "8 s", "common practice, no source", "tethers.changeover"),
        ),
        cautions=(
            "The land manager's rules, local codes and the makers' instructions come before this page.",
            "This page is not a replacement for a qualified guide.",
        ),
        provenance=Provenance("0.1.0", 1, 10000, "trip.toml", "9f2c" * 16),
    )  # fmt: skip
