"""What the pace of a plan is made of: the members, and every factor with what it adds to the day."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from handline.day.plan import RANGE
from handline.day.plan_pace import MemberPace, PaceFactor, PacePlan
from handline.day.simulation import Days, Draws, Floats
from handline.day.subjects import Setting
from handline.day.walking_setting import TOGETHER
from handline.quantity import show_depth, show_duration, show_height, show_mass, show_share
from handline.sources import source
from handline.walking.party_pace import FACTORS
from handline.walking.registry import PACE_MODELS
from handline.walking.rest import rest_owed_s
from handline.walking.tiring import tired_s
from handline.walking.walker import Walker

TITLES = {
    "fitness": "Fitness",
    "load": "Packs",
    "altitude": "Thin air",
    "snow": "Snow",
    "ground": "Rough ground",
    "group": "Size of the group",
    "tiring": "Slowing over the day",
    "rests": "Short rests",
    "dark": "In the dark",
    "stops": "Stops at places",
}
SOURCES = {
    "fitness": "sullivan_2020",
    "load": "lcda_load_2022",
    "altitude": "wehrlin_2006",
    "snow": "pandolf_1976",
    "ground": "de_gruchy_2017",
    "group": "practice_group",
    "tiring": "practice_tiring",
    "rests": "practice_stops",
    "dark": "practice_dark",
    "stops": "typed",
}
"""Factor -> key of sources.toml, or "typed"."""


@dataclass(frozen=True)
class SlowestOnLeg:
    """Whom the party most often waits for on a leg, in words, and on what share of the days."""

    names: str
    share: float


def slowest_on_legs(setting: Setting, draws: Draws) -> tuple[SlowestOnLeg | None, ...]:
    """For each leg whom the party waits for; None on legs of the line, where the line decides."""
    alike = setting.itinerary.alike()
    found: list[SlowestOnLeg | None] = []
    for j, line_leg in enumerate(setting.itinerary.line_legs):
        if line_leg is not None:
            found.append(None)
            continue
        share = np.bincount(draws.slowest[j], minlength=len(alike)) / draws.days
        most = int(np.argmax(share))
        found.append(SlowestOnLeg(_names(setting, alike[most]), float(share[most])))
    return tuple(found)


def plan_pace(setting: Setting, draws: Draws, days: Days, dark_s: Floats) -> PacePlan:
    """The pace of a plan, factor by factor."""
    return PacePlan(
        base_s=float(_steps_s(setting, draws)[0].sum()),
        base_says=_base_says(setting, draws),
        factors=tuple(_factors(setting, draws, dark_s)),
        members=tuple(_members(setting, draws)),
        day_s=_range(days.arrive_clock_s[-1] - days.arrive_clock_s[0]),
    )


def leg_factors(setting: Setting, draws: Draws) -> tuple[tuple[tuple[str, float], ...], ...]:
    """For each leg the factors of whoever is slowest on it, slowing over the day included; none on the line."""
    who, steps = _slowest_member(setting, draws), _steps_s(setting, draws)
    tired = tired_s(steps[-1], setting.itinerary.tiring_after_s, setting.itinerary.tiring_per_hour)
    rows: list[tuple[tuple[str, float], ...]] = []
    for j, line_leg in enumerate(setting.itinerary.line_legs):
        if line_leg is not None or steps[-1][j] == 0.0:
            rows.append(())
            continue
        factors = [(key, float(setting.pace.factor[key][who[j], j])) for key in FACTORS]
        rows.append((*factors, ("tiring", float(tired[j] / steps[-1][j]))))
    return tuple(rows)


def _range(values: Floats) -> tuple[float, float, float]:
    low, middle, high = np.quantile(values, RANGE)
    return float(low), float(middle), float(high)


def _slowest_member(setting: Setting, draws: Draws) -> list[int]:
    """The index of the member the party most often waits for, leg by leg."""
    alike = setting.itinerary.alike()
    return [alike[int(np.bincount(row).argmax())][0] for row in draws.slowest]


def _steps_s(setting: Setting, draws: Draws) -> Floats:
    """Walking of each leg before any factor, after the first, after the second ...; shape (FACTORS + 1, legs).

    That of whoever is slowest on the leg, in the middle of the models and on a middling day.
    """
    pace, legs = setting.pace, setting.itinerary.legs
    who = _slowest_member(setting, draws)
    after_all_s = np.array([pace.mix.weights @ pace.time_s[:, who[j], j] for j in range(legs)])
    steps = [after_all_s]
    for key in reversed(FACTORS):
        factor = np.array([pace.factor[key][who[j], j] for j in range(legs)])
        steps.append(steps[-1] / factor)
    return np.array(steps[::-1])


def _factors(setting: Setting, draws: Draws, dark_s: Floats) -> Iterator[PaceFactor]:
    party, steps = setting.trip.party, _steps_s(setting, draws)
    walked = np.array([leg is None for leg in setting.itinerary.line_legs])
    for k, key in enumerate(FACTORS):
        if key == "fitness" and all(member.fitness is None for member in party.members):
            continue
        factor = np.divide(steps[k + 1], steps[k], out=np.ones_like(steps[k]), where=steps[k] > 0.0)[walked]
        on = key == "fitness" or getattr(party.factors, key)
        yield _row(setting, key, on, factor, float((steps[k + 1] - steps[k]).sum()))
    walking_s = steps[-1]
    tired = tired_s(walking_s, setting.itinerary.tiring_after_s, setting.itinerary.tiring_per_hour)
    slowed = np.divide(tired, walking_s, out=np.ones_like(tired), where=walking_s > 0.0)[walked]
    yield _row(setting, "tiring", party.factors.tiring, slowed, float((tired - walking_s).sum()))
    rests = float(rest_owed_s(tired, party.rest_per_hour_s).sum())
    rested = 1.0 + party.rest_per_hour_s / 3600.0
    yield _row(setting, "rests", True, np.array([rested]), rests)
    dark_factor = setting.itinerary.dark_factor
    added = float(np.median(dark_s)) * (1.0 - 1.0 / dark_factor)
    yield _row(setting, "dark", party.factors.dark, np.array([1.0, dark_factor]), added)
    yield _row(setting, "stops", True, np.ones(1), float(setting.itinerary.stop_s[1:-1].sum()))


def _row(setting: Setting, key: str, on: bool, factor: Floats, added_s: float) -> PaceFactor:
    return PaceFactor(
        key=key,
        title=TITLES[key],
        on=on,
        lowest=float(factor.min(initial=np.inf)) if factor.size else 1.0,
        highest=float(factor.max(initial=1.0)),
        added_s=added_s,
        says=_says(setting, key),
        source="as typed" if SOURCES[key] == "typed" else source(SOURCES[key]).words,
        trip_key=_KEYS[key],
    )


_KEYS = {
    "fitness": "party.members.fitness",
    "load": "party.factors.load",
    "altitude": "party.factors.altitude",
    "snow": "party.factors.snow",
    "ground": "party.factors.ground",
    "group": "party.factors.group",
    "tiring": "party.factors.tiring",
    "rests": "party.rest_per_hour",
    "dark": "party.factors.dark",
    "stops": "waypoints.stop",
}


def _says(setting: Setting, key: str) -> str:
    """What a factor stands on, in a few words."""
    party, units, ground = setting.trip.party, setting.trip.about.units, setting.trip.route.ground
    if key == "load":
        shares = [w.pack_mass_kg / w.body_mass_kg for w in setting.walkers]
        heaviest = max(shares)
        return f"packs up to {show_share(heaviest)} of body mass; the speed that asks for the same effort"
    if key == "altitude":
        top_m = float(np.max(setting.route.profile.elevation_m))
        return f"up to {show_height(top_m, units)}; pace falls as the greatest uptake of oxygen does"
    if key == "ground":
        kinds = sorted({part.surface for part in ground if part.surface != "good path"})
        return ", ".join(kinds) if kinds else "a good path all the way, as nothing else is typed"
    if key == "snow":
        deepest = [part.snow_m for part in ground if part.snow_m is not None]
        return f"a foot sinks up to {show_depth(max(deepest), units)}" if deepest else "none typed"
    words = {
        "fitness": "as measured crews at their rate, against the moderate one",
        "group": f"{show_share(party.group_per_person)} for each person past the fourth",
        "tiring": f"{show_share(party.tiring_per_hour)} an hour after {show_duration(party.tiring_after_s)} of walking",
        "rests": f"{show_duration(party.rest_per_hour_s)} an hour",
        "dark": f"{party.dark_factor:g} times as long by the light of a lamp",
        "stops": "each time a place is passed",
    }
    return words[key]


def _base_says(setting: Setting, draws: Draws) -> str:
    recorded = {setting.walkers[who].pace is not None for who in _slowest_member(setting, draws)}
    if recorded == {True}:
        return "at the recorded pace"
    return "on a good path without a pack" if recorded == {False} else "by pace models or the recorded pace"


def _names(setting: Setting, group: tuple[int, ...]) -> str:
    names = list(dict.fromkeys(setting.walkers[i].name for i in group))
    if len(names) > 3:
        return f"one of {len(names)}: {', '.join(names[:3])} ..."
    return " or ".join(names)


def _members(setting: Setting, draws: Draws) -> Iterator[MemberPace]:
    """The members, those whom no number tells apart together."""
    walked = np.array([leg is None for leg in setting.itinerary.line_legs])
    for number, group in enumerate(setting.itinerary.alike()):
        first, walker = group[0], setting.walkers[group[0]]
        alone_s = float(setting.pace.mix.weights @ setting.pace.time_s[:, first, :].sum(axis=1))
        yield MemberPace(
            names=_names(setting, group),
            count=_count(setting, group),
            body_mass_kg=walker.body_mass_kg,
            pack_mass_kg=walker.pack_mass_kg,
            pace_says=_pace_says(setting, walker),
            sigma=float(setting.itinerary.walker_sigma[first]),
            walking_s=alone_s,
            # On a way that is all line nobody walks, so nobody is waited for.
            slowest_share=float((draws.slowest[walked] == number).mean()) if walked.any() else 0.0,
        )


def _count(setting: Setting, group: tuple[int, ...]) -> int:
    """How many people a group of walkers stands for: a pace of the whole party stands for all but those named."""
    if setting.walkers[group[0]].name not in TOGETHER:
        return len(group)
    return setting.trip.party.size - len(setting.walkers) + 1


def _pace_says(setting: Setting, walker: Walker) -> str:
    units = setting.trip.about.units
    if walker.pace is None:
        known = walker.fitness is not None
        return f"{walker.fitness} fitness" if known else "pace not known: published models and their spread"
    model = "the mix of models" if walker.pace.model is None else PACE_MODELS[walker.pace.model].title
    load = f", recorded with {show_mass(walker.pace.carried_kg, units)}" if walker.pace.carried_kg else ""
    return f"recorded: {walker.pace.time_factor:.2f} times {model}{load}"
