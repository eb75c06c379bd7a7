"""The LineReport: everything that is said about the line. Screen, page and ``--json`` render it and compute nothing.

Everything is SI with its unit in the name; chances and shares lie from 0 to 1. "Today" is the state of the line and of
the rock that are asked about.
"""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.hands import HandsFail
from handline.day.line_callout import CallOut
from handline.day.line_hitch import HitchFacts
from handline.day.line_traces import SlipTrace
from handline.day.line_what_if import Change
from handline.day.plan import Assumption, Finding, Level
from handline.day.plan_line import Limit, LineStands
from handline.line.audit import Outcome
from handline.line.footing import BayPull
from handline.line.passage import Passage
from handline.quantity import Units


@dataclass(frozen=True)
class EndShare:
    """One way a slip may end, and its chance."""

    end: str
    share: float


@dataclass(frozen=True)
class CaseChances:
    """How drawn slips of one tether end in one case on one state of the rock; the shares of ``ends`` sum to one.

    ``slide_m`` and ``force_N`` are what one slip in ten, half of them and nine in ten stay under, the forces of the
    stopped ones alone; NaN where nothing is stopped.
    """

    case: str
    rock: str
    ends: tuple[EndShare, ...]
    slide_m: tuple[float, float, float]
    longest_m: float
    force_N: tuple[float, float, float]
    hardest_N: float
    body_share: float
    error: float
    draws: int


@dataclass(frozen=True)
class CaseToday:
    """The same in four shares against the party's own limit; they sum to one.

    ``stopped_share`` within the limit with no part broken, ``over_share`` stopped harder than that.
    """

    case: str
    stopped_share: float
    over_share: float
    breaks_share: float
    unstopped_share: float
    usual_slide_m: float
    longest_m: float
    usual_N: float
    hardest_N: float


@dataclass(frozen=True)
class PartShown:
    """One part of a tether as it is tied."""

    words: str
    force_N: float
    known: bool
    static: bool
    certified_for: str
    not_for: str
    source: str


@dataclass(frozen=True)
class Changes:
    """Moving a tether past the stops one way, in one state of the line, by one climber alone.

    ``untied_s`` is how long nothing ties the climber on, ``climber_s`` the whole way.
    """

    state: str
    way: str
    count: int
    each_s: float
    untied_s: float
    climber_s: float


@dataclass(frozen=True)
class StopLoad:
    """What the stop must bear, usually and at worst, with one climber on it and with two who slip at one moment.

    ``holds_N`` is what a stanchion is typed to bear, None where nobody typed it.
    """

    one_N: tuple[float, float]
    two_N: tuple[float, float]
    holds_N: float | None
    says: str


@dataclass(frozen=True)
class TetherShown:
    """One way of attaching.

    ``sentence``, ``also``, ``verdict`` and ``outcomes`` are in closed form: the heaviest body, the low end of
    friction, typical and worst over the places. ``today`` and ``by_rock`` are chances over everything that varies; the
    first case is as the tether is meant to work, those after it if stop or hitch does not hold.
    """

    number: int
    name: str
    title: str
    chosen: bool
    kind: str
    arms: int
    verdict: str
    sentence: str
    also: str
    call_out: CallOut | None
    reach_m: float
    stiffness_N: float
    stiffness_source: str
    weakest_words: str
    weakest_N: float
    parts: tuple[PartShown, ...]
    outcomes: tuple[Outcome, ...]
    today: tuple[CaseToday, ...]
    by_rock: tuple[CaseChances, ...]
    changes: tuple[Changes, ...]
    stop_load: StopLoad | None
    hitch: HitchFacts | None


@dataclass(frozen=True)
class LineShown(LineStands):
    """The line in its state, and every way of attaching to it, the chosen one first."""

    stance_m: tuple[float, ...]
    bays: tuple[BayPull, ...]
    tethers: tuple[TetherShown, ...]


@dataclass(frozen=True)
class GloveShown:
    """A glove: its friction on the cable for each state of the rock, and on which ways it is worn."""

    title: str
    mu: tuple[float, ...]
    for_ways: tuple[str, ...]
    worn: tuple[str, ...]
    note: str
    source: str


@dataclass(frozen=True)
class Moves:
    """One thing that varies, held at either end for the chosen tether in its first case; pairs are (low, high) end."""

    what: str
    words: str
    says: tuple[str, str]
    stopped_share: tuple[float, float]
    force_N: tuple[float, float]
    verdict: tuple[str, str]
    moves_verdict: bool


@dataclass(frozen=True)
class SoftBody:
    """The hardest slip of the chosen tether on a rigid body, and on one that gives, as a comparison."""

    rigid_N: float
    gives_N: float
    says: str
    source: str


@dataclass(frozen=True)
class LineProvenance:
    """What made this report: the same inputs give the same bytes."""

    version: str
    seed: int
    draws: int
    trip_file: str
    inputs_sha256: str


@dataclass(frozen=True)
class LineReport:
    """Everything about the line. ``level`` is the gravest finding; ``changed`` what differs from the file."""

    name: str
    units: Units
    changed: tuple[Change, ...]
    level: Level
    headline: str
    body_mass_kg: float
    mass_range_kg: tuple[float, float]
    body_force_N: float
    line: LineShown
    findings: tuple[Finding, ...]
    traces: tuple[SlipTrace, ...]
    soft_body: SoftBody | None
    moves: tuple[Moves, ...]
    hands: tuple[HandsFail, ...]
    gloves: tuple[GloveShown, ...]
    passages: tuple[Passage, ...]
    limits: tuple[Limit, ...]
    assumptions: tuple[Assumption, ...]
    cautions: tuple[str, ...]
    provenance: LineProvenance

    @property
    def chosen(self) -> TetherShown:
        """The tether the party ties on with."""
        return next(tether for tether in self.line.tethers if tether.chosen)
