"""The call-out: a way of attaching that would pass for protection and is not, with the reasons."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from handline.line.audit import Outcome
from handline.line.tether import NONE, Part, Tether
from handline.quantity import Units, show_length

PASSES = "It would pass for protection and is not"
PASSES_BETWEEN_STOPS = "It would pass for protection and is none at the changeovers"
_FREE, _A_PART = "it runs free", "a part"
TOLD_IN_SENTENCE = (_FREE, _A_PART)
"""How reasons begin that the tether's own sentence gives too, where it says that this only looks like protection."""


@dataclass(frozen=True)
class CallOut:
    """Why a tether is not what it seems. ``key`` is that of the first reason; ``reasons`` are in words."""

    key: str
    sentence: str
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Seen:
    """What a reason looks at: the tether, the case it is judged by, and how long nothing ties it on, both ways."""

    tether: Tether
    main: Outcome
    changeovers: int
    untied_s: float
    units: Units


def call_out(seen: Seen) -> CallOut | None:
    """The call-out of a tether, or None where it does what it seems to do, or nobody would count on it.

    One that stops a slip over the party's limit counts only where a static part is why. One that stops it, but on one
    strand, is called out for its changeovers.
    """
    if seen.tether.kind == NONE or seen.main.slide_m[1] == 0.0:
        return None
    told = [(key, says(seen)) for key, (holds, says) in REASONS.items() if holds(seen)]
    if not told:
        return None
    key, reasons = told[0][0], tuple(words for _, words in told)
    begins = PASSES_BETWEEN_STOPS if key == ONE_STRAND else PASSES
    return CallOut(key, f"{begins}: {'; '.join(reasons)}.", reasons)


def _is_brake(seen: Seen) -> bool:
    return seen.tether.brake_only


def _brake_says(seen: Seen) -> str:
    return "a brake for a hand that holds it, and no stop"


def _runs_free(seen: Seen) -> bool:
    return seen.main.verdict == "no stop"


def _runs_free_says(seen: Seen) -> str:
    return f"{_FREE} to the next anchor, up to {show_length(seen.main.slide_m[1], seen.units)}"


def _is_static(seen: Seen) -> bool:
    return seen.tether.static and seen.main.verdict != "holds"


def _static_says(seen: Seen) -> str:
    breaks = " and may break" if seen.main.part_breaks and seen.tether.weakest.static else ""
    return f"a static part, the {_static_part(seen).words}, is to catch the slip{breaks}"


def _static_part(seen: Seen) -> Part:
    return seen.tether.weakest if seen.tether.weakest.static else seen.tether.static_parts[0]


def _breaks(seen: Seen) -> bool:
    told_as_static = _is_static(seen) and seen.tether.weakest.static
    return seen.main.part_breaks and not told_as_static


def _breaks_says(seen: Seen) -> str:
    return f"{_A_PART} may break, the {seen.tether.weakest.words}"


def _one_strand(seen: Seen) -> bool:
    return seen.tether.arms == 1 and seen.untied_s > 0.0


def _one_strand_says(seen: Seen) -> str:
    return f"tied to one strand, nothing holds you at {seen.changeovers} changeovers each way"


BRAKE, RUNS_FREE, STATIC, BREAKS, ONE_STRAND = "brake", "runs free", "static part", "part breaks", "one strand"

REASONS: dict[str, tuple[Callable[[Seen], bool], Callable[[Seen], str]]] = {
    BRAKE: (_is_brake, _brake_says),
    RUNS_FREE: (_runs_free, _runs_free_says),
    STATIC: (_is_static, _static_says),
    BREAKS: (_breaks, _breaks_says),
    ONE_STRAND: (_one_strand, _one_strand_says),
}
"""Each reason: whether it holds, and what it says; the gravest first."""
