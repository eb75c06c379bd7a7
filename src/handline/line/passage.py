"""How long a party takes on the line when nobody else is there, bay by bay."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handline.line.geometry import DOWN, UP, WAYS, Bay, Line, bays, stops_to_pass

# Spread of climbing time between people, as the sigma of a log-normal factor. [practice_line_rate]
PASSAGE_SIGMA = 0.20


@dataclass(frozen=True)
class BayPassage:
    """One climber's time in one bay, and how much of it nothing ties them on.

    ``hand_rest_s`` is what hands need beyond the short rests of the rate. The stop passed and a stance at it belong to
    the bay before them on the way.
    """

    start_m: float
    end_m: float
    moving_s: float
    changeover_s: float
    stance_s: float
    hand_rest_s: float
    untied_s: float

    @property
    def total_s(self) -> float:
        return self.moving_s + self.changeover_s + self.stance_s + self.hand_rest_s


@dataclass(frozen=True)
class Passage:
    """One climber's way along the line, alone. ``bays`` are in the order of walking: head first on the way down."""

    way: str
    bays: tuple[BayPassage, ...]
    changeovers: int

    @property
    def climber_s(self) -> float:
        """From one end to the other."""
        return sum(bay.total_s for bay in self.bays)

    @property
    def headway_s(self) -> float:
        """Between one climber and the next, one to a bay: the time in the slowest bay."""
        return max(bay.total_s for bay in self.bays)

    @property
    def untied_s(self) -> float:
        """Wholly untied, on the whole way."""
        return sum(bay.untied_s for bay in self.bays)


def changeovers(line: Line, kind_is_none: bool) -> int:
    """How many stops a tether must be moved past, one way: every stop strictly between foot and head."""
    return 0 if kind_is_none else len(stops_to_pass(line))


def passage(
    line: Line,
    way: str,
    *,
    rate_m_s: float,
    arms: int,
    changeover_s: float,
    stance_rest_s: float = 0.0,
    hand_rest_s: tuple[float, ...] | None = None,
) -> Passage:
    """One climber's time along the line, bay by bay.

    In each bay: length / rate + one changeover at the stop that ends it + a rest at each stance + the rests hands need.

    Parameters
    ----------
    line : Line
    way : str
        "up" or "down".
    rate_m_s : float
        Rate along the cable [m/s], its short rests included.
    arms : int
        Connectors on the cable: with none nothing is moved over and nothing ties on; with one a changeover is spent
        untied; with two one of them stays clipped.
    changeover_s, stance_rest_s : float
        Time to move past one stop, and at each stance strictly between foot and head [s].
    hand_rest_s : tuple of float, optional
        Rests of the hands by bay, foot first [s]; see ``hand_rests_s``.

    Raises
    ------
    ValueError
        An unknown way, a rate that is not positive, a negative time, or rests for another number of bays.

    Notes
    -----
    Sources: practice_line_rate.
    """
    if way not in WAYS or not rate_m_s > 0 or not (changeover_s >= 0 and stance_rest_s >= 0) or arms < 0:
        raise ValueError(f"a passage needs a way of {WAYS}, a rate above 0, and times and arms not below 0")
    line_bays = bays(line)
    rests_s = hand_rest_s if hand_rest_s is not None else (0.0,) * len(line_bays)
    if len(rests_s) != len(line_bays):
        raise ValueError("rests of the hands are given for each bay")
    rows = []
    for number, (bay, rest_s) in enumerate(zip(line_bays, rests_s, strict=True)):
        ends_at_a_stop = number < len(line_bays) - 1 if way == UP else number > 0
        change_s = changeover_s if ends_at_a_stop and arms > 0 else 0.0
        moving_s = bay.length_m / rate_m_s
        stance_s = stance_rest_s * _stances(line, bay, way)
        row = BayPassage(bay.start_m, bay.end_m, moving_s, change_s, stance_s, rest_s, untied_s=0.0)
        rows.append(_untied(row, arms))
    ordered = tuple(rows) if way == UP else tuple(reversed(rows))
    return Passage(way, ordered, changeovers(line, arms == 0))


def party_passage_s(climber_s: ArrayLike, headway_s: ArrayLike, size: int, factor: ArrayLike) -> NDArray[np.float64]:
    """Time from the first climber's start to the last one's end.

    t = factor (climber + (size - 1) headway): with even speeds and one climber to a bay this is exact (a tandem line
    is paced by its slowest bay). ``factor`` carries the spread between days; arrays broadcast. [s]
    """
    return np.asarray(factor, float) * (np.asarray(climber_s, float) + (size - 1) * np.asarray(headway_s, float))


def _stances(line: Line, bay: Bay, way: str) -> int:
    """How many stances a climber rests at in a bay: one at a stop counts to the bay before it on the way."""
    on_the_way = [at_m for at_m in line.stance_m if 0.0 < at_m < line.length_m]
    if way == DOWN:
        return sum(bay.start_m <= at_m < bay.end_m for at_m in on_the_way)
    return sum(bay.start_m < at_m <= bay.end_m for at_m in on_the_way)


def _untied(row: BayPassage, arms: int) -> BayPassage:
    """With no arm all the time is untied, with one that of the changeover, with two none."""
    untied_s = row.total_s if arms == 0 else row.changeover_s if arms == 1 else 0.0
    return replace(row, untied_s=untied_s)
