"""The rules of a simulated day in plain Python, one day at a time: referee in the tests, baseline in the benchmarks."""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

from handline.day.line_wait import LineWait, Wait, WaitByClock
from handline.day.simulation import Itinerary

NORMAL = NormalDist()


def plain_day(
    itinerary: Itinerary,
    movement_s: Sequence[float],
    wait_normal: Sequence[float],
    start_clock_s: float,
    member: int = 0,
    first: int = 0,
) -> list[float]:
    """Arrivals of one day from passing ``first`` on, by draws of all its legs.

    Stop or night, wait, then work that goes slower in the dark, from edge to edge of light and dark. On the line the
    work is the passage on the rock of the hour in which the wait ends, times what was drawn, and others hold it up.
    """
    clock, arrivals = start_clock_s, [start_clock_s]
    spans = [(float(start), float(end)) for start, end in itinerary.dark_spans_clock_s]
    for j in range(first, len(itinerary.line_legs)):
        if itinerary.night is not None and j == itinerary.night.passing:
            clock = max(clock, itinerary.night.start_clock_s)
        elif j > 0:
            clock += float(itinerary.stop_s[j])
        line_leg, held_s = itinerary.line_legs[j], 0.0
        if line_leg is not None:
            wait_s, held_s = plain_wait(line_leg.wait, clock, wait_normal[j])
            clock += wait_s
        left = movement_s[j] * _passage_s(itinerary, j, clock, member)
        while left > 1e-9:
            dark = any(start <= clock < end for start, end in spans)
            edges = [edge - clock for span in spans for edge in span if edge > clock]
            rate = 1.0 / itinerary.dark_factor if dark else 1.0
            step = min([left / rate, *edges])
            clock, left = clock + step, left - step * rate
        clock += held_s
        arrivals.append(clock)
    return arrivals


def plain_wait(wait: LineWait, join_clock_s: float, normal: float) -> tuple[float, float]:
    """The wait before the line and what is added on it: of a log-normal, or the pair at its rank in the bin."""
    if isinstance(wait, Wait):
        if wait.median_s == 0.0:
            return 0.0, 0.0
        return wait.median_s * (wait.long_s / wait.median_s) ** (normal / NORMAL.inv_cdf(0.9)), 0.0
    assert isinstance(wait, WaitByClock)
    at = plain_bin(wait.edges_clock_s, join_clock_s)
    rank = min(math.floor(NORMAL.cdf(normal) * wait.ranks), wait.ranks - 1)
    return float(wait.wait_s[at][rank]), float(wait.held_s[at][rank])


def plain_bin(edges_clock_s: Sequence[float], clock_s: float) -> int:
    """The bin a clock time lies in, looked for one by one; the nearest outside."""
    at = 0
    while at < len(edges_clock_s) - 2 and clock_s >= edges_clock_s[at + 1]:
        at += 1
    return at


def _passage_s(itinerary: Itinerary, leg: int, clock_s: float, member: int) -> float:
    line_leg = itinerary.line_legs[leg]
    if line_leg is None:
        return 1.0
    by_hour = itinerary.rock.state[member]
    hour = min(max(int((clock_s - itinerary.rock.start_clock_s) // 3600), 0), len(by_hour) - 1)
    return line_leg.passage_by_rock_s[by_hour[hour]]
