"""A track with fewer points: no point of the whole one lies farther off than is said."""

from __future__ import annotations

import numpy as np

from handline.route.geodesy import distance_m, plane_m
from handline.route.profile import Profile, profile_at
from handline.route.track import Array, Indices, Track

# About what a phone's own position is good to. Common practice, no source (sources: practice_thinning).
WITHIN_M = 5.0


def thinned(track: Track, within_m: float = WITHIN_M) -> Profile:
    """The track with as few points as Ramer, Douglas and Peucker need.

    Between two points that are kept it runs straight. The point farthest off is kept too, and so on on both sides of
    it, until every point lies within the wanted distance of the straight line, up and down included.

    Parameters
    ----------
    track : Track
        n points, heights filled.
    within_m : float [m]
        How far off a point that is left out may lie.

    Returns
    -------
    Profile
        Some of the points, the first and the last among them, with smoothed heights (see ``smoothed_elevation_m``).

    Validity
    --------
    Measured on the plane that touches the Earth at the middle point: for a track of some tens of kilometres right to
    less than a hundredth.

    Notes
    -----
    Sources: douglas_peucker_1973, practice_thinning.
    """
    along = distance_m(track.latitude_deg, track.longitude_deg)
    whole = profile_at(track, along)
    middle = track.size // 2
    east_m, north_m = plane_m(
        track.latitude_deg, track.longitude_deg, float(track.latitude_deg[middle]), float(track.longitude_deg[middle])
    )
    kept = _kept(np.column_stack((east_m, north_m, whole.elevation_m)), within_m)
    return Profile(
        distance_m=along[kept],
        elevation_m=whole.elevation_m[kept],
        latitude_deg=track.latitude_deg[kept],
        longitude_deg=track.longitude_deg[kept],
    )


def _kept(points_m: Array, within_m: float) -> Indices:
    """Which of the points in space, shape (n, 3), are kept: in rising order."""
    last = points_m.shape[0] - 1
    kept, open_pieces = {0, last}, [(0, last)]
    while open_pieces:
        first, end = open_pieces.pop()
        if end - first < 2:
            continue
        off_m = _off_m(points_m[first + 1 : end], points_m[first], points_m[end])
        farthest = int(np.argmax(off_m))
        if off_m[farthest] > within_m:
            at = first + 1 + farthest
            kept.add(at)
            open_pieces += [(first, at), (at, end)]
    return np.array(sorted(kept), dtype=np.int64)


def _off_m(points_m: Array, start_m: Array, end_m: Array) -> Array:
    """How far points lie off the straight line from a start to an end, its ends included [m]."""
    span = end_m - start_m
    square = float(span @ span)
    from_start = points_m - start_m
    share = np.clip(from_start @ span / square, 0.0, 1.0) if square > 0.0 else np.zeros(points_m.shape[0])
    off: Array = np.linalg.norm(from_start - share[:, None] * span, axis=1)
    return off
