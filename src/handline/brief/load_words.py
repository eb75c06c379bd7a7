"""Packs, water and food in words: what the brief, the page and the screen of ``load`` tell, in the party's units."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from handline.brief.words import is_known, said, said_span
from handline.day.load_report import LoadReport
from handline.day.plan_load import DryStretch, GearShown, LegEffort, LoadPlan, MemberLoad, Triple, WaterStop
from handline.quantity import (
    Units,
    show_duration,
    show_energy,
    show_pack,
    show_share,
    show_temperature,
    show_water,
)
from handline.walking.carried_flags import CARRIED_FLAGS

NOT_KNOWN = "not known"
NOTHING = "–"
# A party has fewer people than there are letters here.
_LETTERS = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"


@dataclass(frozen=True)
class MemberRow:
    """One member's load; ``worn`` is empty where nothing is."""

    names: str
    body: str
    start: str
    line: str
    most: str
    most_at: str
    share: str
    gear: str
    worn: str
    food: str
    water: str
    need: str
    drunk: str
    loss: str
    energy: str
    energy_beside: str


@dataclass(frozen=True)
class StopRow:
    """One passing of the water plan; ``says`` is what kind of place it is for water."""

    place: str
    way: str
    says: str
    sure: bool
    arrive: str
    refill: str
    leave: str
    treat: str
    treat_time: str
    treat_wait: str


@dataclass(frozen=True)
class StretchRow:
    """The way between one sure water and the next."""

    words: str
    time: str
    water: str
    longest: bool


@dataclass(frozen=True)
class LegRow:
    """What one leg asks of the member who works hardest."""

    start: str
    end: str
    time: str
    rate: str
    energy: str
    energy_beside: str
    need: str
    heat: str


@dataclass(frozen=True)
class GearRow:
    """A line of the gear list. ``where`` says what is not plainly in every pack."""

    name: str
    mass: str
    where: str
    carriers: str


@dataclass(frozen=True)
class WayShown:
    """One way of carrying, in words. ``legs`` and ``gear`` may be empty."""

    key: str
    title: str
    packs_from: str
    members: tuple[MemberRow, ...]
    flags: tuple[str, ...]
    water: tuple[StopRow, ...]
    longest: str
    stretches: tuple[StretchRow, ...]
    legs: tuple[LegRow, ...]
    gear: tuple[GearRow, ...]
    reserve_says: str
    sure: str
    treatment: str
    leaves_in: str
    overdrinking: str
    settled: str
    notes: tuple[str, ...]


@dataclass(frozen=True)
class ComparedRow:
    """One question and what each way answers, in the order of the ways; ``first`` are those a leader asks first."""

    what: str
    answers: tuple[str, ...]
    first: bool


def load_ways(report: LoadReport) -> tuple[LoadPlan, ...]:
    """The ways there are: one push, and the night out where there is one."""
    return (report.push,) if report.night is None else (report.push, report.night)


def load_cautions(report: LoadReport) -> tuple[str, ...]:
    """Every caution once, that of drinking too much always among them."""
    return tuple(dict.fromkeys((*(way.overdrinking for way in load_ways(report)), *report.cautions)))


def load_shown(way: LoadPlan, units: Units) -> WayShown:
    """One way of carrying, in words."""
    return WayShown(
        key=way.key,
        title=way.title,
        packs_from=way.packs_from,
        members=tuple(_member_row(*one, units) for one in zip(member_labels(way), way.members, strict=True)),
        flags=flags_sentences(way),
        water=tuple(_stop_row(stop, i, len(way.water), units) for i, stop in told_stops(way)),
        longest=longest_words(way.longest, units),
        stretches=tuple(_stretch_row(stretch, way.longest, units) for stretch in way.stretches),
        legs=tuple(_leg_row(leg, units) for leg in way.legs),
        gear=tuple(_gear_row(item, way, units) for item in way.gear),
        reserve_says=_reserve_says(way, units),
        sure=show_share(way.sure),
        treatment=way.treatment,
        leaves_in=way.treatment_leaves_in,
        overdrinking=way.overdrinking,
        settled=way.settling.words,
        notes=way.notes,
    )


def _reserve_says(way: LoadPlan, units: Units) -> str:
    """With what one comes to the next water, in a sentence."""
    reserve = show_water(way.reserve_L, units)
    kept = f"You come to the next water, and to the end, with {reserve} each still in hand"
    if any("reserve_not_kept" in member.flags for member in way.members):
        return f"{kept}; but not where the bottles are too small: there it is drunk before."
    return f"{kept}."


def told_stops(way: LoadPlan) -> list[tuple[int, WaterStop]]:
    """The passings the water plan is about: start and end, every source, and where there is water to fill in."""
    last = len(way.water) - 1
    return [
        (i, stop)
        for i, stop in enumerate(way.water)
        if i in (0, last) or stop.source or stop.dry_says or stop.refill_L > 0.0
    ]


# --- one way -------------------------------------------------------------------------------------------------------


def member_labels(way: LoadPlan) -> tuple[str, ...]:
    """What each member, or each some whom no number tells apart, is called: names that are there twice get a letter.

    Members the trip file does not list are called after how many they are, and so two of them may be called alike.
    """
    often, letters = Counter(member.names for member in way.members), iter(_LETTERS)
    return tuple(
        f"{member.names} ({next(letters)})" if often[member.names] > 1 else member.names for member in way.members
    )


def energy_words(energy_J: Triple, units: Units) -> tuple[str, str]:
    """What is burnt in the party's unit, and the same in the other."""
    shown, _, beside = said_span(energy_J, show_energy, units).partition(" (")
    return shown, beside.rstrip(")")


def _member_row(label: str, member: MemberLoad, units: Units) -> MemberRow:
    energy, beside = energy_words(member.energy_J, units)
    return MemberRow(
        names=label,
        body=_pack(member.body_mass_kg, units),
        start=_pack(member.start_kg, units),
        line=_pack(member.line_kg, units),
        most=_pack(member.most_kg, units),
        most_at=member.most_at,
        share=said(member.share, show_share, NOT_KNOWN),
        gear=_pack(member.gear_kg, units),
        worn=_pack(member.worn_kg, units) if member.worn_kg > 0.0 else "",
        food=_pack(member.food_kg, units),
        water=_pack(member.water_kg, units),
        need=said_span(member.need_L, show_water, units),
        drunk=_water(member.drunk_L, units),
        loss=said(member.loss_share, loss_words, NOT_KNOWN),
        energy=energy,
        energy_beside=beside,
    )


def loss_words(share: float) -> str:
    """Water missing from the body as a share of it, to a tenth of a per cent: "0.5 %"."""
    return f"{100.0 * share:.1f} %"


def flags_sentences(way: LoadPlan) -> tuple[str, ...]:
    """What to know of whose load; who has the same to know is told together."""
    of: dict[tuple[str, ...], list[str]] = {}
    for label, member in zip(member_labels(way), way.members, strict=True):
        if member.flags:
            of.setdefault(member.flags, []).append(label)
    # A flag that has no words of its own is said as it is.
    words = {flags: "; ".join(CARRIED_FLAGS.get(flag, flag) for flag in flags) for flags in of}
    everybody = len(way.members)
    return tuple(
        f"{'For everybody' if 1 < len(who) == everybody else ', '.join(who)}: {words[flags]}."
        for flags, who in of.items()
    )


def stop_words(stop: WaterStop, number: int, stops: int) -> str:
    """What kind of place for water this is."""
    parts = ["from home"] if number == 0 and not stop.source else []
    if stop.source:
        parts.append("sure water")
    elif stop.dry_says:
        parts.append(f"not counted on: {stop.dry_says}")
    if number == stops - 1:
        parts.append("the end")
    return ", ".join(parts)


def _stop_row(stop: WaterStop, number: int, stops: int, units: Units) -> StopRow:
    return StopRow(
        place=stop.name,
        way="start" if number == 0 else stop.way,
        says=stop_words(stop, number, stops),
        sure=stop.source or number == 0,
        arrive=NOTHING if number == 0 else _water(stop.arrive_L, units),
        refill=_water(stop.refill_L, units) if stop.refill_L > 0.0 else NOTHING,
        leave=NOTHING if number == stops - 1 else _water(stop.leave_L, units),
        treat=_water(stop.treat_L, units) if stop.treat_hands_s + stop.treat_wait_s > 0.0 else NOTHING,
        treat_time=show_duration(stop.treat_hands_s) if stop.treat_hands_s > 0.0 else NOTHING,
        treat_wait=f"then {show_duration(stop.treat_wait_s)} of waiting" if stop.treat_wait_s > 0.0 else "",
    )


def longest_words(stretch: DryStretch, units: Units) -> str:
    """The longest way without sure water, in one sentence."""
    wanted = _water(stretch.wanted_L, units)
    return f"{stretch.words}: {_time(stretch.duration_s)}, and {wanted} each to begin it with"


def _stretch_row(stretch: DryStretch, longest: DryStretch, units: Units) -> StretchRow:
    return StretchRow(stretch.words, _time(stretch.duration_s), _water(stretch.wanted_L, units), stretch == longest)


def _leg_row(leg: LegEffort, units: Units) -> LegRow:
    energy, beside = energy_words(leg.energy_J, units)
    return LegRow(
        start=leg.start,
        end=leg.end,
        time=_time(leg.time_s),
        rate=said_span(leg.rate_W, lambda rate_W, _: f"{rate_W:.0f} W", units),
        energy=energy,
        energy_beside=beside,
        need=said_span(leg.need_L_h, show_water, units),
        heat=said(leg.wbgt_C, _shown(show_temperature, units), NOT_KNOWN),
    )


def _gear_row(item: GearShown, way: LoadPlan, units: Units) -> GearRow:
    where = [word for word, is_so in (("shared", item.shared), ("worn", item.worn)) if is_so]
    where += ["only for the night"] if item.night else []
    everybody = sum(member.count for member in way.members)
    return GearRow(
        name=f"{item.name} ×{item.count}" if item.count > 1 else item.name,
        mass=show_pack(item.mass_kg, units) + (" each" if item.count > 1 else ""),
        where=", ".join(where),
        carriers="everybody" if len(item.carriers) == everybody else ", ".join(item.carriers),
    )


# --- one way against the other -------------------------------------------------------------------------------------


def compared(ways: Sequence[LoadPlan], units: Units) -> tuple[ComparedRow, ...]:
    """What a leader asks of one push and a night out, answered side by side."""
    asked: tuple[tuple[str, bool, Callable[[LoadPlan], str]], ...] = (
        ("Heaviest pack on setting out", True, lambda way: _most(way, _start_kg, show_pack, units)),
        ("Heaviest pack of the trip", False, lambda way: _most(way, _most_kg, show_pack, units, where=True)),
        ("Heaviest pack at the foot of the line", True, lambda way: _most(way, _line_kg, show_pack, units)),
        (
            "Most against its body",
            False,
            lambda way: _most(way, _body_share, lambda share, _: show_share(share), units),
        ),
        ("Walking, without stops", True, lambda way: _time(way.walking_s)),
        ("Day by day", False, lambda way: ", then ".join(_time(day_s) for day_s in way.day_s)),
        ("Water to treat, the whole party", False, lambda way: _water(treated_L(way), units)),
        ("Hands busy treating", False, lambda way: _time(sum(stop.treat_hands_s for stop in way.water))),
        ("Longest without sure water", False, lambda way: _time(way.longest.duration_s)),
        ("Most burnt by one", False, lambda way: _most(way, _burnt_J, _energy, units)),
    )
    return tuple(ComparedRow(what, tuple(answer(way) for way in ways), first) for what, first, answer in asked)


def treated_L(way: LoadPlan) -> float:
    """All the water the party treats [L]."""
    return sum(stop.treat_L for stop in way.water)


def _start_kg(member: MemberLoad) -> float:
    return member.start_kg


def _line_kg(member: MemberLoad) -> float:
    return member.line_kg


def _most_kg(member: MemberLoad) -> float:
    return member.most_kg


def _body_share(member: MemberLoad) -> float:
    return member.share


def _burnt_J(member: MemberLoad) -> float:
    return member.energy_J[1]


def _energy(energy_J: float, units: Units) -> str:
    return f"about {show_energy(energy_J, units)}"


def _most(
    way: LoadPlan,
    value: Callable[[MemberLoad], float],
    show: Callable[[float, Units], str],
    units: Units,
    where: bool = False,
) -> str:
    """The greatest value of the party and whose it is, where there are several."""
    known = [one for one in zip(member_labels(way), way.members, strict=True) if is_known(value(one[1]))]
    if not known:
        return NOT_KNOWN
    label, member = max(known, key=lambda one: value(one[1]))
    whose = f", {label}" if len(way.members) > 1 else ""
    return f"{show(value(member), units)}{whose}{f', at {member.most_at}' if where else ''}"


# --- values --------------------------------------------------------------------------------------------------------


def _shown(show: Callable[[float, Units], str], units: Units) -> Callable[[float], str]:
    return lambda value: show(value, units)


def _pack(mass_kg: float, units: Units) -> str:
    return said(mass_kg, _shown(show_pack, units), NOT_KNOWN)


def _water(water_L: float, units: Units) -> str:
    return said(water_L, _shown(show_water, units), NOT_KNOWN)


def _time(time_s: float) -> str:
    return said(time_s, show_duration, NOT_KNOWN)
