"""How the crowd is said on screen and page: pairs of times, windows, and numbers of people."""

from __future__ import annotations

from collections.abc import Sequence

from handline.day.crowd_report import CrowdReport, Window
from handline.quantity import say_clock, show_clock, show_duration


def pair_words(pair: tuple[float, float]) -> str:
    """What half stay under and nine in ten: "4 min; 12 min", once where both read the same."""
    return "; ".join(dict.fromkeys(show_duration(value) for value in pair))


def people_words(pair: tuple[float, float]) -> str:
    """The same for people."""
    return "; ".join(dict.fromkeys(f"{value:.0f}" for value in pair))


def windows_words(windows: Sequence[Window], most_delay_s: float) -> str:
    """When to arrive, in the order of the clock."""
    if not windows:
        return f"no half hour in which nine in ten lose less than {show_duration(most_delay_s)}"
    spans = [
        f"{show_clock(w.start_clock_s)} to {show_clock(w.end_clock_s)} (up to {show_duration(w.delay_s)})"
        for w in sorted(windows, key=lambda window: window.start_clock_s)
    ]
    return ", ".join(spans)


def clears_words(report: CrowdReport) -> str:
    """When the last is off the line."""
    early, half, late = (say_clock(clock) for clock in report.clears_clock_s)
    return f"half the days by {half}, one day in ten by {early}, nine in ten by {late}"
