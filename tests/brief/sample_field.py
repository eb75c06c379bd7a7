"""Invented numbers for "We are at ..." in the tests of the brief: the places of the sample plan, computed by nobody."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from handline.day.limits import DayLimits
from handline.day.plan import Passing
from handline.day.plan_field import (
    FieldLine,
    FieldRock,
    FieldStorm,
    FieldWait,
    LineSays,
    PlanField,
    StormShape,
    Stream,
    Streams,
)
from handline.day.simulation import day_streams
from handline.line.friction import ROCKS

HOUR_S = 3600.0
_MIDDLE = 3


def sample_field(timetable: Sequence[Passing]) -> PlanField:
    """Two pace models a tenth apart, one log-normal wait, rock that stays dry, storms from noon on."""
    legs_s = [
        0.9 * (there.arrive_clock_s[_MIDDLE] - here.arrive_clock_s[_MIDDLE]) for here, there in pairwise(timetable)
    ]
    on_line = [
        leg
        for leg, (here, there) in enumerate(pairwise(timetable))
        if {here.kind, there.kind} == {"line_foot", "line_head"}
    ]
    walking_s = tuple(0.0 if leg in on_line else time_s for leg, time_s in enumerate(legs_s))
    streams = (rng.bit_generator.state["state"] for rng in day_streams(1))
    return PlanField(
        days=2000,
        latest_days=1000,
        streams=Streams(*(Stream(f"{began['state']:032x}", f"{began['inc']:032x}") for began in streams)),
        depart_clock_s=4.0 * HOUR_S,
        out_and_back=True,
        walkers=6,
        groups=((0,), (1, 2, 3, 4, 5)),
        model_weight=(0.5, 0.5),
        walking_s=tuple((tuple(times * leg_s for leg_s in walking_s),) * 2 for times in (0.95, 1.05)),
        walker_sigma=(0.09, 0.06),
        leg_sigma=0.08,
        leg_memory=0.5,
        size=6,
        passage_sigma=0.2,
        tiring_after_s=6.0 * HOUR_S,
        tiring_per_hour=0.02,
        rest_s_per_hour=300.0,
        dark_spans_clock_s=((-2.0 * HOUR_S, 5.3 * HOUR_S), (22.0 * HOUR_S, 29.4 * HOUR_S)),
        dark_factor=1.25,
        stop_s=tuple(passing.stop_s for passing in timetable),
        leaves_clock_s=tuple(passing.arrive_clock_s[_MIDDLE] + passing.stop_s for passing in timetable[:-1]),
        night=None,
        line=tuple(FieldLine(leg, (1500.0, 2400.0, 3000.0, 3600.0), FieldWait(900.0, 0.857)) for leg in on_line),
        off_line=on_line[-1] + 1,
        line_says=tuple(LineSays(rock, rock == "iced", f"On {rock} rock.", "", "") for rock in ROCKS),
        line_rock="dry",
        rock=FieldRock(("dry", "damp", "wet", "iced"), 1, 0.0, ("0",)),
        storm=FieldStorm((0.0, 12.0 * HOUR_S, 18.0 * HOUR_S), (0.0, 0.0, 0.5), "as typed"),
        storm_shape=StormShape(
            clock_s=tuple((hour - 0.5) * HOUR_S for hour in range(6, 15)),
            rate=(5.0, 4.0, 4.0, 3.0, 8.0, 39.0, 130.0, 270.0, 400.0),
            rises_clock_s=9.5 * HOUR_S,
            level_until_clock_s=17.0 * HOUR_S,
            gone_after_s=4.0 * HOUR_S,
            step_s=300.0,
            days=3,
            most_chance=0.99,
        ),
        limits=DayLimits(0.9, False, None, None, 21.5 * HOUR_S),
        turn_rules=(),
        reading_sigma_s=60.0 * float(np.sqrt(1.0 / 6.0)),
        quick_share=0.25,
        band_share=0.8,
        band_reach=1.2816,
        lost_from_share=0.5,
        in_time_share=0.1,
        look_s=24.0 * HOUR_S,
        look_steps_s=(600.0, 60.0),
    )
