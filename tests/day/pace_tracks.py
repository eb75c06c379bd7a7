"""Recorded tracks as files, made for the tests of a pace: simulated walkers, and walks that cannot be used."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tests.referees.simulated_walker import Person, Track, hills, recorded

Floats = NDArray[np.float64]

LATITUDE_DEG, LONGITUDE_DEG = 46.5, -113.5
METRES_PER_DEGREE = 111_195.0
START_S = dt.datetime(2024, 8, 3, 6, 0, tzinfo=dt.UTC).timestamp()
DAY_S = 86400.0

Point = tuple[float, float, float | None, float | None]
"""East, north, height [m] and time [s since 1970], the last two None where the point has none."""


def points_of(track: Track) -> list[Point]:
    columns = (track.east_m, track.north_m, track.height_m, track.time_s)
    return list(zip(*(column.tolist() for column in columns), strict=True))


def walk(seed: int = 1, *, day: int = 0, every_s: float = 10.0, length_m: float = 5000.0, **more: float) -> list[Point]:
    """The points of a simulated walk over hills."""
    rng = np.random.default_rng(seed)
    start_s = START_S + day * DAY_S
    return points_of(recorded(rng, Person(), hills(rng, length_m), start_s=start_s, every_s=every_s, **more))


def straight(
    count: int, *, speed_m_s: float = 1.2, every_s: float = 10.0, east_m: float = 0.0, start_s: float = START_S
) -> list[Point]:
    """Straight north at one speed on rising ground."""
    return [(east_m, speed_m_s * every_s * i, 1000.0 + 0.1 * i, start_s + every_s * i) for i in range(count)]


def gpx(path: Path, *pieces: Sequence[Point]) -> Path:
    """Write pieces as the segments of one GPX track."""
    lines = [
        '<?xml version="1.0"?>',
        '<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk>',
    ]
    for piece in pieces:
        lines += ["<trkseg>", *(_point(*point) for point in piece), "</trkseg>"]
    path.write_text("\n".join((*lines, "</trk></gpx>", "")), encoding="utf-8")
    return path


def _point(east_m: float, north_m: float, height_m: float | None, time_s: float | None) -> str:
    latitude = LATITUDE_DEG + north_m / METRES_PER_DEGREE
    longitude = LONGITUDE_DEG + east_m / METRES_PER_DEGREE / np.cos(np.radians(LATITUDE_DEG))
    height = "" if height_m is None else f"<ele>{height_m:.1f}</ele>"
    time = "" if time_s is None else f"<time>{_stamp(time_s)}</time>"
    return f'<trkpt lat="{latitude:.7f}" lon="{longitude:.7f}">{height}{time}</trkpt>'


def _stamp(time_s: float) -> str:
    moment = dt.datetime(1970, 1, 1, tzinfo=dt.UTC) + dt.timedelta(seconds=time_s)
    return moment.strftime("%Y-%m-%dT%H:%M:%S.") + f"{moment.microsecond // 1000:03d}Z"


Unusable = dict[str, tuple[Path, tuple[str, ...]]]
"""Files no pace can be learned from, each with what must be said of it."""


def unusable(folder: Path) -> Unusable:
    """Every kind, in the order of their names."""
    return (
        _times_amiss(folder)
        | _two_people(folder)
        | _hardly_walked(folder)
        | _clock_wrong(folder)
        | _parts_missing(folder)
    )


def _times_amiss(folder: Path) -> Unusable:
    good = straight(400)
    timeless = [(east, north, height, None) for east, north, height, _ in good]
    partly = [(e, n, h, t if i % 5 < 2 else None) for i, (e, n, h, t) in enumerate(good)]
    turned = [(e, n, h, good[-1 - i][3]) for i, (e, n, h, _) in enumerate(good)]
    again = [*good, *straight(50, start_s=START_S + 600.0)]
    return {
        "no times": (gpx(folder / "drawn.gpx", timeless), ("no times", "0 of 400 points", "recording itself")),
        "few times": (gpx(folder / "few.gpx", partly), ("most points", "160 of 400")),
        "backwards": (gpx(folder / "back.gpx", turned), ("times run backwards at 399 places", "back.gpx:5")),
        "two in one piece": (gpx(folder / "again.gpx", again), ("times run backwards at 1 place", "two people")),
    }


def _two_people(folder: Path) -> Unusable:
    good, other = straight(400), straight(400, east_m=60.0, start_s=START_S + 5.0)
    both = sorted([*good, *other], key=lambda point: point[3] or 0.0)
    now_and_then = sorted([*good, *other[::12]], key=lambda point: point[3] or 0.0)
    return {
        "overlap": (
            gpx(folder / "two.gpx", good, other),
            ("recorded at the same time", "66 min of both", "one file for each person"),
        ),
        "mixed": (
            gpx(folder / "mixed.gpx", both),
            ("two people are mixed", "798 jumps away and back, 61 m in the middle", "one file for each"),
        ),
        "mixed now and then": (gpx(folder / "then.gpx", now_and_then), ("two people are mixed", "34 jumps")),
    }


def _hardly_walked(folder: Path) -> Unusable:
    good, drive = straight(400), straight(300, speed_m_s=14.0)
    return {
        "a drive": (gpx(folder / "drive.gpx", drive), ("nothing but a drive", "0 min of walking", "50 min faster")),
        "a single point": (gpx(folder / "one.gpx", good[:1]), ("one point only", "two points or more")),
        "one time": (
            gpx(folder / "moment.gpx", [(e, n, h, START_S) for e, n, h, _ in good[:9]]),
            ("one point in time", "two different times"),
        ),
        "on a table": (
            gpx(folder / "table.gpx", [(0.0, i % 2, 1000.0, START_S + i) for i in range(900)]),
            ("the track goes nowhere",),
        ),
    }


def _clock_wrong(folder: Path) -> Unusable:
    good = straight(400)
    far_back = _at(dt.datetime(1901, 3, 4, 8, 0, tzinfo=dt.UTC))
    epoch = _at(dt.datetime(1980, 1, 6, tzinfo=dt.UTC))
    rolled = _at(dt.datetime(1999, 12, 20, 7, 0, tzinfo=dt.UTC))
    jumped = [*good[:100], *((e, n, h, (t or 0.0) + 1024 * 7 * DAY_S) for e, n, h, t in good[100:])]
    return {
        "1901": (
            gpx(folder / "old.gpx", straight(200, start_s=far_back)),
            ("the date cannot be right", "1901-03-04 08:00 UTC", "from 2000-05-02", "200 points", "old.gpx:4"),
        ),
        "1980": (gpx(folder / "epoch.gpx", straight(200, start_s=epoch)), ("1980-01-06", "correct the dates")),
        "weeks lost": (
            gpx(folder / "weeks.gpx", straight(200, start_s=rolled)),
            ("1999-12-20 07:00 UTC", "1,024 weeks early: was the walk on 2019-08-05?"),
        ),
        "weeks found again": (gpx(folder / "found.gpx", jumped), ("clock jumped", "7,168 days", "up to 31 days")),
        "too far ahead": (
            gpx(folder / "ahead.gpx", straight(200, start_s=_at(dt.datetime(2063, 4, 5, tzinfo=dt.UTC)))),
            ("too far ahead", "2063-04-05", "to 2050-12-31"),
        ),
    }


def _parts_missing(folder: Path) -> Unusable:
    good = straight(400)
    (folder / "empty.gpx").write_bytes(b"")
    return {
        "empty": (folder / "empty.gpx", ("the track file is empty", "export the track again")),
        "missing": (folder / "nowhere.gpx", ("there is no such track file",)),
        "no heights": (
            gpx(folder / "flat.gpx", [(e, n, None, t) for e, n, _, t in good]),
            ("the track has no heights",),
        ),
        "a quarter of an hour": (
            gpx(folder / "short.gpx", good[:95]),
            ("too little walking", "16 min of walking", "20 min"),
        ),
    }


def _at(moment: dt.datetime) -> float:
    return (moment - dt.datetime(1970, 1, 1, tzinfo=dt.UTC)).total_seconds()


UNUSABLE = (
    "no times", "few times", "backwards", "two in one piece", "overlap", "mixed", "mixed now and then", "a drive",
    "a single point", "one time", "on a table", "1901", "1980", "weeks lost", "weeks found again", "too far ahead",
    "empty", "missing", "no heights", "a quarter of an hour",
)  # fmt: skip
