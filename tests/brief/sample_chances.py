"""Invented chances turned over, for the tests of the brief: made up here, computed by nobody."""

from __future__ import annotations

import math

from handline.day.plan_chances import ChanceMoved, ChancePlan, FailsFirstRow, SpreadPart, StartsPlan, WaterPlanned

HOUR_S = 3600.0
PLANNED_S = 4.0 * HOUR_S
WANTED = 0.90


def sample_starts() -> StartsPlan:
    """A curve that falls from early to late; the last start that meets what is wanted is before the planned one."""
    clock_s = tuple(PLANNED_S + 600.0 * step for step in range(-72, 73))
    share = tuple(1.0 / (1.0 + math.exp((at_s / HOUR_S - 5.3) / 1.1)) for at_s in clock_s)
    met = [at_s for at_s, chance in zip(clock_s, share, strict=True) if chance >= WANTED]
    return StartsPlan(
        clock_s=clock_s,
        share=share,
        error=tuple(math.sqrt(chance * (1.0 - chance) / 2000.0) for chance in share),
        wanted=WANTED,
        planned_clock_s=PLANNED_S,
        window_clock_s=(met[0], met[-1]),
        best_clock_s=clock_s[0],
        best_share=share[0],
        delay_s=1800.0,
        delay_share=0.091,
        delay_error=0.004,
        says="Any start before 02:50 meets your limits; leaving 30 min late takes 9.1 points from the chance.",
    )


def sample_chances() -> ChancePlan:
    """Two limits, one of which fails first nearly always; six things to move; four sources of spread."""
    return ChancePlan(
        starts=sample_starts(),
        fails_first=(
            FailsFirstRow("off_line_before_storm", "Off the line before a storm begins", 0.195, 0.003,
                          "Tamsin summit to Head of the cables, down"),
            FailsFirstRow("home_by", "Home by 21:30", 0.025, 0.0004, "Quill River bridge to Larch Landing, down"),
        ),
        moves=(
            ChanceMoved("pace", "as fast as on one day in ten", 0.93, 0.15, "as slow as on one day in ten", 0.55, -0.23,
                        0.004),
            ChanceMoved("start", "start 30 min earlier", 0.83, 0.05, "start 30 min later", 0.689, -0.091, 0.003),
            ChanceMoved("rock", "rock dry all day", 0.78, 0.0, "rock wet all day", 0.70, -0.08, 0.003),
            ChanceMoved("stops", "stops half as long", 0.7801, 0.0001, "stops half as long again", 0.78, 0.0, 0.0001),
        ),
        day_sigma_s=5400.0,
        spread=(
            SpreadPart("pace", "how the party walks that day", 0.72, 0.02),
            SpreadPart("waits", "waiting at the line", 0.25, 0.02),
            SpreadPart("legs", "ups and downs from leg to leg", 0.025, 0.004),
            SpreadPart("together", "all of them together", 0.005, 0.03),
        ),
        water=WaterPlanned(0.92, 0.006, "the bridge by the top and back", 0.93),
        turning_back=None,
    )  # fmt: skip
