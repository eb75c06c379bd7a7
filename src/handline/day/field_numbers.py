"""From the setting of a plan and its days: the numbers with which the brief draws the same days again by itself.

The page draws with the same generator of random bits, so that it has the very days of the plan and says on the way
what ``handline replan`` says. Where a plan has more days than a phone draws in a moment, it draws fewer of the same
kind.

Sources: oneill_2014 for the generator of bits, marsaglia_tsang_2000 for normals from bits.
"""

from __future__ import annotations

from dataclasses import replace
from statistics import NormalDist

import numpy as np

from handline.day.latest import LATEST_DAYS
from handline.day.limits import DayLimits
from handline.day.line_today import line_says
from handline.day.line_wait import LineWait, Wait, WaitByClock
from handline.day.pace_posterior import BAND_SHARE, QUICK_SHARE, READING_SIGMA_S
from handline.day.plan_field import (
    FieldLine,
    FieldRock,
    FieldStorm,
    FieldWait,
    FieldWaitByClock,
    PlanField,
    StormShape,
    Stream,
    Streams,
)
from handline.day.replan_words import IN_TIME_SHARE, LOST_FROM_SHARE
from handline.day.simulation import Days, Floats, RockClock, day_streams
from handline.day.subjects import Setting
from handline.day.turning import LOOK_S, LOOK_STEPS_S
from handline.line.friction import ROCKS
from handline.line.passage import PASSAGE_SIGMA
from handline.weather.storms import (
    GONE_AFTER_H,
    LEVEL_UNTIL_H,
    MOST_STORM_CHANCE,
    MOUNTAIN_LEAD_S,
    PUBLISHED_FLASHES,
    PUBLISHED_HOURS,
    RISE_H,
    STORM_DAYS,
    STORM_STEP_S,
    StormHazard,
)

HOUR_S = 3600.0
# So many days are drawn in a moment on a slow phone.
MOST_FIELD_DAYS = 20_000
# The hours of rock that are told: so long before the morning's start, and so many in all.
ROCK_BEFORE_H, ROCK_HOURS = 4, 36
# No corner is left out that moves the cumulative hazard by more: the chance of no storm between two clock times is then
# right to 0.02 %.
HAZARD_WITHIN = 0.0001
# Before every clock time: a limit that no day keeps has its number too. JSON knows nothing infinite.
NEVER_CLOCK_S = -1e9


def field_numbers(setting: Setting, planned: Days) -> PlanField:
    """The numbers of a setting; ``planned`` are the days of its plan."""
    about, itinerary = setting.trip.about, setting.itinerary
    groups = itinerary.alike()
    firsts = [group[0] for group in groups]
    return PlanField(
        days=min(about.days, MOST_FIELD_DAYS),
        latest_days=LATEST_DAYS,
        streams=Streams(*(_stream(rng) for rng in day_streams(about.seed))),
        depart_clock_s=setting.trip.depart_clock_s,
        out_and_back=setting.trip.route.out_and_back,
        walkers=int(itinerary.walker_sigma.size),
        groups=groups,
        model_weight=_floats(itinerary.model_weight),
        walking_s=tuple(tuple(_rounded(walker, 3) for walker in model) for model in itinerary.walking_s[:, firsts, :]),
        walker_sigma=_floats(itinerary.walker_sigma[firsts]),
        leg_sigma=itinerary.leg_sigma,
        leg_memory=itinerary.leg_memory,
        size=itinerary.size,
        passage_sigma=PASSAGE_SIGMA,
        tiring_after_s=itinerary.tiring_after_s,
        tiring_per_hour=itinerary.tiring_per_hour,
        rest_s_per_hour=itinerary.rest_s_per_hour,
        dark_spans_clock_s=tuple((float(start), float(end)) for start, end in itinerary.dark_spans_clock_s),
        dark_factor=itinerary.dark_factor,
        stop_s=_floats(itinerary.stop_s),
        leaves_clock_s=_rounded(np.array([np.median(leave) for leave in planned.leave_clock_s]), 1),
        night=itinerary.night,
        line=tuple(
            FieldLine(leg, _rounded(np.array(line_leg.passage_by_rock_s), 3), _wait(line_leg.wait))
            for leg, line_leg in enumerate(itinerary.line_legs)
            if line_leg is not None
        ),
        off_line=itinerary.off_line,
        line_says=line_says(setting),
        line_rock=setting.rock.name,
        rock=_rock(itinerary.rock, setting.trip.morning_clock_s),
        storm=_storm(setting.storm, setting.storm_says),
        storm_shape=_storm_shape(),
        limits=_limits(setting.limits),
        turn_rules=setting.turn_rules,
        reading_sigma_s=READING_SIGMA_S,
        quick_share=QUICK_SHARE,
        band_share=BAND_SHARE,
        band_reach=NormalDist().inv_cdf(0.5 + BAND_SHARE / 2.0),
        lost_from_share=LOST_FROM_SHARE,
        in_time_share=IN_TIME_SHARE,
        look_s=LOOK_S,
        look_steps_s=LOOK_STEPS_S,
    )


def _stream(rng: np.random.Generator) -> Stream:
    began = rng.bit_generator.state["state"]
    return Stream(f"{began['state']:032x}", f"{began['inc']:032x}")


def _wait(wait: LineWait) -> FieldWait | FieldWaitByClock:
    if isinstance(wait, Wait):
        return FieldWait(wait.median_s, wait.sigma)
    if not isinstance(wait, WaitByClock):
        raise TypeError(f"no numbers are known for a {type(wait).__name__}")
    edges_s = wait.edges_clock_s
    rows = zip(wait.wait_s, wait.held_s, strict=True)
    told = [(_rounded(waits, 1), _rounded(held, 1)) if waits.any() or held.any() else ((), ()) for waits, held in rows]
    return FieldWaitByClock(
        first_clock_s=float(edges_s[0]),
        step_s=float((edges_s[-1] - edges_s[0]) / (edges_s.size - 1)),
        rank_edges=_floats(wait.rank_edges),
        wait_s=tuple(waits for waits, _ in told),
        held_s=tuple(held for _, held in told),
    )


def _rock(rock: RockClock, morning_clock_s: float) -> FieldRock:
    """The hours around the day on the line; one text where all courses are alike in them."""
    hour_s = np.floor(morning_clock_s / HOUR_S) * HOUR_S + HOUR_S * np.arange(
        -ROCK_BEFORE_H, ROCK_HOURS - ROCK_BEFORE_H
    )
    first = int(np.floor((hour_s[0] - rock.start_clock_s) / HOUR_S))
    # The hours of the clock are those of the rock, or the rock has one only.
    begins_s = rock.start_clock_s + HOUR_S * first
    at = np.clip(first + np.arange(ROCK_HOURS), 0, rock.state.shape[1] - 1)
    hours = ["".join(str(state) for state in course) for course in rock.state[:, at]]
    alike = len(set(hours)) == 1
    if alike and len(set(hours[0])) == 1:
        hours = [hours[0][:1]]
    return FieldRock(tuple(ROCKS), rock.members, begins_s, tuple(hours[:1] if alike else hours))


def _storm(storm: StormHazard, says: str) -> FieldStorm:
    kept = thinned(storm.clock_s, storm.hazard, HAZARD_WITHIN)
    return FieldStorm(_floats(storm.clock_s[kept]), _rounded(storm.hazard[kept], 7), says)


def thinned(x: Floats, y: Floats, within: float) -> list[int]:
    """Which corners of a broken line keep it right within so much everywhere, first and last among them.

    From each corner on the line goes straight as far as it can.
    """
    kept, here = [0], 0
    while here < x.size - 1:
        low, high, reached = -np.inf, np.inf, here + 1
        for there in range(here + 1, x.size):
            run, rise = x[there] - x[here], y[there] - y[here]
            if low <= rise / run <= high:
                reached = there
            low, high = max(low, (rise - within) / run), min(high, (rise + within) / run)
            if low > high:
                break
        kept.append(reached)
        here = reached
    return kept


def _storm_shape() -> StormShape:
    return StormShape(
        clock_s=tuple((hour + 0.5) * HOUR_S - MOUNTAIN_LEAD_S for hour in PUBLISHED_HOURS),
        rate=PUBLISHED_FLASHES,
        rises_clock_s=RISE_H * HOUR_S - MOUNTAIN_LEAD_S,
        level_until_clock_s=LEVEL_UNTIL_H * HOUR_S,
        gone_after_s=GONE_AFTER_H * HOUR_S,
        step_s=STORM_STEP_S,
        days=STORM_DAYS,
        most_chance=MOST_STORM_CHANCE,
    )


def _limits(limits: DayLimits) -> DayLimits:
    """The limits with every clock finite."""
    return replace(
        limits,
        off_line_by_clock_s=_finite(limits.off_line_by_clock_s),
        dark_clock_s=_finite(limits.dark_clock_s),
        home_by_clock_s=_finite(limits.home_by_clock_s),
        camp_clock_s=_finite(limits.camp_clock_s),
    )


def _finite(clock_s: float | None) -> float | None:
    return None if clock_s is None else max(clock_s, NEVER_CLOCK_S)


def _floats(values: Floats) -> tuple[float, ...]:
    return tuple(float(value) for value in values)


def _rounded(values: Floats, decimals: int) -> tuple[float, ...]:
    return _floats(np.round(values, decimals))
