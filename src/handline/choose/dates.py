"""A season of dates: every date, way and start through the day simulation, with permits, and the best of them."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from handline import __version__
from handline.choose.daily_draws import days_in_a_row
from handline.choose.date_findings import Season, date_findings, date_notes
from handline.choose.date_lists import draw_lists
from handline.choose.date_permits import permits_of_dates
from handline.choose.date_pieces import NIGHT, PUSH, DatePiece, SeasonAsked, do_dates
from handline.choose.date_ranks import best_dates, headline
from handline.choose.date_rows import calendar_of, date_rows
from handline.choose.dates_asked import FROM, DatesAsked, DatesAsking, asked_dates, parted, ways_asked
from handline.choose.dates_report import DatesProvenance, DatesReport
from handline.choose.season_dates import open_dates, season_dates
from handline.choose.spread_work import spread, workers_ahead
from handline.day.cautions import CAUTIONS
from handline.day.line_setting import line_state
from handline.day.night_setting import camp_of
from handline.day.on_date import forecast_dates, set_up_on, trip_on, without_forecast
from handline.day.plan import LEVELS
from handline.day.setting import set_up
from handline.day.subjects import Setting
from handline.day.told import Told
from handline.errors import InputError, Problem, TripError
from handline.line.geometry import RAISED
from handline.season.permit_rules import LineState
from handline.season.rules import SeasonRuleError
from handline.trip.model import Trip

PIECE_DATES = 2
"""How many dates one piece of the work has at most."""


def dates_report(
    trip: Trip,
    asked: DatesAsked | None = None,
    told: Told = lambda what, share: None,
    today: dt.date | None = None,
) -> DatesReport:
    """The dates of a season side by side, and the best of them.

    Parameters
    ----------
    trip : Trip
        As read from its file. Its own date may be closed.
    asked : DatesAsked, optional
        Left out, all as is usual.
    told : callable
        Told of the progress; may raise to stop the work. Finished pieces are kept: the same again goes on from there.
    today : datetime.date, optional
        The day it is: dates and deadlines before it are past. Left out, none is.

    Returns
    -------
    DatesReport
        The same trip, asked and today give the same report, whoever does the work.

    Raises
    ------
    TripError
        Whatever of the file cannot be planned with.
    InputError
        What was asked cannot be done.
    """
    asked = asked_dates(DatesAsking()) if asked is None else asked
    dates, dates_say = season_dates(trip, asked)
    calendar, states = calendar_of(trip, dates, today), _states(trip, dates)
    told("Reading the way", 0.0)
    trip = _with_days(trip, asked.days)
    goes = open_dates(trip, dates)
    if not goes:
        raise _all_closed(trip, dates)
    base, ways, done = _worked_out(trip, asked, dates, {date: states[date] for date in goes}, told)
    told("Permits and ranks", 0.0)
    permits = permits_of_dates(trip, states, ways, today)
    rows = date_rows(dates, ways, asked.start_clock_s, trip.limits.chance, done, permits, calendar)
    best = best_dates(rows, ways, asked.start_clock_s[-1], preferring=bool(trip.choice.prefer))
    season = Season(base, rows, best, permits, ways, asked.start_clock_s, asked.days, today)
    found = date_findings(season)
    answer, why = headline(rows, best, trip.limits.chance)
    camp, _ = camp_of(trip, base.route)
    return DatesReport(
        name=trip.about.name,
        units=trip.about.units,
        timezone=base.timezone,
        line_name=trip.line.name,
        party_size=trip.party.size,
        wanted_chance=trip.limits.chance,
        dates_say=dates_say,
        camp_name="" if camp is None else base.route.points[camp.stays].name,
        ways=ways,
        starts_clock_s=asked.start_clock_s,
        level=found[0].level if found else LEVELS[-1],
        headline=answer,
        why=why,
        findings=found,
        rows=rows,
        best=best,
        lists=draw_lists(trip, rows, permits, today),
        in_a_row=days_in_a_row(trip, rows, permits, today),
        notes=date_notes(season),
        cautions=CAUTIONS,
        provenance=DatesProvenance(
            version=__version__,
            seed=trip.about.seed,
            days=asked.days,
            trip_file=trip.path.name,
            inputs_sha256=base.inputs_sha256,
            today=None if today is None else today.isoformat(),
        ),
    )


def _worked_out(
    trip: Trip,
    asked: DatesAsked,
    dates: Sequence[dt.date],
    open_states: Mapping[dt.date, LineState],
    told: Told,
) -> tuple[Setting, tuple[str, ...], dict[str, NDArray[Any]]]:
    """What the dates have in common, the ways of sleeping, and the arrays of all dates."""
    pieces = [DatePiece(some) for some in parted(dates, PIECE_DATES)]
    with workers_ahead(do_dates, len(pieces), asked.workers, asked.dask) as begin:
        base = set_up(without_forecast(_on_open_date(trip, list(open_states))), told)
        ways = ways_asked(trip, base.route, asked)
        shared = SeasonAsked(
            trip=trip,
            known=_known(base, open_states, ways),
            open_dates=frozenset(open_states),
            forecast_dates=forecast_dates(trip, base.timezone, dates),
            ways=ways,
            start_clock_s=asked.start_clock_s,
            days=asked.days,
        )
        done = spread(
            pieces, do_dates, shared,
            job_key=_job_key(shared, base), what="Days of the season", workers=asked.workers, dask=asked.dask,
            told=told, keep_when_done=True, begin=begin,
        )  # fmt: skip
    return base, ways, _joined(done)


def _all_closed(trip: Trip, dates: Sequence[dt.date]) -> InputError:
    return InputError(
        Problem(
            "the way is closed on every one of these dates",
            read=f"{dates[0]} to {dates[-1]}",
            allowed="; ".join(trip.season.open),
            mend="ask for other dates",
            key=FROM,
        )
    )


def _states(trip: Trip, dates: Sequence[dt.date]) -> dict[dt.date, LineState]:
    """How the line stands on each date. Raises TripError where a period hangs on a day that a year does not have."""
    try:
        return {date: "raised" if line_state(trip_on(trip, date, False))[0] == RAISED else "lowered" for date in dates}
    except SeasonRuleError as error:
        raise TripError(trip.located(Problem(str(error), key="season.raised"))) from None


def _with_days(trip: Trip, days: int) -> Trip:
    """The trip simulated on so many days, wherever days are."""
    return trip.model_copy(update={"about": trip.about.model_copy(update={"days": days})})


def _on_open_date(trip: Trip, goes: Sequence[dt.date]) -> Trip:
    """The trip in one push on its own date, or where the way is closed then on the first open one of the season."""
    own = trip.about.date
    return trip_on(trip, own if open_dates(trip, [own]) else goes[0], night_out=False)


def _known(base: Setting, states: Mapping[dt.date, LineState], ways: tuple[str, ...]) -> dict[tuple[str, str], Setting]:
    """A setting for each way and each state of the line on open dates, on the date of ``base`` where it may be."""
    known: dict[tuple[str, str], Setting] = {}
    for state in sorted(set(states.values()), key=lambda state: state != base.line.state):
        same = state == base.line.state
        date = base.trip.about.date if same else next(date for date, other in states.items() if other == state)
        first = base if same else None
        for way in ways:
            there = without_forecast(trip_on(base.trip, date, way == NIGHT))
            near = known.get((way, base.line.state), base)
            found = base if same and way == PUSH else set_up_on(first or base, there, near)
            known[way, state], first = found, first or found
    return known


def _job_key(shared: SeasonAsked, base: Setting) -> str:
    """What stands for all that the pieces depend on beside their dates."""
    made_of = (
        shared.trip.model_dump_json(by_alias=True), base.inputs_sha256, base.sky[0].horizon_says,
        base.trip.about.date.isoformat(), shared.ways, shared.start_clock_s,
        sorted(date.isoformat() for date in shared.forecast_dates),
    )  # fmt: skip
    return f"dates {hashlib.sha256(repr(made_of).encode()).hexdigest()}"


def _joined(done: Sequence[Mapping[str, NDArray[Any]]]) -> dict[str, NDArray[Any]]:
    """The arrays of all pieces, joined along their dates."""
    by_way = ("chance", "error", "home_clock_s", "rock", "planned_rock", "planned_clock_s")
    return {name: np.concatenate([each[name] for each in done], axis=int(name in by_way)) for name in done[0]}
