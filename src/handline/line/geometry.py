"""Where the line runs and where something on it can stop a connector."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

RAISED = "raised"
LOWERED = "lowered"
STATES = (RAISED, LOWERED)

# Two stops closer than this are one: a stanchion that falls on an anchor is the anchor.
_SAME_STOP_M = 0.5


@dataclass(frozen=True)
class Stop:
    """A place a connector cannot pass: a rock anchor, or a stanchion standing in a socket."""

    at_m: float
    is_anchor: bool


@dataclass(frozen=True)
class Line:
    """A fixed cable from its foot (0 m) to its head, by sections of even slope and the stops along it.

    ``section_length_m`` and ``section_angle_rad`` run from the foot up. ``stops`` are those of the present state,
    ascending. Everything "at" a place is measured along the line from its foot.
    """

    state: str
    section_length_m: tuple[float, ...]
    section_angle_rad: tuple[float, ...]
    stops: tuple[Stop, ...]
    cables: int
    cable_diameter_m: float

    @property
    def length_m(self) -> float:
        return float(sum(self.section_length_m))

    @property
    def height_m(self) -> float:
        return float(np.sum(np.asarray(self.section_length_m) * np.sin(self.section_angle_rad)))

    @property
    def stop_m(self) -> NDArray[np.float64]:
        return np.array([stop.at_m for stop in self.stops])

    @property
    def anchor_m(self) -> NDArray[np.float64]:
        return np.array([stop.at_m for stop in self.stops if stop.is_anchor])

    @property
    def has_stanchions(self) -> bool:
        return any(not stop.is_anchor for stop in self.stops)


def build_line(
    *,
    state: str,
    section_length_m: tuple[float, ...],
    section_angle_rad: tuple[float, ...],
    anchor_m: tuple[float, ...],
    stanchion_spacing_m: float | None,
    cables: int,
    cable_diameter_m: float,
) -> Line:
    """A line in one of its two states.

    Anchors hold the cable in both states. Raised, stanchions stand every ``stanchion_spacing_m`` from the foot;
    lowered, they are taken out. With no anchors typed the cable is held at its head and its foot only: the careful
    side, for it gives the longest slide.

    Raises
    ------
    ValueError
        An unknown state, no sections, a length that is not positive, or an angle outside (0, 90] deg.
    """
    length = np.asarray(section_length_m, dtype=float)
    angle = np.asarray(section_angle_rad, dtype=float)
    if state not in STATES:
        raise ValueError(f"state {state!r} is not one of {STATES}")
    if length.size == 0 or length.shape != angle.shape or not np.all(length > 0):
        raise ValueError("a line needs sections of positive length, each with an angle")
    if not np.all((angle > 0) & (angle <= np.pi / 2 + 1e-9)):
        raise ValueError("the angle of a section lies above 0 and up to 90 deg")
    total = float(length.sum())
    anchors = sorted(set(anchor_m)) or [0.0, total]
    if anchors[0] < 0 or anchors[-1] > total + 1e-9:
        raise ValueError("an anchor lies off the line")
    stops = [Stop(at, True) for at in anchors]
    if state == RAISED and stanchion_spacing_m is not None:
        if stanchion_spacing_m <= 0:
            raise ValueError("the spacing of stanchions is positive")
        stands = np.arange(0.0, total + 1e-9, stanchion_spacing_m)
        near = np.abs(stands[:, None] - np.asarray(anchors)[None, :]).min(axis=1) < _SAME_STOP_M
        stops += [Stop(float(at), False) for at in stands[~near]]
    return Line(
        state=state,
        section_length_m=tuple(float(value) for value in length),
        section_angle_rad=tuple(float(value) for value in angle),
        stops=tuple(sorted(stops, key=lambda stop: stop.at_m)),
        cables=cables,
        cable_diameter_m=cable_diameter_m,
    )


def angle_at(line: Line, at_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Slope [rad] at places along the line, same shape; at a bend the section above."""
    upper_ends = np.cumsum(line.section_length_m)
    index = np.searchsorted(upper_ends, at_m, side="right")
    return np.asarray(line.section_angle_rad)[np.minimum(index, len(upper_ends) - 1)]


def bay_edges_m(line: Line) -> NDArray[np.float64]:
    """The ends of the bays: the foot, every stop, the head."""
    inner = [stop.at_m for stop in line.stops if _SAME_STOP_M < stop.at_m < line.length_m - _SAME_STOP_M]
    return np.array([0.0, *inner, line.length_m])
