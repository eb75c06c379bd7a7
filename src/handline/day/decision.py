"""Go or not, and why: the first thing the leader reads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from handline.day.computed import Computed
from handline.day.plan import Decision, Finding, Level
from handline.quantity import show_chance, show_share

HEADLINES: Mapping[Level, str] = {
    "stop": "Do not go like this.",
    "heed": "Go only if you act on what follows.",
    "note": "Within your limits, on what was assumed.",
}


def decide(computed: Computed, found: Sequence[Finding]) -> Decision:
    """The decision: as grave as its gravest finding, and why in one sentence."""
    level: Level = found[0].level if found else "note"
    gravest = [finding for finding in found if finding.level == level]
    chance = computed.all_chance
    kept = (
        f"Your limits hold on {show_chance(chance.share)} of simulated days; you asked for {show_share(chance.wanted)}."
    )
    why = gravest[0].sentence if level == "stop" else kept
    if level == "stop" and len(gravest) > 1:
        more = len(gravest) - 1
        why += f" And {more} more reason{'s' if more > 1 else ''} below."
    points, camp = computed.setting.route.points, computed.setting.camp
    foot = next(leg.start for leg in computed.setting.route.legs if leg.is_line)
    top = max((i for i, point in enumerate(points) if point.way == "up"), default=foot)
    return Decision(
        level=level,
        headline=HEADLINES[level],
        why=why,
        start_clock_s=computed.setting.trip.morning_clock_s,
        leave_by_clock_s=_clock(computed.leave_by_clock_s),
        turn_back_at=points[foot].name,
        turn_back_clock_s=_clock(computed.latest_clock_s[foot]),
        top_at=points[top].name,
        top_clock_s=_clock(computed.latest_clock_s[top]),
        tether_sentence=f"{computed.chosen.title}. {computed.chosen.sentence}",
        night_at="" if camp is None else points[camp.stays].name,
        set_out_clock_s=None if camp is None else computed.setting.trip.depart_clock_s,
    )


def _clock(clock_s: float) -> float | None:
    return clock_s if np.isfinite(clock_s) else None
