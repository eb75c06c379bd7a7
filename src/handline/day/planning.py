"""The whole job: from a trip to the frozen Plan."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from handline import __version__
from handline.day.assumptions import assumptions
from handline.day.cautions import CAUTIONS
from handline.day.chance_planning import plan_chances
from handline.day.computed import Computed
from handline.day.decision import decide
from handline.day.findings import findings
from handline.day.latest import latest_passing_s
from handline.day.light_planning import light_of, storm_above_share, storm_of
from handline.day.limits import kept_share, limit_sentences
from handline.day.line_planning import plan_line
from handline.day.load_planning import plan_load
from handline.day.pace_planning import leg_factors, plan_pace, slowest_on_legs
from handline.day.plan import (
    PROBABILITIES,
    Chance,
    LegTime,
    ModelTime,
    Passing,
    Permit,
    Plan,
    Provenance,
    RouteSummary,
)
from handline.day.setting import Setting, set_up
from handline.day.simulation import Days, Draws, Floats, dark_movement_s, draw_days, walk
from handline.day.told import Told
from handline.day.weather_planning import plan_sky, plan_weather
from handline.sources import source
from handline.trip.model import Trip
from handline.walking.registry import PACE_MODELS

_RANGE = (0.10, 0.50, 0.90)
# Less than this in the dark is dusk at the trailhead, not a walk by lamp.
DARK_COUNTS_FROM_S = 60.0


@dataclass(frozen=True)
class Simulated:
    """The simulated days of a setting, and the latest passing times."""

    draws: Draws
    days: Days
    dark_s: Floats
    kept: Mapping[str, Floats]
    latest_clock_s: Floats


def make_plan(trip: Trip, told: Told = lambda what, share: None) -> Plan:
    """Plan a trip.

    Parameters
    ----------
    trip : Trip
        As read from its file.
    told : callable
        Told of the progress; may raise to stop the work.

    Returns
    -------
    Plan
        The same trip and seed give the same Plan.

    Raises
    ------
    TripError
        Whatever of the file cannot be planned with, all at once.
    """
    told("Reading the way", 0.0)
    setting = set_up(trip)
    simulated = simulate(setting, told)
    told("Checking the line", 0.0)
    line = plan_line(setting)
    chances = _chances(setting, simulated.kept)
    all_chance = next(chance for chance in chances if chance.key == "all")
    weather = plan_weather(setting, simulated.draws, simulated.days)
    load = plan_load(setting)
    computed = Computed(
        setting=setting,
        chances=chances,
        all_chance=all_chance,
        latest_clock_s=tuple(float(value) for value in simulated.latest_clock_s),
        chosen=next(row for row in line.tethers if row.chosen),
        bays=line.bays,
        dark_share=float(np.mean(simulated.dark_s > DARK_COUNTS_FROM_S)),
        pace_outside_m=_steep_m(setting),
        weather=weather,
        load=load,
        storm_above_share=storm_above_share(setting, simulated.days),
    )
    found = findings(computed)
    about = trip.about
    return Plan(
        name=about.name,
        date=about.date.isoformat(),
        units=about.units,
        timezone=_zone_words(setting),
        party_size=trip.party.size,
        wanted_chance=trip.limits.chance,
        decision=decide(computed, found),
        findings=found,
        chances=chances,
        route=_route_summary(setting),
        legs=_legs(setting, simulated),
        timetable=_timetable(setting, simulated),
        turned=plan_chances(setting, simulated.draws, simulated.days),
        light=light_of(setting, simulated.dark_s),
        sky=plan_sky(setting, simulated.days),
        weather=weather,
        storm=storm_of(setting),
        line=line,
        pace=plan_pace(setting, simulated.draws, simulated.days, simulated.dark_s),
        load=load,
        models=_models(setting),
        permits=tuple(
            Permit(permit.name, permit.places_per_day, permit.checked_at or "", permit.held) for permit in trip.permits
        ),
        assumptions=assumptions(setting),
        cautions=CAUTIONS,
        provenance=Provenance(
            version=__version__,
            seed=about.seed,
            days=about.days,
            trip_file=trip.path.name,
            inputs_sha256=setting.inputs_sha256,
        ),
    )


def simulate(setting: Setting, told: Told = lambda what, share: None) -> Simulated:
    """Simulate the days of a setting and search the latest passing times."""
    about = setting.trip.about
    told("Simulating days", 0.0)
    draws = draw_days(setting.itinerary, about.days, about.seed)
    days = walk(setting.itinerary, draws, np.array([about.start_clock_s]))
    told("Simulating days", 1.0)
    latest = latest_passing_s(
        setting.limits,
        setting.itinerary,
        draws,
        setting.storm,
        days,
        lambda share: told("Searching latest passing times", share),
    )
    # A time before the party even leaves is no advice on the way: from this start none meets the limits there.
    latest[1:][latest[1:] <= about.start_clock_s] = np.nan
    return Simulated(
        draws=draws,
        days=days,
        dark_s=dark_movement_s(setting.itinerary, days),
        kept=kept_share(setting.limits, setting.itinerary, days, setting.storm),
        latest_clock_s=latest,
    )


# --- the parts of a Plan -----------------------------------------------------------------------------------------


def _chances(setting: Setting, kept: Mapping[str, Floats]) -> tuple[Chance, ...]:
    limits = setting.limits
    sentences = {
        **limit_sentences(limits),
        "all": "All of these on one day" if len(kept) > 1 else "No limit was set",
    }
    return tuple(
        Chance(
            key=key,
            sentence=sentences[key],
            share=float(share.mean()),
            error=float(share.std() / np.sqrt(share.size)),
            wanted=limits.chance,
        )
        for key, share in kept.items()
    )


def _steep_m(setting: Setting) -> float:
    """How much of the walking is steeper than at least one of the pace models was made for [m]."""
    walked = np.array([not leg.is_line for leg in setting.route.legs])
    return float(setting.pace.mix.outside_m[:, walked].sum(axis=1).max())


def _route_summary(setting: Setting) -> RouteSummary:
    route = setting.route
    height_m = route.profile.elevation_m
    return RouteSummary(
        length_m=route.length_m,
        up_m=route.up_m,
        down_m=route.down_m,
        raw_up_m=route.raw_up_m,
        dead_band_m=route.dead_band_m,
        lowest_m=float(np.min(height_m)),
        highest_m=float(np.max(height_m)),
        latitude_deg=route.latitude_deg,
        longitude_deg=route.longitude_deg,
        profile_distance_m=_floats(route.profile.distance_m),
        profile_elevation_m=_floats(height_m),
        notes=route.notes,
    )


def _legs(setting: Setting, simulated: Simulated) -> tuple[LegTime, ...]:
    points, arrive = setting.route.points, simulated.days.arrive_clock_s
    factors, slowest = leg_factors(setting, simulated.draws), slowest_on_legs(setting, simulated.draws)
    rows = []
    for j, leg in enumerate(setting.route.legs):
        who = slowest[j]
        stop_s = setting.itinerary.stop_s[j] if j > 0 else 0.0
        low, middle, high = np.quantile(arrive[j + 1] - arrive[j] - stop_s, _RANGE)
        rows.append(
            LegTime(
                start=points[leg.start].name,
                end=points[leg.end].name,
                way="up" if points[leg.end].way == "up" else "down",
                length_m=leg.length_m,
                up_m=leg.up_m,
                down_m=leg.down_m,
                is_line=leg.is_line,
                time_s=(float(low), float(middle), float(high)),
                factors=factors[j],
                slowest="" if who is None else who.names,
                slowest_share=0.0 if who is None else who.share,
            )
        )
    return tuple(rows)


def _timetable(setting: Setting, simulated: Simulated) -> tuple[Passing, ...]:
    rows = []
    last = len(setting.route.points) - 1
    for i, point in enumerate(setting.route.points):
        latest_s = float(simulated.latest_clock_s[i])
        says = "" if np.isfinite(latest_s) else _no_latest(setting, i, latest_s)
        rows.append(
            Passing(
                name=point.name,
                kind=point.kind,
                way="up" if point.way == "up" else "down",
                distance_m=point.distance_m,
                elevation_m=point.elevation_m,
                arrive_clock_s=_floats(np.quantile(simulated.days.arrive_clock_s[i], PROBABILITIES)),
                stop_s=float(setting.itinerary.stop_s[i]) if 0 < i < last else 0.0,
                latest_clock_s=latest_s if np.isfinite(latest_s) else None,
                latest_says=says,
            )
        )
    return tuple(rows)


def _zone_words(setting: Setting) -> str:
    """The time zone as a leader reads it; a guessed one by its hours, for its own name turns the sign round."""
    if "timezone" not in setting.guessed:
        return setting.timezone
    hours = round(setting.light.utc_offset_s / 3600.0)
    return f"UTC{hours:+d}, guessed"


def _no_latest(setting: Setting, passing: int, latest_s: float) -> str:
    """Why there is no latest time to give."""
    if np.isnan(latest_s):
        return "no time meets the limits"
    over = passing > setting.itinerary.off_line and not setting.limits.on_the_way_home
    return "no limit left to miss" if over or not setting.limits.any else "the chance never falls that low"


def _models(setting: Setting) -> tuple[ModelTime, ...]:
    walked = np.array([not leg.is_line for leg in setting.route.legs])
    return tuple(
        ModelTime(
            key=key,
            title=PACE_MODELS[key].title,
            weight=float(setting.pace.mix.weights[i]),
            walking_s=float(setting.pace.mix.time_s[i, walked].sum()),
            outside_m=float(setting.pace.mix.outside_m[i, walked].sum()),
            source=source(PACE_MODELS[key].source).words,
        )
        for i, key in enumerate(setting.pace.mix.keys)
    )


def _floats(values: Floats) -> tuple[float, ...]:
    return tuple(float(value) for value in values)
