"""What packs, water and food rest on, in words: who is meant, how the loop settled, what stands for what is unknown."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from handline.day.load_effort import LINE_MET
from handline.day.load_heat import CAREFUL_QUANTILE, WARM_DAY_C
from handline.day.load_setting import Carried, LoadSubject
from handline.day.plan_load import Settling
from handline.day.subjects import Setting
from handline.quantity import Units, show_mass, show_share, show_temperature, show_water
from handline.trip.party_model import Party
from handline.walking.fixed_point import Settled

AS_TYPED = "Packs are as typed, and so is the pace under them."
_G_PER_KG = 1000.0


def person_words(names: Sequence[str], party: Party) -> str:
    """Some members by name; of those whom the file does not list, how many of how many."""
    if party.members:
        return ", ".join(names)
    if len(names) < party.size:
        return f"{len(names)} of the {party.size}"
    return "each" if party.size == 1 else f"each of the {party.size}"


def settling_of(settled: Settled | None) -> Settling:
    """How the loop came to stand still, or that it did not."""
    if settled is None:
        return Settling(True, 0, 0.0, math.nan, AS_TYPED)
    rounds = f"{settled.iterations} round{'' if settled.iterations == 1 else 's'}"
    if settled.settled:
        within = f"{max(settled.residual * _G_PER_KG, 1.0):.0f} g"
        words = f"Packs, pace, hours and water agree after {rounds}, to within {within}."
    else:
        words = f"Packs, pace, hours and water do not agree after {rounds}: the heavier of the last two answers counts."
    return Settling(settled.settled, settled.iterations, settled.residual, settled.ratio, words)


def notes(setting: Setting, subject: LoadSubject, carried: Carried) -> Iterator[str]:
    """What was taken for what is not known, and what numbers are of."""
    party, units = setting.trip.party, setting.trip.about.units
    yield from _heat(setting, carried)
    yield (
        f"On the line the work is that of climbing rock, {LINE_MET[0]:g} to {LINE_MET[2]:g} times rest; stops, waits "
        "and rests count as drinking time like the walking before and after them."
    )
    if carried.burnt.unknown:
        yield "Part of the way is steeper or slower than the models of effort were made for: it counts like the rest."
    light_kg, heavy_kg = min(party.light_masses_kg), max(party.masses_kg)
    if not party.members and light_kg < heavy_kg:
        yield (
            f"Who is not listed eats and drinks as the heaviest, {show_mass(heavy_kg, units)}, and carries as the "
            f"lightest, {show_mass(light_kg, units)}."
        )
    if subject.gear is not None:
        yield (
            f"What falls on the line counts {show_mass(setting.body_mass_kg, units)}: the pack there with all the "
            "food, and with the most that anybody may drink on the way back to water."
        )
        unweighed = sorted(set(setting.trip.gear.carried) - {item.use for item in setting.trip.gear.items})
        if unweighed:
            yield f"Carried, but without a weight in the list, so not in the packs: {', '.join(unweighed)}."
    if subject.camp is not None and subject.camp.back is None:
        yield "The way does not come back to the camp: what is left there stays."
    if carried.day.night_s == 0.0 and subject.camp is not None:
        yield "The camp is reached later than the next start: no night is left there."
    chance = show_share(setting.trip.load.sure)
    yield f"Hours are those of a middling day; a leg's water is enough with a chance of {chance}."


def over_bottles(wanted_L: float, bottles_L: float, units: Units) -> str:
    """What each needs beside what the bottles hold, which is less; also where both round to the same."""
    wanted, hold = show_water(wanted_L, units), show_water(bottles_L, units)
    if wanted == hold:
        return f"a little more than the {hold} each that the bottles hold"
    return f"{wanted} each, and the bottles hold {hold}"


def _heat(setting: Setting, carried: Carried) -> Iterator[str]:
    units, unknown = setting.trip.about.units, np.isnan(carried.wbgt_C)
    taken = f"a warm day is taken, WBGT {show_temperature(WARM_DAY_C, units)}"
    if unknown.all():
        yield f"The weather is not known: {taken}."
    elif unknown.any():
        yield f"On {int(unknown.sum())} of {unknown.size} legs the weather is not known: {taken}."
    if not unknown.all():
        yield (
            f"Heat is the simple WBGT, with moderate sun and light wind, no hotter on {show_share(CAREFUL_QUANTILE)} "
            "of the courses the weather may take."
        )
