"""What a tether does in a slip, in one plain sentence or two that a tired leader can act on."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from handline.line.audit import CASE_ANCHORS_ONLY, CASE_GRIPS, CASE_NOTHING, CASE_SLIPS, CASE_STOPS_HOLD, Outcome
from handline.line.tethers import ABSORBING, GRIPPING, NONE, RUNNING, Tether
from handline.quantity import Units, show_force, show_length, show_share, show_speed

LOOKS_LIKE = "It looks like protection and is not."
TEST_HITCH = (
    "No published figure says whether a hitch holds on bare cable: hang your weight on it near the foot, "
    "where a slip does no harm."
)


def tether_sentence(tether: Tether, outcomes: Sequence[Outcome], body_limit_N: float, units: Units) -> str:
    """What this tether does on this line and rock: slide, stop, what breaks, and what it only seems to do."""
    by_case = {outcome.case: outcome for outcome in outcomes}
    return _SENTENCES[tether.kind](tether, by_case, body_limit_N, units)


def span(low: float, high: float, show: Callable[[float, Units], str], units: Units) -> str:
    """Two values as "2.3 m to 4.3 m", or one where they read the same."""
    first, last = show(low, units), show(high, units)
    return first if first == last else f"{first} to {last}"


def _nothing(tether: Tether, by_case: Mapping[str, Outcome], body_limit_N: float, units: Units) -> str:
    outcome = by_case[CASE_NOTHING]
    if outcome.slide_m[1] == 0.0:
        return "Nothing attached: on this rock and slope friction alone keeps a body from sliding."
    return (
        f"Nothing attached: a slip goes to the foot, {show_length(outcome.slide_m[0], units)} from halfway at "
        f"{show_speed(outcome.speed_m_s[0], units)}, {show_length(outcome.slide_m[1], units)} from the top at "
        f"{show_speed(outcome.speed_m_s[1], units)}. Nothing stops it."
    )


def _running(tether: Tether, by_case: Mapping[str, Outcome], body_limit_N: float, units: Units) -> str:
    held = by_case[CASE_STOPS_HOLD]
    text = f"{tether.title}: {_slide_and_stop(tether, held, body_limit_N, units)}"
    if tether.absorber is not None:
        text += " That counts on an absorber that keeps its standard, dry and never loaded before."
    if CASE_ANCHORS_ONLY in by_case:
        text += f" If a stanchion lifts out, {_goes_on(tether, by_case[CASE_ANCHORS_ONLY], body_limit_N, units)}"
    return text


def _gripping(tether: Tether, by_case: Mapping[str, Outcome], body_limit_N: float, units: Units) -> str:
    grips = _slide_and_stop(tether, by_case[CASE_GRIPS], body_limit_N, units)
    slips = _goes_on(tether, by_case[CASE_SLIPS], body_limit_N, units)
    return f"{tether.title}: if it grips, {grips} If it slips, {slips} {TEST_HITCH}"


def _slide_and_stop(tether: Tether, outcome: Outcome, body_limit_N: float, units: Units) -> str:
    if outcome.slide_m[1] == 0.0:
        return "on this rock and slope friction alone keeps a body from sliding."
    slide = f"a slip slides {span(*outcome.slide_m, show_length, units)}"
    if math.isnan(outcome.force_N[0]):
        return f"{slide} and nothing stops it before the foot. {LOOKS_LIKE}"
    force = span(*outcome.force_N, show_force, units)
    if outcome.verdict == "no stop":
        part = f", where the {tether.part_words} keeps {show_force(tether.part_N, units)}" if outcome.part_breaks else ""
        return (
            f"{slide}, because it runs free to the next anchor; from {show_share(outcome.reach_foot_share)} of the "
            f"line the body reaches the foot, elsewhere it stops at {force}{part}. {LOOKS_LIKE}"
        )
    if outcome.verdict == "breaks":
        return (
            f"{slide} and stops at {force}, but the {tether.part_words} keeps about "
            f"{show_force(tether.part_N, units)}: it may break. {LOOKS_LIKE}"
        )
    if outcome.verdict == "hurts":
        return f"{slide} and stops at {force}, over your limit of {show_force(body_limit_N, units)} on a body."
    return f"{slide} and stops at {force} at most."


def _goes_on(tether: Tether, outcome: Outcome, body_limit_N: float, units: Units) -> str:
    text = f"the slide goes on to the next anchor, up to {show_length(outcome.slide_m[1], units)}"
    if math.isnan(outcome.force_N[0]):
        return f"{text}, and nothing stops it before the foot."
    if outcome.part_breaks:
        return f"{text}, and the {tether.part_words} may break at up to {show_force(outcome.force_N[1], units)}."
    over = ", over your limit on a body" if outcome.force_N[1] > body_limit_N else ""
    return f"{text}, with a stop of up to {show_force(outcome.force_N[1], units)}{over}."


_SENTENCES: Mapping[str, Callable[[Tether, Mapping[str, Outcome], float, Units], str]] = {
    NONE: _nothing,
    RUNNING: _running,
    ABSORBING: _running,
    GRIPPING: _gripping,
}
