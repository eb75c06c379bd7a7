"""Mending the heights of a track: odd ones, spikes and missing ones, each said with numbers."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from handline.quantity import in_both_units, show_distance, show_height
from handline.route.counted import counted
from handline.route.geodesy import distance_m
from handline.route.track import Array, Track
from handline.route.usable import HIGHEST_M, LOWEST_M, believable_heights

# Common practice, no source: ground on which people walk does not stand out of its neighbours like this.
SPIKE_HEIGHT_M = 15.0
SPIKE_GRADE = 2.0
LONGEST_SPIKE_POINTS = 3
SPIKES_SHOWN = 3


def clean_heights(track: Track) -> Track:
    """Take out heights no land has, take out spikes, and fill what is missing along the line."""
    return filled(without_height_spikes(without_odd_heights(track)))


def without_odd_heights(track: Track) -> Track:
    """Heights below the lowest land or above the highest become missing."""
    odd = np.isfinite(track.elevation_m) & ~believable_heights(track)
    count = int(np.count_nonzero(odd))
    if not count:
        return track
    elevation = np.where(odd, np.nan, track.elevation_m)
    lowest, highest = in_both_units(LOWEST_M, show_height), in_both_units(HIGHEST_M, show_height)
    note = f"{counted(count, 'height')} outside {lowest} to {highest} left out"
    return replace(track, elevation_m=elevation).noted(note)


def without_height_spikes(track: Track) -> Track:
    """Heights that jump off the line of their neighbours and back within three points become missing.

    A jump counts if it is more than 15 m and steeper than 200 % on both sides: no ground for walking is like that, but
    a recorder's sensor is.
    """
    known = np.flatnonzero(np.isfinite(track.elevation_m))
    along = distance_m(track.latitude_deg, track.longitude_deg)
    height = track.elevation_m.copy()
    said: list[tuple[float, float]] = []
    for points in range(1, LONGEST_SPIKE_POINTS + 1):
        for first, jump_m in _jumps(along[known], height[known], points):
            height[known[first : first + points]] = np.nan
            said.append((float(along[known[first]]), jump_m))
        known = known[np.isfinite(height[known])]
    if not said:
        return track
    shown = ", ".join(
        f"{in_both_units(jump, show_height, '+' if jump > 0.0 else '')} at {in_both_units(at, show_distance)}"
        for at, jump in sorted(said)[:SPIKES_SHOWN]
    )
    more = f" and {len(said) - SPIKES_SHOWN} more" if len(said) > SPIKES_SHOWN else ""
    return replace(track, elevation_m=height).noted(
        f"{counted(len(said), 'elevation spike')} smoothed out: {shown}{more}"
    )


def _jumps(along_m: Array, height_m: Array, points: int) -> list[tuple[int, float]]:
    """First index and size of each run of ``points`` heights that stands above or below both its neighbours."""
    count = height_m.size - points - 1
    if count < 1:
        return []
    inner = np.arange(1, count + 1)[:, None] + np.arange(points)[None, :]
    before, after = height_m[:count], height_m[points + 1 :]
    reach = np.maximum(
        along_m[1 : count + 1] - along_m[:count], along_m[points + 1 :] - along_m[points : points + count]
    )
    above = height_m[inner].min(axis=1) - np.maximum(before, after)
    below = np.minimum(before, after) - height_m[inner].max(axis=1)
    found = np.flatnonzero(np.maximum(above, below) > np.maximum(SPIKE_HEIGHT_M, SPIKE_GRADE * reach))
    size = height_m[inner].mean(axis=1) - (before + after) / 2.0
    return [(int(start) + 1, float(size[start])) for start in found]


def filled(track: Track) -> Track:
    """Fill missing heights straight between the known ones along the line; level beyond the first and last."""
    known = np.isfinite(track.elevation_m)
    count = int(np.count_nonzero(~known))
    if not count:
        return track
    along = distance_m(track.latitude_deg, track.longitude_deg)
    elevation = np.where(known, track.elevation_m, np.interp(along, along[known], track.elevation_m[known]))
    bounds = np.unique(np.concatenate(([0], np.flatnonzero(known), [track.size - 1])))
    inside = np.add.reduceat(~known, bounds[:-1]) > 0
    longest_m = np.diff(along[bounds])[inside].max(initial=0.0)
    longest = in_both_units(longest_m, show_height)
    note = f"{counted(count, 'height')} filled in between the others, the longest stretch {longest}"
    return replace(track, elevation_m=elevation).noted(note)
