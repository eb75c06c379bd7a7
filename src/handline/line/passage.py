"""How long a party takes on the line when nobody else is there."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handline.line.geometry import Line, bay_edges_m

# Spread of climbing time between people, as the sigma of a log-normal factor. [practice_line_rate]
PASSAGE_SIGMA = 0.20


def changeovers(line: Line, kind_is_none: bool) -> int:
    """How many stops a tether must be moved past, one way: every stop strictly between foot and head."""
    return 0 if kind_is_none else len(bay_edges_m(line)) - 2


def climber_passage_s(line: Line, rate_m_s: float, changeover_s: float, changes: int) -> float:
    """One climber's time along the line: length over rate, and the changeovers. [s]"""
    return line.length_m / rate_m_s + changes * changeover_s


def headway_s(line: Line, rate_m_s: float, changeover_s: float) -> float:
    """Time between one climber and the next, one to a bay: the time in the longest bay and its changeover. [s]"""
    return float(np.diff(bay_edges_m(line)).max()) / rate_m_s + changeover_s


def party_passage_s(climber_s: ArrayLike, headway_s: ArrayLike, size: int, factor: ArrayLike) -> NDArray[np.float64]:
    """Time from the first climber's start to the last one's end.

    t = factor (climber + (size - 1) headway): with even speeds and one climber to a bay this is exact (a tandem line
    is paced by its slowest bay). ``factor`` carries the spread between days; arrays broadcast. [s]
    """
    return np.asarray(factor, float) * (np.asarray(climber_s, float) + (size - 1) * np.asarray(headway_s, float))
