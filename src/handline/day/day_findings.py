"""What to act on about the day: limits, margins, light, clocks, storms."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handline.day.computed import Computed, Rule
from handline.day.gear_check import DARK_ASKS_FOR_LIGHT, in_the_dark
from handline.day.plan import Finding
from handline.quantity import say_clock, show_chance, show_clock, show_duration, show_share
from handline.sky.zones import offset_change_s
from handline.sources import source
from handline.weather.hours import HOUR_S

# Less than this between the planned start and the latest one is a thin margin. Common practice, no source.
THIN_MARGIN_S = 30 * 60.0
# No land keeps a clock further from its sun than this. Common practice, no source.
ZONE_APART_H = 3.5


def _limits_missed(c: Computed) -> Iterator[Finding]:
    chance = c.all_chance
    if chance.kept:
        return
    latest = c.leave_by_clock_s
    if np.isfinite(latest):
        start = show_clock(c.setting.trip.morning_clock_s)
        mend = f"Leave by {say_clock(latest)} instead of {start} and plan that start first, or go another day."
    else:
        mend = "No start meets them on this day: shorten the day, change the limits knowingly, or go another day."
    parts = "; ".join(f"{part.sentence}: {show_chance(part.share)}" for part in c.chances if part.key != "all")
    then = _tying_on_then(c, latest)
    yield Finding(
        "stop",
        "limits_missed",
        f"Your limits hold on {show_chance(chance.share)} of simulated days; you asked for "
        f"{show_share(chance.wanted)}. {mend}",
        f"{parts}. {then}" if then else parts,
    )


def _tying_on_then(c: Computed, leave_clock_s: float) -> str:
    """How the slab is if the party leaves at another time, for limits are of time and storms alone; "" if not known."""
    up = next((met for met in c.weather.met if met.way == "up"), None)
    if up is None or not np.isfinite(leave_clock_s):
        return ""
    then_s = up.clock_s[1] + leave_clock_s - c.setting.trip.morning_clock_s
    hour = next((hour for hour in c.weather.hours if hour.clock_s <= then_s < hour.clock_s + HOUR_S), None)
    if hour is None:
        return ""
    shares = zip(c.weather.rocks, hour.rock_share, strict=True)
    found = ", ".join(f"{state} on {show_share(part)}" for state, part in shares if part > 0.0)
    spans_s = c.setting.itinerary.dark_spans_clock_s
    dark = " in the dark" if any(start_s <= then_s < end_s for start_s, end_s in spans_s) else ""
    leaving = f"Leaving at {say_clock(leave_clock_s)} you tie on about {say_clock(then_s)}{dark}"
    return f"{leaving}; the slab is then {found} of days."


def _thin_margin(c: Computed) -> Iterator[Finding]:
    margin_s = c.leave_by_clock_s - c.setting.trip.morning_clock_s
    if c.all_chance.kept and margin_s < THIN_MARGIN_S:
        delay = f"Only {show_duration(margin_s)}" if margin_s >= 60.0 else "Any minute"
        yield Finding(
            "heed",
            "thin_margin",
            f"{delay} of delay at the start, and your limits no longer hold.",
            f"Latest start {say_clock(c.leave_by_clock_s)}.",
        )


def _party_pace_unused(c: Computed) -> Iterator[Finding]:
    party = c.setting.trip.party
    if party.pace is None or not party.members:
        return
    if all(member.pace is not None or member.fitness is not None for member in party.members):
        guessed = any(member.pace is None for member in party.members)
        yield Finding(
            "heed" if guessed else "note",
            "party_pace_unused",
            "The recorded pace in [party.pace] is not used: every member has a pace or a fitness of their own.",
            "A fitness is that of other people, measured elsewhere. Take it away from those who were there when the "
            "pace was recorded.",
        )


def _light_says(c: Computed) -> Iterator[Finding]:
    light = c.setting.light
    if c.setting.trip.limits.home_before_dark and light.polar == "dark_all_day":
        yield Finding("stop", "no_light", "It is dark all day on this date: home before dark cannot be kept.")


def _clock(c: Computed) -> Iterator[Finding]:
    setting, date = c.setting, c.setting.trip.about.date
    change_s = offset_change_s(date, setting.timezone)
    if change_s:
        way = "forward" if change_s > 0 else "back"
        yield Finding(
            "heed",
            "clock_change",
            f"The clocks go {way} by {show_duration(abs(change_s))} on this date. All times here are on the clock as "
            "it is at midday: before the change your watch shows another hour.",
        )
    hours = setting.light.utc_offset_s / 3600.0
    if abs(hours - setting.route.longitude_deg / 15.0) > ZONE_APART_H:
        yield Finding(
            "heed",
            "zone_far",
            f"The time zone {setting.timezone} (UTC{hours:+g}) is far from the route's longitude: check route.timezone,"
            " or every clock time here is wrong.",
        )


def _dark(c: Computed) -> Iterator[Finding]:
    """Where no light is in the gear list, the gear check tells it."""
    if c.dark_share > DARK_ASKS_FOR_LIGHT and "light" in c.setting.trip.gear.has:
        yield Finding(
            "note",
            "dark_walking",
            f"{in_the_dark(c.dark_share).capitalize()}: lights are in the list.",
            source=source("practice_light").words,
        )


def _water_short(c: Computed) -> Iterator[Finding]:
    """Days that run dry; not where the bottles are too small for the plan already, which is told for itself."""
    if c.turned is None or any("water_runs_out" in member.flags for member in c.load.members):
        return
    water = c.turned.water
    capped = any("capped" in member.flags for member in c.load.members)
    if water.share < c.setting.trip.limits.chance:
        yield Finding(
            "heed",
            "water_short",
            f"On {show_share(1.0 - water.share)} of days the water runs short, most often from {water.where}: "
            + ("shorten the day, or find a cooler one." if capped else "carry more than is planned."),
            f"It was planned to be enough for one person on one stretch with a chance of {show_share(c.load.sure)}, "
            "load.sure. A higher one plans for more, up to the most that anybody should drink.",
            source("our_water_plan").words,
        )


def _lightning(c: Computed) -> Iterator[Finding]:
    if c.setting.storm_chance > 0.0:
        yield Finding(
            "note",
            "lightning",
            "Thunder within 30 seconds of the flash: be off rock and cable already; wait 30 minutes after the last.",
            source=source("lightning_30_30").words,
        )


RULES: tuple[Rule, ...] = (
    _limits_missed,
    _light_says,
    _clock,
    _thin_margin,
    _party_pace_unused,
    _dark,
    _water_short,
    _lightning,
)
