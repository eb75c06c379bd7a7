"""Which option is recommended under the party's own limits, and what keeps each of the others from it."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from handline.choose.options_report import Option
from handline.choose.what_counts import WHAT_COUNTS
from handline.day.line_reporting import TETHER_FINDINGS
from handline.quantity import Units, show_error, show_force, show_share
from handline.season.day_words import day_words

# The plan's finding about the tether, whose words are those of the option.
TETHER = "tether"


@dataclass(frozen=True)
class Bounds:
    """What the party stated: how sure it wants to be, and the most force on a body [N]."""

    wanted_chance: float
    body_force_N: float


@dataclass(frozen=True)
class Candidate:
    """An option that may be recommended: its chance is known, the rest is looked at only where it matters.

    ``chance`` is of all limits, ``error`` one standard error of it; ``permit_chance`` None where nothing is said.
    """

    chance: float
    error: float
    permit_chance: float | None
    look: Callable[[], Option]

    @property
    def value(self) -> float:
        """The chance of the permits and then of all limits; permits of which nothing is said are not in it."""
        return self.chance * _got(self.permit_chance)

    @property
    def value_error(self) -> float:
        return self.error * _got(self.permit_chance)


def candidate(option: Option) -> Candidate:
    """An option that is whole already."""
    return Candidate(option.chance, option.error, option.permit_chance, lambda: option)


def _got(permit_chance: float | None) -> float:
    return 1.0 if permit_chance is None else permit_chance


def against(option: Option, bounds: Bounds, units: Units) -> tuple[str, ...]:
    """Everything that keeps an option from being recommended, in words; none where it may be."""
    return tuple(_against(option, bounds, units))


def _against(option: Option, bounds: Bounds, units: Units) -> Iterator[str]:
    if not option.state_on_date:
        yield f"the line is not {option.state} on {day_words(dt.date.fromisoformat(option.date))}"
    if option.chance < bounds.wanted_chance:
        asked = show_share(bounds.wanted_chance)
        # To a tenth: a chance just below what is asked for must not read like it.
        told = f"{100.0 * option.chance:.1f} % ± {show_error(option.error)}"
        yield f"your limits hold in {told} of days, and you asked for {asked}"
    if option.looks_like_protection:
        yield lowered_first(option.called_out)
    for stop in option.stops:
        # What its tether is was told by then.
        if not (option.looks_like_protection and stop.key in TETHER_FINDINGS):
            yield lowered_first(option.sentence if stop.key == TETHER else stop.sentence)
    if not option.stops and option.force_N[1] > bounds.body_force_N:
        limit = show_force(bounds.body_force_N, units)
        yield f"a slip stops at up to {show_force(option.force_N[1], units)}, over your limit of {limit} on a body"
    if option.permit_chance == 0.0 and not any(stop.key.startswith("permit") for stop in option.stops):
        yield "its permit cannot be got"


def recommend(candidates: Iterable[Candidate], bounds: Bounds, units: Units) -> Option | None:
    """The option with the highest chance of permits and then of all limits, of those that nothing speaks against.

    What needs a permit of which nothing is said comes after all whose permits have a known chance. Within one standard
    error of the highest they are equal. Then a stop that somebody has measured goes before one that rests on a hitch;
    then the shorter worst slide, then the lighter pack, each by more than the smallest difference that matters; then
    the higher chance.

    Parameters
    ----------
    candidates : iterable of Candidate
    bounds : Bounds
        What the party stated.

    Returns
    -------
    Option or None
        None where something speaks against every one.

    Notes
    -----
    Sources: our_recommendation, practice_options.
    """
    left = sorted((one for one in candidates if one.chance >= bounds.wanted_chance), key=_order)
    equal: list[tuple[Candidate, Option]] = []
    for one in left:
        if equal and not as_likely(one, equal[0][0]):
            break
        option = one.look()
        if not against(option, bounds, units):
            equal.append((one, option))
    return _of_equals(equal)


def _order(one: Candidate) -> tuple[bool, float]:
    return one.permit_chance is None, -one.value


def as_likely(one: Candidate, best: Candidate) -> bool:
    """Whether a candidate is as good as the best by its chances, within one standard error."""
    alike = (one.permit_chance is None) == (best.permit_chance is None)
    return alike and one.value >= best.value - best.value_error


def _of_equals(equal: Sequence[tuple[Candidate, Option]]) -> Option | None:
    """Of options whose chances are the same, the one the rules prefer."""
    if not equal:
        return None
    measured = [option for _, option in equal if not option.unproven] or [option for _, option in equal]
    shortest_m = min(option.slide_m[1] for option in measured)
    as_short = [option for option in measured if whole_steps(option.slide_m[1] - shortest_m, "slide") == 0]
    lightest_kg = min(max(option.pack_kg) for option in as_short)
    as_light = [option for option in as_short if whole_steps(max(option.pack_kg) - lightest_kg, "pack") == 0]
    return max(as_light, key=lambda option: option.chance * _got(option.permit_chance))


def whole_steps(behind: float, key: str) -> int:
    """How many whole smallest differences something lies behind."""
    return math.floor(behind / WHAT_COUNTS[key].least + 1e-9)


def lowered_first(sentence: str) -> str:
    """A sentence as a part of another one."""
    words = sentence.rstrip(".")
    return words[:1].lower() + words[1:]
