"""The sky and the weather in words: what the brief and the page of the weather tell, in the party's units."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

from handline.brief.figures.rock_shares import LEAST_SHARE, NOT_KNOWN, rock_shares
from handline.brief.words import is_known, least_rain_words, said, said_span
from handline.day.plan import Light, Storm
from handline.day.plan_weather import PlaceSun, SkyPlan, SlabHour, WeatherPlan, WeatherThere
from handline.quantity import (
    Units,
    show_angle,
    show_clock,
    show_duration,
    show_height,
    show_rain,
    show_share,
    show_speed,
    show_temperature,
)

NOT_ON_THIS_DAY = "none on this day"
NO_SUN = "no sun on this day"
SUN_ALL_DAY = "sun all day"
NO_INDEX = "no index of cold or heat applies"


class SkyAndWeather(Protocol):
    """A plan or a report: what is told here of the day."""

    @property
    def units(self) -> Units: ...

    @property
    def light(self) -> Light: ...

    @property
    def sky(self) -> SkyPlan: ...

    @property
    def storm(self) -> Storm: ...

    @property
    def weather(self) -> WeatherPlan: ...


@dataclass(frozen=True)
class Fact:
    """One fact of the row of facts."""

    title: str
    words: str
    small: str = ""


@dataclass(frozen=True)
class SunRow:
    """When the sun reaches and leaves a place. ``spans`` is empty where it stays in between."""

    place: str
    height: str
    first: str
    last: str
    spans: str
    horizon: str


@dataclass(frozen=True)
class ThereRow:
    """The weather at one passing."""

    place: str
    where: str
    clock: str
    clock_span: str
    temperature: str
    wind: str
    felt_index: str
    felt_says: str
    rain: str


@dataclass(frozen=True)
class HourRow:
    """The weather and the rock at the slab in one hour; ``rock`` has a share for each state, none where not known."""

    clock: str
    temperature: str
    wind: str
    rain: str
    rain_amount: str
    cloud: str
    sun: str
    rock_temperature: str
    rock: tuple[str, ...]


@dataclass(frozen=True)
class WeatherShown:
    """Everything the pages tell of the light and the weather, in words.

    ``rocks`` are the states told of every hour: none where the rock is typed.
    """

    first_facts: tuple[Fact, ...]
    light_says: str
    light_facts: tuple[Fact, ...]
    sun: tuple[SunRow, ...]
    sun_notes: tuple[str, ...]
    dark: str
    moon: str
    says: str
    notes: tuple[str, ...]
    there: tuple[ThereRow, ...]
    rock: str
    storm: str
    storm_chance: str
    storm_source: str
    rocks: tuple[str, ...]
    hours: tuple[HourRow, ...]
    attribution: str
    least_rain: str


def weather_shown(day: SkyAndWeather) -> WeatherShown:
    """The light and weather of a plan or a report, in words."""
    weather, units = day.weather, day.units
    return WeatherShown(
        first_facts=_first_facts(day),
        light_says=day.light.says,
        light_facts=_light_facts(day.light),
        sun=tuple(_sun_row(place, units) for place in day.sky.places),
        sun_notes=_sun_notes(day.sky.places),
        dark=dark_sentence(day.light, day.sky),
        moon=as_sentence(day.sky.moon_says),
        says=as_sentence(weather.says),
        notes=tuple(as_sentence(note) for note in weather.notes),
        there=_there_rows(weather.there, units),
        rock=as_sentence(weather.rock_says),
        storm=as_sentence(weather.storm_says),
        storm_chance=said(day.storm.chance, show_share, NOT_KNOWN),
        storm_source=day.storm.source,
        rocks=() if weather.rock_typed else weather.rocks,
        hours=tuple(_hour_row(hour, weather, units) for hour in weather.hours),
        attribution=as_sentence(weather.attribution),
        least_rain=least_rain_words(units),
    )


def as_sentence(words: str) -> str:
    """Words that stand by themselves: with a capital first and a full stop last; nothing of nothing."""
    if not words:
        return ""
    return words[0].upper() + words[1:] + ("" if words.endswith((".", "!", "?")) else ".")


def _first_facts(day: SkyAndWeather) -> tuple[Fact, ...]:
    """What a leader asks first: sun on the slab, the rock the line is judged by, storms."""
    weather = day.weather
    slab = [Fact("Sun reaches the slab", first_sun_words(place), _until(place)) for place in day.sky.places[:1]]
    rock = Fact("The line is judged on", f"{weather.rock} rock", "as the trip file says" if weather.rock_typed else "")
    return (*slab, rock, Fact("A storm at some time", said(day.storm.chance, show_share, NOT_KNOWN)))


def _until(place: PlaceSun) -> str:
    return f"the last at {show_clock(place.last_clock_s)}" if is_known(place.last_clock_s) else ""


# --- light -----------------------------------------------------------------------------------------------------------


def _light_facts(light: Light) -> tuple[Fact, ...]:
    clocks = (
        ("First light", light.civil_dawn_clock_s),
        ("Sunrise", light.sunrise_clock_s),
        ("Sun highest", light.noon_clock_s),
        ("Sunset", light.sunset_clock_s),
        ("Last light", light.civil_dusk_clock_s),
        ("Moonrise", light.moonrise_clock_s),
        ("Moonset", light.moonset_clock_s),
    )
    return (
        *(_clock_fact(title, clock_s) for title, clock_s in clocks),
        Fact("Moon lit", said(light.moon_share, show_share, NOT_KNOWN)),
    )


def _clock_fact(title: str, clock_s: float) -> Fact:
    return Fact(title, show_clock(clock_s)) if is_known(clock_s) else Fact(title, "", NOT_ON_THIS_DAY)


def first_sun_words(place: PlaceSun) -> str:
    """When the sun first reaches a place; in words where it does not come that day."""
    if not place.spans_clock_s:
        return NO_SUN
    return said(place.first_clock_s, show_clock, _no_edge(place))


def last_sun_words(place: PlaceSun) -> str:
    """When the sun last leaves a place; in words where it does not go that day."""
    if not place.spans_clock_s:
        return NO_SUN
    return said(place.last_clock_s, show_clock, _no_edge(place))


def _no_edge(place: PlaceSun) -> str:
    neither = math.isnan(place.first_clock_s) and math.isnan(place.last_clock_s)
    if neither:
        return SUN_ALL_DAY
    return "there before this day" if math.isnan(place.first_clock_s) else "stays past this day"


def _sun_row(place: PlaceSun, units: Units) -> SunRow:
    spans = [f"{show_clock(from_s)} to {show_clock(to_s)}" for from_s, to_s in place.spans_clock_s]
    highest = ""
    if is_known(place.highest_horizon_deg) and place.highest_horizon_deg >= 0.5:
        highest = f", up to {show_angle(math.radians(place.highest_horizon_deg))} high"
    return SunRow(
        place=place.name,
        height=said(place.elevation_m, lambda height_m: show_height(height_m, units), NOT_KNOWN),
        first=first_sun_words(place),
        last=last_sun_words(place),
        spans=", ".join(spans) if len(spans) > 1 else "",
        horizon=place.horizon_says + highest,
    )


def _sun_notes(places: Sequence[PlaceSun]) -> tuple[str, ...]:
    """Every note once, with the places it is about."""
    about: dict[str, list[str]] = {}
    for place in places:
        for note in place.notes:
            about.setdefault(note, []).append(place.name)
    return tuple(as_sentence(f"{', '.join(names)}: {note}") for note, names in about.items())


def dark_sentence(light: Light, sky: SkyPlan) -> str:
    """How long the party walks in the dark, and how much of it the moon lights."""
    _, middle_s, long_s = light.dark_walking_s
    if not is_known(long_s):
        return "How long you walk in the dark is not known."
    if long_s < 30.0:
        return "On nine days in ten you walk in the light all the way."
    middle, long = show_duration(middle_s), show_duration(long_s)
    dark = f"Walked in the dark: {middle}"
    if middle != long:
        dark = f"Walked in the dark: half the days up to {middle}, one day in ten over {long}"
    lit_s = sky.moonlit_walking_s[1]
    if not is_known(lit_s):
        return f"{dark}. How much of it the moon lights is not known."
    if lit_s < 30.0:
        return f"{dark}. On half the days or more the moon lights none of it."
    return f"{dark}. Under a clear sky the moon lights {show_duration(lit_s)} of it on half the days or more."


# --- weather ---------------------------------------------------------------------------------------------------------


def _there_rows(passings: Sequence[WeatherThere], units: Units) -> tuple[ThereRow, ...]:
    """A row for each passing; how it feels is told in words where they change."""
    rows, last = [], ""
    for there in passings:
        says = there.felt.says if there.felt is not None else ""
        rows.append(_there_row(there, says if says != last else "", units))
        last = says
    return tuple(rows)


def _there_row(there: WeatherThere, felt_says: str, units: Units) -> ThereRow:
    early_s, middle_s, late_s = there.clock_s
    early, late = (said(clock_s, show_clock, NOT_KNOWN) for clock_s in (early_s, late_s))
    index = NO_INDEX if is_known(there.temperature_C[1]) else NOT_KNOWN
    if there.felt is not None:
        index = f"{there.felt.index} {said(there.felt.value_C, _shown(show_temperature, units), NOT_KNOWN)}"
    return ThereRow(
        place=there.name,
        where=f"{there.way} · {show_height(there.elevation_m, units)}",
        clock=said(middle_s, show_clock, NOT_KNOWN),
        clock_span="" if early == late else f"{early} to {late}",
        temperature=said_span(there.temperature_C, show_temperature, units),
        wind=said_span(there.wind_m_s, show_speed, units),
        felt_index=index,
        felt_says=felt_says,
        rain=said(there.rain_share, show_share, NOT_KNOWN),
    )


def _shown(show: Callable[[float, Units], str], units: Units) -> Callable[[float], str]:
    return lambda value: show(value, units)


def _hour_row(hour: SlabHour, weather: WeatherPlan, units: Units) -> HourRow:
    told = rock_shares(hour.rock_share, weather.rocks)
    unknown = told[NOT_KNOWN] > 1.0 - LEAST_SHARE
    return HourRow(
        clock=show_clock(hour.clock_s),
        temperature=said_span(hour.temperature_C, show_temperature, units),
        wind=said_span(hour.wind_m_s, show_speed, units),
        rain=said(hour.rain_share, show_share, NOT_KNOWN),
        rain_amount=said(hour.rain_mm, _shown(show_rain, units), NOT_KNOWN),
        cloud=said(hour.cloud_share, show_share, NOT_KNOWN),
        sun=said(hour.sun_share, show_share, NOT_KNOWN),
        rock_temperature=said_span(hour.rock_C, show_temperature, units),
        rock=() if unknown else tuple(show_share(share) for state, share in told.items() if state != NOT_KNOWN),
    )
