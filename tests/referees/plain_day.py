"""The rules of a simulated day in plain Python, one day at a time: referee in the tests, baseline in the benchmarks."""

from __future__ import annotations

from collections.abc import Sequence

from handline.day.simulation import Itinerary


def plain_day(
    itinerary: Itinerary, movement_s: Sequence[float], wait_s: Sequence[float], start_clock_s: float, member: int = 0
) -> list[float]:
    """Arrivals of one day: stop, wait, then work that goes slower in the dark, from edge to edge of light and dark.

    On the line the work is the passage on the rock of the hour in which the wait ends, times what was drawn.
    """
    clock, arrivals = start_clock_s, [start_clock_s]
    spans = [(float(start), float(end)) for start, end in itinerary.dark_spans_clock_s]
    for j, work in enumerate(movement_s):
        clock += wait_s[j] + (float(itinerary.stop_s[j]) if j else 0.0)
        left = work * _passage_s(itinerary, j, clock, member)
        while left > 1e-9:
            dark = any(start <= clock < end for start, end in spans)
            edges = [edge - clock for span in spans for edge in span if edge > clock]
            rate = 1.0 / itinerary.dark_factor if dark else 1.0
            step = min([left / rate, *edges])
            clock, left = clock + step, left - step * rate
        arrivals.append(clock)
    return arrivals


def _passage_s(itinerary: Itinerary, leg: int, clock_s: float, member: int) -> float:
    line_leg = itinerary.line_legs[leg]
    if line_leg is None:
        return 1.0
    by_hour = itinerary.rock.state[member]
    hour = min(max(int((clock_s - itinerary.rock.start_clock_s) // 3600), 0), len(by_hour) - 1)
    return line_leg.passage_by_rock_s[by_hour[hour]]
