"""The subjects of a trip's day, together: what everything else is computed from."""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.limits import DayLimits
from handline.day.line_setting import LineSetting
from handline.day.load_setting import SettledPacks
from handline.day.night_setting import Camp
from handline.day.rock_setting import SlabWeather
from handline.day.simulation import Itinerary
from handline.day.sky_setting import PlaceSky
from handline.day.turn_back import TurnRule
from handline.day.weather_setting import DayWeather
from handline.sky.events import DayLight
from handline.walking.party_pace import PartyTimes
from handline.walking.walker import Walker
from handline.weather.storms import StormHazard


@dataclass(frozen=True)
class Setting(LineSetting):
    """Everything a day is computed from. ``camp`` is None for one push.

    ``waits_from`` says what the waits before the line stand on: "typed", "crowd" or "guessed".
    """

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
    camp: Camp | None
    turn_rules: tuple[TurnRule, ...]
    waits_from: str
