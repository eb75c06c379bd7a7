"""The line from a trip file: its slab as typed, or measured from the track between its foot and its head."""

from __future__ import annotations

from itertools import dropwhile, takewhile

import numpy as np
from numpy.typing import NDArray

from handline.errors import Problem, TripError
from handline.line.geometry import Line, build_line
from handline.route.route import Route
from handline.trip.cross_checks import beyond_the_head
from handline.trip.model import Trip

SLAB_MEASURED = "slab"
"""Told among what is guessed: nobody typed the slab, the track has told it."""

# Neighbouring pieces of the track whose slopes differ by less than this are one section. Ours.
SAME_SLOPE_RAD = float(np.radians(3.0))
# An anchor at the very head may differ from it in the last digits of another unit.
_LENGTH_SLACK_M = 1e-6
# A line that rises by less than the first over its whole length is level, and so is a piece by less than the second.
LEAST_RISE_M, _LEAST_PIECE_RISE_M = 1e-3, 1e-6


def set_line(trip: Trip, route: Route, state: str, guessed: set[str]) -> Line:
    """The line of a trip in one of its states. Adds "slab" to ``guessed`` where it is measured from the track.

    Raises
    ------
    TripError
        The track does not climb between foot and head, or an anchor or a stance lies beyond the head so measured.
    """
    if trip.line.slab:
        length_m = tuple(section.length_m for section in trip.line.slab)
        angle_rad = tuple(section.angle_rad for section in trip.line.slab)
    else:
        length_m, angle_rad = _measured(trip, route)
        guessed.add(SLAB_MEASURED)
    total_m = sum(length_m)
    problems = [
        trip.located(beyond_the_head(what, total_m).at(key=f"line.{what}s[{index}]"))
        for what, places_m in (("anchor", trip.line.anchors_m), ("stance", trip.line.stances_m))
        for index, at_m in enumerate(places_m)
        if at_m > total_m + _LENGTH_SLACK_M
    ]
    if problems:
        raise TripError(problems)
    return build_line(
        state=state,
        section_length_m=length_m,
        section_angle_rad=angle_rad,
        anchor_m=tuple(min(at_m, total_m) for at_m in trip.line.anchors_m),
        stanchion_spacing_m=trip.line.stanchion_spacing_m,
        cables=trip.line.cables,
        cable_diameter_m=trip.line.cable_diameter_m,
        stance_m=tuple(min(at_m, total_m) for at_m in trip.line.stances_m),
    )


def sections_along(
    run_m: NDArray[np.float64], rise_m: NDArray[np.float64], same_slope_rad: float = SAME_SLOPE_RAD
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Sections of even slope along a rising line of pieces.

    A piece that does not rise is joined to the one after it (the last one to the one before), and neighbours of
    nearly one slope are joined. Length along the rock = hypot(run, rise); angle = atan2(rise, run).

    Parameters
    ----------
    run_m, rise_m : (n,) arrays [m]
        Length on the map and rise of each piece, from the foot up; the rises add up to more than ``LEAST_RISE_M``.
    same_slope_rad : float
        Slopes that differ by less are one.

    Returns
    -------
    length_m, angle_rad : two tuples
        Of the sections, from the foot up. They gain what the pieces gain, on the same length on the map.

    Raises
    ------
    ValueError
        The pieces do not rise from their start to their end.
    """
    if not float(np.sum(rise_m)) > LEAST_RISE_M:
        raise ValueError("the pieces do not rise")
    pieces: list[tuple[float, float]] = []
    run, rise = 0.0, 0.0
    for piece_run, piece_rise in zip(run_m.tolist(), rise_m.tolist(), strict=True):
        run, rise = run + piece_run, rise + piece_rise
        if rise > _LEAST_PIECE_RISE_M:
            pieces.append((run, rise))
            run, rise = 0.0, 0.0
    while run > 0.0 and rise <= _LEAST_PIECE_RISE_M:
        last_run, last_rise = pieces.pop()
        run, rise = run + last_run, rise + last_rise
    if run > 0.0:
        pieces.append((run, rise))
    joined = [pieces[0]]
    for run, rise in pieces[1:]:
        last_run, last_rise = joined[-1]
        if abs(np.arctan2(rise, run) - np.arctan2(last_rise, last_run)) < same_slope_rad:
            joined[-1] = (last_run + run, last_rise + rise)
        else:
            joined.append((run, rise))
    runs, rises = np.array(joined).T
    return tuple(np.hypot(runs, rises).tolist()), tuple(np.arctan2(rises, runs).tolist())


def _measured(trip: Trip, route: Route) -> tuple[tuple[float, ...], tuple[float, ...]]:
    # The way passes the foot first, and there may be other places before the head: every leg of the first passing.
    to_line = dropwhile(lambda leg: not leg.is_line, route.legs)
    legs = list(takewhile(lambda leg: leg.is_line, to_line))
    run_m, rise_m = (np.concatenate(parts) for parts in zip(*((leg.run_m, leg.rise_m) for leg in legs), strict=True))
    try:
        return sections_along(run_m, rise_m)
    except ValueError:
        raise TripError(
            trip.located(
                Problem(
                    what="the track does not climb from the foot of the line to its head",
                    read=f"{float(np.sum(rise_m)):+.0f} m over {float(np.sum(run_m)):.0f} m",
                    mend="correct where foot and head are, or type the length and the angle of the slab",
                    key="line",
                )
            )
        ) from None
