"""What to act on about the line: the tether, the stops it counts on, rock, hands and gear."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from handline.day.computed import LineComputed, LineRule
from handline.day.gear_line import gear_of_line
from handline.day.plan import Finding, Level
from handline.day.tether_words import at_limit, goes_on, main_case
from handline.line.audit import BODY_LENGTH_M, CASE_ANCHORS_ONLY, CASE_STOPS_HOLD, Outcome
from handline.line.fibres import FIBRES
from handline.line.friction import ROCKS
from handline.line.grip import ONE_HAND_BREAKAWAY_N
from handline.line.hitches import (
    CORD_ON_CABLE,
    CORD_ON_CABLE_SOURCE,
    CORD_THINNER_M,
    CORD_TOO_THICK,
    cord_flag,
    hang_test_N,
    slip_to_melt_m,
)
from handline.line.parts import ABSORBER_EN_958_2024
from handline.line.slide import slide_acceleration_m_s2
from handline.line.tether_building import UNKNOWN_WORDS
from handline.line.tethers import GRIPPING, NONE
from handline.quantity import (
    INCH_M,
    Units,
    show_force,
    show_length,
    show_mass,
    show_pull,
    show_share,
    show_span,
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


def _today(c: LineComputed) -> dict[str, Outcome]:
    """What the chosen tether does on the rock of the day, by case."""
    return {outcome.case: outcome for outcome in c.chosen.outcomes if outcome.rock == c.setting.rock.name}


def _main_case(c: LineComputed) -> Outcome:
    """The case the chosen tether is judged by."""
    return main_case(list(_today(c).values()), c.setting.trip.line.stanchion_holds_N)


def _tether(c: LineComputed) -> Iterator[Finding]:
    main = _main_case(c)
    if main.verdict != "holds":
        yield Finding(
            "stop",
            "tether",
            f"{c.chosen.title}. {c.chosen.sentence}",
            f"Case: {main.case}; rock {main.rock}. {c.chosen.also}",
            source(c.setting.chosen.source).words,
        )


def _rock(c: LineComputed) -> Iterator[Finding]:
    if c.setting.rock.name in ROCK_SAYS:
        level, sentence = ROCK_SAYS[c.setting.rock.name]
        yield Finding(level, f"rock_{c.setting.rock.name}", sentence, source=source(c.setting.rock.source).words)


def _pull(c: LineComputed) -> Iterator[Finding]:
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


def _long_slide(c: LineComputed) -> Iterator[Finding]:
    main, units = _main_case(c), c.setting.trip.about.units
    if main.verdict == "holds" and main.slide_m[1] > BODY_LENGTH_M:
        yield Finding(
            "heed",
            "long_slide",
            f"A slip that the tether stops still slides up to {show_length(main.slide_m[1], units)} at up to "
            f"{show_speed(main.speed_m_s[1], units)}: over bare rock that hurts, whatever the force.",
        )


def _force_at_limit(c: LineComputed) -> Iterator[Finding]:
    main, limit_N, units = _main_case(c), c.setting.trip.limits.body_force_N, c.setting.trip.about.units
    if main.verdict == "holds" and at_limit(main, limit_N):
        yield Finding(
            "heed",
            "force_at_limit",
            f"A stop at {show_force(main.force_N[1], units)} is at your limit on a body: treat it as over.",
            f"Your limit is {show_force(limit_N, units)}, and the standard equation can be up to 30 % too low in some "
            "severe cases.",
            source("wexler_1950").words,
        )


def _lowered(c: LineComputed) -> Iterator[Finding]:
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


def _stanchions(c: LineComputed) -> Iterator[Finding]:
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


def _absorber_mass(c: LineComputed) -> Iterator[Finding]:
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
            "The absorber's standard speaks for "
            f"{show_span(absorber.lightest_kg, absorber.heaviest_kg, show_mass, units)}. With the pack someone weighs "
            f"{show_mass(outside[0], units)}: ask the maker, or a guide who ropes people up.",
            source=source(absorber.source).words,
        )


def _hitch_unproven(c: LineComputed) -> Iterator[Finding]:
    if c.setting.chosen.kind == GRIPPING:
        main, units = _main_case(c), c.setting.trip.about.units
        hang_N = float(hang_test_N(c.setting.body_mass_kg, max(c.setting.line.section_angle_rad)))
        shows = f"Hanging on the steepest part shows that it holds up to {show_force(hang_N, units)}"
        asked = f"; a slip asks for up to {show_force(main.force_N[1], units)}" if np.isfinite(main.force_N[1]) else ""
        yield Finding(
            "heed",
            "hitch_unproven",
            "Nobody has published what a hitch holds on bare steel cable. Hang your weight on it near the foot, where "
            "the ground is right under your feet, before you trust it.",
            f"{shows}{asked}. {c.setting.chosen.hitch.note if c.setting.chosen.hitch else ''}".strip(),
            source=source("hitch_on_cable").words,
        )


def _parts_unknown(c: LineComputed) -> Iterator[Finding]:
    unknown = c.setting.chosen.unknown
    if unknown:
        names = ", ".join(dict.fromkeys(part.words.removesuffix(UNKNOWN_WORDS) for part in unknown))
        yield Finding(
            "heed",
            "part_unknown",
            f"Nobody can say what this part of your tether holds, so it counts as breaking: {names}.",
            "Where it is marked, type its strength in [[tethers.own.parts]]; a cord counts from 4 to 8 mm.",
            source("unknown_strength").words,
        )


def _static_parts(c: LineComputed) -> Iterator[Finding]:
    static = c.setting.chosen.static_parts
    if not static or _main_case(c).slide_m[1] == 0.0:
        return
    first = static[0]
    yield Finding(
        "heed",
        "tether_static",
        f"The {first.words} would have to catch a slip and is not made for it: it hardly gives, so even a short slide "
        "stops hard.",
        " ".join(
            f"{part.words[:1].upper()}{part.words[1:]}: made for {part.certified_for}; not for {part.not_for}."
            for part in static
        ),
        source(first.source).words,
    )


def _brake_only(c: LineComputed) -> Iterator[Finding]:
    hitch = c.setting.chosen.hitch
    if hitch is not None and not hitch.is_stop and _main_case(c).slide_m[1] > 0.0:
        yield Finding(
            "stop",
            "brake_only",
            f"{hitch.title.partition(',')[0]}: a brake for a hand that holds it, and no stop. It is counted as running "
            "free.",
            hitch.note,
            source(hitch.source).words,
        )


def _hitch_way(c: LineComputed) -> Iterator[Finding]:
    hitch, route = c.setting.chosen.hitch, c.setting.route
    if hitch is None:
        return
    used_for = {"up": hitch.for_up, "down": hitch.for_down}
    ways = [way for way in used_for if any(leg.is_line and route.points[leg.end].way == way for leg in route.legs)]
    wrong = [way for way in ways if not used_for[way]]
    if wrong:
        yield Finding(
            "heed",
            "hitch_way",
            f"{hitch.title.partition(',')[0]}: not a hitch for the way {' and '.join(wrong)}, and you go that way.",
            hitch.note,
            source(hitch.source).words,
        )


def _hitch_cord(c: LineComputed) -> Iterator[Finding]:
    cord, cable_m, units = c.setting.chosen.cord, c.setting.line.cable_diameter_m, c.setting.trip.about.units
    flag = "" if cord is None else cord_flag(cord.diameter_m, cable_m)
    if cord is None or not flag:
        return
    sizes = f"{_thickness(cord.diameter_m, units)} cord on a cable of {_thickness(cable_m, units)}"
    yield Finding(
        "stop" if flag == CORD_TOO_THICK else "heed",
        "hitch_cord",
        f"{sizes}: no thinner than the cable, it does not bite."
        if flag == CORD_TOO_THICK
        else f"{sizes}: too thick to bite well. It should be at least {_thickness(CORD_THINNER_M, units)} thinner.",
        source=source("practice_cord_rule").words,
    )


def _hitch_cable(c: LineComputed) -> Iterator[Finding]:
    """What water or ice does to the grip, and heat to the cord."""
    hitch, cord, rock = c.setting.chosen.hitch, c.setting.chosen.cord, c.setting.rock
    if hitch is None:
        return
    if rock.gear_gets_wet:
        yield Finding(
            "heed",
            "hitch_wet",
            f"On a cable that is {rock.name} like the rock a hitch grips less, and may not grip at all.",
            f"Friction of cord on it {_range(CORD_ON_CABLE[rock.name])}; on a dry one {_range(CORD_ON_CABLE['dry'])}.",
            source(CORD_ON_CABLE_SOURCE[rock.name]).words,
        )
    line, units = c.setting.line, c.setting.trip.about.units
    mass_kg = c.setting.body_mass_kg
    pulls_N = mass_kg * slide_acceleration_m_s2(line.section_angle_rad, rock.mu_slide)
    if cord is None or float(pulls_N.max()) <= 0.0:
        return
    fibre = FIBRES[cord.fibre]
    soon_m, late_m = slip_to_melt_m(float(pulls_N.max()), hitch.coils, cord.diameter_m, line.cable_diameter_m, fibre)
    yield Finding(
        "note",
        "hitch_heat",
        f"A hitch that slips gets hot: its cord may begin to {'char' if fibre.chars else 'melt'} within "
        f"{show_span(float(soon_m), float(late_m), show_length, units)} of slipping under your weight.",
        f"Cord of {fibre.title}, from {fibre.melting_C[0]:.0f} C on; sooner where it catches a slide.",
        source("slip_heat").words,
    )


def _connector_opening(c: LineComputed) -> Iterator[Finding]:
    tether, cable_m, units = c.setting.chosen, c.setting.line.cable_diameter_m, c.setting.trip.about.units
    if tether.opening_m is None or tether.opening_typed or tether.opening_m > cable_m:
        return
    yield Finding(
        "heed",
        "connector_opening",
        f"A connector must go round the cable of {_thickness(cable_m, units)}, and many of this class open less: "
        "measure yours.",
        "Type it as opening in [[tethers.own.parts]].",
        source("connector_openings").words,
    )


def _absorber_edition(c: LineComputed) -> Iterator[Finding]:
    absorber = c.setting.chosen.absorber
    if absorber is not None and absorber.source == ABSORBER_EN_958_2024.source:
        yield Finding(
            "heed",
            "absorber_edition",
            "The numbers of the absorber's 2024 edition are not known here: the worse of the two before it count. Read "
            "what its maker says.",
            source=source(absorber.source).words,
        )


def _range(low_high: tuple[float, float]) -> str:
    return "{:g} to {:g}".format(*low_high)


def _thickness(length_m: float, units: Units) -> str:
    """A cord or cable, in millimetres, with inches beside them for US units."""
    text = f"{length_m * 1000.0:g} mm"
    return text if units == "si" else f"{text} ({length_m / INCH_M:.2g} in)"


RULES: tuple[LineRule, ...] = (
    _tether,
    _rock,
    _pull,
    _force_at_limit,
    _long_slide,
    _lowered,
    _stanchions,
    _absorber_mass,
    _absorber_edition,
    _parts_unknown,
    _static_parts,
    _brake_only,
    _hitch_unproven,
    _hitch_way,
    _hitch_cord,
    _hitch_cable,
    _connector_opening,
    gear_of_line,
)
