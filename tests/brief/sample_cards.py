"""Plans that are hard to print, made of the sample plan: a night out, no latest time, long trips, odd names."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from handline.day.plan import Passing, Plan
from tests.brief.sample_load import sample_way
from tests.brief.sample_plan import sample_plan

HOUR_S = 3600.0
ODD_NAME = """#panic("x") ] [ $ \\ " ' *b* _i_ `c` <l> @r // /* {{x}} {% y %} &lt; é"""
WIDE = "W" * 79
LONG_LINE = "M" * 120


def night_plan() -> Plan:
    """Set out at 13:00 the day before, asleep at the camp, on at 04:00; in SI."""
    plan = sample_plan()
    timetable = [
        replace(
            row,
            arrive_clock_s=tuple(clock_s - 15.0 * HOUR_S for clock_s in row.arrive_clock_s),
            latest_clock_s=row.latest_clock_s - 10.0 * HOUR_S,
        )
        if i < 3 and row.latest_clock_s is not None
        else row
        for i, row in enumerate(plan.timetable)
    ]
    timetable[2] = replace(timetable[2], sleeps_until_clock_s=4.0 * HOUR_S, leave_by_clock_s=4.5 * HOUR_S)
    return replace(
        plan,
        units="si",
        paper="a4",
        decision=replace(plan.decision, night_at="Aldermere Camp", set_out_clock_s=-11.0 * HOUR_S),
        timetable=tuple(timetable),
        load=sample_way(night=True),
    )


def timeless_plan() -> Plan:
    """No time meets the limits anywhere."""
    plan = sample_plan()
    return replace(
        plan,
        decision=replace(plan.decision, leave_by_clock_s=None, turn_back_clock_s=None, top_clock_s=None),
        timetable=tuple(
            replace(row, latest_clock_s=None, latest_says="no time meets the limits") for row in plan.timetable
        ),
    )


def long_plan(between: int = 2) -> Plan:
    """So many more places between any two, of no kind."""
    plan = sample_plan()
    timetable = [plan.timetable[0]]
    for before, after in pairwise(plan.timetable):
        timetable += [_between(before, after, (i + 1) / (between + 1)) for i in range(between)]
        timetable.append(after)
    legs = tuple(
        replace(plan.legs[0], start=here.name, end=there.name, way=there.way) for here, there in pairwise(timetable)
    )
    return replace(plan, timetable=tuple(timetable), legs=legs)


def _between(before: Passing, after: Passing, share: float) -> Passing:
    def mix(one: float, other: float) -> float:
        return one + share * (other - one)

    elevation_m = mix(before.elevation_m, after.elevation_m)
    assert before.latest_clock_s is not None
    assert after.latest_clock_s is not None
    return Passing(
        name=f"A knoll at {elevation_m:.0f} m",  # alike up and down, as one place
        kind="place",
        way=after.way,
        distance_m=mix(before.distance_m, after.distance_m),
        elevation_m=elevation_m,
        arrive_clock_s=tuple(mix(*clocks) for clocks in zip(before.arrive_clock_s, after.arrive_clock_s, strict=True)),
        stop_s=0.0,
        latest_clock_s=mix(before.latest_clock_s, after.latest_clock_s),
    )


def heavy_plan() -> Plan:
    """Thirty-seven passings, twelve tethers, eight permits, twenty findings."""
    plan = long_plan()
    tethers = plan.line.tethers
    own = tuple(
        replace(row, name=f"own {i}", title=f"{row.title}, own way {i}", chosen=False,
                sentence=f"It looks like protection and is not: way {i} breaks.")
        for i, row in enumerate(tethers)
    )  # fmt: skip
    permits = tuple(replace(plan.permits[i % 2], name=f"Permit of valley {i}") for i in range(8))
    findings = tuple(
        replace(plan.findings[0 if i < 2 else 1], key=f"finding {i}", sentence=f"Finding {i}: {'a long way, ' * 12}.")
        for i in range(20)
    )
    return replace(plan, line=replace(plan.line, tethers=tethers + own), permits=permits, findings=findings)


def wide_plan() -> Plan:
    """The heavy plan with the longest names a trip file takes, of the widest letters."""
    plan = heavy_plan()
    names = {name: f"{i:02}{WIDE}"[:80] for i, name in enumerate(dict.fromkeys(row.name for row in plan.timetable))}
    decision = plan.decision
    return replace(
        plan,
        name=WIDE,
        timetable=tuple(replace(row, name=names[row.name]) for row in plan.timetable),
        legs=tuple(replace(leg, start=names[leg.start], end=names[leg.end]) for leg in plan.legs),
        decision=replace(decision, turn_back_at=names[decision.turn_back_at], top_at=names[decision.top_at]),
        permits=tuple(replace(permit, name=WIDE, documents=(LONG_LINE,) * 20) for permit in plan.permits),
        contacts=replace(
            plan.contacts,
            leader=LONG_LINE,
            waiting=LONG_LINE,
            car=LONG_LINE,
            call=tuple(f"{i}{LONG_LINE}"[:120] for i in range(6)),
            names=(WIDE,) * 12,
        ),
    )
