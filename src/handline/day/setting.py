"""From a trip file to the subjects: the one place where keys of the file turn into lines, routes and limits."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from datetime import timedelta

import numpy as np

from handline.day.itinerary_setting import line_legs_of, set_itinerary, set_waits
from handline.day.limits import DayLimits
from handline.day.line_setting import LineSetting, set_up_line
from handline.day.line_wait import LineWait
from handline.day.load_line import line_packs_kg, with_packs
from handline.day.load_setting import settled_packs, treating_stops_s
from handline.day.night_setting import Camp, camp_slept_at, night_at
from handline.day.permit_setting import permit_problems
from handline.day.rock_setting import SlabWeather, judged_by, rock_clock, rock_met, set_slab
from handline.day.simulation import Itinerary, draw_days, walk
from handline.day.sky_setting import PlaceSky, set_sky, sky_again
from handline.day.subjects import Setting
from handline.day.told import Told
from handline.day.turn_back import TurnRule, set_turn_rules
from handline.day.walking_setting import set_pace, walkers
from handline.day.weather_setting import DayWeather, set_storm, set_weather
from handline.errors import InputError, Problem, TripError
from handline.line.friction import ROCKS
from handline.route.route import Route
from handline.sky.events import DayLight
from handline.sky.nights import dark_spans
from handline.sky.season_light import season_light
from handline.sky.zones import midnight_utc_s, nautical_zone
from handline.trip.model import Trip
from handline.weather.storms import StormHazard

__all__ = ["Setting", "set_up"]

DAY_S = 86400.0


@dataclass(frozen=True)
class _Ground:
    """What a setting stands on whatever the party waits and carries."""

    base: LineSetting
    camp: Camp | None
    turn_rules: tuple[TurnRule, ...]
    timezone: str
    light: DayLight
    nights: np.ndarray
    sky: tuple[PlaceSky, ...]
    weather: DayWeather
    slab: SlabWeather | None
    storm: tuple[StormHazard, float, str]
    guessed: frozenset[str]


def set_up(trip: Trip, told: Told = lambda what, share: None) -> Setting:
    """The subjects of a trip.

    The waits before the line are those typed, else those of a crowd where the file tells how many people come, else a
    usual guess.

    Parameters
    ----------
    trip : Trip
    told : callable
        Told of the progress of what takes long once, and is kept then.

    Raises
    ------
    TripError
        Whatever of the file does not fit the subjects, all at once: an unknown tether or pace model, a closed date, a
        track that cannot be used.
    """
    return _set_up(trip, None, None, told)


def set_up_again(known: Setting, trip: Trip, near: Setting | None = None, *, anew: bool = False) -> Setting:
    """The same way on another date, in one push or with a night out: what stays as it is is not looked at again.

    Parameters
    ----------
    known : Setting
        Of the same file. Where it is of the same date, its light counts too, and its weather where that is no forecast.
    trip : Trip
        The file's, with another date or night. Of the sky only the slab's is looked at.
    near : Setting, optional
        Of the same file and the same night, whose packs are near those to be found; left out, ``known``.
    anew : bool
        Whether packs are found from the beginning, to the last digit as ``set_up`` finds them.

    Raises
    ------
    TripError
        As ``set_up``.
    """
    return _set_up(trip, known, None if anew else near or known, lambda what, share: None)


def _set_up(trip: Trip, known: Setting | None, near: Setting | None, told: Told) -> Setting:
    # They are made from a setting themselves.
    from handline.day.crowd_waits import FROM_CROWD, crowd_waits, waits_of

    problems: list[Problem] = []
    guessed: set[str] = set()
    waits = set_waits(trip, problems, guessed)
    if known is None:
        problems += permit_problems(trip)
    typed = not {"wait_up", "wait_down"} <= guessed
    ground = _ground(set_up_line(trip, problems, known), guessed, known)
    with_crowd = replace(ground, guessed=ground.guessed - {"wait_up", "wait_down"})
    if not typed and known is not None and (found := waits_of(known, ground.base.line.state)) is not None:
        return _settled(with_crowd, found, FROM_CROWD, near)
    setting = _settled(ground, waits, "typed" if typed else "guessed", near)
    found = None if typed else crowd_waits(setting, known, told)
    return setting if found is None else _settled(with_crowd, found, FROM_CROWD, setting)


def _ground(base: LineSetting, guessed: set[str], known: Setting | None) -> _Ground:
    trip, route = base.trip, base.route
    timezone = trip.route.timezone
    if timezone is None:
        timezone = nautical_zone(route.longitude_deg)
        guessed.add("timezone")
    problems: list[Problem] = []
    camp = camp_slept_at(trip, route, problems)
    turn_rules = set_turn_rules(trip, route, camp, problems)
    if problems:
        raise TripError([trip.located(problem) for problem in problems])
    same_date = known if known is not None and known.trip.about.date == trip.about.date else None
    try:
        place = (route.latitude_deg, route.longitude_deg)
        light = season_light(*place, [trip.about.date], timezone)[0] if same_date is None else same_date.light
        nights = _nights(trip, route, timezone)
    except InputError as error:
        raise TripError([trip.located(problem.at(key="trip.date")) for problem in error.problems]) from None
    try:
        sky, weather, slab = _sky_and_weather(base, timezone, light, known, same_date)
    except InputError as error:
        raise TripError([trip.located(problem) for problem in error.problems]) from None
    if trip.weather.rock is None and slab is None:
        guessed.add("rock")
    storm = set_storm(trip, weather, guessed)
    return _Ground(base, camp, turn_rules, timezone, light, nights, sky, weather, slab, storm, frozenset(guessed))


def _sky_and_weather(
    base: LineSetting, timezone: str, light: DayLight, known: Setting | None, same_date: Setting | None
) -> tuple[tuple[PlaceSky, ...], DayWeather, SlabWeather | None]:
    trip, route = base.trip, base.route
    if same_date is not None and _tells_the_same(same_date.trip, trip):
        return same_date.sky[:1], same_date.weather, None if trip.weather.rock is not None else same_date.slab
    if known is None:
        sky = set_sky(trip, route, base.line, timezone)
    else:
        sky = known.sky[:1] if same_date is not None else sky_again(known.sky[:1], trip.about.date, timezone)
    weather = set_weather(trip, route, timezone, light)
    slab = None if trip.weather.rock is not None else set_slab(trip, base.line, sky[0], weather, timezone)
    return sky, weather, slab


def _tells_the_same(known: Trip, trip: Trip) -> bool:
    """Whether the weather of a date is told alike: what a forecast says hangs on when the party sets out.

    A rock that is typed in one of them keeps no slab that the other could use.
    """
    if known.weather.rock is not None and trip.weather.rock is None:
        return False
    if known.weather.forecast != trip.weather.forecast:
        return False
    return trip.weather.forecast is None or known.depart_clock_s == trip.depart_clock_s


def _nights(trip: Trip, route: Route, timezone: str) -> np.ndarray:
    """The dark spans on the clock of the date; for a night out from the morning before the party sets out."""
    place, date = (route.latitude_deg, route.longitude_deg), trip.about.date
    if not trip.night.out:
        return dark_spans(*place, date, timezone)
    before = date - timedelta(days=1)
    earlier_s = midnight_utc_s(date, timezone) - midnight_utc_s(before, timezone)
    return dark_spans(*place, before, timezone, days=4) - earlier_s


def _settled(ground: _Ground, waits: dict[str, LineWait], waits_from: str, near: Setting | None = None) -> Setting:
    """The setting with packs, hours and water that agree with these waits; from ``near`` they are found sooner."""
    base, camp = ground.base, ground.camp
    trip, route = base.trip, base.route
    rock = rock_clock(trip, ground.slab, ground.weather)
    line_legs = line_legs_of(trip, route, base.line, base.chosen, waits)
    night = None if camp is None else night_at(trip, camp)
    # The models alone take the same time on any date and under any load.
    pace = set_pace(trip, route, published=None if near is None else near.pace.mix)
    published = pace.mix
    itinerary = set_itinerary(trip, route, pace, line_legs, ground.nights, rock, night)
    near_kg = None if near is None else near.packs.load_kg
    packs = settled_packs(trip, route, ground.weather, itinerary, camp, near_kg, published)
    if packs.load_kg is not None:
        # On the line hands rest by the packs at its foot. That moves the hours by minutes, and packs by less than they
        # are settled to.
        trip = with_packs(trip, line_packs_kg(route, packs.load_kg))
        line_legs = line_legs_of(trip, route, base.line, base.chosen, waits)
        pace = set_pace(trip, route, packs.load_kg, published)
        itinerary = set_itinerary(trip, route, pace, line_legs, ground.nights, rock, night)
    treating_s = treating_stops_s(trip, route, ground.weather, itinerary, packs, camp)
    itinerary = replace(itinerary, stop_s=np.maximum(itinerary.stop_s, treating_s))
    base = replace(base, trip=trip, body_mass_kg=trip.party.loaded_kg, guessed=base.guessed | ground.guessed)
    storm, storm_chance, storm_says = ground.storm
    return Setting(
        **{part.name: getattr(base, part.name) for part in fields(base) if part.name != "rock"},
        rock=base.rock if ground.slab is None else ROCKS[_judged_by(trip, itinerary)],
        walkers=walkers(trip.party, packs.load_kg),
        pace=pace,
        itinerary=itinerary,
        packs=packs,
        limits=_limits(trip, route, ground),
        light=ground.light,
        timezone=ground.timezone,
        sky=ground.sky,
        weather=ground.weather,
        slab=ground.slab,
        storm=storm,
        storm_chance=storm_chance,
        storm_says=storm_says,
        camp=camp,
        turn_rules=ground.turn_rules,
        waits_from=waits_from,
    )


def _judged_by(trip: Trip, itinerary: Itinerary) -> str:
    """The state of the rock the line is judged by: from the very days that are simulated for the plan."""
    draws = draw_days(itinerary, trip.about.days, trip.about.seed)
    days = walk(itinerary, draws, np.array([trip.depart_clock_s]))
    return judged_by(rock_met(itinerary, draws, days))


def _limits(trip: Trip, route: Route, ground: _Ground) -> DayLimits:
    """The party's limits on the clock: each time of day is the first such time after the start on the date."""
    typed, start_s, light = trip.limits, trip.morning_clock_s, ground.light
    dark_clock_s: float | None = None
    if typed.home_before_dark and light.polar == "dark_all_day":
        dark_clock_s = -np.inf
    elif typed.home_before_dark and np.isfinite(light.civil_dusk_clock_s):
        dark_clock_s = light.civil_dusk_clock_s
        if not light.civil_dusk_clock_s > start_s:
            dark_clock_s = _dusk_s(trip, route, ground.timezone, 1)
    camp_clock_s = None
    if ground.camp is not None and typed.camp_before_dark:
        camp_clock_s = _dusk_s(trip, route, ground.timezone, -1)
    return DayLimits(
        chance=typed.chance,
        off_line_before_storm=typed.off_line_before_storm,
        off_line_by_clock_s=_first_after(start_s, typed.off_line_by_clock_s),
        dark_clock_s=dark_clock_s,
        home_by_clock_s=_first_after(start_s, typed.home_by_clock_s),
        camp_clock_s=camp_clock_s,
    )


def _first_after(start_s: float, time_of_day_s: float | None) -> float | None:
    if time_of_day_s is None:
        return None
    return time_of_day_s if time_of_day_s > start_s else time_of_day_s + DAY_S


def _dusk_s(trip: Trip, route: Route, timezone: str, days: int) -> float | None:
    """The end of twilight so many days after the date, on the clock of the date; None where it does not get dark."""
    day = trip.about.date + timedelta(days=days)
    light = season_light(route.latitude_deg, route.longitude_deg, [day], timezone)[0]
    if light.polar == "dark_all_day":
        return -np.inf
    apart_s = midnight_utc_s(day, timezone) - midnight_utc_s(trip.about.date, timezone)
    return light.civil_dusk_clock_s + apart_s if np.isfinite(light.civil_dusk_clock_s) else None
