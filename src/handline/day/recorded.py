"""A recorded track as the walk of one party: read, refused where it cannot be that, mended, and laid on a clock."""

from __future__ import annotations

import datetime as dt
import hashlib
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np

from handline.day.one_walker import refuse_two_walkers
from handline.errors import Problem, TrackError
from handline.quantity import show_duration
from handline.route.cleaning import clean_positions
from handline.route.counted import counted
from handline.route.geodesy import plane_m
from handline.route.heights import clean_heights
from handline.route.reading import read_track
from handline.route.track import Track
from handline.route.usable import refuse_unusable_heights, refuse_unusable_positions
from handline.walking.recording import Recording, recording_of
from handline.walking.spells import FAST

# Selective availability was switched off that day; before it no recorder could tell a walking pace.
# From memory (sources: gps_dates).
EARLIEST = dt.datetime(2000, 5, 2, tzinfo=dt.UTC)
# Satellites count their weeks from 0 to 1,023 and begin again; a recorder that misses that is so many weeks early.
# From memory (sources: gps_dates).
ROLLOVER = dt.timedelta(weeks=1024)
# Days after this are beyond what the sky of a plan is known for.
LATEST = dt.datetime(2051, 1, 1, tzinfo=dt.UTC)
LONGEST = dt.timedelta(days=31)
FEWEST_TIMED = 0.5
A_DRIVE = "nothing but a drive: nobody walks so fast"


@dataclass(frozen=True, eq=False)
class Recorded:
    """A recorded track: ``track`` mended, its points in the order of time; ``notes`` say what was done to it."""

    file: str
    sha256: str
    track: Track
    recording: Recording

    @property
    def notes(self) -> tuple[str, ...]:
        return self.track.notes

    @property
    def start_s(self) -> float:
        return float(self.track.time_s[0])

    @property
    def end_s(self) -> float:
        return float(self.track.time_s[-1])


def read_recorded(path: Path, *, heights: bool = True) -> Recorded:
    """Read a recorded track.

    Parameters
    ----------
    path : Path
        A GPX or GeoJSON file.
    heights : bool
        Whether heights are needed; where not, a track without them counts as level.

    Returns
    -------
    Recorded

    Raises
    ------
    TrackError
        The file cannot be read, or is not the recording of one party: no times, times that run backwards, dates that
        cannot be, two people in one file, a single point, points that go nowhere, no heights.

    Notes
    -----
    Sources: gps_dates.
    """
    track = read_track(path)
    refuse_unusable_positions(track)
    timed = _only_timed(track)
    _refuse_dates(timed, path)
    ordered = _in_order(timed, path)
    refuse_two_walkers(ordered, path)
    mended = _with_heights(clean_positions(ordered), heights)
    middle = mended.size // 2
    east_m, north_m = plane_m(
        mended.latitude_deg,
        mended.longitude_deg,
        float(mended.latitude_deg[middle]),
        float(mended.longitude_deg[middle]),
    )
    if mended.size < 2 or mended.time_s[-1] <= mended.time_s[0]:
        raise TrackError(_one_time(mended).at(file=path))
    return Recorded(
        file=path.name,
        sha256=hashlib.sha256(path.read_bytes()).hexdigest(),
        track=mended,
        recording=recording_of(mended.time_s, east_m, north_m, mended.elevation_m, mended.piece_starts),
    )


def moment_words(time_s: float) -> str:
    """A moment as a reader knows it: "2024-08-03 06:12 UTC"."""
    return f"{_moment(time_s):%Y-%m-%d %H:%M} UTC"


def _moment(time_s: float) -> dt.datetime:
    """A moment, also one before 1970."""
    return dt.datetime(1970, 1, 1, tzinfo=dt.UTC) + dt.timedelta(seconds=time_s)


def drive_problem(recorded: Recorded) -> Problem | None:
    """What is wrong with a recording that is a drive for more than half of its time; None where it is not."""
    recording = recorded.recording
    ride_s = recording.spent_s(FAST)
    if ride_s <= recording.total_s / 2.0:
        return None
    walked_s = float(recording.pieces.time_s.sum())
    return Problem(
        A_DRIVE,
        read=f"{show_duration(walked_s)} of walking, {show_duration(ride_s)} faster than walking",
        allowed="a recording that is walked for half of its time at least",
        mend="choose the recording of the walk, or cut the drive off",
    )


def _only_timed(track: Track) -> Track:
    """The points with a time, where these are half of them at least."""
    timed = np.isfinite(track.time_s)
    count = int(np.count_nonzero(timed))
    if count < FEWEST_TIMED * track.size or count < 2:
        none = count == 0
        raise TrackError(
            Problem(
                "the track has no times, so it does not tell a pace"
                if none
                else "most points of the track have no time",
                read=f"{count} of {track.size} points with a time",
                allowed="a time for each point, at least for half of them",
                mend="choose the recording itself, not a drawn or a planned route; export it with its times",
            ).at(file=track.file)
        )
    if count == track.size:
        return track
    return track.take(np.flatnonzero(timed), f"{counted(track.size - count, 'point')} without a time left out")


def _refuse_dates(track: Track, path: Path) -> None:
    """Refuse dates that cannot be, and a clock that jumps."""
    time_s = track.time_s
    early, late = time_s < EARLIEST.timestamp(), time_s >= LATEST.timestamp()
    if early.any() or late.any():
        odd = early | late
        first = int(np.argmax(odd))
        raise TrackError(
            Problem(
                f"the date cannot be right: {counted(int(np.count_nonzero(odd)), 'point')} "
                f"{'before satellites told a place this well' if early[first] else 'too far ahead'}",
                read=moment_words(float(time_s[first])),
                allowed=f"from {EARLIEST:%Y-%m-%d} to {LATEST - dt.timedelta(days=1):%Y-%m-%d}",
                mend=_date_hint(float(time_s[first])),
                line=int(track.line[first]) or None,
            ).at(file=path)
        )
    span = dt.timedelta(seconds=float(time_s.max() - time_s.min()))
    if span > LONGEST:
        raise TrackError(
            Problem(
                "the times of the track lie too far apart: its clock jumped, or it is several walks",
                read=f"{span.days:,} days from first to last",
                allowed=f"up to {LONGEST.days} days",
                mend="give one file for each walk; delete points with a wrong date",
            ).at(file=path)
        )


def _date_hint(time_s: float) -> str:
    later = _moment(time_s) + ROLLOVER
    if EARLIEST <= later < LATEST:
        return (
            "a recorder that has lost count of the satellites' weeks is 1,024 weeks early: was the walk on "
            f"{later:%Y-%m-%d}? Correct the dates, or export the track again"
        )
    return "correct the dates, or delete the points that have a wrong one; set the recorder's clock"


def _in_order(track: Track, path: Path) -> Track:
    """The pieces in the order of time, which must rise within each and not overlap."""
    bounds = [*track.piece_starts, track.size]
    pieces = [np.arange(start, end) for start, end in pairwise(bounds) if end > start]
    for piece in pieces:
        back = np.flatnonzero(np.diff(track.time_s[piece]) < 0.0)
        if back.size:
            raise TrackError(_backwards(track, int(piece[back[0]]), int(back.size)).at(file=path))
    ordered = sorted(pieces, key=lambda piece: float(track.time_s[piece[0]]))
    for i, (before, after) in enumerate(pairwise(ordered)):
        over_s = float(min(track.time_s[before[-1]], track.time_s[after[-1]]) - track.time_s[after[0]])
        if over_s > 0.0:
            raise TrackError(_overlap(i, over_s).at(file=path, line=int(track.line[after[0]]) or None))
    if all(a is b for a, b in zip(ordered, pieces, strict=True)):
        return track
    sizes = np.cumsum([0, *(piece.size for piece in ordered[:-1])])
    kept = np.concatenate(ordered)
    return _rearranged(track, kept, tuple(int(size) for size in sizes))


def _rearranged(track: Track, order: np.ndarray, starts: tuple[int, ...]) -> Track:
    return Track(
        latitude_deg=track.latitude_deg[order],
        longitude_deg=track.longitude_deg[order],
        elevation_m=track.elevation_m[order],
        time_s=track.time_s[order],
        line=track.line[order],
        piece_starts=starts,
        notes=(*track.notes, f"the {len(starts)} pieces put in the order of their times"),
        file=track.file,
    )


def _with_heights(track: Track, needed: bool) -> Track:
    if needed or np.isfinite(track.elevation_m).any():
        try:
            refuse_unusable_heights(track)
            return clean_heights(track)
        except TrackError:
            if needed:
                raise
    level = np.zeros(track.size)
    return Track(
        track.latitude_deg, track.longitude_deg, level, track.time_s, track.line, track.piece_starts,
        (*track.notes, "no heights in the track: counted as level"), track.file,
    )  # fmt: skip


def _backwards(track: Track, point: int, count: int) -> Problem:
    return Problem(
        f"the times run backwards at {counted(count, 'place')}",
        read=f"{_moment(float(track.time_s[point + 1])):%Y-%m-%d %H:%M:%S} UTC after "
        f"{_moment(float(track.time_s[point])):%Y-%m-%d %H:%M:%S} UTC, at point {point + 2}",
        allowed="times that rise from point to point",
        mend="is it two walks or two people in one piece? Give one file for each; or turn the track round",
        line=int(track.line[point + 1]) or None,
    )


def _overlap(piece: int, over_s: float) -> Problem:
    return Problem(
        "two pieces of the track were recorded at the same time: two people, or the same walk twice",
        read=f"{over_s / 60:.0f} min of both, pieces {piece + 1} and {piece + 2} in the order of time",
        allowed="one person's recording in a file",
        mend="give one file for each person, or delete the piece that is there twice",
    )


def _one_time(track: Track) -> Problem:
    return Problem(
        "the track has one point in time only",
        read=counted(track.size, "point"),
        allowed="points at two different times or more",
        mend="export the track again",
    )
