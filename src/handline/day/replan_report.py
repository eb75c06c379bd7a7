"""The day replanned on the way: what the screen, the brief and ``--json`` render.

Clock times, chances and shares as in plan.py. Quantiles are those of ``plan.PROBABILITIES``.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from handline.day.plan import Way
from handline.quantity import Units

DecisionKey = Literal["go_on", "turn_by", "turn_now"]
Held = Literal["held", "open", "lost", ""]
CourseKey = Literal["go on", "turn at the foot", "turn here"]
Triple = tuple[float, float, float]


@dataclass(frozen=True)
class StretchSeen:
    """One stretch that was walked: what it took, and what it takes on the simulated days in the middle [s].

    ``learned_s`` is what the pace was learned from: what is quicker than on a quick day is
    first put down to stops cut short.
    ``shorter_share`` is the share of simulated days that took less. ``tells`` is False where it says nothing of the
    pace; ``slope`` and ``noise_sigma`` are what the pace was learned with (see pace_posterior.py).
    """

    start: str
    end: str
    took_s: float
    learned_s: float
    middle_s: float
    shorter_share: float
    slope: float
    noise_sigma: float
    tells: bool


@dataclass(frozen=True)
class PaceToday:
    """How many times as long as the plan's middle the party is taken to walk on what is left.

    ``low`` and ``high`` hold it in eight cases of ten. ``prior_sigma`` and ``sigma`` are the spread of its logarithm
    before and after what was seen. ``says`` is the same in words.
    """

    factor: float
    low: float
    high: float
    prior_sigma: float
    sigma: float
    stretches: tuple[StretchSeen, ...]
    says: str


@dataclass(frozen=True)
class ChanceNow:
    """The chance of keeping one limit from here, with one standard error; ``planned_share`` was the plan's."""

    key: str
    sentence: str
    share: float
    error: float
    planned_share: float | None
    wanted: float


@dataclass(frozen=True)
class Course:
    """One thing the party may do from here: the chance of all limits, and when it is back at the start.

    ``turn_at`` is where it turns, empty where it goes on. ``home_clock_s`` is the 10th,
    50th and 90th percentile. Turning keeps the limits on the line where the party never goes on it.
    """

    key: CourseKey
    turn_at: str
    share: float
    error: float
    home_clock_s: Triple


@dataclass(frozen=True)
class PassingAhead:
    """One passing still ahead.

    ``latest_clock_s`` is the plan's latest passing time and ``by_latest_share`` the chance of arriving by it, both None
    where the plan has none. It is "held" where the chance is at least the wanted one, "lost" where later is likelier
    than not, "open" between.
    """

    name: str
    kind: str
    way: Way
    planned_clock_s: float
    arrive_clock_s: tuple[float, ...]
    latest_clock_s: float | None
    by_latest_share: float | None
    held: Held


@dataclass(frozen=True)
class Advice:
    """What to do: ``headline`` in a few words, ``sentence`` with the numbers behind it.

    ``turn_at`` and ``turn_by_clock_s`` are the next place where it is decided again, and the latest time there from
    which, at today's pace, the limits are still met as often as wanted.
    """

    key: DecisionKey
    headline: str
    sentence: str
    turn_at: str = ""
    turn_by_clock_s: float | None = None


@dataclass(frozen=True)
class Replan:
    """Everything there is to say from the last passing on.

    ``delay_s`` is a stay there on top of the planned stop. ``line_says`` is what tether, rock and hands do on the line
    beside what the advice says of it, empty where the line lies behind.
    """

    name: str
    date: str
    units: Units
    timezone: str
    at: str
    clock_s: float
    delay_s: float
    wanted_chance: float
    advice: Advice
    chances: tuple[ChanceNow, ...]
    courses: tuple[Course, ...]
    ahead: tuple[PassingAhead, ...]
    pace: PaceToday
    storm_says: str
    rock_says: str
    line_says: str
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
