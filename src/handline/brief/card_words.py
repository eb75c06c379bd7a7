"""What the card says beside the passing times: short sentences from a Plan, and in which order they give way.

Where there is no room, sentences are left out from the end of a list and the card says how many.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from handline.brief.chance_words import turning_back_says, water_says
from handline.brief.load_words import longest_words
from handline.brief.turn_words import Turn, leave_by, turns
from handline.brief.weather_words import as_sentence, dark_sentence
from handline.brief.words import is_known
from handline.day.plan import Finding, Light, Permit, Plan
from handline.day.plan_line import TetherRow
from handline.day.plan_load import WaterStop
from handline.day.tether_words import LOOKS_LIKE
from handline.quantity import say_clock, show_clock, show_duration, show_share, show_water

LIGHTNING = "lightning"


@dataclass(frozen=True)
class Fact:
    """One of the few times in the biggest type: ``clock``, or ``why`` there is none."""

    title: str
    clock: str
    why: str
    small: str


@dataclass(frozen=True)
class Said:
    """A list of sentences, ``title`` before each or empty; ``more`` says what was left out."""

    rows: tuple[tuple[str, str], ...]
    more: str = ""


@dataclass(frozen=True)
class Tethers:
    """What the party ties on with, what only looks like protection, and what else there is."""

    chosen: str
    chosen_says: str
    looks_like: Said
    others: Said


def facts(plan: Plan) -> tuple[Fact, ...]:
    """When to leave, where to turn back, the top, and from when on the party is overdue."""
    decision, start = plan.decision, leave_by(plan)
    planned = f"planned {say_clock(decision.start_clock_s)}"
    if decision.set_out_clock_s is not None:
        planned += f"; set out {say_clock(decision.set_out_clock_s)}"
    leave = Fact(f"Leave {start.at} by", start.clock, start.why, planned)
    turning = [
        Fact("Turn back after" if i == 0 else "Not up there later than", turn.clock, turn.why, _where(i, turn))
        for i, turn in enumerate(turns(plan))
    ]
    waits = "whoever waits then calls"
    too_late = decision.leave_by_clock_s is not None and decision.leave_by_clock_s < decision.start_clock_s
    if too_late or plan.contacts.later_home_clock_s is not None:
        waits = f"if you leave at {say_clock(decision.start_clock_s)}; {waits}"
    overdue = Fact("Overdue from", say_clock(plan.contacts.overdue_clock_s), "", waits)
    return (leave, *turning, overdue)


def _where(number: int, turn: Turn) -> str:
    if not turn.clock:
        return "" if turn.at in turn.why else f"at {turn.at}"
    return f"at {turn.at}" if number else f"if not yet at {turn.at}"


def rules_words(plan: Plan) -> str:
    """The party's own rules of turning back; empty where it has none."""
    return "" if plan.turned.turning_back is None else turning_back_says(plan.turned.turning_back)


def findings_said(plan: Plan, most: int) -> Said:
    """What to act on, the gravest first."""
    told = [finding for finding in plan.findings if finding.level != "note"]
    rows = tuple((finding.level.upper(), finding.sentence) for finding in told[:most])
    return Said(rows, _more(told[most:]))


def _more(left: Sequence[Finding]) -> str:
    if not left:
        return ""
    stops = sum(finding.level == "stop" for finding in left)
    grave = f", {stops} of them at STOP" if stops else ""
    return f"{len(left)} more in the brief{grave}: read them before you go."


# --- light, rock and storms ------------------------------------------------------------------------------------------


def sky_said(plan: Plan) -> Said:
    """Light, rock and storms, a line each."""
    lightning = [finding.sentence for finding in plan.findings if finding.key == LIGHTNING]
    storm = f"A storm at some time: on {show_share(plan.storm.chance)} of such days."
    return Said(
        (
            ("Light", f"{_light(plan.light)} {dark_sentence(plan.light, plan.sky)}"),
            ("Rock", as_sentence(plan.weather.rock_says)),
            ("Storms", " ".join([storm, *lightning])),
        )
    )


def _light(light: Light) -> str:
    if light.says:
        return as_sentence(light.says)
    told = [
        f"{what} {show_clock(clock_s)}"
        for what, clock_s in (
            ("first light", light.civil_dawn_clock_s),
            ("sunrise", light.sunrise_clock_s),
            ("sunset", light.sunset_clock_s),
            ("last light", light.civil_dusk_clock_s),
        )
        if is_known(clock_s)
    ]
    return as_sentence(", ".join(told))


# --- tethers ---------------------------------------------------------------------------------------------------------


def tethers_said(plan: Plan, whole: bool) -> Tethers:
    """Every way of attaching the brief shows; what looks like protection with its sentences only where ``whole``."""
    chosen = next(row for row in plan.line.tethers if row.chosen)
    looks_like = [row for row in plan.line.tethers if not row.chosen and row.sentence.startswith(LOOKS_LIKE)]
    others = [row for row in plan.line.tethers if not row.chosen and row not in looks_like]
    return Tethers(
        chosen=chosen.title,
        chosen_says=" ".join(filter(None, (chosen.sentence, chosen.also))),
        looks_like=_attached(looks_like, whole),
        others=_attached(others, True),
    )


def _attached(rows: Sequence[TetherRow], whole: bool) -> Said:
    """Ways of attaching that do the same stand together."""
    if not whole:
        titles = "; ".join(row.title for row in rows)
        return Said(((titles, ""),) if rows else (), "What each does is in the brief." if rows else "")
    titles_of: dict[str, list[str]] = {}
    for row in rows:
        titles_of.setdefault(as_sentence(row.sentence.removeprefix(LOOKS_LIKE).lstrip(": ")), []).append(row.title)
    return Said(tuple(("; ".join(titles), sentence) for sentence, titles in titles_of.items()))


# --- water, permits, contacts ----------------------------------------------------------------------------------------


def water_said(plan: Plan, most: int) -> Said:
    """Where to fill and how much each; the stops that fill most, in the order of the way."""
    stops = [(i, stop) for i, stop in enumerate(plan.load.water) if stop.refill_L > 0.0 or stop.dry_says]
    kept = sorted(sorted(stops, key=lambda one: -one[1].refill_L)[:most])
    rows = tuple(_water_row(plan, i, stop) for i, stop in kept)
    left = len(stops) - len(kept)
    more = f"{left} more place{'s' if left > 1 else ''} with water in the brief." if left else ""
    return Said(rows, more)


def _water_row(plan: Plan, number: int, stop: WaterStop) -> tuple[str, str]:
    units = plan.units
    if stop.dry_says and stop.refill_L <= 0.0:
        return f"{stop.name}, {stop.way}", as_sentence(f"not counted on: {stop.dry_says}")
    leave = show_water(stop.leave_L, units)
    if number == 0 and not stop.source:
        return stop.name, f"Leave with {leave} each, from home."
    words = f"Fill {show_water(stop.refill_L, units)} each, so that each leaves with {leave}."
    if stop.treat_hands_s > 0.0:
        words += f" Treat {show_water(stop.treat_L, units)} in all: {show_duration(stop.treat_hands_s)}."
    return f"{stop.name}, {stop.way}", words


def water_notes(plan: Plan) -> tuple[str, ...]:
    """The longest dry way, how sure the water is, what treating leaves in, and not to drink too much."""
    load = plan.load
    return (
        as_sentence(f"Longest dry: {longest_words(load.longest, plan.units)}"),
        water_says(plan.turned.water),
        as_sentence(f"Treatment: {load.treatment}. It does not take out: {load.treatment_leaves_in}"),
        load.overdrinking,
    )


def permits_said(plan: Plan, documents: bool) -> Said:
    """The permits to carry, and those that are missing."""
    needed = [permit for permit in plan.permits if permit.needed]
    if not needed:
        none = "None that this day needs" if plan.permits else "The trip file names none: ask the land manager"
        return Said((("", f"{none}."),))
    return Said(tuple((permit.name, _permit(permit, documents)) for permit in needed))


def _permit(permit: Permit, documents: bool) -> str:
    words = "Held: carry it" if permit.held else "NOT HELD"
    if permit.checked_at:
        words += f"; checked at {permit.checked_at}"
    if permit.documents and documents:
        words += f". With it: {', '.join(permit.documents)}"
    elif permit.documents:
        words += f". With it {len(permit.documents)} more, named in the brief"
    return f"{words}."
