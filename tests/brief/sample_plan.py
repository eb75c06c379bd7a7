"""An invented Plan for the tests of the brief: plausible numbers of no real place, made up here, computed by nobody."""

from __future__ import annotations

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
from handline.day.plan_pace import MemberPace, ModelTime, PaceFactor, PacePlan
from tests.brief.sample_chances import sample_chances
from tests.brief.sample_crowd import sample_crowd
from tests.brief.sample_field import sample_field
from tests.brief.sample_line import sample_line
from tests.brief.sample_load import sample_way
from tests.brief.sample_map import along_deg, sample_map
from tests.brief.sample_permits import sample_permits
from tests.brief.sample_weather import sample_light, sample_sky, sample_storm, sample_weather

HOUR_S = 3600.0
NORMAL = (-1.645, -1.282, -0.674, 0.0, 0.674, 1.282, 1.645)

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


def _decision() -> Decision:
    return Decision(
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
    )


def _findings() -> tuple[Finding, ...]:
    return (
        Finding("stop", "storm", "Off the line before a storm on 78 % of days; you want 90 %.",
                "Half the days reach the foot again by 14:12; storms double between 13:00 and 15:00.", "ours"),
        Finding("heed", "stanchion", "A stanchion in a socket is no rated anchor: its holding force is not typed.",
                "Each running tether is shown twice: if the stop holds, and if stanchions give way.",
                "common practice, no source"),
        Finding("heed", "dark", "About 35 minutes of the day are walked in the dark: carry a light each."),
        Finding("note", "permit", "The line permit is checked at Lower Step."),
    )  # fmt: skip


def _chances() -> tuple[Chance, ...]:
    return (
        Chance("storm", "off the line before a storm", 0.78, 0.004, 0.90),
        Chance("home_by", "home by 21:30", 0.965, 0.002, 0.90),
        Chance("body_force", "a slip on the chosen tether stays under 6 kN, if the stop holds", 1.0, 0.0, 0.90),
    )


def _route() -> RouteSummary:
    return RouteSummary(11000.0, 1492.0, 106.0, 1911.0, 5.0, 1262.0, 2648.0, 46.62, -113.41,
                        tuple(place[2] for place in PLACES), tuple(place[3] for place in PLACES),
                        ("two points without a height were filled from their neighbours",
                         "climb counted with a dead band of 5 m; the raw sum is 28 % larger"),
                        tuple(along_deg(place[2])[0] for place in PLACES),
                        tuple(along_deg(place[2])[1] for place in PLACES),
                        tuple(place[3] for place in PLACES), 5.0)  # fmt: skip


def _pace() -> PacePlan:
    return PacePlan(
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
    )  # fmt: skip


def _models() -> tuple[ModelTime, ...]:
    return (
        ModelTime("sullivan_2020", "Loaded crews on trails (Sullivan 2020, moderate)", 0.4, 27000.0, 0.0,
                  "P. Sullivan et al., Fire 3(3) 52, 2020"),
        ModelTime("tobler_1993", "Hiking function (Tobler 1993)", 0.2, 24800.0, 320.0,
                  "W. Tobler, NCGIA Technical Report 93-1, 1993"),
        ModelTime("din_33466", "Signposted trails (DIN 33466)", 0.4, 31500.0, 0.0, "DIN 33466:2004"),
    )  # fmt: skip


def _contacts() -> ContactsPlan:
    return ContactsPlan(
        leader="Wren, 555 0101",
        waiting="Rowan, 555 0102",
        call=("Quill River rescue, 555 0199",),
        car="green van, plate 7-2141, at Larch Landing",
        names=(),
        overdue_clock_s=23.5 * HOUR_S,
        overdue_says="Nine days in ten are home by 21:20; 2 h 00 min are added, up to the next quarter hour.",
        home_by_clock_s=None,
        later_home_clock_s=None,
    )


def _assumptions() -> tuple[Assumption, ...]:
    return (
        Assumption("friction of boots on dry rock", "0.8", "from memory", "line.friction"),
        Assumption("time for one changeover", "8 s", "common practice, no source", "tethers.changeover"),
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
        decision=_decision(),
        findings=_findings(),
        chances=_chances(),
        route=_route(),
        legs=_legs(timetable),
        timetable=timetable,
        turned=sample_chances(),
        light=sample_light(),
        sky=sample_sky(),
        weather=sample_weather(),
        storm=sample_storm(),
        line=sample_line(),
        crowd=sample_crowd(),
        pace=_pace(),
        load=sample_way(night=False),
        models=_models(),
        permits=sample_permits(),
        permits_together=None,
        contacts=_contacts(),
        field=sample_field(timetable),
        map=sample_map(),
        assumptions=_assumptions(),
        cautions=(
            "The land manager's rules, local codes and the makers' instructions come before this page.",
            "This page is not a replacement for a qualified guide.",
        ),
        provenance=Provenance("0.1.0", 1, 10000, "trip.toml", "9f2c" * 16),
    )
