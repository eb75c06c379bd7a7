"""Whether a track can be planned on at all: what is refused, and why.

What is only messy is not refused: cleaning.py and heights.py mend it and say so.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handline.errors import Problem, TrackError
from handline.route.counted import counted
from handline.route.geodesy import plane_m, steps_m
from handline.route.track import Track

SMALLEST_EXTENT_M = 20.0
LONGEST_M = 500_000.0
# The lowest dry land and the highest, with room: a height outside is a recorder's way to say that it has none.
# From memory: the shore of the lowest lake is near -430 m, the highest summit near 8,849 m.
LOWEST_M = -450.0
HIGHEST_M = 8_900.0
MOST_MISSING = 0.5
TERRAIN_HINT = "give route.terrain a terrain model of the place, record heights, or type the legs"
EXPORT_HINT = "export the track again"


def refuse_unusable(track: Track) -> None:
    """Raise TrackError with everything about the track that no plan can be made of."""
    heights = _height_problems(track) if track.size else ()
    _refuse(track, [*_position_problems(track), *heights])


def refuse_unusable_positions(track: Track) -> None:
    """Raise TrackError with everything about the positions that no plan can be made of."""
    _refuse(track, list(_position_problems(track)))


def refuse_unusable_heights(track: Track) -> None:
    """Raise TrackError with everything about the heights that no plan can be made of."""
    _refuse(track, list(_height_problems(track)))


def believable_heights(track: Track) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which points have a height that land can have."""
    known: np.ndarray[tuple[int], np.dtype[np.bool_]] = (
        np.isfinite(track.elevation_m) & (track.elevation_m >= LOWEST_M) & (track.elevation_m <= HIGHEST_M)
    )
    return known


def lacks_heights(track: Track) -> bool:
    """Whether the track's own heights are of no use, so that a terrain model is needed."""
    return bool(list(_height_problems(track)))


def _refuse(track: Track, problems: list[Problem]) -> None:
    if problems:
        raise TrackError([problem.at(file=track.file) for problem in problems])


def _position_problems(track: Track) -> Iterator[Problem]:
    if track.size == 0:
        yield Problem("the track has no points", mend=EXPORT_HINT)
        return
    if track.size == 1:
        yield Problem(
            "the track has one point only", allowed="two points or more", mend=f"{EXPORT_HINT}, or type the legs"
        )
        return
    outside = (np.abs(track.latitude_deg) > 90.0) | (np.abs(track.longitude_deg) > 180.0)
    outside |= ~(np.isfinite(track.latitude_deg) & np.isfinite(track.longitude_deg))
    if outside.any():
        first = int(np.argmax(outside))
        yield Problem(
            f"not on the Earth: {counted(int(np.count_nonzero(outside)), 'point')}",
            read=f"{track.latitude_deg[first]:g}, {track.longitude_deg[first]:g} at point {first + 1}",
            allowed="latitude -90 to 90, longitude -180 to 180 degrees",
            mend="are latitude and longitude exchanged?",
            line=int(track.line[first]) or None,
        )
        return
    nowhere = np.count_nonzero(no_position(track))
    if nowhere > MOST_MISSING * track.size:
        yield Problem(
            "the points lie at latitude 0, longitude 0, in the sea: the recorder had no position",
            read=f"{nowhere} of {track.size} points",
            mend="record the track again under open sky",
        )
        return
    yield from _extent_problems(track)


def no_position(track: Track) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which points lie at latitude 0, longitude 0: what a recorder writes that has no position."""
    nowhere: np.ndarray[tuple[int], np.dtype[np.bool_]] = (track.latitude_deg == 0.0) & (track.longitude_deg == 0.0)
    return nowhere


def _extent_problems(track: Track) -> Iterator[Problem]:
    sound = ~no_position(track)
    latitude, longitude = track.latitude_deg[sound], track.longitude_deg[sound]
    if latitude.size < 2:
        yield Problem("the track has fewer than two points with a position", mend=EXPORT_HINT)
        return
    east, north = plane_m(latitude, longitude, float(latitude[0]), float(longitude[0]))
    extent_m = float(np.hypot(east, north).max())
    if extent_m < SMALLEST_EXTENT_M:
        yield Problem(
            "the track goes nowhere",
            read=f"all {track.size} points within {extent_m:.0f} m of the first",
            allowed=f"{SMALLEST_EXTENT_M:.0f} m at least",
            mend="choose the recording of the walk itself",
        )
    length_m = float(steps_m(latitude, longitude).sum())
    if length_m > LONGEST_M:
        yield Problem(
            "the track is too long for a day on foot",
            read=f"{length_m / 1000:,.0f} km",
            allowed=f"up to {LONGEST_M / 1000:.0f} km",
            mend="keep only the part of this trip; look for points far off",
        )


def _height_problems(track: Track) -> Iterator[Problem]:
    known = np.isfinite(track.elevation_m)
    if not known.any():
        yield Problem("the track has no heights", mend=TERRAIN_HINT)
        return
    if not track.elevation_m[known].any():
        yield Problem("every height of the track is 0 m: no real heights, or points in the sea", mend=TERRAIN_HINT)
        return
    believable = believable_heights(track)
    missing = track.size - np.count_nonzero(believable)
    if missing > MOST_MISSING * track.size:
        odd = np.count_nonzero(known & ~believable)
        yield Problem(
            "more than half the points have no believable height",
            read=f"{missing} of {track.size} points, {odd} of them outside {LOWEST_M:.0f} to {HIGHEST_M:,.0f} m",
            mend=TERRAIN_HINT,
        )
    elif track.elevation_m[believable].max() <= 0.0:
        yield Problem(
            "the whole track lies at or below sea level: points in the sea",
            read=f"highest point {track.elevation_m[believable].max():.0f} m",
            mend=TERRAIN_HINT,
        )
