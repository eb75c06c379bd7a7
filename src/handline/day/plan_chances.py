"""The chances of the Plan, turned over: by start, by what fails first, by what moves them, by what spreads the day."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class StartsPlan:
    """The chance of all limits against the start, every storm-free start counting from itself.

    ``window_clock_s`` are the first and last start, in a row with the planned one or nearest to it, that meet the
    wanted chance; None where none does. ``delay_share`` is what ``delay_s`` of delay takes from the chance. ``says``
    tells it in a sentence.
    """

    clock_s: tuple[float, ...]
    share: tuple[float, ...]
    error: tuple[float, ...]
    wanted: float
    planned_clock_s: float
    window_clock_s: tuple[float, float] | None
    best_clock_s: float
    best_share: float
    delay_s: float
    delay_share: float
    delay_error: float
    says: str


@dataclass(frozen=True)
class FailsFirstRow:
    """How often one limit is the first to fail, and the leg on which that happens most often."""

    key: str
    sentence: str
    share: float
    error: float
    leg: str


@dataclass(frozen=True)
class ChanceMoved:
    """The chance of all limits with one thing better and worse; ``change`` is against the plan, as a share."""

    key: str
    better_says: str
    better_share: float
    better_change: float
    worse_says: str
    worse_share: float
    worse_change: float
    error: float


@dataclass(frozen=True)
class SpreadPart:
    """What share of the variance of the day's length one source makes."""

    key: str
    words: str
    share: float
    error: float


@dataclass(frozen=True)
class WaterPlanned:
    """How often the water as planned is enough for everybody.

    ``where`` is the stretch on which it is short most often.
    """

    share: float
    error: float
    where: str
    where_share: float


@dataclass(frozen=True)
class TurnedAt:
    """A rule of turning back, and on how many days the party turns by it."""

    place: str
    after_clock_s: float
    share: float


@dataclass(frozen=True)
class TurningBack:
    """The day with the party's own rules of turning back kept.

    ``top_share`` is the chance of going all the way, ``kept_share`` that of all limits whether turned or not, and
    ``kept_at_top_share`` that of both. ``home_clock_s`` are the 10th, 50th and 90th percentile.
    """

    rules: tuple[TurnedAt, ...]
    top_share: float
    kept_share: float
    error: float
    kept_at_top_share: float
    home_clock_s: tuple[float, float, float]


@dataclass(frozen=True)
class ChancePlan:
    """Where the chances come from and what would change them. ``day_sigma_s`` is the spread of the day's length.

    ``turning_back`` is None where the party has no such rules.
    """

    starts: StartsPlan
    fails_first: tuple[FailsFirstRow, ...]
    moves: tuple[ChanceMoved, ...]
    day_sigma_s: float
    spread: tuple[SpreadPart, ...]
    water: WaterPlanned
    turning_back: TurningBack | None
