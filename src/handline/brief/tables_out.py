"""Every table of a plan as a file for spreadsheets and scripts, in a folder of its own.

``about.csv`` says what the plan is, how columns are named, and what comes before any table.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any

from handline.brief.load_words import member_labels
from handline.brief.table_cells import Shape, Table, csv_of, spread, table
from handline.day.plan import PROBABILITIES, Assumption, Chance, Finding, LegTime, Passing, Permit, PermitDeadline, Plan
from handline.day.plan_chances import ChanceMoved, FailsFirstRow, SpreadPart
from handline.day.plan_crowd import CrowdWay, JoinCost
from handline.day.plan_line import Limit, TetherRow
from handline.day.plan_load import DryStretch, GearShown, HourNeed, LegEffort, MemberLoad, WaterStop
from handline.day.plan_pace import MemberPace, ModelTime, PaceFactor
from handline.day.plan_permits import PermitChance
from handline.day.plan_weather import Felt, PlaceSun, SlabHour, WeatherThere
from handline.line.audit import Outcome
from handline.line.footing import BayPull
from handline.line.grip import HandLoad

TABLES_FOLDER = "tables"

QUANTILES = tuple(f"p{100.0 * probability:02.0f}" for probability in PROBABILITIES)
"""The columns of a value over all simulated days: p05 is what one day in twenty stays under."""
_TEN_TO_NINETY = ("p10", "p50", "p90")
_GUESS = ("low", "centre", "high")
_SLIPS = ("typical", "worst")


def tables_of(plan: Plan) -> dict[str, bytes]:
    """Every table of a plan, by its name in the folder of the brief; a table without rows has its columns all the same.

    The same plan gives the same bytes.
    """
    return {f"{TABLES_FOLDER}/{name}.csv": csv_of(made(plan)) for name, made in TABLES.items()}


# --- the day -------------------------------------------------------------------------------------------------------


def _about(plan: Plan) -> Table:
    made, decision = plan.provenance, plan.decision
    rows: list[tuple[Any, ...]] = [
        ("trip", plan.name),
        ("date", plan.date),
        ("decision", f"{decision.level.upper()}: {decision.headline} {decision.why}"),
        ("party_size", plan.party_size),
        (
            "clock_times",
            f"*_clock_s is in seconds after midnight of the date, {plan.timezone}; a deadline's of its own",
        ),
        ("units", "SI: a column ends in its unit; share is from 0 to 1"),
        ("p05_to_p95", "what that many of 100 simulated days stay under or are there by"),
        ("low_centre_high", "best guess, and one standard deviation to both sides"),
        ("typical_worst", "median and maximum over the places where a slip may start"),
        ("error", "one standard error of the simulation alone"),
        ("empty_cell", "not known, none, or without an end"),
        ("apostrophe", "stands before text that a spreadsheet would take for a formula"),
        ("rock", f"{plan.line.rock} is what the line is judged by"),
        *(("caution", caution) for caution in plan.cautions),
        ("made_by", f"Handline {made.version}"),
        ("trip_file", made.trip_file),
        ("days", made.days),
        ("seed", made.seed),
        ("inputs_sha256", made.inputs_sha256),
        ("seen_from", made.today),
    ]
    return Table(("what", "says"), tuple(rows))


def _timetable(plan: Plan) -> Table:
    return table(Shape(Passing, {"arrive_clock_s": spread("arrive_{}_clock_s", QUANTILES)}), plan.timetable)


def _legs(plan: Plan) -> Table:
    """The legs, with a column for each factor of pace that any of them has."""
    legs = table(Shape(LegTime, {"time_s": spread("time_{}_s", _TEN_TO_NINETY)}, apart=("factors",)), plan.legs)
    keys = tuple(dict.fromkeys(key for leg in plan.legs for key, _ in leg.factors))
    factors = [tuple(dict(leg.factors).get(key) for key in keys) for leg in plan.legs]
    return Table(
        (*legs.columns, *spread("factor_{}", keys)),
        tuple((*row, *more) for row, more in zip(legs.rows, factors, strict=True)),
    )


def _starts(plan: Plan) -> Table:
    starts = plan.turned.starts
    rows = tuple(zip(starts.clock_s, starts.share, starts.error, strict=True))
    return Table(("start_clock_s", "share", "error"), rows)


def _rows(shape: Shape, items: Callable[[Plan], Sequence[Any]]) -> Callable[[Plan], Table]:
    return lambda plan: table(shape, items(plan))


# --- the line ------------------------------------------------------------------------------------------------------


def _slips(plan: Plan) -> Table:
    pairs = {
        name: spread(template, _SLIPS)
        for name, template in (
            ("free_m", "free_{}_m"),
            ("slide_m", "slide_{}_m"),
            ("speed_m_s", "speed_{}_m_s"),
            ("force_N", "force_{}_N"),
        )
    }
    return table(Shape(Outcome, pairs), [outcome for row in plan.line.tethers for outcome in row.outcomes])


def _bays(plan: Plan) -> Table:
    pulls = {
        "pull_N": spread("pull_{}_N", plan.line.rocks),
        "pull_body_weights": spread("pull_{}_body_weights", plan.line.rocks),
    }
    return table(Shape(BayPull, pulls, apart=("hands_up", "hands_down")), plan.line.bays)


def _hands(plan: Plan) -> Table:
    found = [
        (bay.start_m, bay.end_m, way, hands)
        for bay in plan.line.bays
        for way, loads in (("up", bay.hands_up), ("down", bay.hands_down))
        for hands in loads
    ]
    first: dict[str, Sequence[Any]] = {
        "start_m": [one[0] for one in found],
        "end_m": [one[1] for one in found],
        "way": [one[2] for one in found],
    }
    return table(Shape(HandLoad), [one[3] for one in found], first)


def _stops(plan: Plan) -> Table:
    return Table(("stop_m", "is_anchor"), tuple(zip(plan.line.stop_m, plan.line.stop_is_anchor, strict=True)))


def _crowd_hours(plan: Plan) -> Table:
    found: list[tuple[CrowdWay, JoinCost]] = [(way, hour) for way in plan.crowd.ways for hour in way.hours]
    first: dict[str, Sequence[Any]] = {"way": [way.way for way, _ in found], "place": [way.place for way, _ in found]}
    return table(Shape(JoinCost), [hour for _, hour in found], first)


# --- weather -------------------------------------------------------------------------------------------------------


def _weather_hours(plan: Plan) -> Table:
    several = {
        "temperature_C": spread("temperature_{}_C", _TEN_TO_NINETY),
        "wind_m_s": spread("wind_{}_m_s", _TEN_TO_NINETY),
        "rock_C": spread("rock_{}_C", _TEN_TO_NINETY),
        "rock_share": spread("rock_{}_share", plan.weather.rocks),
    }
    return table(Shape(SlabHour, several), plan.weather.hours)


_THERE = Shape(
    WeatherThere,
    {
        "clock_s": spread("{}_clock_s", _TEN_TO_NINETY),
        "temperature_C": spread("temperature_{}_C", _TEN_TO_NINETY),
        "wind_m_s": spread("wind_{}_m_s", _TEN_TO_NINETY),
    },
    {"felt": Shape(Felt)},
)


# --- packs and water -----------------------------------------------------------------------------------------------

_PACKS = Shape(
    MemberLoad,
    {"need_L": spread("need_{}_L", _GUESS), "energy_J": spread("energy_{}_J", _GUESS)},
    apart=("pack_kg", "need_by_hour", "legs"),
)


def _packs(plan: Plan) -> Table:
    return table(_PACKS, plan.load.members, {"member": member_labels(plan.load)})


def _packs_on_the_way(plan: Plan) -> Table:
    """The pack of each on coming to and on going from every passing."""
    load, rows = plan.load, []
    for label, member in zip(member_labels(load), load.members, strict=True):
        coming, going = member.pack_kg[::2], member.pack_kg[1::2]
        passings = zip(load.passings, load.distance_m[::2], coming, going, strict=True)
        rows += [(label, member.count, *passing) for passing in passings]
    return Table(("member", "count", "passing", "distance_m", "coming_kg", "going_kg"), tuple(rows))


def _by_member(shape: Shape, items: Callable[[MemberLoad], Sequence[Any]]) -> Callable[[Plan], Table]:
    def made(plan: Plan) -> Table:
        members = zip(member_labels(plan.load), plan.load.members, strict=True)
        found = [(label, member.count, item) for label, member in members for item in items(member)]
        first: dict[str, Sequence[Any]] = {
            "member": [label for label, _, _ in found],
            "count": [count for _, count, _ in found],
        }
        return table(shape, [item for _, _, item in found], first)

    return made


_EFFORT = Shape(
    LegEffort,
    {
        "rate_W": spread("rate_{}_W", _GUESS),
        "energy_J": spread("energy_{}_J", _GUESS),
        "need_L_h": spread("need_{}_L_h", _GUESS),
    },
)
_DRINKING = Shape(HourNeed, {"need_L": spread("need_{}_L", _GUESS)})


# --- permits -------------------------------------------------------------------------------------------------------

_PERMITS = Shape(Permit, inside={"chance": Shape(PermitChance)}, apart=("deadlines",))


def _deadlines(plan: Plan) -> Table:
    found = list(_dated(plan))
    return table(Shape(PermitDeadline), [one for _, one in found], {"permit": [permit.name for permit, _ in found]})


def _dated(plan: Plan) -> Iterator[tuple[Permit, PermitDeadline]]:
    for permit in plan.permits:
        for one in permit.deadlines:
            yield permit, one


TABLES: Mapping[str, Callable[[Plan], Table]] = {
    "about": _about,
    "timetable": _timetable,
    "legs": _legs,
    "starts": _starts,
    "chances": _rows(Shape(Chance), lambda plan: plan.chances),
    "fails_first": _rows(Shape(FailsFirstRow), lambda plan: plan.turned.fails_first),
    "moves": _rows(Shape(ChanceMoved), lambda plan: plan.turned.moves),
    "spread": _rows(Shape(SpreadPart), lambda plan: plan.turned.spread),
    "findings": _rows(Shape(Finding), lambda plan: plan.findings),
    "tethers": _rows(Shape(TetherRow, apart=("outcomes",)), lambda plan: plan.line.tethers),
    "slips": _slips,
    "limits": _rows(Shape(Limit), lambda plan: plan.line.limits),
    "bays": _bays,
    "hands": _hands,
    "stops": _stops,
    "crowd_hours": _crowd_hours,
    "weather_hours": _weather_hours,
    "weather_places": _rows(_THERE, lambda plan: plan.weather.there),
    "sun": _rows(Shape(PlaceSun, apart=("spans_clock_s",)), lambda plan: plan.sky.places),
    "packs": _packs,
    "packs_on_the_way": _packs_on_the_way,
    "water": _rows(Shape(WaterStop), lambda plan: plan.load.water),
    "dry_stretches": _rows(Shape(DryStretch), lambda plan: plan.load.stretches),
    "gear": _rows(Shape(GearShown), lambda plan: plan.load.gear),
    "effort": _by_member(_EFFORT, lambda member: member.legs),
    "drinking": _by_member(_DRINKING, lambda member: member.need_by_hour),
    "permits": _rows(_PERMITS, lambda plan: plan.permits),
    "deadlines": _deadlines,
    "members": _rows(Shape(MemberPace), lambda plan: plan.pace.members),
    "pace_factors": _rows(Shape(PaceFactor), lambda plan: plan.pace.factors),
    "pace_models": _rows(Shape(ModelTime), lambda plan: plan.models),
    "assumptions": _rows(Shape(Assumption), lambda plan: plan.assumptions),
}
"""Every table by its name, and how it is made."""
