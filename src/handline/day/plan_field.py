"""What the brief needs to draw the plan's days again by itself, on the way, with no signal: plain numbers for the Plan.

Clock times are seconds after local midnight of the trip's date. Nothing in here is worked out from the days, but where
it says so: it is what they are drawn with.
"""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.limits import DayLimits
from handline.day.simulation import Night
from handline.day.turn_back import TurnRule


@dataclass(frozen=True)
class Stream:
    """Where one stream of random bits begins: state and step of its generator, 32 hexadecimal digits each."""

    state: str
    step: str


@dataclass(frozen=True)
class Streams:
    """One stream for everything that is drawn, as ``draw_days`` takes them."""

    model: Stream
    people: Stream
    legs: Stream
    wait: Stream
    passage: Stream
    weather: Stream


@dataclass(frozen=True)
class FieldWait:
    """A log-normal wait before the line, the same at every clock time."""

    median_s: float
    sigma: float


@dataclass(frozen=True)
class FieldWaitByClock:
    """What a crowd costs, by when the party joins the queue.

    ``wait_s`` and ``held_s`` have one row for each bin of the clock, from ``first_clock_s`` on and ``step_s`` apart,
    and in it one value for each rank; an empty row costs nothing. ``rank_edges`` part standard normals into ranks.
    """

    first_clock_s: float
    step_s: float
    rank_edges: tuple[float, ...]
    wait_s: tuple[tuple[float, ...], ...]
    held_s: tuple[tuple[float, ...], ...]


@dataclass(frozen=True)
class FieldLine:
    """A leg on the line: its passage time by the state of the rock, and the wait before it."""

    leg: int
    passage_by_rock_s: tuple[float, ...]
    wait: FieldWait | FieldWaitByClock


@dataclass(frozen=True)
class FieldRock:
    """The rock by the hour in ``courses`` of the weather: a digit an hour, its place among the names of the states.

    ``hours`` has one text a course, or one for all where they are alike. It begins at ``first_clock_s``; before it the
    rock is as in the first hour, after it as in the last.
    """

    names: tuple[str, ...]
    courses: int
    first_clock_s: float
    hours: tuple[str, ...]


@dataclass(frozen=True)
class LineSays:
    """What the line is on one state of the rock.

    ``barred`` is where nobody should step onto it. ``says`` is what tether and rock do; ``hands_up`` and ``hands_down``
    where hands give out, empty where they last all the way.
    """

    rock: str
    barred: bool
    says: str
    hands_up: str
    hands_down: str


@dataclass(frozen=True)
class FieldStorm:
    """Corners of the cumulative hazard of a storm's beginning, level outside; ``says`` is what it stands on."""

    clock_s: tuple[float, ...]
    hazard: tuple[float, ...]
    says: str


@dataclass(frozen=True)
class StormShape:
    """The usual day's storms, for a chance that is typed on the way.

    ``rate`` is at ``clock_s``, which begins to rise at ``rises_clock_s``; it is level until ``level_until_clock_s`` and
    gone ``gone_after_s`` later, on each of ``days`` days, in steps of ``step_s``. ``most_chance`` is the greatest.
    """

    clock_s: tuple[float, ...]
    rate: tuple[float, ...]
    rises_clock_s: float
    level_until_clock_s: float
    gone_after_s: float
    step_s: float
    days: int
    most_chance: float


@dataclass(frozen=True)
class PlanField:
    """The itinerary, the weather and the limits of the day, as the days are drawn with them.

    ``days`` is how many are drawn on the way, ``latest_days`` with how many latest times are searched. ``groups`` has
    the walkers that no number tells apart, by their place among ``walkers``; ``walking_s`` is by model, group and leg,
    0 on the line; ``walker_sigma`` by group. ``leaves_clock_s`` is when half the plan's days leave a passing, by
    passing but the last; ``stop_s`` by passing. ``band_reach`` is how many sigmas hold ``band_share`` of a normal.
    ``line_says`` is by state of the rock, and ``line_rock`` the state the plan judges the line by.
    ``lost_from_share`` and ``in_time_share`` are what a latest time is lost at, and what a place to decide at needs.
    """

    days: int
    latest_days: int
    streams: Streams
    depart_clock_s: float
    out_and_back: bool
    walkers: int
    groups: tuple[tuple[int, ...], ...]
    model_weight: tuple[float, ...]
    walking_s: tuple[tuple[tuple[float, ...], ...], ...]
    walker_sigma: tuple[float, ...]
    leg_sigma: float
    leg_memory: float
    size: int
    passage_sigma: float
    tiring_after_s: float
    tiring_per_hour: float
    rest_s_per_hour: float
    dark_spans_clock_s: tuple[tuple[float, float], ...]
    dark_factor: float
    stop_s: tuple[float, ...]
    leaves_clock_s: tuple[float, ...]
    night: Night | None
    line: tuple[FieldLine, ...]
    off_line: int
    line_says: tuple[LineSays, ...]
    line_rock: str
    rock: FieldRock
    storm: FieldStorm
    storm_shape: StormShape
    limits: DayLimits
    turn_rules: tuple[TurnRule, ...]
    reading_sigma_s: float
    quick_share: float
    band_share: float
    band_reach: float
    lost_from_share: float
    in_time_share: float
    look_s: float
    look_steps_s: tuple[float, ...]
