"""Afterwards: a recorded day held against its plan, leg by leg.

The Review is what the command line, the page and ``--json`` render. Clock times are seconds after local midnight of the
recorded date, in the plan's time zone.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from handline import __version__
from handline.day.cautions import CAUTIONS
from handline.day.pace_update import PaceUpdate, update_pace
from handline.day.plan import RANGE, Provenance, Way
from handline.day.quantile_reached import share_below
from handline.day.recorded_day import RecordedDay, recorded_day
from handline.day.review_words import headline, notes
from handline.day.setting import set_up
from handline.day.simulation import Days, Floats, draw_days, walk
from handline.day.subjects import Setting
from handline.day.time_parts import (
    PARTS,
    WALKING,
    middle_parts_s,
    planned_by_light_s,
    planned_elapsed_s,
    planned_parts_s,
    recorded_elapsed_s,
    recorded_parts_s,
)
from handline.quantity import Units
from handline.trip.model import Trip

REVIEW_CAUTIONS = (
    "One day is one day. Another with the same people takes longer or shorter: plan with the range, not this time.",
    "That it went well this time does not say that it will again.",
)
COURSE_POINTS = 400


@dataclass(frozen=True)
class Span:
    """Planned 10th, 50th and 90th percentile beside what was recorded; clock times or durations [s].

    ``share_below`` is the share of simulated days that were earlier or shorter. What was not recorded is None.
    """

    planned_s: tuple[float, float, float]
    recorded_s: float | None
    share_below: float | None


@dataclass(frozen=True)
class PassingReview:
    """One passing of one place. ``missing`` says why there is no recorded time, else it is empty."""

    name: str
    kind: str
    way: Way
    distance_m: float
    clock: Span
    planned_stop_s: float
    stood_s: float | None
    missing: str


@dataclass(frozen=True)
class LegReview:
    """One leg, from arriving at its start to arriving at its end.

    ``moving_s`` and ``stood_s`` share the recorded time between them; on the line, standing is what came before it.
    """

    start: str
    end: str
    way: Way
    is_line: bool
    time: Span
    moving_s: float | None
    stood_s: float | None
    unsure: str


@dataclass(frozen=True)
class StopReview:
    """One time of standing still: where, when and how long."""

    where: str
    clock_s: float
    length_s: float


@dataclass(frozen=True)
class TimeWent:
    """What one part of the day took, over the legs that were recorded, and in the planned middle."""

    part: str
    planned_s: float
    recorded_s: float

    @property
    def more_s(self) -> float:
        return self.recorded_s - self.planned_s


@dataclass(frozen=True)
class Review:
    """Everything there is to say about one recorded day and its plan."""

    name: str
    date: str
    recorded_date: str
    recording_file: str
    recording_sha256: str
    units: Units
    timezone: str
    party_size: int
    headline: str
    whole: bool
    total: Span
    passings: tuple[PassingReview, ...]
    legs: tuple[LegReview, ...]
    stops: tuple[StopReview, ...]
    went: tuple[TimeWent, ...]
    pace: PaceUpdate | None
    pace_says: str
    course_clock_s: tuple[float, ...]
    course_distance_m: tuple[float, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    provenance: Provenance


def review(trip: Trip, recording: Path) -> Review:
    """Hold a recorded day against the plan of a trip.

    Parameters
    ----------
    trip : Trip
        As read from its file.
    recording : Path
        A track with times.

    Returns
    -------
    Review

    Raises
    ------
    TripError
        The trip cannot be planned, or its places have no position.
    TrackError
        The recording cannot be used, never comes near the way, or passes fewer than two neighbouring places of it.
    """
    setting = set_up(trip)
    days = walk(
        setting.itinerary,
        draw_days(setting.itinerary, trip.about.days, trip.about.seed),
        np.array([trip.depart_clock_s]),
    )
    day = recorded_day(setting, days, recording)
    planned, recorded = planned_parts_s(setting, days), recorded_parts_s(setting, day.passed, day.stands)
    elapsed = recorded_elapsed_s(day.passed)
    covered = [int(j) for j in np.flatnonzero(np.isfinite(elapsed))]
    planned_total_s = planned_elapsed_s(days)[covered].sum(axis=0)
    total = _span(planned_total_s, float(elapsed[covered].sum()))
    middle = middle_parts_s(planned, planned_total_s, covered)
    pace, pace_says = _pace(setting, days, day, recorded[WALKING])
    whole = len(covered) == len(setting.route.legs)
    return Review(
        name=trip.about.name,
        date=trip.about.date.isoformat(),
        recorded_date=day.date.isoformat(),
        recording_file=recording.name,
        recording_sha256=day.sha256,
        units=trip.about.units,
        timezone=setting.timezone + (", guessed from the longitude" if "timezone" in setting.guessed else ""),
        party_size=trip.party.size,
        headline=headline(total.planned_s[1], total.recorded_s or 0.0, total.share_below or 0.0, whole),
        whole=whole,
        total=total,
        passings=_passings(setting, days, day),
        legs=_legs(setting, days, day),
        stops=_stops(setting, day),
        went=tuple(TimeWent(part, middle[part], float(recorded[part][covered].sum())) for part in PARTS),
        pace=pace,
        pace_says=pace_says,
        notes=notes(setting, days, day, trip.about.units),
        cautions=(*CAUTIONS[:2], *REVIEW_CAUTIONS, CAUTIONS[-1]),
        provenance=Provenance(
            version=__version__,
            seed=trip.about.seed,
            days=trip.about.days,
            trip_file=trip.path.name,
            inputs_sha256=setting.inputs_sha256,
        ),
        **_course(day),
    )


def _span(planned_s: Floats, recorded_s: float | None) -> Span:
    low, middle, high = (float(value) for value in np.quantile(planned_s, RANGE))
    share = None if recorded_s is None else share_below(planned_s, recorded_s)
    return Span((low, middle, high), recorded_s, share)


def _passings(setting: Setting, days: Days, day: RecordedDay) -> tuple[PassingReview, ...]:
    rows = []
    last = len(setting.route.points) - 1
    for i, (point, passed) in enumerate(zip(setting.route.points, day.passed, strict=True)):
        at_s = passed.leave_s if i == 0 else passed.arrive_s
        rows.append(
            PassingReview(
                name=point.name,
                kind=point.kind,
                way="up" if point.way == "up" else "down",
                distance_m=point.distance_m,
                clock=_span(days.arrive_clock_s[i], at_s - day.midnight_s if passed.found else None),
                planned_stop_s=float(setting.itinerary.stop_s[i]) if 0 < i < last else 0.0,
                stood_s=passed.stood_s if passed.found and 0 < i < last else None,
                missing=passed.missing,
            )
        )
    return tuple(rows)


def _legs(setting: Setting, days: Days, day: RecordedDay) -> tuple[LegReview, ...]:
    points, planned_s, recorded_s = setting.route.points, planned_elapsed_s(days), recorded_elapsed_s(day.passed)
    parts = recorded_parts_s(setting, day.passed, day.stands)
    rows = []
    for j, leg in enumerate(setting.route.legs):
        known = bool(np.isfinite(recorded_s[j]))
        moving_s = float(sum(parts[part][j] for part in PARTS[::3]))
        rows.append(
            LegReview(
                start=points[leg.start].name,
                end=points[leg.end].name,
                way="up" if points[leg.end].way == "up" else "down",
                is_line=leg.is_line,
                time=_span(planned_s[j], float(recorded_s[j]) if known else None),
                moving_s=moving_s if known else None,
                stood_s=float(recorded_s[j]) - moving_s if known else None,
                unsure=day.unsure(j),
            )
        )
    return tuple(rows)


def _stops(setting: Setting, day: RecordedDay) -> tuple[StopReview, ...]:
    """Every stand of the reviewed part, except on the line itself: there standing and climbing look alike."""
    return tuple(
        StopReview(where, stand.start_s - day.midnight_s, stand.end_s - stand.start_s)
        for where, stand in day.stops(setting)
    )


def _pace(setting: Setting, days: Days, day: RecordedDay, recorded_s: Floats) -> tuple[PaceUpdate | None, str]:
    """The updated pace over the walked legs that were wholly seen, and on what it stands or why there is none."""
    legs = [
        j
        for j, leg in enumerate(setting.route.legs)
        if not leg.is_line and np.isfinite(recorded_s[j]) and recorded_s[j] > 0.0 and not day.unsure(j)
    ]
    if not legs:
        return None, "No walked leg was recorded whole, so there is nothing to learn the pace from."
    planned_by_s = np.sum([planned_by_light_s(setting, days, j) for j in legs], axis=0)
    recorded_by_s = sum(day.by_light_s(setting, j, float(recorded_s[j])) for j in legs)
    update = update_pace(planned_by_s, recorded_by_s, setting.itinerary.leg_sigma)
    whole = len(legs) == sum(not leg.is_line for leg in setting.route.legs)
    return update, "the whole way" if whole else f"{len(legs)} of the legs, recorded whole"


def _course(day: RecordedDay) -> dict[str, tuple[float, ...]]:
    """The recorded day as a line of few points: when it was how far along."""
    size = day.course.time_s.size
    some = np.unique(np.linspace(0, size - 1, min(size, COURSE_POINTS)).round().astype(int))
    return {
        "course_clock_s": tuple(float(value) - day.midnight_s for value in day.course.time_s[some]),
        "course_distance_m": tuple(float(value) for value in day.course.distance_m[some]),
    }
