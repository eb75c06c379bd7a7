"""What to act on about the line: the tether, the stops it counts on, rock, hands and gear."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from handline.day.computed import Computed, Rule
from handline.day.plan import Finding, Level, Outcome
from handline.day.tether_words import goes_on, main_case
from handline.line.audit import BODY_LENGTH_M, CASE_ANCHORS_ONLY, CASE_STOPS_HOLD
from handline.line.footing import ONE_HAND_BREAKAWAY_N
from handline.line.friction import ROCKS
from handline.line.tethers import GRIPPING, NONE
from handline.quantity import (
    show_force,
    show_length,
    show_mass,
    show_pull,
    show_share,
    show_speed,
)
from handline.sources import source

ROCK_SAYS: Mapping[str, tuple[Level, str]] = {
    "damp": (
        "heed",
        "Damp rock: soles hold less than on dry, and you are slower than shown. Try your footing low down.",
    ),
    "wet": (
        "heed",
        "Wet rock: soles hold about half of dry, and you are slower than shown. Wait for it to dry, or turn back.",
    ),
    "iced": ("stop", "Iced rock: soles hold almost nothing. Wait until it is gone, or turn back."),
}


def _today(c: Computed) -> dict[str, Outcome]:
    """What the chosen tether does on the rock of the day, by case."""
    return {outcome.case: outcome for outcome in c.chosen.outcomes if outcome.rock == c.setting.rock.name}


def _main_case(c: Computed) -> Outcome:
    """The case the chosen tether is judged by."""
    return main_case(list(_today(c).values()), c.setting.trip.line.stanchion_holds_N)


def _tether(c: Computed) -> Iterator[Finding]:
    main = _main_case(c)
    if main.verdict != "holds":
        yield Finding(
            "stop",
            "tether",
            f"{c.chosen.title}. {c.chosen.sentence}",
            f"Case: {main.case}; rock {main.rock}. {c.chosen.also}",
            source(c.setting.chosen.source).words,
        )


def _rock(c: Computed) -> Iterator[Finding]:
    if c.setting.rock.name in ROCK_SAYS:
        level, sentence = ROCK_SAYS[c.setting.rock.name]
        yield Finding(level, f"rock_{c.setting.rock.name}", sentence, source=source(c.setting.rock.source).words)


def _pull(c: Computed) -> Iterator[Finding]:
    index, units = list(ROCKS).index(c.setting.rock.name), c.setting.trip.about.units
    worst = max(c.bays, key=lambda bay: bay.pull_N[index])
    if worst.pull_N[index] <= 0.0:
        return
    over = worst.pull_N[index] > ONE_HAND_BREAKAWAY_N
    yield Finding(
        "stop" if over else "note",
        "pull",
        f"The steepest part asks the hands for {show_pull(worst.pull_N[index], units)}, "
        f"{show_share(worst.pull_body_weights[index])} of body weight, just to stand on {c.setting.rock.name} rock"
        + (": more than one hand can hold." if over else "."),
        f"Around {show_length(worst.start_m, units)} up the line. One hand lets go at about "
        f"{show_pull(ONE_HAND_BREAKAWAY_N, units)}.",
        source("young_2009").words,
    )


def _long_slide(c: Computed) -> Iterator[Finding]:
    main, units = _main_case(c), c.setting.trip.about.units
    if main.verdict == "holds" and main.slide_m[1] > BODY_LENGTH_M:
        yield Finding(
            "heed",
            "long_slide",
            f"A slip that the tether stops still slides up to {show_length(main.slide_m[1], units)} at up to "
            f"{show_speed(main.speed_m_s[1], units)}: over bare rock that hurts, whatever the force.",
        )


def _lowered(c: Computed) -> Iterator[Finding]:
    if not c.setting.line.has_stanchions and c.setting.trip.line.stanchion_spacing_m is not None:
        held_m = np.unique(np.concatenate([[0.0], c.setting.line.anchor_m, [c.setting.line.length_m]]))
        gap_m = float(np.diff(held_m).max())
        yield Finding(
            "heed",
            "line_lowered",
            "The cables lie on the rock: no footholds at the stanchions, and up to "
            f"{show_length(gap_m, c.setting.trip.about.units)} between anchors.",
            c.setting.line_says,
        )


def _stanchions(c: Computed) -> Iterator[Finding]:
    outcome = _today(c).get(CASE_ANCHORS_ONLY)
    if outcome is None or c.setting.chosen.kind == NONE or outcome.slide_m[1] == 0.0:
        return
    holds_N, units = c.setting.trip.line.stanchion_holds_N, c.setting.trip.about.units
    if holds_N is not None and _today(c)[CASE_STOPS_HOLD].force_N[1] <= holds_N:
        return
    what = (
        "A stanchion standing in a socket is no rated anchor"
        if holds_N is None
        else f"A stanchion is typed to hold {show_force(holds_N, units)}, less than the stop asks"
    )
    yield Finding(
        "heed",
        "stanchions",
        f"{what}: if it lifts out, {goes_on(c.setting.chosen, outcome, c.setting.trip.limits.body_force_N, units)}",
        "Ask the land manager what the stanchions are rated for, and type it as line.stanchion_holds.",
    )


def _absorber_mass(c: Computed) -> Iterator[Finding]:
    absorber, units = c.setting.chosen.absorber, c.setting.trip.about.units
    if absorber is None:
        return
    party = c.setting.trip.party
    loaded = [body_kg + pack_kg for body_kg, pack_kg in zip(party.masses_kg, party.packs_kg, strict=True)]
    outside = [mass for mass in loaded if not absorber.lightest_kg <= mass <= absorber.heaviest_kg]
    if outside:
        yield Finding(
            "heed",
            "absorber_mass",
            f"The absorber's standard speaks for {show_mass(absorber.lightest_kg, units)} to "
            f"{show_mass(absorber.heaviest_kg, units)}. With the pack someone weighs {show_mass(outside[0], units)}: "
            "ask the maker, or a guide who ropes people up.",
            source=source(absorber.source).words,
        )


def _hitch_unproven(c: Computed) -> Iterator[Finding]:
    if c.setting.chosen.kind == GRIPPING:
        yield Finding(
            "heed",
            "hitch_unproven",
            "Nobody has published what a hitch holds on bare steel cable. Hang your weight on it near the foot, where "
            "a slip does no harm, before you trust it.",
            source=source("hitch_on_cable").words,
        )


def _gear(c: Computed) -> Iterator[Finding]:
    carried = c.setting.trip.gear.carried
    wanted = [("gloves", "the cable cuts bare hands")]
    if c.setting.chosen.kind != NONE:
        wanted.append(("harness", "a tether without a harness does not hold a body"))
    for item, why in wanted:
        if item not in carried:
            yield Finding(
                "heed",
                f"gear_{item}",
                f"{item.capitalize()} not in the gear list: {why}.",
                "Common practice, no source.",
            )


RULES: tuple[Rule, ...] = (
    _tether,
    _rock,
    _pull,
    _long_slide,
    _lowered,
    _stanchions,
    _absorber_mass,
    _hitch_unproven,
    _gear,
)
