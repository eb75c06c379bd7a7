"""Which way a track goes: turned round if it was recorded from the far end, cut if it comes back by itself."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from handline.route.geodesy import between_m, distance_m
from handline.route.place import SUMMIT, TRAILHEAD, PlaceWish
from handline.route.track import Track

CLOSED_M = 200.0
NEAR_END_M = 250.0
CLEARLY_HIGHER_M = 50.0


def one_way_up(track: Track, wishes: Sequence[PlaceWish], *, out_and_back: bool) -> tuple[Track, bool]:
    """The track from the start to the far end, and whether it was turned round for that.

    If the day goes out and back and the track does so too (it ends within 200 m of its start), its first part, up to
    its highest point, is used. If it begins at the far end, it is turned round. Both are said.

    Parameters
    ----------
    track : Track
        Clean, heights filled.
    """
    if out_and_back and comes_back(track):
        return _first_part(track), False
    reason = _reversed_because(track, wishes, out_and_back)
    if reason is None:
        return track, False
    return track.backward(f"the track was recorded the other way round ({reason}): turned"), True


def comes_back(track: Track) -> bool:
    """Whether the track ends where it began, within 200 m."""
    ends = between_m(track.latitude_deg[0], track.longitude_deg[0], track.latitude_deg[-1], track.longitude_deg[-1])
    return bool(ends <= CLOSED_M)


def _first_part(track: Track) -> Track:
    highest = int(np.argmax(track.elevation_m))
    if highest in (0, track.size - 1):  # a walk down and back up: the far end is the point farthest off
        from_start = between_m(track.latitude_deg[0], track.longitude_deg[0], track.latitude_deg, track.longitude_deg)
        highest = int(np.argmax(from_start))
    along = distance_m(track.latitude_deg, track.longitude_deg)
    note = (
        f"the track comes back to its start: of its {along[-1] / 1000:.1f} km the first "
        f"{along[highest] / 1000:.1f} km, to its far point, are walked out and back"
    )
    return track.take(np.arange(highest + 1), note)


def _reversed_because(track: Track, wishes: Sequence[PlaceWish], out_and_back: bool) -> str | None:
    """Why the track is taken to be recorded from the far end, or None if it is not."""
    told = [_told_by(track, wish) for wish in wishes if wish.kind in (TRAILHEAD, SUMMIT)]
    evidence = [tale for tale in told if tale is not None]
    backward = [words for words, right_way in evidence if not right_way]
    if evidence:
        return " and ".join(backward) if len(backward) == len(evidence) else None
    fall_m = float(track.elevation_m[0] - track.elevation_m[-1])
    if out_and_back and fall_m > CLEARLY_HIGHER_M and any(wish.kind == SUMMIT and wish.at_end for wish in wishes):
        return f"its end, meant as the summit, is {fall_m:.0f} m lower than its start"
    return None


def _told_by(track: Track, wish: PlaceWish) -> tuple[str, bool] | None:
    """What a trailhead or summit near only one end says of the direction: its words, and whether that is right."""
    if wish.coordinates is None:
        return None
    latitude, longitude = wish.coordinates
    to_start = float(between_m(latitude, longitude, track.latitude_deg[0], track.longitude_deg[0]))
    to_end = float(between_m(latitude, longitude, track.latitude_deg[-1], track.longitude_deg[-1]))
    if (to_start <= NEAR_END_M) == (to_end <= NEAR_END_M):
        return None
    at_start = to_start <= NEAR_END_M
    right_way = at_start == (wish.kind == TRAILHEAD)
    return f'"{wish.name}" is at its {"start" if at_start else "end"}', right_way
