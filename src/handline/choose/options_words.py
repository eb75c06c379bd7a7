"""How ways of doing a trip are named and told in a sentence."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Callable, Sequence

from handline.choose.date_pieces import NIGHT, PUSH
from handline.choose.options_report import Option, Range
from handline.line.tethers import NONE
from handline.quantity import Units, say_clock, show_chance, show_error, show_force, show_length, show_pack, show_share
from handline.season.day_words import day_words

WAY_TITLES = {PUSH: "One push", NIGHT: "A night out"}
WAY_SHORT = {PUSH: "push", NIGHT: "night out"}
NOT_KNOWN = "not known"


def option_key(way: str, state: str, tether: str, other_start: bool = False) -> str:
    """The name of an option in a page and in JSON: no two of a report have the same."""
    plain = re.sub(r"[^a-z0-9]+", "-", tether.lower()).strip("-")
    # Own tethers may differ in what is no letter of this alphabet.
    plain = plain if plain == tether.replace(" ", "-") else f"{plain}-{tether.encode().hex()}"
    return "-".join(filter(None, (way, state, plain, "other-start" if other_start else "")))


def option_title(way: str, state: str, tether: str, on: dt.date | None = None) -> str:
    """An option in words: "One push, line raised, absorbing lanyard", with its date where that tells it from others."""
    date = "" if on is None else f" on {day_words(on)}"
    return f"{WAY_TITLES[way]}{date}, line {state}, {tether_words(tether)}"


def tether_words(tether: str) -> str:
    """A tether by its name."""
    return tether if tether != NONE else "nothing attached"


def leave_words(option: Option) -> str:
    """When to leave: "leaving at 03:00", or from the camp after a night out."""
    camp = " from the camp" if option.way == NIGHT else ""
    return f"leaving{camp} at {say_clock(option.start_clock_s)}"


def chance_words(option: Option) -> str:
    """The chance of all limits with its error."""
    return f"{show_chance(option.chance)} ± {show_error(option.error)}"


def latest_says(option: Option) -> str:
    """The latest start that meets the wanted chance, in a sentence's end."""
    if option.window_clock_s is None:
        return "no start meets the wanted chance"
    if option.goes_on[1]:
        return "any later start that was looked at meets the wanted chance too"
    return f"the latest start that meets the wanted chance is {say_clock(option.window_clock_s[1])}"


def slip_words(option: Option, units: Units) -> str:
    """What a slip comes to at worst: slide and force."""
    if option.slide_m[1] == 0.0:
        return "friction alone keeps a body from sliding"
    slide = f"a slip slides up to {show_length(option.slide_m[1], units)}"
    if not math.isfinite(option.force_N[1]):
        return f"{slide} and no tether stops it"
    return f"{slide} and stops at up to {show_force(option.force_N[1], units)}"


def pack_words(option: Option, units: Units) -> str:
    """The heaviest pack, on setting out, at the line, and where it is the most."""
    start, line, most = (show_pack(mass_kg, units) for mass_kg in option.pack_kg)
    told = [f"{start} on setting out"]
    told += [f"{line} at the line"] if line != start else []
    told += [f"{most} where it is the most"] if most not in (start, line) else []
    return ", ".join(told)


def permit_words(option: Option) -> str:
    """Which permits are needed and how likely they are got."""
    if not option.permits:
        return "no permit is needed"
    chance = (
        ""
        if option.permit_chance in (None, 1.0)
        else f", got with a chance of {show_share(option.permit_chance or 0.0)}"
    )
    return f"{listed(option.permits)} needed{chance}: {option.permit_says[:1].lower()}{option.permit_says[1:]}"


def pair_told(pair: Range, show: Callable[[float], str], otherwise: str = NOT_KNOWN) -> str:
    """Two values of one kind, once where both read the same."""
    told = [show(value) if math.isfinite(value) else otherwise for value in pair]
    return "; ".join(dict.fromkeys(told))


def listed(words: Sequence[str]) -> str:
    """Some words as a list: "a, b and c"."""
    first = ", ".join(words[:-1])
    return " and ".join(filter(None, (first, *words[-1:])))
