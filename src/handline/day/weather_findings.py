"""What to act on about the weather: rock, storms on the open rock, cold, heat, and what a forecast does not say."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handline.day.computed import Computed, Rule
from handline.day.plan import Finding, Level
from handline.day.plan_weather import WeatherThere
from handline.day.rock_setting import COUNTS_FROM_SHARE
from handline.day.sky_setting import terrain_unread
from handline.day.weather_setting import OLD_FORECAST_S
from handline.quantity import Units, say_clock, show_duration, show_share, show_speed, show_temperature
from handline.sources import source
from handline.weather.categories import FROSTBITE, HEAT, Scale
from handline.weather.hours import HOUR_S
from handline.weather.index_registry import INDICES
from handline.weather.lightning import RULE_SOURCE, RULE_WORDS

# A storm that begins before the party is off the line on more days than this is no risk to take knowingly; from the
# second on it is one to know of. [practice_weather_findings]
STORM_STOPS_FROM, STORM_COUNTS_FROM = 0.10, 0.02
# Ice that is met on more days than this is acted on, even where the line is judged by another state.
# [practice_weather_findings]
ICE_COUNTS_FROM = 0.02
# So many hours on end of dry rock are worth waiting for: up the line and down again. [practice_weather_findings]
DRY_HOURS, DRY_FROM_SHARE = 3, 0.9
# Where a strong breeze and a gale begin on Beaufort's scale. [beaufort_memory]
STRONG_BREEZE_M_S, GALE_M_S = 10.8, 17.2
# On most days it is warmest between these hours. [practice_weather_findings]
WARMEST_FROM_S, WARMEST_TO_S = 10 * 3600.0, 19 * 3600.0
# The step of a scale from which a finding is due, and the one from which the day is not to be gone like this.
_HEED_FROM = {FROSTBITE.name: "10_to_30_min", HEAT.name: "extreme_caution"}
_STOP_FROM = {FROSTBITE.name: "5_to_10_min", HEAT.name: "extreme_danger"}

_NOTES = "Its notes say how it was read, and what was taken for what it does not say."


def _slab(c: Computed) -> Iterator[Finding]:
    """Damp, wet or iced rock when the party ties on, with the hours in which it is; a typed rock has its own words."""
    weather = c.weather
    if weather.rock_typed or not weather.hours:
        return
    for met in weather.met:
        share = dict(zip(weather.rocks, met.share, strict=True))
        slippery = {state: share[state] for state in ("iced", "wet", "damp") if share[state] > 0.0}
        iced = share["iced"]
        if iced >= ICE_COUNTS_FROM or sum(slippery.values()) >= COUNTS_FROM_SHARE:
            level: Level = "stop" if iced >= COUNTS_FROM_SHARE else "heed"
            found = ", ".join(f"{state} on {show_share(part)}" for state, part in slippery.items())
            yield Finding(
                level,
                f"slab_{met.way}",
                f"Going {met.way} you tie on about {say_clock(met.clock_s[1])}: the slab is {found} of days.",
                _better_hours(c),
                source("our_rock_rules").words,
            )


def _better_hours(c: Computed) -> str:
    """From when on the slab is dry on most days, in the light and in time; or that it is not in a day and a night.

    Nothing where it is dry only at hours nobody should wait for: in the dark, or past the latest time at the foot.
    """
    start_s = c.setting.trip.morning_clock_s
    later = [hour for hour in c.weather.hours if start_s <= hour.clock_s < start_s + 24 * HOUR_S]
    dry = c.weather.rocks.index("dry")
    dry_from_s = [
        hour.clock_s
        for number, hour in enumerate(later[: 1 - DRY_HOURS])
        if all(other.rock_share[dry] >= DRY_FROM_SHARE for other in later[number : number + DRY_HOURS])
    ]
    if not dry_from_s:
        return "In the day after the start it is not dry on nine days in ten for three hours on end."
    first_s = next((clock_s for clock_s in dry_from_s if _in_time_and_light(c, clock_s)), None)
    if first_s is None:
        return ""
    return f"It is dry on nine days in ten from {say_clock(first_s)} on for three hours or more."


def _in_time_and_light(c: Computed, clock_s: float) -> bool:
    """Whether a party at the foot then is not past its latest time there, and up and down again before it gets dark."""
    foot = next(leg.start for leg in c.setting.route.legs if leg.is_line)
    # Compared so that no latest time at all is no time either; none is known where ways are only set side by side.
    if not c.latest_clock_s or not clock_s <= c.latest_clock_s[foot] + float(c.setting.itinerary.stop_s[foot]):
        return False
    if clock_s >= 24 * HOUR_S:
        return False
    spans_s = c.setting.itinerary.dark_spans_clock_s.tolist()
    return all(clock_s + DRY_HOURS * HOUR_S <= begin_s or end_s <= clock_s for begin_s, end_s in spans_s)


def _rock_guessed(c: Computed) -> Iterator[Finding]:
    if "rock" in c.setting.guessed:
        yield Finding(
            "heed",
            "rock_guessed",
            "Nothing says how the rock will be: dry is assumed. Give a forecast or the months in [weather], or type "
            "weather.rock.",
        )


def _storm_on_the_line(c: Computed) -> Iterator[Finding]:
    """The chance that a storm begins while the party is above the foot of the line, on the line or at the top."""
    share = c.storm_above_share
    if share < STORM_COUNTS_FROM:
        return
    yield Finding(
        "stop" if share >= STORM_STOPS_FROM else "heed",
        "storm_on_the_line",
        f"On {show_share(share)} of days a storm begins before you are off the line. On the cable or the top in a "
        "storm there is nowhere to go: start earlier, or go another day.",
        " ".join((f"Storms: {c.setting.storm_says}.", *RULE_WORDS)),
        source(RULE_SOURCE).words,
    )


def _felt(c: Computed) -> Iterator[Finding]:
    units = c.setting.trip.about.units
    for scale, key, what in ((FROSTBITE, "cold", "Cold"), (HEAT, "heat", "Heat")):
        title = INDICES[scale.index].title
        felt = [there for there in c.weather.there if there.felt is not None and there.felt.index == title]
        worst = max(felt, key=lambda there: _rank(scale, there), default=None)
        if worst is None or worst.felt is None or _rank(scale, worst) < _step(scale, _HEED_FROM[scale.name]):
            continue
        yield Finding(
            "stop" if _rank(scale, worst) >= _step(scale, _STOP_FROM[scale.name]) else "heed",
            key,
            f"{what} at {worst.name} about {say_clock(worst.clock_s[1])}: {worst.felt.says}.",
            f"{title} {show_temperature(worst.felt.value_C, units)} on the careful tenth of days; "
            f"the air {show_temperature(worst.temperature_C[0], units)} to "
            f"{show_temperature(worst.temperature_C[2], units)}.",
            worst.felt.source,
        )


def _wind(c: Computed) -> Iterator[Finding]:
    """Wind on the line and at the top, at the windy tenth of days, on Beaufort's scale."""
    high = [there for there in c.weather.there if there.elevation_m >= c.setting.sky[0].elevation_m]
    worst = max(high, key=lambda there: np.nan_to_num(there.wind_m_s[2]), default=None)
    if worst is None or not worst.wind_m_s[2] >= STRONG_BREEZE_M_S:
        return
    gale = worst.wind_m_s[2] >= GALE_M_S
    yield Finding(
        "stop" if gale else "heed",
        "wind",
        f"Wind at {worst.name} about {say_clock(worst.clock_s[1])}: up to {show_speed(worst.wind_m_s[2], _units(c))} "
        "on nine days in ten, "
        + ("a gale, in which walking is hard and no hand is free." if gale else "and gusts and ridges make it more."),
        "A mean over minutes, as the forecast or the months have it.",
        source("beaufort_memory").words,
    )


def _units(c: Computed) -> Units:
    return c.setting.trip.about.units


def _rank(scale: Scale, there: WeatherThere) -> int:
    words = [step.words for step in scale.steps]
    return -1 if there.felt is None else words.index(there.felt.says)


def _step(scale: Scale, key: str) -> int:
    return [step.key for step in scale.steps].index(key)


def _forecast(c: Computed) -> Iterator[Finding]:
    """How old a forecast is, which hours of the party's day it leaves out, and what was taken for what it lacks."""
    weather = c.setting.weather
    if weather.source == "nothing":
        return
    missing = [there for there in c.weather.there if not np.isfinite(there.temperature_C[1])]
    if missing:
        yield Finding(
            "heed",
            "weather_unknown",
            f"The weather is not known when you are at {missing[0].name} about {say_clock(missing[0].clock_s[1])}"
            + (f" and at {len(missing) - 1} more passings" if len(missing) > 1 else "")
            + ". Rock that nobody knows counts as wet.",
            "; ".join(weather.notes),
        )
    elif weather.notes:
        detail = "; ".join(weather.notes)
        yield Finding("note", "weather_notes", f"{c.weather.says} {_NOTES}", f"{detail[0].upper()}{detail[1:]}.")
    lead_s = c.setting.trip.morning_clock_s - weather.issued_clock_s
    if lead_s > OLD_FORECAST_S:
        yield Finding(
            "heed",
            "forecast_old",
            f"The forecast was made {show_duration(lead_s)} before the start: get a newer one the evening before.",
            source=source("practice_weather_findings").words,
        )


def _forecast_clock(c: Computed) -> Iterator[Finding]:
    """A day that is warmest at night is a forecast in another time zone, or a change of air."""
    warmest_s = c.setting.weather.warmest_clock_s
    if np.isfinite(warmest_s) and not WARMEST_FROM_S <= warmest_s <= WARMEST_TO_S:
        yield Finding(
            "heed",
            "forecast_clock",
            f"The forecast has the warmest hour of the day at {say_clock(warmest_s)}: check that its times are in the "
            "zone they say, or every hour of weather here is off.",
            source=source("practice_weather_findings").words,
        )


def _horizon(c: Computed) -> Iterator[Finding]:
    if terrain_unread(c.setting.trip):
        yield Finding(
            "heed",
            "terrain_unread",
            f"{c.setting.trip.route.terrain} is not read, so every horizon without typed bearings is level: the sun "
            'comes later than shown and the rock dries later. Install the extra "dem".',
        )


RULES: tuple[Rule, ...] = (
    _slab,
    _rock_guessed,
    _storm_on_the_line,
    _felt,
    _wind,
    _forecast,
    _forecast_clock,
    _horizon,
)
