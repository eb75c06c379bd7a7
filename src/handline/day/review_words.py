"""What a review says in sentences: the headline, and what a reader must know of the recording."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handline.day.recorded_day import RecordedDay
from handline.day.simulation import Days
from handline.day.subjects import Setting
from handline.quantity import Units, in_units, show_clock, show_distance, show_duration, show_height, show_share

# A start this much off the planned one is said. Common practice, no source.
START_SAID_S = 5 * 60.0
LOW, HIGH = 0.10, 0.90


def headline(middle_s: float, recorded_s: float, share: float, whole: bool) -> str:
    """One sentence: as planned, slower or quicker, by how much, and how many simulated days were quicker."""
    kind = "Quicker than planned" if share < LOW else "Slower than planned" if share > HIGH else "Within the plan"
    part = "" if whole else " over the legs that were recorded"
    return f"{kind}{part}: {show_duration(recorded_s)}, {apart(recorded_s - middle_s)}; {ranked(share)}."


def apart(more_s: float) -> str:
    """A difference to the planned middle in words."""
    if round(abs(more_s) / 60) == 0:
        return "as the planned middle"
    return f"{show_duration(abs(more_s))} {'more' if more_s > 0 else 'less'} than the planned middle"


def ranked(share: float) -> str:
    """How many simulated days were quicker, in words."""
    if share <= 0.0:
        return "no simulated day was quicker"
    if share >= 1.0:
        return "every simulated day was quicker"
    return f"{show_share(share)} of simulated days were quicker"


def notes(setting: Setting, days: Days, day: RecordedDay, units: Units) -> tuple[str, ...]:
    """Everything to know of the recording, in the order of the day."""
    return (
        *_date(setting, day),
        *_start(setting, days, day),
        *_missing(setting, day, units),
        *_unsure(setting, day),
        *_line(setting, day, units),
        *(in_units(note, units) for note in day.notes),
    )


def _date(setting: Setting, day: RecordedDay) -> Iterator[str]:
    planned = setting.trip.about.date
    if day.date != planned:
        yield (
            f"Recorded on {day.date.isoformat()}; the plan is for {planned.isoformat()}. Clock times of the day are "
            "compared all the same, but light, weather and crowd were another day's."
        )


def _start(setting: Setting, days: Days, day: RecordedDay) -> Iterator[str]:
    if not day.passed[0].found:
        return
    started_s, planned_s = day.passed[0].leave_s - day.midnight_s, float(np.median(days.arrive_clock_s[0]))
    if abs(started_s - planned_s) >= START_SAID_S:
        late = "later" if started_s > planned_s else "earlier"
        yield (
            f"Started at {show_clock(started_s)}, {show_duration(abs(started_s - planned_s))} {late} than planned: "
            "clock times carry that all day, times of the legs do not (but for the dark)."
        )


def _missing(setting: Setting, day: RecordedDay, units: Units) -> Iterator[str]:
    points = setting.route.points
    by_reason: dict[str, list[str]] = {}
    for point, passed in zip(points, day.passed, strict=True):
        if passed.missing:
            by_reason.setdefault(passed.missing, []).append(f"{point.name} ({point.way})")
    along_m = day.course.distance_m
    words = {
        "before it began": f"The recording begins {show_distance(float(along_m[0]), units)} into the way",
        "after it ended": f"The recording ends {show_distance(float(along_m[-1]), units)} into the way",
        "turned back before": _turned(setting, day, units),
        "not recorded there": "No signal there, or another way was taken",
    }
    for reason, said in words.items():
        if reason in by_reason:
            yield f"{said}: {', '.join(by_reason[reason])} not reviewed."


def _turned(setting: Setting, day: RecordedDay, units: Units) -> str:
    turns = [int(i) for i in day.course.leaps if day.course.turned_round(int(i))]
    if not turns:
        return ""
    at_m, time_s = float(day.course.distance_m[turns[0] - 1]), float(day.course.time_s[turns[0] - 1])
    behind = max(
        (point for point in setting.route.points if point.distance_m <= at_m + 1.0),
        key=lambda point: point.distance_m,
        default=setting.route.points[0],
    )
    past = show_distance(max(0.0, at_m - behind.distance_m), units)
    return f"The party turned back at {show_clock(time_s - day.midnight_s)}, {past} after {behind.name}"


def _unsure(setting: Setting, day: RecordedDay) -> Iterator[str]:
    points = setting.route.points
    for j, leg in enumerate(setting.route.legs):
        why = day.unsure(j)
        if why:
            yield (
                f"{points[leg.start].name} to {points[leg.end].name}: {why}. Its time counts, but nothing is learned "
                "of the pace from it."
            )


def _line(setting: Setting, day: RecordedDay, units: Units) -> Iterator[str]:
    lines = [j for j, leg in enumerate(setting.route.legs) if leg.is_line and day.covers(j)]
    if lines:
        length_m = setting.route.legs[lines[0]].length_m
        yield (
            f"Foot and head of the line lie {show_height(length_m, units)} apart on the map: a recording tells waiting "
            "from climbing there to a few minutes only. The plan's time on the line is the whole party's, the "
            "recording's only of whoever carried the recorder."
        )
