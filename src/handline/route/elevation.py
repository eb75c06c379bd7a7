"""Heights along a line: smoothing over a stated window, and climb counted with a stated dead band.

Summing every rise of a recording counts its noise as climb, tens of per cent too much. So heights are averaged over a
window of ground, and a change of direction counts only once it has reached the dead band.
"""

from __future__ import annotations

import numpy as np

from handline.route.track import Array, Indices

# Common practice, no source (sources: practice_climb).
SMOOTHING_WINDOW_M = 30.0
DEAD_BAND_M = 5.0


def smoothed_elevation_m(
    distance_m: Array, elevation_m: Array, at_m: Array, window_m: float = SMOOTHING_WINDOW_M
) -> Array:
    """Height at chosen distances, averaged over a window of ground.

    ::

        z_s(s) = 1/w * integral of z from s - w/2 to s + w/2

    z runs straight between the points. Near an end the window shrinks to what fits on both sides, so that the ends keep
    their heights.

    Parameters
    ----------
    distance_m, elevation_m : (n,) arrays [m]
        The line: rising distances and their heights.
    at_m : (k,) array [m]
        Where the height is wanted, within the line.
    window_m : float [m]
        Width of the window.

    Returns
    -------
    (k,) array [m]

    Validity
    --------
    A corner of the ground is cut by an eighth of the window times the change of grade: 2 to 3 m at the foot of a slab.

    Notes
    -----
    Sources: practice_climb.
    """
    here = np.interp(at_m, distance_m, elevation_m)
    half = np.minimum(window_m / 2.0, np.minimum(at_m - distance_m[0], distance_m[-1] - at_m))
    wide = half > 1e-6
    low, high = at_m[wide] - half[wide], at_m[wide] + half[wide]
    area = _area_below(distance_m, elevation_m, high) - _area_below(distance_m, elevation_m, low)
    smooth = here.copy()
    smooth[wide] = area / (high - low)
    return smooth


def _area_below(distance_m: Array, elevation_m: Array, to_m: Array) -> Array:
    """Integral of the height from the start of the line to each distance [m2]."""
    strips = np.diff(distance_m) * (elevation_m[:-1] + elevation_m[1:]) / 2.0
    whole = np.concatenate(([0.0], np.cumsum(strips)))
    i = np.clip(np.searchsorted(distance_m, to_m, side="right") - 1, 0, distance_m.size - 2)
    height = np.interp(to_m, distance_m, elevation_m)
    area: Array = whole[i] + (to_m - distance_m[i]) * (elevation_m[i] + height) / 2.0
    return area


def turning_points(elevation_m: Array, dead_band_m: float = DEAD_BAND_M) -> Indices:
    """Where a line of heights turns: both ends, and every high and low between which it moves by the dead band or more.

    Parameters
    ----------
    elevation_m : (n,) array [m]
    dead_band_m : float [m]
        The smallest swing that counts.

    Returns
    -------
    (k,) array of indices, rising, the first and the last point included.

    Notes
    -----
    A swing smaller than the band between two that count is left out; the stubs before the first and after the last
    swing that counts are kept, so that rises less falls are the net rise exactly.
    Sources: practice_climb.
    """
    heights: list[float] = elevation_m.tolist()

    def swung(low: int, high: int) -> bool:
        return heights[high] > heights[low] and heights[high] - heights[low] >= dead_band_m

    turns: list[int] = []
    low = high = 0  # so far; once it is known which way the line goes, both are its furthest point that way
    rising: bool | None = None
    for i, height in enumerate(heights):
        high = i if height > heights[high] else high
        low = i if height < heights[low] else low
        if rising is not True and swung(low, i):
            turns.append(low)
            rising, high = True, i
        elif rising is not False and swung(i, high):
            turns.append(high)
            rising, low = False, i
        if rising is True:
            low = high
        elif rising is False:
            high = low
    if rising is not None:
        turns.append(high)
    return np.unique(np.array([0, *turns, len(heights) - 1], dtype=np.int64))


def counted_climb_m(elevation_m: Array, dead_band_m: float = DEAD_BAND_M) -> tuple[Array, Array]:
    """Climb and descent counted so far at each point, swings under the dead band left out.

    Parameters
    ----------
    elevation_m : (n,) array [m]
    dead_band_m : float [m]

    Returns
    -------
    up_m, down_m : two (n,) arrays [m]
        Both start at 0 and never fall. Between any two points their differences are what that part adds, so parts add
        up to the whole; at the end, up less down is the net rise.

    Notes
    -----
    Sources: practice_climb.
    """
    up, down = np.zeros(elevation_m.size), np.zeros(elevation_m.size)
    turns = turning_points(elevation_m, dead_band_m)
    for start, end in zip(turns[:-1].tolist(), turns[1:].tolist(), strict=True):
        part = elevation_m[start : end + 1]
        rising = part[-1] >= part[0]
        progress = np.maximum.accumulate(part - part[0] if rising else part[0] - part)
        progress = np.minimum(progress, abs(part[-1] - part[0]))
        up[start : end + 1] = up[start] + (progress if rising else 0.0)
        down[start : end + 1] = down[start] + (0.0 if rising else progress)
    return up, down


def summed_climb_m(elevation_m: Array) -> tuple[float, float]:
    """Every rise and every fall of a recording summed as they stand, missing heights left out."""
    change = np.diff(elevation_m[np.isfinite(elevation_m)])
    return float(change[change > 0].sum()), float(-change[change < 0].sum())
