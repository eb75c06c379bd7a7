"""Mending the positions of a track: each step gives the mended track and says what it did."""

from __future__ import annotations

import numpy as np

from handline.quantity import in_both_units, show_distance, show_height
from handline.route.counted import counted
from handline.route.geodesy import between_m, distance_m, plane_m, steps_m
from handline.route.track import Array, Track
from handline.route.usable import no_position

# Common practice, no source: what a recording of people on foot looks like.
STANDING_M = 5.0
SPIKE_STEP_M = 100.0
SPIKE_STEPS = 20.0
GAP_M = 60.0
GAP_STEPS = 8.0
GAPS_SHOWN = 5


def clean_positions(track: Track) -> Track:
    """Leave out points without a position, points written twice, and lone points far off the line."""
    return without_spikes(without_duplicates(without_nowhere(track)))


def without_nowhere(track: Track) -> Track:
    """Leave out points at latitude 0, longitude 0."""
    nowhere = no_position(track)
    count = int(np.count_nonzero(nowhere))
    if not count:
        return track
    return track.take(
        np.flatnonzero(~nowhere), f"{counted(count, 'point')} at latitude 0, longitude 0 left out: no position"
    )


def without_duplicates(track: Track) -> Track:
    """Leave out points that repeat the one before: same place and same time, or no time."""
    same = (np.diff(track.latitude_deg) == 0.0) & (np.diff(track.longitude_deg) == 0.0)
    step_s = np.diff(track.time_s)
    same &= (step_s == 0.0) | np.isnan(step_s)
    count = int(np.count_nonzero(same))
    if not count:
        return track
    kept = np.flatnonzero(np.concatenate(([True], ~same)))
    return track.take(kept, f"{counted(count, 'duplicate point')} left out")


def without_spikes(track: Track) -> Track:
    """Leave out lone points far off the line between their neighbours.

    A point is far off if both steps to it are long (100 m and 20 usual steps) while its neighbours are near each other.
    A drawn route of few points has long usual steps and keeps them all.
    """
    if track.size < 4:
        return track
    steps = steps_m(track.latitude_deg, track.longitude_deg)
    far = max(SPIKE_STEP_M, SPIKE_STEPS * float(np.median(steps)))
    shorter = np.minimum(steps[:-1], steps[1:])
    across = between_m(
        track.latitude_deg[:-2], track.longitude_deg[:-2], track.latitude_deg[2:], track.longitude_deg[2:]
    )
    spikes = np.flatnonzero((shorter > far) & (across < shorter / 2.0)) + 1
    if not spikes.size:
        return track
    worst = in_both_units(shorter[spikes - 1].max(), show_height)
    note = f"{counted(spikes.size, 'point')} far off the line left out, the worst {worst} off"
    return track.take(np.delete(np.arange(track.size), spikes), note)


def without_standing(track: Track) -> Track:
    """Leave out points within 5 m of the last one kept: standing still would else count as walking.

    The first and the last point stay.
    """
    east, north = plane_m(
        track.latitude_deg, track.longitude_deg, float(track.latitude_deg[0]), float(track.longitude_deg[0])
    )
    # Far from the first point the plane stretches; over 5 m that does not matter.
    kept = [0]
    here_east, here_north = float(east[0]), float(north[0])
    for i, (x, y) in enumerate(zip(east.tolist(), north.tolist(), strict=True)):
        if (x - here_east) ** 2 + (y - here_north) ** 2 >= STANDING_M**2:
            kept.append(i)
            here_east, here_north = x, y
    last = track.size - 1
    if kept[-1] != last:
        kept = [*kept[:-1], last] if len(kept) > 1 else [0, last]
    count = track.size - len(kept)
    if not count:
        return track
    near = f"{counted(count, 'point')} within {in_both_units(STANDING_M, show_height)} of the one before"
    note = f"{near} left out, so that standing still is not walking"
    return track.take(np.array(kept, dtype=np.int64), note)


def with_gaps_said(track: Track) -> Track:
    """Say where the recording stops for a while; it is bridged straight."""
    steps = steps_m(track.latitude_deg, track.longitude_deg)
    along = distance_m(track.latitude_deg, track.longitude_deg)
    gaps = steps > max(GAP_M, GAP_STEPS * float(np.median(steps)))
    joins = [start - 1 for start in track.piece_starts[1:]]
    gaps[joins] = False  # said when they were joined
    where = np.flatnonzero(gaps)
    if not where.size:
        return track
    return track.noted(_gap_note(steps[where], along[where]))


def _gap_note(length_m: Array, at_m: Array) -> str:
    shown = ", ".join(
        f"{in_both_units(length, show_height)} at {in_both_units(at, show_distance)}"
        for length, at in zip(length_m[:GAPS_SHOWN], at_m[:GAPS_SHOWN], strict=True)
    )
    more = f" and {length_m.size - GAPS_SHOWN} more" if length_m.size > GAPS_SHOWN else ""
    return f"{counted(length_m.size, 'gap')} in the recording, bridged straight: {shown}{more}"
