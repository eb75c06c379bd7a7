"""What the time of a day went into, leg by leg: as simulated and as recorded, in the same four parts.

Walking, with rests left out; stops and rests; standing before the line, which holds the stop there and the wait in one,
for no recording tells them apart; and the line itself, from leaving one end to reaching the other.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from handline.day.passings_found import Passed, Stand, stood_between
from handline.day.simulation import Days, Floats, dark_between_s
from handline.day.subjects import Setting

WALKING, STOPS, BEFORE_LINE, ON_LINE = "walking", "stops and rests", "standing before the line", "on the line"
PARTS = (WALKING, STOPS, BEFORE_LINE, ON_LINE)

# Planned days within this share on either side of the middle one stand for the planned middle: their parts add up.
MIDDLE_SHARE = 0.05


def planned_elapsed_s(days: Days) -> Floats:
    """From arriving at one place to arriving at the next, shape (legs, days) [s]."""
    return np.diff(np.stack(days.arrive_clock_s), axis=0)


def planned_parts_s(setting: Setting, days: Days) -> Mapping[str, Floats]:
    """The parts of every simulated day, each of shape (legs, days) [s]; on every leg they add up to its time."""
    arrive, leave = np.stack(days.arrive_clock_s), np.stack(days.leave_clock_s)
    on_line = np.array([leg.is_line for leg in setting.route.legs])[:, None]
    moving, standing = arrive[1:] - leave, leave - arrive[:-1]
    resting = rest_share(setting)
    return {
        WALKING: np.where(on_line, 0.0, moving * (1.0 - resting)),
        STOPS: np.where(on_line, 0.0, standing + moving * resting),
        BEFORE_LINE: np.where(on_line, standing, 0.0),
        ON_LINE: np.where(on_line, moving, 0.0),
    }


def rest_share(setting: Setting) -> float:
    """How much of the simulated walking of a leg is short rests."""
    rest_s_per_hour = setting.itinerary.rest_s_per_hour
    return rest_s_per_hour / (3600.0 + rest_s_per_hour)


def planned_by_light_s(setting: Setting, days: Days, leg: int) -> Floats:
    """Walking on a leg without rests and as if by light, shape (days,) [s]: what a pace is learned from."""
    leave, arrive = days.leave_clock_s[leg], days.arrive_clock_s[leg + 1]
    dark_s = dark_between_s(leave, arrive, setting.itinerary.dark_spans_clock_s)
    return (arrive - leave - dark_s * slowed_share(setting)) * (1.0 - rest_share(setting))


def slowed_share(setting: Setting) -> float:
    """How much of the time walked in the dark is owed to the dark."""
    return 1.0 - 1.0 / setting.itinerary.dark_factor


def recorded_elapsed_s(passed: Sequence[Passed]) -> Floats:
    """The time of every leg as recorded, shape (legs,) [s], NaN without both ends. The day begins on leaving."""
    starts = np.array([passed[0].leave_s, *(here.arrive_s for here in passed[1:-1])])
    return np.array([there.arrive_s for there in passed[1:]]) - starts


def recorded_parts_s(setting: Setting, passed: Sequence[Passed], stands: Sequence[Stand]) -> Mapping[str, Floats]:
    """The parts of the recorded day, each of shape (legs,) [s], NaN on legs with an end that was not found."""
    parts = {part: np.full(len(setting.route.legs), np.nan) for part in PARTS}
    for j, leg in enumerate(setting.route.legs):
        here, there = passed[j], passed[j + 1]
        if not (here.found and there.found):
            continue
        standing_s = here.stood_s if j > 0 else 0.0
        way_s = there.arrive_s - here.leave_s
        paused_s = 0.0 if leg.is_line else stood_between(stands, here.leave_s, there.arrive_s)
        parts[WALKING][j] = 0.0 if leg.is_line else way_s - paused_s
        parts[STOPS][j] = 0.0 if leg.is_line else standing_s + paused_s
        parts[BEFORE_LINE][j] = standing_s if leg.is_line else 0.0
        parts[ON_LINE][j] = way_s if leg.is_line else 0.0
    return parts


def middle_parts_s(planned_s: Mapping[str, Floats], total_s: Floats, legs: Sequence[int]) -> Mapping[str, float]:
    """The parts of the planned middle over some legs: the mean over the tenth of the days round the median total [s].

    Medians of parts do not add up to the median of their sum; the means of one set of days do.
    """
    order = np.argsort(total_s, kind="stable")
    low, high = (round(share * order.size) for share in (0.5 - MIDDLE_SHARE, 0.5 + MIDDLE_SHARE))
    middle = order[low : max(high, low + 1)]
    these = np.array(legs, dtype=np.int64)
    return {part: float(values[these][:, middle].sum(axis=0).mean()) for part, values in planned_s.items()}
