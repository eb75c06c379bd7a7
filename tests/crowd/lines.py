"""Lines and crowds to try things on."""

from __future__ import annotations

import numpy as np

from handline.crowd.draws import Drawn
from handline.crowd.rules import PASS, Arrivals, Climbers, CrowdLine
from handline.crowd.simulate import CrowdDays, follow_days

CLIMBERS = Climbers(
    up_m_s=10.0 / 60.0,
    down_m_s=12.0 / 60.0,
    rate_sigma=0.2,
    changeover_s=7.0,
    changeover_sigma=0.3,
    rest_chance=0.3,
    rest_s=60.0,
    rest_sigma=0.4,
    freeze_chance=0.05,
    freeze_s=300.0,
    freeze_sigma=0.5,
    top_s=2400.0,
    top_sigma=0.3,
)


def a_line(bays: int = 8, *, stances: tuple[int, ...] = (3, 6), pass_s: float = 8.0, yields: str = PASS) -> CrowdLine:
    """Bays of 2.7 m and a little more each, two places at a stance."""
    places = np.zeros(bays + 1, np.int64)
    places[list(stances)] = 2
    return CrowdLine(2.7 + 0.1 * np.arange(bays), places, pass_s, yields)


def a_morning(days: int, people: int, seed: int = 1) -> Arrivals:
    """So many people every day, around ten o'clock."""
    rng = np.random.default_rng(seed)
    return Arrivals(rng.normal(36_000.0, 2_400.0, days * people), np.arange(days + 1) * people)


def one_day(
    line: CrowdLine, clock_s: np.ndarray, service_s: np.ndarray, top_s: np.ndarray | float = 0.0, keep_bays: bool = True
) -> CrowdDays:
    """A day with times given: service (people, 2, bays)."""
    people = len(clock_s)
    drawn = Drawn(service_s, np.broadcast_to(np.asarray(top_s, float), (people,)))
    return follow_days(line, Arrivals(clock_s, np.array([0, people])), drawn, keep_bays=keep_bays)
