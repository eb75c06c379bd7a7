"""What the line asks for that the gear list does not have, each with its reason."""

from __future__ import annotations

from collections.abc import Iterator

from handline.day.computed import LineComputed
from handline.day.line_passage import gloves_of
from handline.day.plan import Finding, Level
from handline.line.friction import ROCKS
from handline.line.geometry import UP
from handline.line.grip import LEATHER
from handline.line.tethers import NONE
from handline.quantity import show_angle, show_length, show_pull
from handline.sources import source


def missing_gear(
    c: LineComputed, use: str, why: str, level: Level = "heed", source_key: str = "practice_gear"
) -> Finding:
    return Finding(
        level, f"gear_{use.replace(' ', '_')}", f"{use.capitalize()} not in the gear list: {why}.",
        "Type it in gear.carried, or as a [[gear.items]] with its use.", source(source_key).words,
    )  # fmt: skip


def gear_of_line(c: LineComputed) -> Iterator[Finding]:
    """Gloves, harness, tether, helmet and shoes."""
    has, trip, units = c.setting.trip.gear.has, c.setting.trip, c.setting.trip.about.units
    length = show_length(c.setting.line.length_m, units)
    rock = list(ROCKS).index(c.setting.rock.name)
    pull_N = max(bay.pull_N[rock] for bay in c.bays)
    steepest = show_angle(max(c.setting.line.section_angle_rad))
    if "gloves" not in has:
        holds = f", and they hold {show_pull(pull_N, units)}" if pull_N > 0.0 else ""
        usual = gloves_of(trip, UP).name
        kind = "" if usual != LEATHER else ", leather both ways"
        yield missing_gear(c, "gloves", f"the cable cuts bare hands on {length} up and down{holds}{kind}", "heed",
                       "practice_gloves")  # fmt: skip
    if c.setting.chosen.kind != NONE:
        title = c.setting.chosen.title[:1].lower() + c.setting.chosen.title[1:]
        if "harness" not in has:
            yield missing_gear(
                c, "harness", f"you tie on ({title}), and a tether without a harness does not hold a body"
            )
        if "tether" not in has:
            yield missing_gear(c, "tether", f"you tie on with this: {title}", "note")
    if "helmet" not in has:
        yield missing_gear(c, "helmet", f"{_above(c)}, and a slip on {steepest} of rock turns a body over")
    if "grippy shoes" not in has and pull_N > 0.0:
        yield missing_gear(
            c,
            "grippy shoes",
            f"on {steepest} of {c.setting.rock.name} rock soles of friction {c.setting.rock.mu_foot:g} do not hold by "
            f"themselves, and smoother ones leave more than {show_pull(pull_N, units)} to the hands",
        )


def _above(c: LineComputed) -> str:
    """Who may let something fall."""
    trip = c.setting.trip
    bounding = (permit.places_per_day for permit in trip.permits if permit.for_everybody)
    places = [count for count in bounding if count is not None]
    people = trip.crowd.people_per_day or (places[0] if places else None)
    if people is not None:
        return f"up to {people} people a day are on the line, and what those above let fall comes down on you"
    if trip.party.size > 1:
        return "one of you climbs above the other, and stones they loosen come down"
    return "stones come down a slab that people climb"
