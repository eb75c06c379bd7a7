"""The simulated days of one way with one tether from one start: what the plan would say had the file typed them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np

from handline.choose.options_report import Range
from handline.choose.way_settings import WaySetting
from handline.day.itinerary_setting import line_legs_of
from handline.day.light_planning import storm_above_share
from handline.day.limits import exposed_from_s, kept_share
from handline.day.plan import Chance
from handline.day.plan_weather import WeatherPlan
from handline.day.planning import DARK_COUNTS_FROM_S, chances_kept
from handline.day.rock_setting import DRY, Met, judged_by, rock_clock, rock_met
from handline.day.simulation import Days, Draws, Floats, Night, dark_movement_s, walk
from handline.day.subjects import Setting
from handline.day.weather_planning import plan_weather
from handline.line.friction import ROCKS
from handline.line.geometry import WAYS
from handline.line.tethers import Tether
from handline.trip.model import Trip
from handline.weather.rock_state import STATES

ICED = STATES.index("iced")
_HALF, _NINE_IN_TEN = 0.5, 0.9


def tied_with(setting: Setting, tether: Tether, rock: str | None = None) -> Setting:
    """A setting as if its file chose another tether, or typed how the rock is.

    The waits stay: others on the line tie on as they do. So do the packs.
    """
    trip = setting.trip.model_copy(
        update={"tethers": setting.trip.tethers.model_copy(update={"chosen": tether.name})}
        | ({} if rock is None else {"weather": setting.trip.weather.model_copy(update={"rock": rock})})
    )
    itinerary = replace(
        setting.itinerary,
        line_legs=line_legs_of(trip, setting.route, setting.line, tether, _waits(setting)),
        rock=setting.itinerary.rock if rock is None else rock_clock(trip, None, setting.weather),
    )
    setting = replace(setting, trip=trip, chosen=tether, itinerary=itinerary)
    return (
        setting if rock is None else replace(setting, slab=None, rock=ROCKS[rock], guessed=setting.guessed - {"rock"})
    )


def _waits(setting: Setting) -> dict[str, Any]:
    """The waits of the legs on the line by way; a way the route does not go has the other's, which no leg asks for."""
    legs = zip(setting.route.legs, setting.itinerary.line_legs, strict=True)
    found = {setting.route.points[leg.end].way: line_leg.wait for leg, line_leg in legs if line_leg is not None}
    return {way: found.get(way, next(iter(found.values()))) for way in WAYS}


def starting_at(setting: Setting, clock_s: float) -> Setting:
    """A setting as if its file typed another start: at the trailhead, or after a night out from the camp [s].

    Limits on the clock stay where they are: those of the planned day.
    """
    trip, itinerary = setting.trip, setting.itinerary
    if itinerary.night is not None:
        itinerary = replace(itinerary, night=Night(itinerary.night.passing, clock_s))
    return replace(setting, trip=_start_typed(trip, clock_s), itinerary=itinerary)


def _start_typed(trip: Trip, clock_s: float) -> Trip:
    if trip.night.out:
        return trip.model_copy(update={"night": trip.night.model_copy(update={"start_clock_s": clock_s})})
    return trip.model_copy(update={"about": trip.about.model_copy(update={"start_clock_s": clock_s})})


@dataclass(frozen=True, eq=False)
class OptionDay:
    """Many days of one way; ``setting`` has the rock that the line is judged by on them."""

    setting: Setting
    draws: Draws
    days: Days
    chances: tuple[Chance, ...]
    met: tuple[Met, ...]

    @property
    def all_chance(self) -> Chance:
        return next(chance for chance in self.chances if chance.key == "all")

    @cached_property
    def weather(self) -> WeatherPlan:
        """What the party walks into."""
        return plan_weather(self.setting, self.draws, self.days)

    @cached_property
    def storm_above_share(self) -> float:
        """The chance that a storm begins before the party is off the line."""
        return storm_above_share(self.setting, self.days)

    @cached_property
    def dark_share(self) -> float:
        """On how many days part of the way lies in the dark."""
        return float(np.mean(dark_movement_s(self.setting.itinerary, self.days) > DARK_COUNTS_FROM_S))

    @property
    def home_clock_s(self) -> float:
        """When the party is home, in the middle [s]."""
        return float(np.median(self.days.arrive_clock_s[-1]))

    @property
    def day_s(self) -> float:
        """How long the day of the line is, in the middle [s]: from the morning's start to the end of the way."""
        return float(np.median(self.days.arrive_clock_s[-1] - exposed_from_s(self.setting.itinerary, self.days)))

    @property
    def wait_s(self) -> Range:
        """The waits before the line, both ways together [s]: half the days less, nine in ten less."""
        return self._of_line(lambda ready_s, leave_s, arrive_s: leave_s - ready_s)

    @property
    def on_line_s(self) -> Range:
        """The time on the line, both ways together [s]: half the days less, nine in ten less."""
        return self._of_line(lambda ready_s, leave_s, arrive_s: arrive_s - leave_s)

    def _of_line(self, part: Any) -> Range:
        itinerary, arrive_s = self.setting.itinerary, self.days.arrive_clock_s
        total: Floats = np.zeros(self.draws.days)
        for j, line_leg in enumerate(itinerary.line_legs):
            if line_leg is not None:
                ready_s = itinerary.ready_clock_s(j, arrive_s[j])
                total = total + part(ready_s, self.days.leave_clock_s[j], arrive_s[j + 1])
        return float(np.quantile(total, _HALF)), float(np.quantile(total, _NINE_IN_TEN))

    @property
    def felt_C(self) -> float:
        """The coldest it feels at the ends of the line, on the careful side [C]; NaN where no weather is known."""
        there, legs = self.weather.there, self.setting.route.legs
        ends = {end for leg in legs if leg.is_line for end in (leg.start, leg.end)} if there else set()
        felt = [told.value_C for end in ends if (told := there[end].felt) is not None]
        return min(felt, default=float("nan"))

    @property
    def ice_share(self) -> float:
        """On how many days the rock is iced on tying on, the worse of both ways."""
        return max((leg.share[ICED] for leg in self.met), default=0.0)

    @property
    def not_dry_share(self) -> float:
        """On how many days the rock is other than dry on tying on, the worse of both ways."""
        return max((1.0 - leg.share[DRY] for leg in self.met), default=0.0)


def option_day(way: WaySetting, setting: Setting) -> OptionDay:
    """Simulate the days of a way in a setting made from its own."""
    itinerary, draws = setting.itinerary, way.draws
    days = walk(itinerary, draws, np.array([setting.trip.depart_clock_s]))
    kept = kept_share(setting.limits, itinerary, days, setting.storm)
    met = rock_met(itinerary, draws, days)
    if setting.slab is not None:
        setting = replace(setting, rock=ROCKS[judged_by(met)])
    return OptionDay(setting, draws, days, chances_kept(setting, kept), met)
