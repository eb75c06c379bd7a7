"""From a trip to the frozen OptionsReport: one push or a night out, raised or lowered, tether by tether."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from handline import __version__
from handline.choose.best_days import best_days, on_best_days
from handline.choose.date_pieces import NIGHT, PUSH
from handline.choose.option_changes import Compared, Question, what_changes
from handline.choose.options_asked import BEST, DATE, Asked, asked_options
from handline.choose.options_findings import options_findings
from handline.choose.options_notes import options_notes
from handline.choose.options_report import Option, OptionsReport, StateSide
from handline.choose.options_why import headline, why_none, why_recommended
from handline.choose.pareto import beaten_by, steps_behind
from handline.choose.recommending import Bounds, against, candidate, recommend
from handline.choose.side_by_side import SideBySide
from handline.choose.state_sides import Side, starts_say, state_sides
from handline.choose.way_settings import WaySetting, WayWanted, way_of, way_settings
from handline.choose.what_counts import WHAT_COUNTS, counted
from handline.day.cautions import CAUTIONS
from handline.day.night_setting import camp_of
from handline.day.on_date import trip_on
from handline.day.plan import LEVELS
from handline.day.setting import set_up
from handline.day.subjects import Setting
from handline.day.told import Told
from handline.errors import InputError, Problem
from handline.line.geometry import LOWERED, RAISED
from handline.line.tethers import Tether
from handline.season.day_words import day_words
from handline.trip.model import Trip

ON_BEST_DAYS = "Each way on its best date of the season, as handline dates ranks them, with the line as it is that day."


def options_report(
    trip: Trip,
    asked: Asked | None = None,
    *,
    today: dt.date | None = None,
    told: Told = lambda what, share: None,
) -> OptionsReport:
    """Ways of doing a trip side by side, and which is recommended under the party's own limits.

    Parameters
    ----------
    trip : Trip
        As read from its file.
    asked : Asked, optional
        On which dates, which tethers, how many days; left out, as is usual.
    today : datetime.date, optional
        The day it is, from which permits are seen; left out, no way to get one is past.
    told : callable
        Told of the progress; may raise to stop the work.

    Returns
    -------
    OptionsReport
        The same trip, seed, question and day it is give the same report.

    Raises
    ------
    TripError
        Whatever of the file cannot be planned with, all at once; the way is closed on the date.
    InputError
        The best dates were asked for, and none is left.

    Notes
    -----
    Every number is that of the plan: the same setting, days, audits and rules of findings, with another way, state,
    tether or start in place of the file's. Others on the line tie on as the file says, whatever the party takes.
    """
    asked = asked_options(trip, None, None, None) if asked is None else asked
    trip = trip.model_copy(update={"about": trip.about.model_copy(update={"days": asked.days})})
    told("Reading the way", 0.0)
    best = _on_best_days(trip, today, told) if asked.dates == BEST else ()
    if best:
        known = set_up(trip_on(trip, best[0].date, best[0].way == NIGHT), told)
        wanted, dates_say = best, ON_BEST_DAYS
    else:
        date = asked.dates if isinstance(asked.dates, dt.date) else trip.about.date
        known = set_up(trip_on(trip, date, trip.night.out), told)
        wanted, dates_say = _on_one_date(trip, known)
    side = SideBySide(way_settings(trip, known, wanted, today, told))
    compared = _held_against_each_other(tuple(_compared(trip, side, asked, told)), trip)
    return _report(trip, known, asked, side, compared, dates_say, told)


def _report(
    trip: Trip,
    known: Setting,
    asked: Asked,
    side: SideBySide,
    compared: tuple[Compared, ...],
    dates_say: str,
    told: Told,
) -> OptionsReport:
    about, units = trip.about, trip.about.units
    bounds = _bounds(trip)
    options = tuple(one.option for one in compared)
    recommended = recommend([candidate(option) for option in options], bounds, units)
    told("Turning things over", 0.0)
    changes, same = what_changes(Question(side, compared, bounds, units, recommended))
    found = options_findings(known, options, recommended)
    sides, sides_say = _sides(trip, compared)
    why = why_none(options) if recommended is None else why_recommended(options, recommended, bounds, units)
    return OptionsReport(
        name=about.name,
        units=units,
        timezone=known.timezone,
        line_name=trip.line.name,
        party_size=trip.party.size,
        wanted_chance=bounds.wanted_chance,
        body_force_N=bounds.body_force_N,
        dates_say=dates_say,
        options=options,
        recommended="" if recommended is None else recommended.key,
        level=min((finding.level for finding in found), key=LEVELS.index, default=LEVELS[-1]),
        headline=headline(recommended),
        why=why,
        changes=changes,
        sides=sides,
        sides_say=sides_say,
        findings=found,
        notes=options_notes(trip, known, asked, compared, same),
        cautions=CAUTIONS,
        version=__version__,
        seed=about.seed,
        days=about.days,
        trip_file=trip.path.name,
        inputs_sha256=known.inputs_sha256,
    )


# --- which ways on which dates -------------------------------------------------------------------------------------


def _on_best_days(trip: Trip, today: dt.date | None, told: Told) -> tuple[WayWanted, ...]:
    """Each way on the best date of its season, in each state of the line. Raises InputError where none is left."""
    # It takes workers and a while, and nobody else needs it.
    from handline.choose.dates import dates_report

    wanted = on_best_days(best_days(dates_report(trip, told=told, today=today)), _has_two_states(trip))
    if not wanted:
        raise InputError(
            Problem("no date of the season is left", mend="name a date, such as --date 2027-07-17", key=DATE)
        )
    return wanted


def _on_one_date(trip: Trip, known: Setting) -> tuple[tuple[WayWanted, ...], str]:
    """Every way on one date, in both states of the line, and in words on which."""
    date = known.trip.about.date
    ways = (PUSH, NIGHT) if camp_of(trip, known.route)[0] is not None else (PUSH,)
    states = (False, True) if _has_two_states(trip) else (False,)
    planned = ", as planned" if date == trip.about.date else ""
    says = f"All on {day_words(date)}{planned}: the line is {known.line.state} that day ({known.line_says})."
    return tuple(WayWanted(way, date, forced) for way in ways for forced in states), says


def _has_two_states(trip: Trip) -> bool:
    """Whether the line can be lowered: one without stanchions is held by its anchors alone, and always so."""
    return trip.line.stanchion_spacing_m is not None


def _compared(trip: Trip, side: SideBySide, asked: Asked, told: Told) -> Iterator[Compared]:
    """Every way with every tether; the planned one from its start too where it is set beside others from another."""
    wanted = trip.limits.chance
    for number, way in enumerate(side.ways):
        told("Simulating days", number / len(side.ways))
        for tether in _tethers(way, asked):
            start_s = side.starts(way, tether).start_for(wanted)
            as_planned = _is_planned(trip, way, tether)
            planned_s = way.setting.trip.morning_clock_s
            if as_planned:
                yield Compared(way, tether, planned_s, side.option(way, tether, planned_s, as_planned=True))
            if not as_planned or start_s != planned_s:
                option = side.option(way, tether, start_s, other_start=as_planned)
                yield Compared(way, tether, start_s, option)


def _tethers(way: WaySetting, asked: Asked) -> list[Tether]:
    by_name = {tether.name: tether for tether in way.setting.tethers}
    return [by_name[name] for name in asked.tethers]


def _is_planned(trip: Trip, way: WaySetting, tether: Tether) -> bool:
    """Whether it is the way, date, state and tether of the trip file."""
    same_day = way.way == way_of(trip) and way.date == trip.about.date and way.on_date
    return same_day and tether.name == trip.tethers.chosen


def _held_against_each_other(compared: tuple[Compared, ...], trip: Trip) -> tuple[Compared, ...]:
    """The same with what speaks against each, and what beats what: only what can be done on its date beats anything."""
    can = [one.option for one in compared if one.option.state_on_date]
    told = [*can, *(one.option for one in compared if not one.option.state_on_date)]
    entries = WHAT_COUNTS.values()
    behind = steps_behind(counted(told), [e.more_is_better for e in entries], [e.least for e in entries])
    found: dict[str, str | None] = {}
    for option, by in zip(can, beaten_by(behind[: len(can)]), strict=True):
        found[option.key] = None if by is None else can[by].key
    for number, option in enumerate(told[len(can) :], len(can)):
        *_, by = beaten_by([*behind[: len(can)], behind[number]])
        found[option.key] = None if by is None else can[by].key
    bounds, units = _bounds(trip), trip.about.units
    return tuple(
        replace(one, option=_marked(one.option, found[one.option.key], against(one.option, bounds, units)))
        for one in compared
    )


def _marked(option: Option, by: str | None, told: tuple[str, ...]) -> Option:
    return replace(option, best=by is None and option.state_on_date, beaten_by=by or "", against=told)


def _bounds(trip: Trip) -> Bounds:
    return Bounds(trip.limits.chance, trip.limits.body_force_N)


# --- raised and lowered --------------------------------------------------------------------------------------------


def _sides(trip: Trip, compared: tuple[Compared, ...]) -> tuple[tuple[StateSide, ...], str]:
    """Both states of the line with the way and the tether of the file, and their starts; none where it has only one."""
    found: dict[str, Any] = {}
    for one in compared:
        if one.option.way == way_of(trip) and one.option.tether == trip.tethers.chosen:
            found.setdefault(one.option.state, Side(one.option, one.way))
    if not {RAISED, LOWERED} <= set(found):
        return (), ""
    raised, lowered = found[RAISED], found[LOWERED]
    return state_sides(raised, lowered, trip.about.units), starts_say(raised.option, lowered.option)
