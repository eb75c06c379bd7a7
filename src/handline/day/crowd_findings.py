"""What to act on: plain sentences about the crowd on the line, each by its rule."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handline.crowd.rules import DOWN, UP
from handline.crowd.tables import CrowdTables
from handline.day.crowd_report import PartyWay, Window
from handline.day.crowd_setting import CrowdSetting
from handline.day.plan import LEVELS, Finding
from handline.quantity import say_clock, show_duration, show_share
from handline.sources import source

# Nine in ten wait or are held up less than this: no matter for the day. Ours. [practice_line_wait]
LONG_DELAY_S = 45 * 60.0
# So many people in a queue on half the days are a line that is full. Ours. [practice_line_wait]
QUEUE_FROM = 10
# Another start is worth telling from this much less delay on.
_WORTH_S = 10 * 60.0
# Less than this is no wait, and fewer days than these are told of in the table alone.
NO_WAIT_S = 30.0
LATE_FROM = 0.01


def headline(crowd: CrowdSetting, party: tuple[PartyWay, ...]) -> tuple[str, str]:
    """The answer in one line, and the numbers of it."""
    up, down = party
    words = f"At the foot about {say_clock(up.join_clock_s[1])} you {waits_words(up.wait_s)}."
    why = (
        f"{_on_line('Up', up)} At the head, about {say_clock(down.join_clock_s[1])}, you {waits_words(down.wait_s)}. "
        f"{_on_line('Down', down)} {crowd.people} people a day."
    )
    return words, why


def waits_words(wait_s: tuple[float, float]) -> str:
    """What half the days and nine in ten stay under, after "you"."""
    if wait_s[1] < NO_WAIT_S:
        return "do not wait on nine days in ten"
    half = "do not wait" if wait_s[0] < NO_WAIT_S else f"wait {show_duration(wait_s[0])} or less"
    return f"{half} on half the days, and over {show_duration(wait_s[1])} on one day in ten"


def _on_line(where: str, way: PartyWay) -> str:
    return (
        f"{where} the line your party needs {show_duration(way.on_line_s[0])}, one day in ten over "
        f"{show_duration(way.on_line_s[1])}; with nobody there {show_duration(way.alone_s[0])}."
    )


def crowd_findings(
    crowd: CrowdSetting,
    tables: CrowdTables,
    party: tuple[PartyWay, ...],
    windows: tuple[Window, ...],
    late_share: float,
    capacity_per_h: tuple[float, float],
) -> tuple[Finding, ...]:
    """Every finding, the gravest first."""
    found = [
        *_late(late_share),
        *_long_delays(party),
        *_full(tables, capacity_per_h),
        *_other_time(party, windows),
        *_above(crowd, tables, party),
        *_typed(crowd, party),
    ]
    return tuple(sorted(found, key=lambda finding: LEVELS.index(finding.level)))


def _late(late_share: float) -> Iterator[Finding]:
    if late_share >= LATE_FROM:
        yield Finding(
            "heed",
            "crowd_late",
            f"On {show_share(late_share)} of days the last people are off the line after midnight: more come than can "
            "pass in a day, or somebody walked very long.",
        )


def _long_delays(party: tuple[PartyWay, ...]) -> Iterator[Finding]:
    for way in party:
        if way.added_s[1] > LONG_DELAY_S:
            where = "at the foot and on the way up" if way.way == "up" else "at the head and on the way down"
            yield Finding(
                "heed",
                f"crowd_delay_{way.way}",
                f"Others cost you over {show_duration(way.added_s[1])} {where} on one day in ten: plan for it, or come "
                "at another time.",
                f"Half the days {show_duration(way.added_s[0])} or more.",
                source("our_crowd_rules").words,
            )


def _full(tables: CrowdTables, capacity_per_h: tuple[float, float]) -> Iterator[Finding]:
    """A queue that half the days have: more come than pass, for a while at least."""
    counts = tables.counts
    half = int(np.flatnonzero(counts.levels == 0.5)[0])
    for way, where, other, people in (
        (UP, "foot", "coming down", counts.at_foot[half]),
        (DOWN, "head", "going up", counts.at_head[half]),
    ):
        at = int(np.argmax(people)) if people.size else 0
        if people.size and people[at] >= QUEUE_FROM:
            yield Finding(
                "heed",
                f"crowd_full_{where}",
                f"The line is full: at {say_clock(counts.clock_s[at])} half the days have {people[at]:.0f} people or "
                f"more in the queue at the {where}.",
                f"{float(tables.off_per_h[way].max()):.0f} an hour pass in the busiest half hour; with nobody {other} "
                f"it would be {capacity_per_h[way]:.0f} at most.",
            )


def _other_time(party: tuple[PartyWay, ...], windows: tuple[Window, ...]) -> Iterator[Finding]:
    up = party[UP]
    inside = any(window.start_clock_s <= up.join_clock_s[1] < window.end_clock_s for window in windows)
    if windows and not inside and up.added_s[1] - windows[0].delay_s > _WORTH_S:
        best = windows[0]
        yield Finding(
            "heed",
            "crowd_other_time",
            f"At the foot between {say_clock(best.start_clock_s)} and {say_clock(best.end_clock_s)} others cost "
            f"under {show_duration(best.delay_s)} in nine of ten cases.",
            # Nothing here knows the limits of the day: a cheap evening may be past all of them.
            "Of the waiting alone: light, storms and your limits may rule that hour out. The plan says.",
        )


def _above(crowd: CrowdSetting, tables: CrowdTables, party: tuple[PartyWay, ...]) -> Iterator[Finding]:
    up = party[UP]
    at = int(np.searchsorted(tables.up.edges_clock_s, up.join_clock_s[1], side="right")) - 1
    if 0 <= at < tables.up.bins and tables.up.seen[at]:
        most = float(tables.up.quantile("above_most", 0.9)[0, at])
        if most >= 1.0:
            yield Finding(
                "note",
                "crowd_above",
                f"Up to {most:.0f} people are above you in the fall line, one time in ten more: what they drop or "
                "kick loose comes to you, and who slips may reach you.",
            )


def _typed(crowd: CrowdSetting, party: tuple[PartyWay, ...]) -> Iterator[Finding]:
    typed = crowd.setting.trip.crowd
    for way, typed_s in ((party[UP], typed.wait_up_s), (party[DOWN], typed.wait_down_s)):
        if typed_s is not None and abs(typed_s - way.wait_s[0]) > _WORTH_S:
            yield Finding(
                "note",
                f"crowd_typed_{way.way}",
                f"The file types a wait of {show_duration(typed_s)} going {way.way}, and the plan uses it; these "
                f"{crowd.people} people make {show_duration(way.wait_s[0])}. Ask who knows the line.",
            )
