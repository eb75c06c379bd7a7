"""What a tether does in a slip, in one plain sentence that a tired leader can act on, and what else must be known."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from handline.line.audit import CASE_ANCHORS_ONLY, CASE_GRIPS, CASE_NOTHING, CASE_SLIPS, CASE_STOPS_HOLD, Outcome
from handline.line.tethers import ABSORBING, GRIPPING, NONE, RUNNING, Tether
from handline.quantity import Units, show_force, show_length, show_speed

LOOKS_LIKE = "It looks like protection and is not"
HOLDS_ITSELF = "On this rock and slope friction alone keeps a body from sliding."
TEST_HITCH = (
    "No published figure says what a hitch holds on bare cable: hang your weight on it near the foot, where the "
    "ground is right under your feet."
)
# The equation of the force can be up to 30 % low: so near the limit nobody can say on which side of it a stop is.
AT_LIMIT_SHARE = 0.90
COUNTS_ON_ABSORBER = "This counts on an absorber that keeps its standard, dry and never loaded before."


def main_case(outcomes: Sequence[Outcome], stanchion_holds_N: float | None) -> Outcome:
    """The case a tether is judged by: as it is meant to work, but not on stanchions known to be too weak for it."""
    by_case = {outcome.case: outcome for outcome in outcomes}
    held = by_case.get(CASE_STOPS_HOLD)
    if held is None:
        return by_case.get(CASE_GRIPS) or by_case[CASE_NOTHING]
    too_weak = stanchion_holds_N is not None and held.force_N[1] > stanchion_holds_N
    return by_case.get(CASE_ANCHORS_ONLY, held) if too_weak else held


def tether_sentence(
    tether: Tether,
    outcomes: Sequence[Outcome],
    body_limit_N: float,
    units: Units,
    stanchion_holds_N: float | None = None,
) -> str:
    """What this tether does on this line and rock, in one sentence: slide, stop, and what it only seems to do."""
    outcome = main_case(outcomes, stanchion_holds_N)
    sentence = _SENTENCES[tether.kind](tether, outcome, body_limit_N, units)
    unrated = stanchion_holds_N is None and any(other.case == CASE_ANCHORS_ONLY for other in outcomes)
    if unrated and outcome.verdict in ("holds", "hurts") and outcome.slide_m[1] > 0.0:
        return f"{sentence.removesuffix('.')}, as long as every stanchion holds."
    return sentence


def tether_also(tether: Tether, outcomes: Sequence[Outcome], body_limit_N: float, units: Units) -> str:
    """What else must be known: where it ends at the foot, what it counts on, what if a stop or hitch gives."""
    by_case = {outcome.case: outcome for outcome in outcomes}
    main = by_case.get(CASE_STOPS_HOLD) or by_case.get(CASE_GRIPS)
    parts = []
    if main is not None and main.reach_foot_share > 0.0:
        parts.append(f"From lower than {show_length(main.foot_from_m, units)} up the line a slip ends at the foot.")
    if tether.absorber is not None:
        parts.append(COUNTS_ON_ABSORBER)
    if CASE_ANCHORS_ONLY in by_case:
        parts.append(f"If a stanchion lifts out, {goes_on(tether, by_case[CASE_ANCHORS_ONLY], body_limit_N, units)}")
    if CASE_SLIPS in by_case:
        acts = tether.backup or tether
        parts.append(f"If it slips, {goes_on(acts, by_case[CASE_SLIPS], body_limit_N, units)} {TEST_HITCH}")
    return " ".join(parts)


def goes_on(tether: Tether, outcome: Outcome, body_limit_N: float, units: Units) -> str:
    """The end of a sentence that began with a stop or a hitch that gives."""
    if outcome.slide_m[1] == 0.0:
        return "friction alone still keeps a body from sliding."
    text = f"the slide goes on, up to {show_length(outcome.slide_m[1], units)}"
    if math.isnan(outcome.force_N[0]):
        return f"{text}, and {_unstopped(outcome)}."
    force = show_force(outcome.force_N[1], units)
    if outcome.part_breaks:
        asks = f", and asks for up to {force} at the next anchor, where {_holds(tether, units)}"
    else:
        over = ", over your limit on a body" if outcome.force_N[1] > body_limit_N else ""
        asks = f", and stops at up to {force} at the next anchor{over}"
    foot = ""
    if outcome.reach_foot_share > 0.0:
        foot = f"; from lower than {show_length(outcome.foot_from_m, units)} up it ends at the foot"
    return f"{text}{asks}{foot}."


def _unstopped(outcome: Outcome) -> str:
    return "nothing stops it before the foot" if outcome.reach_foot_share > 0.0 else "only friction ends it"


def _holds(tether: Tether, units: Units) -> str:
    if not tether.weakest.known:
        return f"the {tether.weakest.words} counts as holding nothing"
    return f"the {tether.weakest.words} holds about {show_force(tether.weakest.force_N, units)}"


def _nothing(tether: Tether, outcome: Outcome, body_limit_N: float, units: Units) -> str:
    if outcome.slide_m[1] == 0.0:
        return HOLDS_ITSELF
    return (
        f"Nothing stops a slip: from halfway it goes {show_length(outcome.slide_m[0], units)} at up to "
        f"{show_speed(outcome.speed_m_s[0], units)}, at worst {show_length(outcome.slide_m[1], units)} at up to "
        f"{show_speed(outcome.speed_m_s[1], units)}."
    )


def _running(tether: Tether, outcome: Outcome, body_limit_N: float, units: Units) -> str:
    if outcome.slide_m[1] == 0.0:
        return HOLDS_ITSELF
    if outcome.verdict != "no stop":
        return _slide_and_stop(tether, outcome, body_limit_N, units)
    slide = f"a slip slides up to {show_length(outcome.slide_m[1], units)}"
    if math.isnan(outcome.force_N[0]):
        return f"{LOOKS_LIKE}: nothing above the foot stops the connector, so {slide}, and {_unstopped(outcome)}."
    breaks = f", where {_holds(tether, units)}" if outcome.part_breaks else ""
    foot = f", and from lower than {show_length(outcome.foot_from_m, units)} up it ends at the foot"
    return (
        f"{LOOKS_LIKE}: it runs free to the next anchor, so {slide} and asks for up to "
        f"{show_force(outcome.force_N[1], units)} to stop{breaks}{foot if outcome.reach_foot_share > 0.0 else ''}."
    )


def _gripping(tether: Tether, outcome: Outcome, body_limit_N: float, units: Units) -> str:
    if outcome.slide_m[1] == 0.0:
        return HOLDS_ITSELF
    if outcome.verdict == "breaks":
        return _breaks(tether, outcome, units, "even if it grips, a slip")
    stop = _slide_and_stop(tether, outcome, body_limit_N, units)
    return f"Only if it grips: {stop[0].lower()}{stop[1:]}"


def _slide_and_stop(tether: Tether, outcome: Outcome, body_limit_N: float, units: Units) -> str:
    if math.isnan(outcome.force_N[0]):
        return f"A slip {_slides(outcome, units)} before friction or the foot ends it."
    if outcome.verdict == "breaks":
        return _breaks(tether, outcome, units, "a slip")
    slide = f"{_slides(outcome, units)},"
    force = usual(outcome.force_N, show_force, units)
    if outcome.verdict == "hurts":
        return f"A slip {slide} and stops at {force}: over your limit of {show_force(body_limit_N, units)} on a body."
    which = "at" if at_limit(outcome, body_limit_N) else "within"
    return f"A slip {slide} and stops at {force}: {which} your limit on a body."


def at_limit(outcome: Outcome, body_limit_N: float) -> bool:
    """Whether a stop is under the limit on a body, and so near it that it may as well be over."""
    return AT_LIMIT_SHARE * body_limit_N <= outcome.force_N[1] <= body_limit_N


def _breaks(tether: Tether, outcome: Outcome, units: Units, slip: str) -> str:
    return (
        f"{LOOKS_LIKE}: {slip} {_slides(outcome, units)}, and asks for "
        f"{usual(outcome.force_N, show_force, units)} to stop, where {_holds(tether, units)}."
    )


def _slides(outcome: Outcome, units: Units) -> str:
    typical, worst = (show_length(value, units) for value in outcome.slide_m)
    return f"slides {worst}" if typical == worst else f"usually slides {typical}, at worst {worst}"


def usual(typical_worst: tuple[float, float], show: Callable[[float, Units], str], units: Units) -> str:
    """A pair as "usually 10 ft, at worst 18 ft"; one value where both read the same."""
    typical, worst = (show(value, units) for value in typical_worst)
    return worst if typical == worst else f"usually {typical}, at worst {worst}"


_SENTENCES: Mapping[str, Callable[[Tether, Outcome, float, Units], str]] = {
    NONE: _nothing,
    RUNNING: _running,
    ABSORBING: _running,
    GRIPPING: _gripping,
}
