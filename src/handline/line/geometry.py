"""Where the line runs and where something on it can stop a connector."""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

RAISED = "raised"
LOWERED = "lowered"
STATES = (RAISED, LOWERED)

UP = "up"
DOWN = "down"
WAYS = (UP, DOWN)

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
    ascending; ``stance_m`` are places to stand at rest. ``stanchion_spacing_m`` is that of the raised line, in both
    states. Everything "at" a place is measured along the line from its foot.
    """

    state: str
    section_length_m: tuple[float, ...]
    section_angle_rad: tuple[float, ...]
    stops: tuple[Stop, ...]
    cables: int
    cable_diameter_m: float
    stance_m: tuple[float, ...] = ()
    stanchion_spacing_m: float | None = None

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


@dataclass(frozen=True)
class Bay:
    """The part of a line from one stop to the next, foot first.

    ``ends_at`` is what stands at its upper end: "anchor", "stanchion", or "head", where nothing need be passed.
    ``rise_m`` is what it gains, ``steepest_rad`` its steepest slope, ``stance_m`` the stances inside it: one at a stop
    belongs to the bay below.
    """

    start_m: float
    end_m: float
    steepest_rad: float
    rise_m: float
    ends_at: str
    stance_m: tuple[float, ...]

    @property
    def length_m(self) -> float:
        return self.end_m - self.start_m


def build_line(
    *,
    state: str,
    section_length_m: tuple[float, ...],
    section_angle_rad: tuple[float, ...],
    anchor_m: tuple[float, ...],
    stanchion_spacing_m: float | None,
    cables: int,
    cable_diameter_m: float,
    stance_m: tuple[float, ...] = (),
) -> Line:
    """A line in one of its two states.

    Anchors hold the cable in both states. Raised, stanchions stand every ``stanchion_spacing_m`` from the foot;
    lowered, they are taken out. With no anchors typed the cable is held at its head and its foot only: the careful
    side, for it gives the longest slide.

    Raises
    ------
    ValueError
        An unknown state, no sections, a length that is not positive, an angle outside (0, 90] deg, an anchor or a
        stance off the line, a spacing that is not positive, or cables that are not one or two.
    """
    length = np.asarray(section_length_m, dtype=float)
    angle = np.asarray(section_angle_rad, dtype=float)
    if state not in STATES:
        raise ValueError(f"state {state!r} is not one of {STATES}")
    if length.size == 0 or length.shape != angle.shape or not np.all((length > 0) & np.isfinite(length)):
        raise ValueError("a line needs sections of positive length, each with an angle")
    if not np.all((angle > 0) & (angle <= np.pi / 2 + 1e-9)):
        raise ValueError("the angle of a section lies above 0 and up to 90 deg")
    if cables not in (1, 2) or not cable_diameter_m > 0:
        raise ValueError("a line has one or two cables, of a diameter above 0")
    if stanchion_spacing_m is not None and not stanchion_spacing_m > 0:
        raise ValueError("the spacing of stanchions is positive")
    total = float(length.sum())
    anchors = sorted(set(anchor_m)) or [0.0, total]
    for what, places_m in (("an anchor", anchors), ("a stance", stance_m)):
        if not all(-1e-9 <= at_m <= total + 1e-9 for at_m in places_m):
            raise ValueError(f"{what} lies off the line")
    stops = [Stop(at, True) for at in anchors]
    if state == RAISED and stanchion_spacing_m is not None:
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
        stance_m=tuple(sorted(set(stance_m))),
        stanchion_spacing_m=stanchion_spacing_m,
    )


def in_state(line: Line, state: str) -> Line:
    """The same line raised or lowered. Raises ValueError for an unknown state."""
    return build_line(
        state=state,
        section_length_m=line.section_length_m,
        section_angle_rad=line.section_angle_rad,
        anchor_m=tuple(float(at_m) for at_m in line.anchor_m),
        stanchion_spacing_m=line.stanchion_spacing_m,
        cables=line.cables,
        cable_diameter_m=line.cable_diameter_m,
        stance_m=line.stance_m,
    )


def angle_at(line: Line, at_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Slope [rad] at places along the line, same shape; at a bend the section above."""
    upper_ends = np.cumsum(line.section_length_m)
    index = np.searchsorted(upper_ends, at_m, side="right")
    return np.asarray(line.section_angle_rad)[np.minimum(index, len(upper_ends) - 1)]


def steepest_rad(line: Line, low_m: NDArray[np.float64], high_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Steepest slope [rad] anywhere between two places, same shape; at a bend the section above counts too."""
    upper_ends, angles = np.cumsum(line.section_length_m), np.asarray(line.section_angle_rad)
    first, last = (
        np.minimum(np.searchsorted(upper_ends, at_m, side="right"), len(angles) - 1)[..., None]
        for at_m in (low_m, high_m)
    )
    section = np.arange(len(angles))
    return np.where((first <= section) & (section <= last), angles, 0.0).max(axis=-1)


def bay_edges_m(line: Line) -> NDArray[np.float64]:
    """The ends of the bays: the foot, every stop to be passed, the head."""
    return np.array([0.0, *(stop.at_m for stop in stops_to_pass(line)), line.length_m])


def stops_to_pass(line: Line) -> tuple[Stop, ...]:
    """The stops strictly between foot and head, foot first: at each of them a connector must be moved over."""
    return tuple(stop for stop in line.stops if _SAME_STOP_M < stop.at_m < line.length_m - _SAME_STOP_M)


def rest_places_m(line: Line) -> NDArray[np.float64]:
    """Where hands may rest between foot and head: at the stances, and on the planks of stanchions while they stand.

    A stanchion that falls on an anchor is the anchor: no plank is counted there, which is the careful side.
    """
    planks_m = [stop.at_m for stop in line.stops if not stop.is_anchor]
    return np.unique([at_m for at_m in (*line.stance_m, *planks_m) if 0.0 < at_m < line.length_m])


@lru_cache(maxsize=16)
def bays(line: Line) -> tuple[Bay, ...]:
    """The bays of a line in its present state, foot first."""
    upper = [*(("anchor" if stop.is_anchor else "stanchion") for stop in stops_to_pass(line)), "head"]
    rows = []
    for (start_m, end_m), ends_at in zip(itertools.pairwise(bay_edges_m(line).tolist()), upper, strict=True):
        parts_m, angles_rad = _parts(line, start_m, end_m)
        rows.append(
            Bay(
                start_m=start_m,
                end_m=end_m,
                steepest_rad=float(angles_rad.max()),
                rise_m=float(np.sum(parts_m * np.sin(angles_rad))),
                ends_at=ends_at,
                stance_m=tuple(at_m for at_m in line.stance_m if start_m < at_m <= end_m),
            )
        )
    return tuple(rows)


def _parts(line: Line, start_m: float, end_m: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Lengths [m] and slopes [rad] of the sections, as far as they lie between two places."""
    ends_m = np.cumsum(line.section_length_m)
    starts_m = np.concatenate([[0.0], ends_m[:-1]])
    inside_m = np.minimum(ends_m, end_m) - np.maximum(starts_m, start_m)
    touched = inside_m > 1e-9
    return inside_m[touched], np.asarray(line.section_angle_rad)[touched]
