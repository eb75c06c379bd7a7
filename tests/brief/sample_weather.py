"""An invented sky and weather for the tests of the pages: several states of the rock, hours not known, a moonlit start.

Plausible numbers of no real place, made up here, computed by nobody.
"""

from __future__ import annotations

import math
from dataclasses import replace

from handline.day.plan import Finding, Light, Storm
from handline.day.plan_weather import (
    Felt,
    PlaceSun,
    RockMet,
    SkyPlan,
    SlabHour,
    Triple,
    WeatherPlan,
    WeatherThere,
)
from handline.day.weather_report import WeatherProvenance, WeatherReport

HOUR_S = 3600.0
NAN = math.nan
NOT_KNOWN: Triple = (NAN, NAN, NAN)
ROCKS = ("dry", "damp", "wet", "iced")
FIRST_H, LAST_H, GAP_H = 2, 24, (20, 21)

# dry, damp, wet, iced from each hour on; what is missing is not known
ROCK_FROM_H = {
    2: (0.45, 0.20, 0.15, 0.20),
    5: (0.55, 0.25, 0.12, 0.08),
    7: (0.80, 0.12, 0.08, 0.0),
    9: (0.93, 0.04, 0.03, 0.0),
    13: (0.72, 0.10, 0.18, 0.0),
    15: (0.42, 0.16, 0.42, 0.0),
    17: (0.30, 0.22, 0.38, 0.0),
    20: (NAN, NAN, NAN, NAN),
    22: (0.35, 0.25, 0.20, 0.05),
}


def sample_light() -> Light:
    dark_s = ((-2.0 * HOUR_S, 4.87 * HOUR_S), (22.47 * HOUR_S, 28.9 * HOUR_S))
    return Light(4.87 * HOUR_S, 5.45 * HOUR_S, 13.67 * HOUR_S, 21.9 * HOUR_S, 22.47 * HOUR_S, 0.93,
                 20.1 * HOUR_S, NAN, "", dark_s, (1800.0, 2100.0, 3100.0))  # fmt: skip


def sample_storm() -> Storm:
    clock_s = tuple(hour * HOUR_S for hour in range(49))
    begun = tuple(0.30 / (1.0 + math.exp(-(clock / HOUR_S - 14.0) / 1.1)) for clock in clock_s)
    return Storm(0.30, True, clock_s, begun, "NWS Pueblo, statewide flashes by hour, July 1996 to 2016")


def sample_sky() -> SkyPlan:
    """The slab loses the sun behind a ridge for an hour; the summit keeps it all day; the start has a flat horizon."""
    model, flat = "the height model round the route, as far as 40 km", "a flat horizon: no height model there"
    return SkyPlan(
        places=(
            _sun("the slab", 2553.0, ((7.6, 11.1), (12.2, 18.4)), 24.3, model,
                 ("rock nearer than 30 m is not in the height model",)),
            _sun("Tamsin summit", 2648.0, ((5.6, 21.6),), 3.1, model, ()),
            _sun("Larch Landing", 1262.0, ((6.4, 20.2),), 0.0, flat, ("trees are not counted",)),
        ),
        moonlit_spans_clock_s=((0.0, 3.4 * HOUR_S), (22.47 * HOUR_S, 27.0 * HOUR_S)),
        moonlit_walking_s=(0.0, 900.0, 1500.0),
        moon_says="The moon is 93 % lit and stands over the ridges until 03:24.",
    )  # fmt: skip


def _sun(name: str, elevation_m: float, spans_h: tuple[tuple[float, float], ...], highest_deg: float, says: str,
         notes: tuple[str, ...]) -> PlaceSun:  # fmt: skip
    spans_s = tuple((from_h * HOUR_S, to_h * HOUR_S) for from_h, to_h in spans_h)
    first_s, last_s = (spans_s[0][0], spans_s[-1][1]) if spans_s else (NAN, NAN)
    return PlaceSun(name, elevation_m, spans_s, first_s, last_s, highest_deg, says, notes)


def polar_sky(sun: bool) -> SkyPlan:
    """A day on which the sun neither comes nor goes: up all day, or down all day."""
    spans_s = ((-12.0 * HOUR_S, 36.0 * HOUR_S),) if sun else ()
    sky = sample_sky()
    places = tuple(
        replace(place, spans_clock_s=spans_s, first_clock_s=NAN, last_clock_s=NAN, highest_horizon_deg=NAN)
        for place in sky.places
    )
    says = "The moon is up all day." if sun else "The moon does not rise."
    return replace(sky, places=places, moonlit_spans_clock_s=(), moonlit_walking_s=(0.0, 0.0, 0.0), moon_says=says)


def sample_hours() -> tuple[SlabHour, ...]:
    """From 02:00 to midnight, two hours of it not known."""
    return tuple(_hour(hour) for hour in range(FIRST_H, LAST_H))


def _hour(hour: int) -> SlabHour:
    share = ROCK_FROM_H[max(from_h for from_h in ROCK_FROM_H if from_h <= hour)]
    if hour in GAP_H:
        return SlabHour(hour * HOUR_S, NOT_KNOWN, NOT_KNOWN, NAN, NAN, NAN, NAN, NOT_KNOWN, share, NAN)
    middle_C = 6.0 + 7.5 * math.sin(math.pi * (hour - 8.0) / 15.0)
    rain = max(0.03, 0.46 - 0.07 * abs(hour - 15.5))
    return SlabHour(
        clock_s=hour * HOUR_S,
        temperature_C=(middle_C - 2.4, middle_C, middle_C + 1.9),
        wind_m_s=(2.0 + 0.1 * hour, 3.5 + 0.2 * hour, 5.5 + 0.3 * hour),
        rain_share=rain,
        rain_mm=2.2 * rain,
        cloud_share=min(1.0, 0.2 + 0.03 * hour),
        sun_share=1.0 if 8 <= hour < 18 else 0.0,
        rock_C=(middle_C - 3.0, middle_C + 1.0, middle_C + 6.0),
        rock_share=share,
        storm_begun_share=0.30 / (1.0 + math.exp(14.0 - hour)),
    )


def sample_there() -> tuple[WeatherThere, ...]:
    """Five passings: nothing felt, cold felt, and one of which nothing is known."""
    chill = Felt("Wind chill", -5.4, "cold: frostbite is unlikely, wet and wind wear you down", "from memory")
    return (
        WeatherThere("Larch Landing", "up", 1262.0, _triple(4.0, 0.0), (6.0, 8.0, 9.5), (1.0, 2.0, 3.5), 0.04, None),
        WeatherThere("Foot of the cables", "up", 2521.0, _triple(10.5, 0.5), (6.0, 9.0, 11.0), (3.5, 5.0, 8.0), 0.11,
                     chill),
        WeatherThere("Tamsin summit", "up", 2648.0, _triple(12.2, 0.6), (-1.0, 1.5, 3.0), (4.0, 7.0, 12.0), 0.22,
                     chill),
        WeatherThere("Foot of the cables", "down", 2521.0, _triple(14.2, 0.7), (8.0, 12.0, 14.0), (4.5, 6.0, 9.0),
                     0.35, None),
        WeatherThere("Larch Landing", "down", 1262.0, _triple(19.4, 1.0), NOT_KNOWN, NOT_KNOWN, NAN, None),
    )  # fmt: skip


def _triple(middle_h: float, spread_h: float) -> Triple:
    return (middle_h - spread_h) * HOUR_S, middle_h * HOUR_S, (middle_h + 1.3 * spread_h) * HOUR_S


def sample_weather() -> WeatherPlan:
    """A day from a forecast, its rock reckoned hour by hour."""
    return WeatherPlan(
        source="forecast",
        says="From a forecast of 31 courses, issued the evening before and read at 2,553 m.",
        notes=("No humidity for two hours: those are not known.", "Wind is as forecast, not turned by the ridge."),
        rocks=ROCKS,
        rock="damp",
        rock_typed=False,
        rock_says="The line is judged on damp rock: one day in ten it is no better than that when the party ties on.",
        met=(
            RockMet("up", _triple(10.5, 0.6), (0.90, 0.06, 0.04, 0.0)),
            RockMet("down", _triple(13.1, 0.9), (0.66, 0.12, 0.18, 0.0)),
        ),
        there=sample_there(),
        hours=sample_hours(),
        storm_says="The forecast has a storm on 30 % of its courses; the hours are as storms are there in July.",
        attribution="Forecast: an invented service, made up for this page.",
    )


def typed_weather() -> WeatherPlan:
    """Rock as typed, with no weather at all."""
    return WeatherPlan("nothing", "No weather is known for this day.", (), ROCKS, "wet", True,
                       "The trip file says the rock is wet, all day.", (), (), (), "The chance of a storm is typed.",
                       "")  # fmt: skip


def no_weather() -> WeatherPlan:
    """Neither weather nor rock is told."""
    return replace(
        typed_weather(), rock="dry", rock_typed=False, rock_says="The rock is taken as dry: nothing is told."
    )


def sample_weather_report() -> WeatherReport:
    """The invented sky and weather as a report of its own."""
    return WeatherReport(
        name="Tamsin Dome in one push",
        date="2027-07-17",
        units="us",
        timezone="America/Denver",
        level="heed",
        headline="Wet rock is likely from 15:00: be down before it.",
        findings=(
            Finding("heed", "rock_wet", "The rock is wet on four days in ten from 15:00 on.", "Dry on 42 % of days.",
                    "the forecast"),
            Finding("note", "moon", "The moon lights the first walk until 03:24."),
        ),
        light=sample_light(),
        storm=sample_storm(),
        sky=sample_sky(),
        weather=sample_weather(),
        cautions=(
            "A forecast is a guess: look at the sky, and at the rock before you tie on.",
            "The land manager's rules come before this page.",
        ),
        provenance=WeatherProvenance("0.1.0", 1, 10000, "trip.toml", "9f2c" * 16),
    )  # fmt: skip
