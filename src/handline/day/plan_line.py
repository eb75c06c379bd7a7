"""The line in the Plan: how it stands that day, and what every way of attaching does on it."""

from __future__ import annotations

from dataclasses import dataclass

from handline.line.audit import Outcome
from handline.line.footing import BayPull


@dataclass(frozen=True)
class TetherRow:
    """One way of attaching on the state and rock of the day.

    ``sentence`` says in plain words what it does in a slip, ``also`` what else must be known: the other case, and what
    it counts on. ``outcomes`` has every state of the rock and every case.
    """

    name: str
    title: str
    chosen: bool
    sentence: str
    also: str
    reach_m: float
    part_N: float
    part_words: str
    changeovers: int
    changeover_s: float
    untied_s: float
    outcomes: tuple[Outcome, ...]


@dataclass(frozen=True)
class Limit:
    """A limit with where it comes from; ``of`` is "body" or "part"."""

    key: str
    of: str
    what: str
    force_N: float
    source: str


@dataclass(frozen=True)
class LineStands:
    """The line as it stands that day: its state, the rock and its shape."""

    name: str
    state: str
    state_says: str
    rock: str
    rocks: tuple[str, ...]
    length_m: float
    height_m: float
    cables: int
    cable_diameter_m: float
    section_length_m: tuple[float, ...]
    section_angle_rad: tuple[float, ...]
    stop_m: tuple[float, ...]
    stop_is_anchor: tuple[bool, ...]


@dataclass(frozen=True)
class LinePlan(LineStands):
    """The line as it stands that day, and what every way of attaching does on it."""

    body_mass_kg: float
    body_force_N: float
    bays: tuple[BayPull, ...]
    passage_up_s: tuple[float, float, float]  # 10th, 50th and 90th percentile for the whole party, without the wait
    passage_down_s: tuple[float, float, float]
    wait_up_s: tuple[float, float, float]
    wait_down_s: tuple[float, float, float]
    tethers: tuple[TetherRow, ...]
    limits: tuple[Limit, ...]
