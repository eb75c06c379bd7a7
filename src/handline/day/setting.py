"""From a trip file to the subjects: the one place where keys of the file turn into lines, routes and limits."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import timedelta

import numpy as np

from handline.day.limits import DayLimits
from handline.day.line_passage import passage_of
from handline.day.line_setting import LineSetting, set_up_line
from handline.day.simulation import Itinerary, LineLeg, Wait
from handline.day.walking_setting import set_pace, walkers
from handline.errors import InputError, Problem, TripError
from handline.line.friction import ROCKS
from handline.line.geometry import Line
from handline.line.passage import party_passage_s
from handline.line.tethers import Tether
from handline.route.route import Route
from handline.sky.events import DayLight, day_light
from handline.sky.nights import dark_spans
from handline.sky.zones import nautical_zone
from handline.trip.model import Trip
from handline.walking.party_pace import PartyTimes
from handline.walking.walker import Walker
from handline.weather.storms import DEFAULT_STORM_CHANCE, StormHazard, storm_hazard

# Where the file says nothing about a crowd: half the parties wait less than this, nine in ten less than the long one.
# [practice_line_wait]
USUAL_WAIT = Wait(median_s=15 * 60.0, long_s=45 * 60.0)
# Where only the median is typed, nine in ten wait less than this many times it. [practice_line_wait]
USUAL_LONG_WAIT_FACTOR = 3.0
DAY_S = 86400.0


@dataclass(frozen=True)
class Setting(LineSetting):
    """Everything a day is computed from."""

    walkers: tuple[Walker, ...]
    pace: PartyTimes
    itinerary: Itinerary
    limits: DayLimits
    storm: StormHazard
    storm_chance: float
    light: DayLight
    timezone: str


def set_up(trip: Trip) -> Setting:
    """The subjects of a trip.

    Raises
    ------
    TripError
        Whatever of the file does not fit the subjects, all at once: an unknown tether or pace model, a closed date, a
        track that cannot be used.
    """
    problems: list[Problem] = []
    guessed: set[str] = set()
    waits = _waits(trip, problems, guessed)
    base = set_up_line(trip, problems)
    route = base.route
    storm_chance = trip.weather.storm_chance
    if storm_chance is None:
        guessed.add("storm_chance")
        storm_chance = DEFAULT_STORM_CHANCE
    timezone = trip.route.timezone
    if timezone is None:
        timezone = nautical_zone(route.longitude_deg)
        guessed.add("timezone")
    try:
        light = day_light(route.latitude_deg, route.longitude_deg, trip.about.date, timezone)
        nights = dark_spans(route.latitude_deg, route.longitude_deg, trip.about.date, timezone)
    except InputError as error:
        raise TripError([trip.located(problem.at(key="trip.date")) for problem in error.problems]) from None
    pace = set_pace(trip, route)
    return Setting(
        **{part.name: getattr(base, part.name) for part in fields(base) if part.name != "guessed"},
        guessed=base.guessed | guessed,
        walkers=walkers(trip.party),
        pace=pace,
        itinerary=_itinerary(trip, route, base.line, base.chosen, pace, waits, nights),
        limits=_limits(trip, light, _next_dusk_s(trip, route, timezone, light)),
        storm=storm_hazard(storm_chance, trip.weather.storm_from_clock_s),
        storm_chance=storm_chance,
        light=light,
        timezone=timezone,
    )


def _waits(trip: Trip, problems: list[Problem], guessed: set[str]) -> dict[str, Wait]:
    """The wait before the line on the way up and down."""
    waits: dict[str, Wait] = {}
    typed = {
        "up": (trip.crowd.wait_up_s, trip.crowd.wait_up_long_s),
        "down": (trip.crowd.wait_down_s, trip.crowd.wait_down_long_s),
    }
    for way, (median_s, long_s) in typed.items():
        if median_s is None:
            guessed.add(f"wait_{way}")
            waits[way] = USUAL_WAIT
            continue
        if median_s == 0.0 and long_s:
            problems.append(
                Problem(
                    what="half the parties cannot wait nothing at all while some wait long",
                    read=f"wait_{way} of 0",
                    allowed="a little more than 0, or no long wait",
                    mend=f'write wait_{way} = "1 min"',
                    key=f"crowd.wait_{way}",
                )
            )
        waits[way] = Wait(median_s, long_s if long_s is not None else median_s * USUAL_LONG_WAIT_FACTOR)
    return waits


def _itinerary(
    trip: Trip, route: Route, line: Line, chosen: Tether, pace: PartyTimes, waits: dict[str, Wait], nights: np.ndarray
) -> Itinerary:
    is_line = np.array([leg.is_line for leg in route.legs])
    line_legs = tuple(
        _line_leg(trip, line, chosen, route.points[leg.end].way, waits) if leg.is_line else None for leg in route.legs
    )
    stops = {waypoint.name: waypoint.stop_s for waypoint in trip.waypoints}
    return Itinerary(
        walking_s=pace.time_s,
        model_weight=pace.mix.weights,
        line_legs=line_legs,
        stop_s=np.array([stops.get(point.name, 0.0) for point in route.points]),
        off_line=int(np.flatnonzero(is_line)[-1]) + 1,
        size=trip.party.size,
        walker_sigma=np.where(np.isnan(pace.sigma), trip.party.pace_spread, pace.sigma),
        leg_sigma=trip.party.leg_spread,
        tiring_after_s=trip.party.tiring_after_s,
        tiring_per_hour=trip.party.tiring_per_hour if trip.party.factors.tiring else 0.0,
        rest_s_per_hour=trip.party.rest_per_hour_s,
        dark_spans_clock_s=nights,
        dark_factor=trip.party.dark_factor if trip.party.factors.dark else 1.0,
    )


def _line_leg(trip: Trip, line: Line, chosen: Tether, way: str, waits: dict[str, Wait]) -> LineLeg:
    alone = passage_of(trip, line, chosen, ROCKS[trip.weather.rock], way)
    party_s = party_passage_s(alone.climber_s, alone.headway_s, trip.party.size, 1.0)
    return LineLeg(passage_s=float(party_s), wait=waits[way])


def _limits(trip: Trip, light: DayLight, next_dusk_s: float) -> DayLimits:
    """The party's limits on the clock: each time of day is the first such time after the start."""
    typed, start_s = trip.limits, trip.about.start_clock_s
    dark_clock_s: float | None = None
    if typed.home_before_dark and light.polar == "dark_all_day":
        dark_clock_s = -np.inf
    elif typed.home_before_dark and np.isfinite(light.civil_dusk_clock_s):
        dark_clock_s = light.civil_dusk_clock_s if light.civil_dusk_clock_s > start_s else next_dusk_s
    return DayLimits(
        chance=typed.chance,
        off_line_before_storm=typed.off_line_before_storm,
        off_line_by_clock_s=_first_after(start_s, typed.off_line_by_clock_s),
        dark_clock_s=dark_clock_s,
        home_by_clock_s=_first_after(start_s, typed.home_by_clock_s),
    )


def _first_after(start_s: float, time_of_day_s: float | None) -> float | None:
    if time_of_day_s is None:
        return None
    return time_of_day_s if time_of_day_s > start_s else time_of_day_s + DAY_S


def _next_dusk_s(trip: Trip, route: Route, timezone: str, light: DayLight) -> float:
    """The end of the next day's twilight on this day's clock; only looked for where the party starts after dusk."""
    if not light.civil_dusk_clock_s <= trip.about.start_clock_s:
        return light.civil_dusk_clock_s
    tomorrow = trip.about.date + timedelta(days=1)
    return day_light(route.latitude_deg, route.longitude_deg, tomorrow, timezone).civil_dusk_clock_s + DAY_S
