"""What would change the recommendation: each thing is turned over, and the recommendation made again."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial

from handline.choose.options_report import Change, Option
from handline.choose.options_words import chance_words, leave_words, option_key
from handline.choose.recommending import Bounds, Candidate, against, candidate, recommend
from handline.choose.side_by_side import SideBySide
from handline.choose.way_settings import WaySetting
from handline.day.start_sweep import DELAY_S
from handline.line.tethers import Tether
from handline.quantity import Units, show_duration, show_share

# The chance a party may want, as a trip file takes it, and the steps in which another one is looked for.
LEAST_WANTED, MOST_WANTED, WANTED_STEP = 0.50, 0.99, 0.01
WET = "wet"


@dataclass(frozen=True, eq=False)
class Compared:
    """One way with one tether, the start it is set beside others with, and the option that is."""

    way: WaySetting
    tether: Tether
    start_clock_s: float
    option: Option

    @property
    def key(self) -> tuple[str, str, str]:
        """The way, whatever its start."""
        return self.option.way, self.option.state, self.option.tether


@dataclass(frozen=True, eq=False)
class Question:
    """What is recommended of what, under which bounds."""

    side: SideBySide
    compared: tuple[Compared, ...]
    bounds: Bounds
    units: Units
    recommended: Option | None

    @property
    def once(self) -> tuple[Compared, ...]:
        """Each way with each tether once, whatever its start."""
        return tuple({one.key: one for one in self.possible}.values())

    @property
    def possible(self) -> tuple[Compared, ...]:
        """What can be done on its date."""
        return tuple(one for one in self.compared if one.option.state_on_date)


def what_changes(question: Question) -> tuple[tuple[Change, ...], tuple[str, ...]]:
    """Everything tried that changes the recommendation, and in words what changes nothing.

    Tried are: the wanted chance, step by step; each permit of the recommended option not got, and any permit got for
    sure; half an hour of delay; wet rock; the line in its other state.
    """
    changed: list[Change] = []
    same: list[str] = []
    for words, changes in _tries(question):
        changed += changes
        if not changes:
            same.append(words)
    return tuple(changed), tuple(same)


def _tries(q: Question) -> Iterator[tuple[str, list[Change]]]:
    yield "another wanted chance", list(_wanted(q))
    for name in _to_get(q):
        yield f"{name} not got", list(_without_permit(q, name))
    for name in _of_all_to_get(q):
        yield f"{name} got for sure", list(_with_permit(q, name))
    if q.recommended is not None:
        yield f"leaving {show_duration(DELAY_S)} later", list(_later(q))
    yield "wet rock", list(_wet(q))
    states = {one.option.state for one in q.compared}
    if len(states) > 1:
        yield "the line in its other state", list(_other_state(q))


# --- one thing turned over -----------------------------------------------------------------------------------------


def _wanted(q: Question) -> Iterator[Change]:
    """The nearest wanted chances, below and above, with which another way is recommended, or one at all."""
    steps = round((MOST_WANTED - LEAST_WANTED) / WANTED_STEP)
    grid = [LEAST_WANTED + WANTED_STEP * step for step in range(steps + 1)]
    below = [wanted for wanted in reversed(grid) if wanted < q.bounds.wanted_chance - 1e-9]
    above = [wanted for wanted in grid if wanted > q.bounds.wanted_chance + 1e-9]
    for few, words in ((below, "If {} were enough"), (above, "Wanting {} or more")):
        for wanted in few:
            found = recommend_wanting(q, wanted)
            if not _same(found, q.recommended):
                yield _change(words.format(show_share(wanted)), found)
                break


def recommend_wanting(q: Question, wanted: float) -> Option | None:
    """What is recommended where another chance is wanted: each way from the start that goes with it."""
    candidates = []
    for one in q.once:
        starts = q.side.starts(one.way, one.tether)
        start_s = starts.start_for(wanted)
        if starts.at(start_s) >= wanted:
            candidates.append(_candidate(q, one, start_s))
    return recommend(candidates, replace(q.bounds, wanted_chance=wanted), q.units)


def _to_get(q: Question) -> tuple[str, ...]:
    """The permits of the recommended option that are still to be got."""
    found = _recommended(q)
    return () if found is None else tuple(p.name for p in found.way.permits if p.needed and not p.held)


def _without_permit(q: Question, name: str) -> Iterator[Change]:
    left = [one for one in q.possible if name not in one.option.permits]
    found = recommend([_candidate(q, one, one.start_clock_s) for one in left], q.bounds, q.units)
    yield from _if_changed(q, f"Without {name}", found)


def _of_all_to_get(q: Question) -> tuple[str, ...]:
    """Every permit that something that can be done still has to get."""
    return tuple(dict.fromkeys(p.name for one in q.possible for p in one.way.permits if p.needed and not p.held))


def _with_permit(q: Question, name: str) -> Iterator[Change]:
    """One permit in hand; what else is needed has still to be got."""
    candidates = [replace(candidate(one.option), permit_chance=_chance_with(one.way, name)) for one in q.possible]
    yield from _if_changed(q, f"With {name} in hand", recommend(candidates, q.bounds, q.units))


def _chance_with(way: WaySetting, name: str) -> float | None:
    """The chance of the other permits that are to be got; None where nothing is said of one of them."""
    others = [p.chance for p in way.permits if p.needed and not p.held and p.name != name]
    known = [chance.share for chance in others if chance is not None]
    return None if len(known) < len(others) else math.prod(known)


def _later(q: Question) -> Iterator[Change]:
    """Everybody leaves later than shown, on the same day; the party may still do it another way."""
    later = [_candidate(q, one, one.start_clock_s + DELAY_S) for one in q.possible]
    found, now = recommend(later, q.bounds, q.units), _recommended(q)
    fails = None if now is None else _candidate(q, now, now.start_clock_s + DELAY_S)
    yield from _if_changed(q, f"Leaving {show_duration(DELAY_S)} later than shown", found, fails)


def _wet(q: Question) -> Iterator[Change]:
    found = recommend([_candidate(q, one, one.start_clock_s, WET) for one in q.possible], q.bounds, q.units)
    now = _recommended(q)
    fails = None if now is None else _candidate(q, now, now.start_clock_s, WET)
    yield from _if_changed(q, "On wet rock", found, fails)


def _other_state(q: Question) -> Iterator[Change]:
    """Every date with the line as it is not on it, as far as that was set up."""
    turned = [replace(one.option, state_on_date=not one.option.state_on_date) for one in q.compared]
    left = [candidate(option) for option in turned if option.state_on_date]
    if not left:
        return
    states = {one.look().state for one in left}
    words = f"If the line were {states.pop()} that day" if len(states) == 1 else "If the line were in its other state"
    now = q.recommended
    alike = now and next((o for o in turned if (o.way, o.tether) == (now.way, now.tether) and o.state_on_date), None)
    yield from _if_changed(q, words, recommend(left, q.bounds, q.units), candidate(alike) if alike else None)


def _recommended(q: Question) -> Compared | None:
    return next((one for one in q.compared if q.recommended and one.option.key == q.recommended.key), None)


def _candidate(q: Question, one: Compared, start_clock_s: float, rock: str | None = None) -> Candidate:
    if start_clock_s == one.start_clock_s and rock is None:
        return candidate(one.option)
    chance = q.side.day(one.way, one.tether, start_clock_s, rock).all_chance
    look: Callable[[], Option] = partial(q.side.option, one.way, one.tether, start_clock_s, rock)
    return Candidate(chance.share, chance.error, one.way.permit_chance, look)


# --- in words ------------------------------------------------------------------------------------------------------


def _if_changed(q: Question, words: str, found: Option | None, fails: Candidate | None = None) -> Iterator[Change]:
    """The change, if it is one; where nothing is left, with what speaks against what was recommended (``fails``)."""
    if _same(found, q.recommended):
        return
    told = against(fails.look(), q.bounds, q.units) if found is None and fails is not None else ()
    yield _change(words, found, told[0] if told else "")


def _same(one: Option | None, other: Option | None) -> bool:
    """Whether it is the same way, whatever the start."""
    if one is None or other is None:
        return one is other
    return (one.way, one.state, one.tether) == (other.way, other.state, other.tether)


def _change(words: str, found: Option | None, fails: str = "") -> Change:
    if found is None:
        because = f": {fails}" if fails else ""
        return Change(f"{words} no way of doing it is recommended{because}.", "")
    title = f"{found.title[:1].lower()}{found.title[1:]}"
    says = f"{words}: {title}, {leave_words(found)}, with {chance_words(found)}."
    return Change(says, option_key(found.way, found.state, found.tether))
