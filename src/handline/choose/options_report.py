"""What ``handline options`` finds: ways of doing the trip side by side. Frozen; it is only shown.

Clock times are seconds after local midnight of each option's date; chances and shares lie from 0 to 1; [m], [N], [kg].
"""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.plan import Finding, Level
from handline.quantity import Units

Range = tuple[float, float]
"""A usual and a long or worst value; NaN where there is none."""


@dataclass(frozen=True)
class Option:
    """One way of doing it: one push or a night out, the line raised or lowered, a tether, a date and a start.

    ``as_planned`` marks the one in the trip file, at its start. ``state_on_date`` says whether the line stands or lies
    so on the date; where it does not, the option is only there to compare. The start is the planned one of its way,
    where that meets the wanted chance; else the latest that does; else the one with the highest chance. ``chance`` is
    of all limits from that start, with one standard ``error``. ``window_clock_s`` are the first and last start that
    meet the wanted chance, None where none does, and ``goes_on`` whether it reaches the first or last start that was
    looked at. ``home_clock_s`` is the middle; ``day_s`` how long the day of the line is in the middle.

    Of the line: ``wait_s`` and ``on_line_s`` half and nine in ten, both ways together; ``changeovers`` one way;
    ``untied_s`` going up; ``most_pull_N`` the hardest pull of a bay, as a share of body weight ``most_pull_share``;
    ``slide_m`` and ``force_N`` usual and worst, in the case and on the ``rock`` the tether is judged by;
    ``not_stopped_share`` how often a drawn slip is not stopped within the party's limit on a body, a broken part
    included; ``looks_like_protection`` where the tether would pass for protection and is not, by ``called_out``;
    ``unproven`` where its stop rests on a hitch, of which nobody has published what it holds. ``sentence`` tells it.

    Of the day: ``felt_C`` the coldest felt temperature at the ends of the line, on the careful side; ``ice_share`` and
    ``not_dry_share`` of days on tying on, the worse of both ways; ``pack_kg`` of whoever carries most on setting out,
    at the foot of the line, and at any time; ``permits`` needed and the chance of all of them: 1 where none is needed
    or all are held, None where nothing is said; ``permit_says`` is what it rests on.

    ``stops`` are the plan's findings not to go like this, but for a chance that is missed; ``heeds`` what the line asks
    to act on. ``against`` has everything that keeps it from being recommended, in words. ``best`` marks options that no
    other beats in everything that counts, among those that can be done; ``beaten_by`` is the key of one that beats it,
    else empty.
    """

    key: str
    title: str
    as_planned: bool
    way: str
    state: str
    state_on_date: bool
    tether: str
    tether_title: str
    date: str
    start_clock_s: float
    chance: float
    error: float
    window_clock_s: Range | None
    goes_on: tuple[bool, bool]
    home_clock_s: float
    day_s: float
    wait_s: Range
    on_line_s: Range
    rock: str
    changeovers: int
    untied_s: float
    most_pull_N: float
    most_pull_share: float
    slide_m: Range
    force_N: Range
    not_stopped_share: float
    looks_like_protection: bool
    called_out: str
    unproven: bool
    sentence: str
    felt_C: float
    ice_share: float
    not_dry_share: float
    pack_kg: tuple[float, float, float]
    permits: tuple[str, ...]
    permit_chance: float | None
    permit_says: str
    stops: tuple[Finding, ...]
    heeds: tuple[Finding, ...]
    against: tuple[str, ...]
    best: bool
    beaten_by: str


@dataclass(frozen=True)
class StateSide:
    """One thing that tells raised from lowered, in words: what it is, both sides, and which side it speaks for."""

    what: str
    raised: str
    lowered: str
    speaks_for: str  # "raised", "lowered" or ""


@dataclass(frozen=True)
class Change:
    """What would change the recommendation, in a sentence, and to which option."""

    says: str
    to_key: str


@dataclass(frozen=True)
class OptionsReport:
    """All options, the recommendation, and both sides of the line's state.

    ``recommended`` is the key of an option, empty where none meets the stated limits; ``why`` are sentences.
    ``sides_say`` tells from which starts both sides are told, empty where the line has one state.
    """

    name: str
    units: Units
    timezone: str
    line_name: str
    party_size: int
    wanted_chance: float
    body_force_N: float
    dates_say: str
    options: tuple[Option, ...]
    recommended: str
    level: Level
    headline: str
    why: tuple[str, ...]
    changes: tuple[Change, ...]
    sides: tuple[StateSide, ...]
    sides_say: str
    findings: tuple[Finding, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    version: str
    seed: int
    days: int
    trip_file: str
    inputs_sha256: str
