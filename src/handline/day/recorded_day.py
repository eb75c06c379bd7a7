"""A recording laid on a plan: on which date, when at which place, where it stood still, and what it does not show."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import numpy as np

from handline.day.passings_found import Passed, Stand, clipped, passings_found, stood_between
from handline.day.recorded import drive_problem, read_recorded
from handline.day.simulation import Days, Floats, dark_between_s
from handline.day.subjects import Setting
from handline.day.time_parts import slowed_share
from handline.day.way_matched import NEAR_M, Course, match_way, whole_way
from handline.errors import Problem, TrackError, TripError
from handline.quantity import show_distance
from handline.sky.nights import dark_spans
from handline.sky.zones import midnight_utc_s, time_zone
from handline.walking.spells import FAST, LOST, PAUSE

# With more of a leg unseen than this, its time says nothing of the pace. Common practice, no source.
MOST_UNSEEN = 0.2
# Standing still for less than this is not listed. Common practice, no source.
SHORTEST_STOP_S = 120.0


@dataclass(frozen=True, eq=False)
class RecordedDay:
    """A recorded day on the plan's way. All times but ``dark_spans_clock_s`` are [s since 1970, UTC].

    ``midnight_s`` is where the clock of ``date`` is zero. ``unseen`` are the times without a signal, ``hasty`` those in
    which nobody walks so fast. ``notes`` say what was done to the recording; ``sha256`` is that of its file.
    """

    date: dt.date
    midnight_s: float
    course: Course
    passed: tuple[Passed, ...]
    stands: tuple[Stand, ...]
    unseen: tuple[Stand, ...]
    hasty: tuple[Stand, ...]
    dark_spans_clock_s: Floats
    notes: tuple[str, ...]
    sha256: str

    def covers(self, leg: int) -> bool:
        """Whether both ends of a leg were found."""
        return self.passed[leg].found and self.passed[leg + 1].found

    def unsure(self, leg: int) -> str:
        """Why the time of a recorded leg says nothing of the pace, or nothing."""
        if not self.covers(leg):
            return ""
        start_s, end_s = self.passed[leg].leave_s, self.passed[leg + 1].arrive_s
        if stood_between(self.hasty, start_s, end_s) > 0.0:
            return "faster than walking for a while"
        if stood_between(self.unseen, start_s, end_s) > MOST_UNSEEN * (end_s - start_s):
            return "long without a signal"
        return ""

    def by_light_s(self, setting: Setting, leg: int, walking_s: float) -> float:
        """What the walking of a leg would have taken by light [s], with the plan's factor for the dark."""
        start, end = (
            np.array(at_s - self.midnight_s) for at_s in (self.passed[leg].leave_s, self.passed[leg + 1].arrive_s)
        )
        dark_share = float(dark_between_s(start, end, self.dark_spans_clock_s)) / float(end - start)
        return walking_s * (1.0 - dark_share * slowed_share(setting))

    def stops(self, setting: Setting) -> Iterator[tuple[str, Stand]]:
        """Every longer stand between the first and the last place found, with where it was; none on the line itself."""
        points, units = setting.route.points, setting.trip.about.units
        found = [i for i, passed in enumerate(self.passed) if passed.found]
        for i, following in pairwise(found):
            here = self.passed[i]
            if i > found[0] and here.stood_s >= SHORTEST_STOP_S:
                yield f"{points[i].name} ({points[i].way})", Stand(here.arrive_s, here.leave_s)
            if following == i + 1 and setting.route.legs[i].is_line:
                continue
            for stand in clipped(self.stands, here.leave_s, self.passed[following].arrive_s):
                if stand.end_s - stand.start_s >= SHORTEST_STOP_S:
                    along_m = float(np.interp(stand.start_s, self.course.time_s, self.course.distance_m))
                    past = show_distance(max(0.0, along_m - points[i].distance_m), units)
                    yield f"{past} after {points[i].name} ({points[i + 1].way})", stand


def recorded_day(setting: Setting, days: Days, path: Path) -> RecordedDay:
    """Read a recording and lay it on the plan.

    Raises
    ------
    TripError
        The places of the trip have no position to find them by.
    TrackError
        The recording cannot be used, is a drive, never comes near the way, or passes no two neighbouring places of it.
    """
    if not np.isfinite(setting.route.profile.latitude_deg).all():
        raise TripError(setting.trip.located(_no_positions()))
    read = read_recorded(path, heights=False)
    if (drive := drive_problem(read)) is not None:
        raise TrackError(drive.at(file=path))
    stands, unseen, hasty = (
        tuple(Stand(spell.start_s, spell.end_s) for spell in read.recording.spells if spell.kind == kind)
        for kind in (PAUSE, LOST, FAST)
    )
    way = whole_way(setting.route, setting.trip.route.out_and_back)
    course = match_way(way, read.track.time_s, read.track.latitude_deg, read.track.longitude_deg)
    if course.time_s.size < 2:
        raise TrackError(_far_off(course.nearest_m, setting).at(file=path))
    passed = passings_found(course, setting.route.points, stands, [leg.is_line for leg in setting.route.legs])
    found = [i for i, one in enumerate(passed) if one.found]
    if not any(passed[i].found and passed[i + 1].found for i in range(len(passed) - 1)):
        raise TrackError(_too_few([setting.route.points[i].name for i in found]).at(file=path))
    planned_s = float(np.median(days.arrive_clock_s[found[0]]))
    date = _date(passed[found[0]].leave_s, planned_s, setting.timezone)
    return RecordedDay(
        date=date,
        midnight_s=midnight_utc_s(date, setting.timezone),
        course=course,
        passed=passed,
        sha256=read.sha256,
        stands=stands,
        unseen=unseen,
        hasty=hasty,
        dark_spans_clock_s=dark_spans(setting.route.latitude_deg, setting.route.longitude_deg, date, setting.timezone),
        notes=read.notes,
    )


def _date(time_s: float, planned_clock_s: float, timezone: str) -> dt.date:
    """The date on whose clock a time stands nearest to the planned one: a start just before midnight is the day's."""
    local = dt.datetime.fromtimestamp(time_s, time_zone(timezone)).date()
    near = [local + dt.timedelta(days=days) for days in (-1, 0, 1)]
    return min(near, key=lambda date: abs(time_s - midnight_utc_s(date, timezone) - planned_clock_s))


def _no_positions() -> Problem:
    return Problem(
        "the places of this trip have no position, so a recording cannot be held against them",
        read="typed legs",
        allowed="a track of the way, with its places by latitude and longitude or by how far along they lie",
        mend='write track = "track.gpx" in [route] instead of [[route.legs]]',
        key="route.legs",
    )


def _far_off(nearest_m: float, setting: Setting) -> Problem:
    return Problem(
        "the recording never comes near the way of the plan",
        read=f"{show_distance(nearest_m, setting.trip.about.units)} off at the nearest",
        allowed=f"within {NEAR_M:.0f} m",
        mend="is it the recording of another day, or the wrong trip file?",
    )


def _too_few(names: Sequence[str]) -> Problem:
    return Problem(
        "the recording passes no two neighbouring places of the plan in their order",
        read=f"places passed: {', '.join(names) or 'none'}",
        allowed="two neighbouring places at least",
        mend="was it walked the other way round, or does it hold only a part between two places?",
    )
