"""How the line report is said on screen and page: changeovers, hands, and what lies between two ends."""

from __future__ import annotations

import math
from collections.abc import Sequence

from handline.brief.words import seconds_words
from handline.day.hands import HandsFail
from handline.day.line_report import Changes, LineReport, TetherShown
from handline.line.tether import NONE
from handline.quantity import show_force, show_length, show_span

# Nearer to an end of the line than this is told as that end.
_AT_AN_END_M = 0.1


def both_ends(ends: Sequence[str], between: str = " to ") -> str:
    """Two ends in words; one where both read the same."""
    return between.join(dict.fromkeys(ends))


def forces_words(force_N: tuple[float, float]) -> str:
    """Two forces in kN, the unit once; a dash where nothing is stopped at an end."""
    if all(math.isfinite(force) for force in force_N):
        return show_span(force_N[0], force_N[1], show_force, "si")
    return both_ends([show_force(force, "si") if math.isfinite(force) else "–" for force in force_N])


def changes_words(tether: TetherShown, rows: Sequence[Changes]) -> str:
    """The changeovers of one state both ways, and how long they leave the climber untied."""
    if tether.kind == NONE:
        return "nothing to move over, and untied all the way"
    up = rows[0]
    untied = [row.untied_s for row in rows]
    if not any(untied):
        tied = "never wholly untied" if up.count else "nothing to move over"
        return f"{up.count} changeovers each way, {up.each_s:.0f} s each; {tied}"
    by_way = " and ".join(f"{seconds_words(row.untied_s)} {row.way}" for row in rows)
    return f"{up.count} changeovers each way, {up.each_s:.0f} s each; wholly untied for {by_way}"


def hands_words(report: LineReport) -> str:
    """Where hands give out first, by the state of the rock."""
    said: dict[str, list[str]] = {}
    for rock in report.line.rocks:
        ways = {fail.way: where_words(report, fail) for fail in report.hands if fail.rock == rock}
        words = both_ends(list(ways.values()))
        if len(set(ways.values())) > 1:
            words = ", ".join(f"{way} {where}" for way, where in ways.items())
        said.setdefault(words, []).append(rock)
    told = "; ".join(f"{' and '.join(rocks)}, {words}" for words, rocks in said.items())
    return f"where a median woman's give out: {told}"


def where_words(report: LineReport, fail: HandsFail) -> str:
    """Where hands give out first, one way."""
    if fail.at_m is None or fail.bay is None:
        return "nowhere"
    if fail.at_m < _AT_AN_END_M:
        return "at the foot"
    if fail.at_m > report.line.length_m - _AT_AN_END_M:
        return "at the head"
    return f"{show_length(fail.at_m, report.units)} above the foot (bay {fail.bay + 1} of {len(report.line.bays)})"
