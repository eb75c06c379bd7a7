"""The rock of a trip's day, hour by hour from its weather, and the state the line is judged by."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from handline.day.simulation import Days, Draws, Itinerary, RockClock
from handline.day.sky_setting import PlaceSky
from handline.day.weather_setting import DayWeather
from handline.line.friction import ROCKS
from handline.line.geometry import Line
from handline.sky.sun_on_place import SunHours, sun_hours
from handline.trip.model import Trip
from handline.weather.hours import HourlyWeather
from handline.weather.rock_state import STATES, UNKNOWN, RockByHour, rock_states
from handline.weather.rock_water import RockDrying
from handline.weather.sunshine import sun_on_plane_W_m2

Floats = NDArray[np.float64]

DRY, WET = STATES.index("dry"), STATES.index("wet")
# The line is judged by the most slippery state that is met, or worse, as often as this. [practice_weather_findings]
COUNTS_FROM_SHARE = 0.10
# What snow above lets run over the slab in an hour of thaw. [practice_meltwater]
MELTWATER_MM_H = 1.0


@dataclass(frozen=True)
class SlabWeather:
    """The weather, the sun and the rock at the slab, on the same hours; ``sun_W_m2`` (members, hours) falls on it."""

    hours: HourlyWeather
    sun: SunHours
    sun_W_m2: Floats
    rock: RockByHour


def set_slab(trip: Trip, line: Line, slab: PlaceSky, weather: DayWeather, timezone: str) -> SlabWeather | None:
    """The slab by the hour; None where no weather is given.

    Its sun is that of its steepest piece, facing as typed. Where nobody typed a facing it may look away from the sun:
    then only the light of the sky warms and dries it.
    """
    hours = weather.at(slab.name, slab.elevation_m)
    if hours is None:
        return None
    slope_rad = max(line.section_angle_rad)
    facing_deg = np.nan if trip.line.facing_deg is None else trip.line.facing_deg
    sun = sun_hours(
        slab.latitude_deg,
        slab.longitude_deg,
        trip.about.date,
        timezone,
        hours.clock_s,
        slab.horizon,
        slope_rad,
        facing_deg,
    )
    drying = RockDrying(
        drying_time_s=trip.weather.drying_time_s, melt_mm_h=MELTWATER_MM_H if trip.weather.meltwater else 0.0
    )
    slope_deg = float(np.degrees(slope_rad))
    # The cosine of an hour is its mean, nothing while the sun is hidden: the share of the hour is in it already.
    beam_share = np.full_like(sun.shines_share, trip.line.facing_deg is not None)
    shine_W_m2 = sun_on_plane_W_m2(sun.altitude_deg, sun.incidence_cos, beam_share, slope_deg, hours.cloud_share)
    return SlabWeather(hours, sun, shine_W_m2, rock_states(hours, shine_W_m2, slope_deg, drying))


def rock_clock(trip: Trip, slab: SlabWeather | None, weather: DayWeather) -> RockClock:
    """The rock over the clock: as typed all day, else by the hour, else dry. An hour nobody knows counts as wet.

    A typed rock is the same in every course of the weather, but the days still take one of their own each.
    """
    if trip.weather.rock is not None or slab is None:
        all_day = list(ROCKS).index(trip.weather.rock or "dry")
        members = weather.bases[0].hours.members if weather.bases else 1
        return RockClock(0.0, np.full((members, 1), all_day, np.int8))
    state = np.where(slab.rock.state == UNKNOWN, WET, slab.rock.state).astype(np.int8)
    return RockClock(float(slab.rock.clock_s[0]), state)


@dataclass(frozen=True)
class Met:
    """The rock the party finds when it ties on at one leg of the line, over many days: ``share`` by state."""

    leg: int
    clock_s: Floats
    share: tuple[float, ...]


def rock_met(itinerary: Itinerary, draws: Draws, days: Days) -> tuple[Met, ...]:
    """The rock at each leg on the line."""
    return tuple(_met(itinerary, draws, days))


def _met(itinerary: Itinerary, draws: Draws, days: Days) -> Iterator[Met]:
    for leg, line_leg in enumerate(itinerary.line_legs):
        if line_leg is not None:
            leave_s = np.broadcast_to(days.leave_clock_s[leg], (draws.days,))
            state = itinerary.rock.at(leave_s, draws.member)
            count = np.bincount(state, minlength=len(STATES))
            yield Met(leg, leave_s, tuple(float(n) for n in count / draws.days))


def judged_by(met: tuple[Met, ...]) -> str:
    """The most slippery state that is met, or a worse one, often enough on some leg."""
    for number in reversed(range(1, len(STATES))):
        if any(sum(leg.share[number:]) >= COUNTS_FROM_SHARE for leg in met):
            return STATES[number]
    return STATES[DRY]
