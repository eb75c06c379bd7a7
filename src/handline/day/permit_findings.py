"""What to act on: the permits of the day, and who else may come, each by its rule."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from types import MappingProxyType

from handline.day.computed import Computed, Rule
from handline.day.permit_words import at_words, days_words
from handline.day.plan import Finding
from handline.day.plan_permits import Permit, PermitChance, PermitDeadline
from handline.quantity import show_error, show_share
from handline.season.day_words import day_words
from handline.season.holidays import holiday_name, is_weekend, parse_place
from handline.sources import source

_MISSED: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "closes": ("applications closed on", "Who did not apply needs another way, or another date."),
        "pay by": ("the last day to pay was", "Unless you paid, it went to others."),
        "pick up": ("the last day to pick it up was", "Ask at once whether it is kept for you."),
        "walk-up": ("the day to stand in line was", "Another way is needed, or another date."),
    }
)


def permits_to_get(permits: tuple[Permit, ...]) -> Iterator[Permit]:
    """Those that the day needs and the party does not hold."""
    return (permit for permit in permits if permit.needed and not permit.held)


def when_words(one: PermitDeadline) -> str:
    """When a deadline is, and how far off where that is known: "31 March 2027 at 16:00 (in 12 days)"."""
    words = at_words(date.fromisoformat(one.date), one.clock_s)
    return words if one.days_left is None else f"{words} ({days_words(one.days_left)})"


def chance_words(chance: PermitChance) -> str:
    """A chance with what it rests on, its error where it was simulated, and its span where there is one."""
    words = show_share(chance.share)
    if chance.error is not None:
        words += f" ± {show_error(chance.error)}"
    if chance.low is not None and chance.high is not None:
        words += f" ({show_share(chance.low)} to {show_share(chance.high)})"
    return f"{words}. {chance.says}."


def _against(c: Computed) -> Iterator[Finding]:
    """A party too large for a permit, or permits that nobody may hold together."""
    for permit in c.permits:
        for number, words in enumerate(permit.against):
            yield Finding(
                "stop", f"permit_against:{permit.name}:{number}", f"{words[:1].upper()}{words[1:]}.", "", _rules()
            )


def _not_held(c: Computed) -> Iterator[Finding]:
    for permit in permits_to_get(c.permits):
        where = f", checked at {permit.checked_at}" if permit.checked_at else ""
        if permit.gone:
            yield Finding(
                "stop",
                f"permit:{permit.name}",
                f"Permit not held, and no way to get it is left: {permit.name}{where}.",
                "Choose another date. If you were drawn or have it by now, write held = true.",
            )
            continue
        yield Finding("heed", f"permit:{permit.name}", f"Permit not yet held: {permit.name}{where}.", _to_do(permit))


def _to_do(permit: Permit) -> str:
    """What to do next for a permit, and how likely it is to be got."""
    told = list(permit.next) or ["The file does not say how to get it: ask the land manager."]
    if permit.chance is not None:
        told.append(f"Chance of getting it: {chance_words(permit.chance)}")
    return " ".join(told)


def _past(c: Computed) -> Iterator[Finding]:
    """Deadlines gone by that still matter: there is another way, or an application may have been made in time."""
    for permit in permits_to_get(c.permits):
        missed = [one for one in permit.deadlines if one.missed]
        if not missed or permit.gone:
            continue
        one = missed[-1]
        words, told = _MISSED[one.what]
        yield Finding("heed", f"permit_past:{permit.name}", f"{permit.name}: {words} {when_words(one)}. {told}")


def _checked(c: Computed) -> Iterator[Finding]:
    for permit in c.permits:
        if permit.needed and permit.held:
            papers = f", with {' and '.join(permit.documents)}" if permit.documents else ""
            where = f"{permit.name} is checked at {permit.checked_at}: carry it{papers}."
            yield Finding(
                "note",
                f"permit_checked:{permit.name}",
                where if permit.checked_at else f"Carry your permit, {permit.name}{papers}.",
            )


def _pick_up(c: Computed) -> Iterator[Finding]:
    """A permit that is held has still to be picked up."""
    for permit in c.permits:
        for one in permit.deadlines if permit.held else ():
            yield Finding(
                "heed" if one.missed else "note",
                f"permit_pick_up:{permit.name}",
                f"{when_words(one)}: {one.words}.",
                "The day is past: if you have it in hand, all is well." if one.missed else "",
            )


def _costs(c: Computed) -> Iterator[Finding]:
    for permit in permits_to_get(c.permits):
        if permit.gone:
            continue
        papers = f"Have ready: {', '.join(permit.documents)}." if permit.documents else ""
        if permit.fee or papers:
            cost = f"{permit.name} costs {permit.fee}" if permit.fee else f"{permit.name}:"
            yield Finding("note", f"permit_cost:{permit.name}", f"{cost} {papers}".strip())


def _many_people(c: Computed) -> Iterator[Finding]:
    """A public holiday or a weekend: more people than on other days. How many more nobody has counted here."""
    trip = c.setting.trip
    day, code = trip.about.date, trip.season.holidays
    place = None if code is None else parse_place(code)
    where = () if place is None else (place.country, place.subdivision)
    name = None if place is None else holiday_name(day, place.country, place.subdivision)
    if name is not None:
        yield Finding(
            "note",
            "many_people",
            f"{day_words(day)} is a public holiday, {name}: expect more people on the way and at the line.",
            source=f"{source('practice_busy_days').words}; {source('holidays_library').words}",
        )
    elif is_weekend(day, *where):
        yield Finding(
            "note",
            "many_people",
            f"{day_words(day)} is on a weekend: expect more people on the way and at the line.",
            source=source("practice_busy_days").words,
        )


def _rules() -> str:
    return source("our_permit_rules").words


RULES: tuple[Rule, ...] = (_against, _not_held, _past, _checked, _pick_up, _costs, _many_people)
