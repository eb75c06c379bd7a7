"""What to act on about the way: where it ends, what the track hides, where it does not fit the line."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handline.day.computed import Computed, Rule
from handline.day.plan import Finding
from handline.quantity import (
    show_distance,
    show_height,
)
from handline.sources import source
from handline.walking.pace import FLAGS

# A route that ends this far above its start has not come home. Common practice, no source.
NOT_HOME_ABOVE_M = 100.0
# A step between two points of a track that is longer than this hides ground. Common practice, no source.
JUMP_M = 1000.0
# Heights of line and track that differ by more than both of these are not the same place. Common practice, no source.
HEIGHTS_DIFFER_M, HEIGHTS_DIFFER_SHARE = 15.0, 0.3


def _ends_up_there(c: Computed) -> Iterator[Finding]:
    first, last = c.setting.route.points[0], c.setting.route.points[-1]
    above_m, units = last.elevation_m - first.elevation_m, c.setting.trip.about.units
    if not c.setting.trip.route.out_and_back and above_m > NOT_HOME_ABOVE_M:
        yield Finding(
            "heed",
            "not_home",
            f"The route ends at {last.name}, {show_height(above_m, units)} above its start, and the way down is not "
            f'in this plan: "home" here means {last.name}. Set route.out_and_back = true to plan the way back.',
        )


def _jump(c: Computed) -> Iterator[Finding]:
    jump_m, units = c.setting.route.longest_jump_m, c.setting.trip.about.units
    if jump_m > JUMP_M:
        yield Finding(
            "heed",
            "jump",
            f"The track jumps {show_distance(jump_m, units)} between two points, counted as a straight, even walk. "
            "Record or draw that part, or leave it out.",
        )


def _line_against_track(c: Computed) -> Iterator[Finding]:
    leg = next(leg for leg in c.setting.route.legs if leg.is_line)
    track_m, line_m, units = float(np.sum(leg.rise_m)), c.setting.line.height_m, c.setting.trip.about.units
    if abs(track_m - line_m) > max(HEIGHTS_DIFFER_M, HEIGHTS_DIFFER_SHARE * max(track_m, line_m)):
        yield Finding(
            "heed",
            "line_against_track",
            f"The line as typed gains {show_height(line_m, units)}, the way from its foot to its head "
            f"{show_height(track_m, units)}: one is wrong. Check the line's sections, and where foot and head are.",
        )


def _pace_outside(c: Computed) -> Iterator[Finding]:
    if c.pace_outside_m > 0.0:
        yield Finding(
            "note",
            "pace_outside",
            f"{show_height(c.pace_outside_m, c.setting.trip.about.units)} of the way are steeper than some of the pace "
            "models were made for; there they keep the speed of climbing they have at the steepest they know.",
            source=source("our_beyond_grade").words,
        )


# Said by rules of their own, or among the assumptions.
_SAID_ELSEWHERE = frozenset({"beyond_grade_limit", "lighter_pack", "lower_than_recorded", "beyond_effort_grade"})


def _pace_flags(c: Computed) -> Iterator[Finding]:
    for flag in c.setting.pace.flags:
        if flag not in _SAID_ELSEWHERE:
            yield Finding("note", f"pace_{flag}", f"Walking time: {FLAGS[flag]}.")


RULES: tuple[Rule, ...] = (
    _ends_up_there,
    _jump,
    _line_against_track,
    _pace_outside,
    _pace_flags,
)
