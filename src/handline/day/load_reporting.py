"""From a trip to the frozen LoadReport: one push, a night out beside it, and what to act on."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handline import __version__
from handline.day import gear_check, load_findings
from handline.day.cautions import CAUTIONS
from handline.day.computed import LoadComputed
from handline.day.gear_line import gear_of_line
from handline.day.line_planning import plan_line
from handline.day.load_heat import CAREFUL_QUANTILE, WARM_DAY_C
from handline.day.load_planning import plan_load, plan_night
from handline.day.load_report import LoadProvenance, LoadReport
from handline.day.load_words import over_bottles
from handline.day.night_setting import in_one_push
from handline.day.plan import LEVELS, Assumption, Finding
from handline.day.plan_load import LoadPlan
from handline.day.planning import DARK_COUNTS_FROM_S
from handline.day.setting import set_up
from handline.day.simulation import dark_movement_s, draw_days, walk
from handline.day.subjects import Setting
from handline.day.told import Told
from handline.day.weather_planning import plan_weather
from handline.quantity import show_share, show_temperature, show_water
from handline.sources import source
from handline.trip.model import Trip
from handline.walking.food import FOOD_KCAL_G
from handline.walking.treatment import TREATMENTS

NIGHT_GEAR = {
    "shelter": "you sleep at the camp",
    "sleeping bag": "you sleep at the camp",
    "stove": "the camp's water is for cooking too",
}


def load_report(trip: Trip, told: Told = lambda what, share: None) -> LoadReport:
    """What they carry, drink and burn.

    Parameters
    ----------
    trip : Trip
        As read from its file.
    told : callable
        Told of the progress; may raise to stop the work.

    Returns
    -------
    LoadReport
        The same trip and seed give the same report.

    Raises
    ------
    TripError
        Whatever of the file cannot be planned with, all at once.
    """
    told("Reading the way", 0.0)
    setting = set_up(trip, told)
    told("Packing", 0.0)
    night, night_says = plan_night(setting) if setting.camp is None else (plan_load(setting), "")
    push = plan_load(setting if setting.camp is None else set_up(in_one_push(trip)))
    told("Simulating days", 0.0)
    found = _findings(setting, push, night)
    about = trip.about
    return LoadReport(
        name=about.name,
        date=about.date.isoformat(),
        units=about.units,
        level=found[0].level if found else LEVELS[-1],
        headline=_headline(setting, push, found),
        findings=found,
        push=push,
        night=night,
        night_says=night_says,
        assumptions=tuple(_assumptions(setting)),
        cautions=CAUTIONS,
        provenance=LoadProvenance(
            version=__version__,
            seed=about.seed,
            trip_file=trip.path.name,
            inputs_sha256=setting.inputs_sha256,
        ),
    )


def _findings(setting: Setting, push: LoadPlan, night: LoadPlan | None) -> tuple[Finding, ...]:
    """What the rules of packs, water and gear say, the gravest first."""
    about = setting.trip.about
    draws = draw_days(setting.itinerary, about.days, about.seed)
    days = walk(setting.itinerary, draws, np.array([setting.trip.depart_clock_s]))
    line = plan_line(setting)
    computed = LoadComputed(
        setting=setting,
        chosen=next(row for row in line.tethers if row.chosen),
        bays=line.bays,
        weather=plan_weather(setting, draws, days),
        dark_share=float(np.mean(dark_movement_s(setting.itinerary, days) > DARK_COUNTS_FROM_S)),
        load=push if setting.camp is None or night is None else night,
    )
    found = [finding for rule in (*load_findings.RULES, *gear_check.RULES) for finding in rule(computed)]
    found += list(gear_of_line(computed))
    if night is not None:
        found += [*_night_gear(setting), *_night_water(setting, night)]
    return tuple(sorted(found, key=lambda finding: LEVELS.index(finding.level)))


def _night_gear(setting: Setting) -> Iterator[Finding]:
    """What a night out needs and the list does not have."""
    for use, why in NIGHT_GEAR.items():
        if use not in setting.trip.gear.has:
            yield Finding(
                "note",
                f"gear_{use.replace(' ', '_')}",
                f"{use.capitalize()} not in the gear list: for a night out, {why}.",
                "Its weight is missing from the night out shown here.",
                source("practice_gear").words,
            )


def _night_water(setting: Setting, night: LoadPlan) -> Iterator[Finding]:
    """Bottles that are too small for the way by the camp."""
    bottles_L, units = setting.trip.load.bottles_L, setting.trip.about.units
    if bottles_L is not None and any("beyond_capacity" in member.flags for member in night.members):
        over = over_bottles(night.longest.wanted_L, bottles_L, units)
        yield Finding(
            "heed",
            "night_water",
            f"For a night out {night.longest.words} asks for up to {over}: find water near the camp, or carry more "
            "bottles.",
            source=source("our_water_plan").words,
        )


def _headline(setting: Setting, push: LoadPlan, found: tuple[Finding, ...]) -> str:
    """The gravest thing, or what to leave with for the longest way without water."""
    if found and found[0].level == "stop":
        return found[0].sentence
    litres = show_water(push.longest.wanted_L, setting.trip.about.units)
    return f"The longest way without sure water, {push.longest.words}, asks for up to {litres} each."


def _assumptions(setting: Setting) -> Iterator[Assumption]:
    load, units = setting.trip.load, setting.trip.about.units
    yield Assumption(
        "Water of a leg", f"enough with a chance of {show_share(load.sure)}", source("our_spread").words, "load.sure"
    )
    yield Assumption(
        "Reserve",
        f"{show_water(load.reserve_L, units)} on coming to the next water",
        "as typed or usual",
        "load.reserve",
    )
    yield Assumption(
        "Food", f"{show_share(load.eaten)} of what is burnt, {FOOD_KCAL_G[1]:g} kcal to the gram",
        source("practice_food").words, "load.eaten",
    )  # fmt: skip
    yield Assumption("Hours", "those of a middling day", source("our_middle_day").words)
    heat = (
        f"a warm day, WBGT {show_temperature(WARM_DAY_C, units)}"
        if setting.weather.source == "nothing"
        else f"no hotter on {show_share(CAREFUL_QUANTILE)} of the courses the weather may take"
    )
    yield Assumption("Heat", heat, source("our_heat_of_a_leg").words, "weather.forecast")
    yield Assumption("Need for water", "by heat and hardness of the work", source("tb_med_507").words)
    yield Assumption("On the line", "as hard as climbing rock", source("climbing_met").words)
    way = TREATMENTS[load.treatment]
    yield Assumption("Treating water", way.words, source(way.source).words, "load.treatment")
    if setting.trip.gear.items:
        yield Assumption(
            "Pack on the line", "as planned on the way to its foot", source("our_line_packs").words, "gear.items"
        )
