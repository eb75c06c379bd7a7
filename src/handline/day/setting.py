"""From a trip file to the subjects: the one place where keys of the file turn into lines, routes and limits."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import timedelta

import numpy as np

from handline.day.itinerary_setting import line_legs_of, set_itinerary, set_waits
from handline.day.limits import DayLimits
from handline.day.line_setting import LineSetting, set_up_line
from handline.day.load_line import line_packs_kg, with_packs
from handline.day.load_setting import SettledPacks, settled_packs
from handline.day.rock_setting import SlabWeather, judged_by, rock_clock, rock_met, set_slab
from handline.day.simulation import Itinerary, draw_days, walk
from handline.day.sky_setting import PlaceSky, set_sky
from handline.day.walking_setting import set_pace, walkers
from handline.day.weather_setting import DayWeather, set_storm, set_weather
from handline.errors import InputError, Problem, TripError
from handline.line.friction import ROCKS
from handline.route.route import Route
from handline.sky.events import DayLight
from handline.sky.nights import dark_spans
from handline.sky.season_light import season_light
from handline.sky.zones import nautical_zone
from handline.trip.model import Trip
from handline.walking.party_pace import PartyTimes
from handline.walking.walker import Walker
from handline.weather.storms import StormHazard

DAY_S = 86400.0


@dataclass(frozen=True)
class Setting(LineSetting):
    """Everything a day is computed from."""

    walkers: tuple[Walker, ...]
    pace: PartyTimes
    itinerary: Itinerary
    packs: SettledPacks
    limits: DayLimits
    light: DayLight
    timezone: str
    sky: tuple[PlaceSky, ...]
    weather: DayWeather
    slab: SlabWeather | None
    storm: StormHazard
    storm_chance: float
    storm_says: str


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
    waits = set_waits(trip, problems, guessed)
    base = set_up_line(trip, problems)
    trip, route = base.trip, base.route
    timezone = trip.route.timezone
    if timezone is None:
        timezone = nautical_zone(route.longitude_deg)
        guessed.add("timezone")
    try:
        light = season_light(route.latitude_deg, route.longitude_deg, [trip.about.date], timezone)[0]
        nights = dark_spans(route.latitude_deg, route.longitude_deg, trip.about.date, timezone)
    except InputError as error:
        raise TripError([trip.located(problem.at(key="trip.date")) for problem in error.problems]) from None
    try:
        sky = set_sky(trip, route, timezone)
        weather = set_weather(trip, route, timezone, light)
    except InputError as error:
        raise TripError([trip.located(problem) for problem in error.problems]) from None
    slab = None if trip.weather.rock is not None else set_slab(trip, base.line, sky[0], weather, timezone)
    if trip.weather.rock is None and slab is None:
        guessed.add("rock")
    storm, storm_chance, storm_says = set_storm(trip, weather, guessed)
    line_legs, rock = line_legs_of(trip, route, base.line, base.chosen, waits), rock_clock(trip, slab, weather)
    pace = set_pace(trip, route)
    itinerary = set_itinerary(trip, route, pace, line_legs, nights, rock)
    packs = settled_packs(trip, route, weather, itinerary)
    if packs.load_kg is not None:
        # On the line hands rest by the packs at its foot. That moves the hours by minutes, and packs by less than they
        # are settled to.
        trip = with_packs(trip, line_packs_kg(route, packs.load_kg))
        line_legs = line_legs_of(trip, route, base.line, base.chosen, waits)
        pace = set_pace(trip, route, packs.load_kg)
        itinerary = set_itinerary(trip, route, pace, line_legs, nights, rock)
    base = replace(base, trip=trip, body_mass_kg=trip.party.loaded_kg, guessed=base.guessed | guessed)
    return Setting(
        **{part.name: getattr(base, part.name) for part in fields(base) if part.name != "rock"},
        rock=base.rock if slab is None else ROCKS[_judged_by(trip, itinerary)],
        walkers=walkers(trip.party, packs.load_kg),
        pace=pace,
        itinerary=itinerary,
        packs=packs,
        limits=_limits(trip, light, _next_dusk_s(trip, route, timezone, light)),
        light=light,
        timezone=timezone,
        sky=sky,
        weather=weather,
        slab=slab,
        storm=storm,
        storm_chance=storm_chance,
        storm_says=storm_says,
    )


def _judged_by(trip: Trip, itinerary: Itinerary) -> str:
    """The state of the rock the line is judged by: from the very days that are simulated for the plan."""
    draws = draw_days(itinerary, trip.about.days, trip.about.seed)
    days = walk(itinerary, draws, np.array([trip.about.start_clock_s]))
    return judged_by(rock_met(itinerary, draws, days))


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
    return season_light(route.latitude_deg, route.longitude_deg, [tomorrow], timezone)[0].civil_dusk_clock_s + DAY_S
