"""The light and the storms of a Plan."""

from __future__ import annotations

import numpy as np

from handline.day.limits import exposed_from_s
from handline.day.plan import RANGE, Light, Storm
from handline.day.simulation import Days, Floats
from handline.day.subjects import Setting
from handline.sky.events import POLAR
from handline.sources import source


def light_of(setting: Setting, dark_s: Floats) -> Light:
    light = setting.light
    low, middle, high = np.quantile(dark_s, RANGE)
    return Light(
        civil_dawn_clock_s=light.civil_dawn_clock_s,
        sunrise_clock_s=light.sunrise_clock_s,
        noon_clock_s=light.noon_clock_s,
        sunset_clock_s=light.sunset_clock_s,
        civil_dusk_clock_s=light.civil_dusk_clock_s,
        moon_share=light.moon_lit_share,
        moonrise_clock_s=light.moonrise_clock_s,
        moonset_clock_s=light.moonset_clock_s,
        says=POLAR[light.polar] if light.polar else "",
        dark_spans_clock_s=tuple((float(start), float(end)) for start, end in setting.itinerary.dark_spans_clock_s),
        dark_walking_s=(float(low), float(middle), float(high)),
    )


def storm_of(setting: Setting) -> Storm:
    start_s = setting.trip.morning_clock_s
    clock_s = np.arange(0.0, 48 * 3600.0 + 1.0, 1800.0)
    return Storm(
        chance=setting.storm_chance,
        typed="storm_chance" not in setting.guessed,
        clock_s=_floats(clock_s),
        begun_share=_floats(1.0 - setting.storm.none_between_share(start_s, np.maximum(clock_s, start_s))),
        source=source("nws_pueblo_lightning").words,
    )


def storm_above_share(setting: Setting, days: Days) -> float:
    """The chance that a storm begins after the morning's start and before the party is off the line for good."""
    off_line_s = days.arrive_clock_s[setting.itinerary.off_line]
    return float(1.0 - setting.storm.none_between_share(exposed_from_s(setting.itinerary, days), off_line_s).mean())


def _floats(values: Floats) -> tuple[float, ...]:
    return tuple(float(value) for value in values)
