"""Finding wished places on a track: which point of the line is nearest, how far off, and how often it is passed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from handline.errors import Problem, TrackError
from handline.quantity import in_both_units, show_height
from handline.route.geodesy import distance_m, plane_m
from handline.route.place import LINE_FOOT, LINE_HEAD, LINE_KINDS, PlaceWish
from handline.route.track import Array, Track

FARTHEST_OFF_M = 250.0
END_REACH_M = 60.0
SAID_IF_MOVED_M = 10.0
# A place is passed again once the track has left it by this much and come as near again, within this slack.
LEFT_BEHIND_M = 150.0
AS_NEAR_SLACK_M = 30.0


@dataclass(frozen=True)
class Found:
    """Where a wish lies: every distance along the track at which it is passed, and how far off the track it is."""

    wish: PlaceWish
    passings_m: tuple[float, ...]
    offset_m: float = 0.0


def find_places(
    track: Track, wishes: Sequence[PlaceWish], *, every_passing: bool
) -> tuple[tuple[Found, ...], tuple[str, ...]]:
    """All wishes on the track, in the order in which it first passes them, and what there is to say about them.

    Parameters
    ----------
    track : Track
        Clean, in the direction of walking.
    wishes : sequence of PlaceWish
    every_passing : bool
        Whether a place with coordinates may be passed more than once (a track that goes out and comes back by itself);
        otherwise only its nearest passing counts.

    Raises
    ------
    TrackError
        With every wish that has no place, lies too far off, lies past the end, or a line whose head comes first.
    """
    along = distance_m(track.latitude_deg, track.longitude_deg)
    length = float(along[-1])
    found: list[Found] = []
    problems: list[Problem] = []
    for wish in wishes:
        result = _find(track, along, wish, every_passing)
        if isinstance(result, Problem):
            problems.append(result.at(key=wish.told_as))
        else:
            found.append(result)
    if problems:
        raise TrackError([problem if problem.key else problem.at(file=track.file) for problem in problems])
    found, notes = _ends_taken(found, length)
    ordered = sorted(found, key=lambda place: place.passings_m[0])
    _refuse_line_upside_down(track, ordered)
    return tuple(ordered), (*notes, *_order_notes(found))


def _find(track: Track, along: Array, wish: PlaceWish, every_passing: bool) -> Found | Problem:
    length = float(along[-1])
    if wish.at_end:
        return Found(wish, (length,))
    if wish.at_m is not None:
        reach_m = 0.0 if wish.kind in LINE_KINDS else END_REACH_M
        if wish.at_m < 0.0 or wish.at_m > length + reach_m:
            return Problem(
                f'"{wish.name}" lies past the end of the track',
                read=f"{wish.at_m / 1000:.3f} km",
                allowed=f"0 to {length / 1000:.3f} km, one way",
                mend='correct its distance, give coordinates, or write "end"',
            )
        return Found(wish, (wish.at_m,))
    if wish.coordinates is None:
        return Problem(f'"{wish.name}" has no place', mend='give its latitude and longitude, a distance, or "end"')
    passings, offset = passings_of(track, along, *wish.coordinates)
    if offset > FARTHEST_OFF_M:
        return Problem(
            f'"{wish.name}" lies {_length(offset)} from the track',
            read=f"latitude {wish.latitude_deg:g}, longitude {wish.longitude_deg:g}",
            allowed=f"within {FARTHEST_OFF_M:.0f} m",
            mend="correct the coordinates (is a sign missing?), or give a distance along the track",
        )
    return Found(wish, passings if every_passing else passings[:1], offset)


def _length(length_m: float) -> str:
    return f"{length_m:.0f} m" if length_m < 10_000 else f"{length_m / 1000:,.0f} km"


def passings_of(
    track: Track, along_m: Array, latitude_deg: float, longitude_deg: float
) -> tuple[tuple[float, ...], float]:
    """Distances along the track at which it passes a place, the nearest passing first, and how near that comes [m]."""
    nearest, at = _nearest_on_steps(track, along_m, latitude_deg, longitude_deg)
    best = int(np.argmin(nearest))
    offset = float(nearest[best])
    visit = np.concatenate(([0], np.cumsum(np.diff((nearest <= offset + LEFT_BEHIND_M).astype(int)) != 0)))
    passings = [float(at[best])]
    for number in np.unique(visit[nearest <= offset + AS_NEAR_SLACK_M]):
        if number != visit[best]:
            members = np.flatnonzero(visit == number)
            passings.append(float(at[members[np.argmin(nearest[members])]]))
    return tuple(passings), offset


def _nearest_on_steps(track: Track, along_m: Array, latitude_deg: float, longitude_deg: float) -> tuple[Array, Array]:
    """How near each step of the track comes to a place, and the distance along the track where it does."""
    east, north = plane_m(track.latitude_deg, track.longitude_deg, latitude_deg, longitude_deg)
    step_east, step_north = np.diff(east), np.diff(north)
    squared = step_east**2 + step_north**2
    toward = -(east[:-1] * step_east + north[:-1] * step_north)
    share = np.clip(np.divide(toward, squared, out=np.zeros_like(toward), where=squared > 0), 0.0, 1.0)
    nearest = np.hypot(east[:-1] + share * step_east, north[:-1] + share * step_north)
    return nearest, along_m[:-1] + share * np.diff(along_m)


def _ends_taken(found: list[Found], length_m: float) -> tuple[list[Found], list[str]]:
    """The place nearest to an end of the track becomes that end, so that no leg of a few steps is left over.

    So does every place given a little past the end. The ends of the line never move.
    """
    notes: list[str] = []
    taken = list(found)
    for end_m, word in ((0.0, "start"), (length_m, "end")):
        near = sorted(
            (abs(passing - end_m), i, passing)
            for i, place in enumerate(taken)
            for passing in place.passings_m
            if place.wish.kind not in LINE_KINDS and abs(passing - end_m) <= END_REACH_M
        )
        for rank, (moved_m, i, passing) in enumerate(near):
            if rank > 0 and passing <= length_m:
                continue
            place = taken[i]
            passings = tuple(end_m if here == passing else here for here in place.passings_m)
            taken[i] = Found(place.wish, passings, place.offset_m)
            if moved_m >= SAID_IF_MOVED_M:
                notes.append(
                    f'"{place.wish.name}" lies {in_both_units(moved_m, show_height)} from the {word} of the track: '
                    f"taken as its {word}"
                )
    return [Found(place.wish, tuple(sorted(place.passings_m)), place.offset_m) for place in taken], notes


def _refuse_line_upside_down(track: Track, ordered: list[Found]) -> None:
    feet = [place for place in ordered if place.wish.kind == LINE_FOOT]
    heads = [place for place in ordered if place.wish.kind == LINE_HEAD]
    problems = [
        Problem(
            f'the head of the line, "{head.wish.name}", is reached before its foot, "{foot.wish.name}"',
            read=f"head at {head.passings_m[0] / 1000:.2f} km, foot at {foot.passings_m[0] / 1000:.2f} km",
            allowed="the foot first, on the way up",
            mend="exchange the two, or correct their places",
            file=None if head.wish.told_as else track.file,
            key=head.wish.told_as,
        )
        for foot, head in zip(feet, heads, strict=False)
        if head.passings_m[0] <= foot.passings_m[0]
    ]
    if problems:
        raise TrackError(problems)


def _order_notes(listed: Sequence[Found]) -> list[str]:
    return [
        f'"{after.wish.name}" is listed after "{before.wish.name}", but the track reaches it first'
        for before, after in pairwise(listed)
        if after.passings_m[0] < before.passings_m[0]
    ]
