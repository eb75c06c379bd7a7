"""The sky and the weather of a Plan: sun by place, the slab by the hour, and what the party walks into."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from handline.day.felt import felt_like
from handline.day.plan import RANGE
from handline.day.plan_weather import PlaceSun, RockMet, SkyPlan, SlabHour, Triple, WeatherPlan, WeatherThere
from handline.day.rock_setting import COUNTS_FROM_SHARE, Met, SlabWeather, rock_met
from handline.day.simulation import Days, Draws, Floats, dark_between_s
from handline.day.sky_setting import PlaceSky
from handline.day.subjects import Setting
from handline.quantity import say_clock, show_share
from handline.sky.moonlight import MOONLIT_ALTITUDE_DEG, moonlit_spans
from handline.weather.hours import HOUR_S, HourlyWeather
from handline.weather.rock_state import STATES

# Less than this in an hour is no rain to speak of.
RAIN_FROM_MM = 0.1
# The slab is shown from the start of the day before the party leaves to the end of the next.
_SHOWN_FROM_S, _SHOWN_TO_S = 0.0, 48 * HOUR_S


def plan_sky(setting: Setting, days: Days) -> SkyPlan:
    """Sun by place, and the moon on the dark of the walk."""
    route, about = setting.route, setting.trip.about
    moonlit = moonlit_spans(route.latitude_deg, route.longitude_deg, about.date, setting.timezone)
    lit_s = sum(
        dark_between_s(leave, arrive, moonlit)
        for leave, arrive in zip(days.leave_clock_s, days.arrive_clock_s[1:], strict=True)
    )
    return SkyPlan(
        places=tuple(
            PlaceSun(
                name=place.name,
                elevation_m=place.elevation_m,
                spans_clock_s=_pairs(place.sun.spans_clock_s),
                first_clock_s=place.sun.first_clock_s,
                last_clock_s=place.sun.last_clock_s,
                highest_horizon_deg=float(place.horizon.altitude_deg.max()),
                horizon_says=place.horizon_says,
                notes=_sun_notes(place),
            )
            for place in setting.sky
        ),
        moonlit_spans_clock_s=_pairs(moonlit),
        moonlit_walking_s=_triple(np.asarray(lit_s)),
        moon_says=_moon_says(setting, moonlit),
    )


def _sun_notes(place: PlaceSky) -> tuple[str, ...]:
    """A slab that lies in its own shade all day must not pass for one whose sun is not known."""
    shade = place.plane is not None and not len(place.sun.spans_clock_s)
    return (*(("no sun falls on it on this day",) if shade else ()), *place.notes)


def plan_weather(setting: Setting, draws: Draws, days: Days) -> WeatherPlan:
    """The weather of the day and of the rock, over the simulated days."""
    weather, typed = setting.weather, setting.trip.weather.rock is not None
    met = rock_met(setting.itinerary, draws, days)
    return WeatherPlan(
        source=weather.source,
        says=weather.says,
        notes=(*weather.notes, *_slab_notes(setting)),
        rocks=STATES,
        rock=setting.rock.name,
        rock_typed=typed,
        rock_says=_rock_says(setting, met),
        met=tuple(RockMet(_way(setting, leg.leg), _triple(leg.clock_s), leg.share) for leg in met),
        there=tuple(_there(setting, draws, days)),
        hours=() if setting.slab is None else tuple(_slab_hours(setting, setting.slab)),
        storm_says=setting.storm_says,
        attribution=weather.attribution,
    )


# --- the sky -------------------------------------------------------------------------------------------------------


def _moon_says(setting: Setting, moonlit: Floats) -> str:
    share = show_share(setting.light.moon_lit_share)
    spans = [f"{say_clock(start_s)} to {say_clock(end_s)}" for start_s, end_s in _in_view(setting, moonlit)]
    if not _in_view(setting, setting.itinerary.dark_spans_clock_s):
        return f"The moon is {share} lit; it does not get dark on this day."
    if not spans:
        return f"The moon is {share} lit and lights no dark hour of this day: count on lamps."
    return (
        f"The moon is {share} lit and over {MOONLIT_ALTITUDE_DEG:.0f} degrees up in the dark from {'; '.join(spans)}: "
        "under a clear sky it lights open ground. Bring lamps all the same."
    )


def _in_view(setting: Setting, spans: Floats) -> tuple[tuple[float, float], ...]:
    """The spans that touch the night before the start or the one after it."""
    start_s = setting.trip.morning_clock_s
    from_s, to_s = start_s - 24 * HOUR_S, max(start_s + 24 * HOUR_S, 30 * HOUR_S)
    return tuple((first_s, last_s) for first_s, last_s in _pairs(spans) if last_s > from_s and first_s < to_s)


# --- the way -------------------------------------------------------------------------------------------------------


def _there(setting: Setting, draws: Draws, days: Days) -> Iterator[WeatherThere]:
    """The weather at every passing, each day at its own time and in its own course; nothing where none is given.

    A passing whose weather is not known as often as counts is not known: the days that are early enough for the last
    hours of a forecast would tell of another time than the others'.
    """
    for i, point in enumerate(setting.route.points):
        hours = setting.weather.at(point.name, point.elevation_m)
        if hours is None:
            return
        arrive_s = np.broadcast_to(days.arrive_clock_s[i], (draws.days,))
        member = draws.member % hours.members
        temperature_C = _at(hours, hours.temperature_C, member, arrive_s)
        wind_m_s = _at(hours, hours.wind_m_s, member, arrive_s)
        humidity = _at(hours, hours.humidity_share, member, arrive_s)
        rain_mm = _at(hours, hours.rain_mm, member, arrive_s)
        known = np.isfinite(rain_mm)
        if 1.0 - known.mean() >= COUNTS_FROM_SHARE:
            nothing = np.full(arrive_s.shape, math.nan)
            temperature_C, wind_m_s, humidity, known = nothing, nothing, nothing, np.zeros(arrive_s.shape, bool)
        yield WeatherThere(
            name=point.name,
            way="up" if point.way == "up" else "down",
            elevation_m=point.elevation_m,
            clock_s=_triple(arrive_s),
            temperature_C=_triple(temperature_C),
            wind_m_s=_triple(wind_m_s),
            rain_share=float(np.mean(rain_mm[known] >= RAIN_FROM_MM)) if known.any() else math.nan,
            felt=felt_like(temperature_C, wind_m_s, humidity),
        )


def _at(hours: HourlyWeather, values: Floats, member: NDArray[np.int64], clock_s: Floats) -> Floats:
    """Values of each day's own course in the hour of its own clock time; NaN outside the hours."""
    hour = np.floor((clock_s - hours.clock_s[0]) / HOUR_S).astype(np.int64)
    inside = (hour >= 0) & (hour < hours.clock_s.size)
    found = values[member, np.where(inside, hour, 0)]
    return np.where(inside, found, np.nan)


# --- the slab ------------------------------------------------------------------------------------------------------


def _slab_hours(setting: Setting, slab: SlabWeather) -> Iterator[SlabHour]:
    hours, start_s = slab.hours, setting.trip.morning_clock_s
    from_s = min(_SHOWN_FROM_S, start_s)
    temperature_C, wind_m_s = hours.quantiles(hours.temperature_C, RANGE), hours.quantiles(hours.wind_m_s, RANGE)
    rock_C = hours.quantiles(slab.rock.rock_C, RANGE)
    for i in np.flatnonzero((hours.clock_s >= from_s) & (hours.clock_s < _SHOWN_TO_S)):
        clock_s = float(hours.clock_s[i])
        end_s = max(clock_s + HOUR_S, start_s)
        known = bool(np.isfinite(hours.temperature_C[0, i]))
        yield SlabHour(
            clock_s=clock_s,
            temperature_C=_of(temperature_C[:, i]),
            wind_m_s=_of(wind_m_s[:, i]),
            rain_share=float(np.mean(hours.rain_mm[:, i] >= RAIN_FROM_MM)) if known else math.nan,
            rain_mm=float(hours.rain_mm[:, i].mean()),
            cloud_share=float(hours.cloud_share[:, i].mean()),
            sun_share=float(slab.sun.shines_share[i]),
            rock_C=_of(rock_C[:, i]),
            rock_share=tuple(float(np.mean(slab.rock.state[:, i] == number)) for number in range(len(STATES))),
            storm_begun_share=float(1.0 - setting.storm.none_between_share(start_s, end_s)),
        )


def _slab_notes(setting: Setting) -> Iterator[str]:
    """What was taken for what nobody typed or knows about the slab, where it bears on the day."""
    if setting.slab is None:
        return
    if setting.trip.line.facing_deg is None:
        yield "nobody typed line.facing, so no sun is taken to dry the slab"
    rock, start_s = setting.slab.rock, setting.trip.morning_clock_s
    for clock_s in rock.clock_s[rock.assumed_wet]:
        if start_s - 24 * HOUR_S < clock_s < start_s + 24 * HOUR_S:
            yield f"before {say_clock(float(clock_s))} nothing is known, so the slab is taken as wet then"


def _rock_says(setting: Setting, met: tuple[Met, ...]) -> str:
    """Why the line is judged by the state it is judged by."""
    rock = setting.rock.name
    if setting.trip.weather.rock is not None:
        return f"{rock} all day, as typed."
    if setting.slab is None:
        return "Nothing says how the rock will be: dry is assumed."
    ways = [
        f"going {_way(setting, leg.leg)} about {say_clock(float(np.median(leg.clock_s)))}: {_shares(leg.share)}"
        for leg in met
    ]
    return f"{'; '.join(ways)}. The line is judged on {rock} rock."


def _shares(share: tuple[float, ...]) -> str:
    found = [f"{state} on {show_share(part)}" for state, part in zip(STATES, share, strict=True) if part > 0.0]
    return ", ".join(found) + " of days"


def _way(setting: Setting, leg: int) -> Literal["up", "down"]:
    point = setting.route.points[setting.route.legs[leg].end]
    return "up" if point.way == "up" else "down"


def _pairs(spans: Floats) -> tuple[tuple[float, float], ...]:
    return tuple((float(start), float(end)) for start, end in spans)


def _triple(values: Floats) -> Triple:
    known = values[np.isfinite(values)]
    return (math.nan,) * 3 if known.size == 0 else _of(np.quantile(known, RANGE))


def _of(values: Floats) -> Triple:
    low, middle, high = (float(value) for value in values)
    return low, middle, high
