"""How the pace of a plan is said: what each factor adds, how much longer it makes a leg, and whose pace it is."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

from handline.day.plan import LegTime
from handline.day.plan_pace import MemberPace, PaceFactor
from handline.quantity import show_duration

# A factor that makes a leg less than this much longer is not worth a word beside the leg.
WORTH_SAYING = 0.005
# Less than this of a day is said as "nothing".
NOTHING_S = 30.0

_Z_90 = NormalDist().inv_cdf(0.90)


def added_words(added_s: float) -> str:
    """What a factor adds to the day."""
    if abs(added_s) < NOTHING_S:
        return "nothing"
    return f"about {show_duration(added_s)}" if added_s > 0.0 else f"about {show_duration(-added_s)} less"


def times_words(factor: PaceFactor) -> str:
    """The least and the most that a factor makes a leg longer: "1.04 to 1.18"."""
    least, most = f"{factor.lowest:.2f}", f"{factor.highest:.2f}"
    return least if least == most else f"{least} to {most}"


def leg_factors_words(leg: LegTime, factors: Sequence[PaceFactor]) -> str:
    """The factors of one leg that are worth saying: "packs 1.08, thin air 1.11"."""
    titles = {factor.key: factor.title.lower() for factor in factors}
    told = [(titles[key], factor) for key, factor in leg.factors if key in titles]
    return ", ".join(f"{title} {factor:.2f}" for title, factor in told if abs(factor - 1.0) >= WORTH_SAYING)


def walking_words(member: MemberPace) -> str:
    """A member's walking time, from the quick to the slow day in ten."""
    quick_s, slow_s = (member.walking_s * math.exp(sign * _Z_90 * member.sigma) for sign in (-1.0, 1.0))
    return f"{show_duration(quick_s)} to {show_duration(slow_s)}"
