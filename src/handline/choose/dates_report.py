"""What ``handline dates`` finds: the days of a season side by side, and the best of them. Frozen; it is only shown.

Clock times are seconds after local midnight of each date, dates are YYYY-MM-DD, chances and shares lie from 0 to 1.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from handline.day.plan import Finding, Level
from handline.quantity import Units

WAY_WORDS: Mapping[str, str] = MappingProxyType({"push": "in one push", "night": "with a night out"})


@dataclass(frozen=True)
class RockFrom:
    """The rock from a start: on what share of days it is ``iced``, ``wet`` or iced, ``not_dry`` on tying on.

    Of the way up and the way down each has the worse. Wet and ice make days slower; how soles hold is in no chance and
    in no rank.
    """

    start_clock_s: float
    iced: float
    wet: float
    not_dry: float


@dataclass(frozen=True)
class WayOnDate:
    """One way of doing it on one date: "push" or "night".

    ``chance`` of all limits has one value a start of the report, ``error`` one standard error each. ``start_clock_s``
    is the latest start that meets the wanted chance, or where none does the one with the highest; ``start_chance`` is
    its chance. ``best_chance`` is the highest of all starts, had at ``best_clock_s``, the latest of equals.
    ``window_clock_s`` are the first and last start of the run of starts up to ``start_clock_s`` that meet the wanted
    chance, None where none does. ``home_clock_s`` is the 10th, 50th and 90th percentile from the planned start.

    ``rock`` is met from ``start_clock_s``; ``planned_rock`` from the planned start, None where that does not lie in the
    window; ``iciest_rock`` from the start of the window with the most ice.

    ``permits`` are the names of those needed; ``permit_chance`` is of all that are to be got together, None where
    nothing is said of that of some, ``permits_unknown``, 1 where none is needed or all are held; of the others it is
    ``known_permit_chance``. ``both_chance`` is that of the permits and then of all limits from the surest start.
    """

    way: str
    chance: tuple[float, ...]
    error: tuple[float, ...]
    start_clock_s: float
    start_chance: float
    start_error: float
    best_clock_s: float
    best_chance: float
    window_clock_s: tuple[float, float] | None
    home_clock_s: tuple[float, float, float]
    rock: RockFrom
    planned_rock: RockFrom | None
    iciest_rock: RockFrom
    permits: tuple[str, ...]
    permit_chance: float | None
    known_permit_chance: float
    permits_unknown: tuple[str, ...]
    permit_says: str
    both_chance: float | None

    @property
    def value_chance(self) -> float:
        """What ranks it: ``both_chance``, a permit of unknown chance counting as had."""
        return self.known_permit_chance * self.best_chance


@dataclass(frozen=True)
class DateRow:
    """One date. ``closed`` where the way is not open: then it has no ``ways``, and of its day nothing is known.

    ``past`` where it is gone by, as seen from the day given. ``holiday`` is the name of a public holiday or empty;
    ``weather_says`` is "forecast", "usual", what the months of the file say, or "assumed", where it says nothing.
    ``worth`` is what the party gives the date by its own preferences, 1 at most.
    """

    date: str
    weekday: str
    closed: bool
    past: bool
    holiday: str
    weekend: bool
    raised: bool
    storm_chance: float
    light_s: float
    sunrise_clock_s: float
    weather_says: str
    worth: float
    ways: tuple[WayOnDate, ...]


@dataclass(frozen=True)
class BestDate:
    """One of the best dates: its rank from 1, its way, and why, in words.

    The clocks, the chances and the rock are those of its way. ``value`` is ``both_chance`` times what the date is
    worth, a permit of unknown chance counting as had.
    """

    rank: int
    date: str
    weekday: str
    way: str
    raised: bool
    meets: bool
    start_clock_s: float
    start_chance: float
    best_chance: float
    rock: RockFrom
    planned_rock: RockFrom | None
    iciest_rock: RockFrom
    permit_chance: float | None
    known_permit_chance: float
    permits_unknown: tuple[str, ...]
    worth: float
    value: float
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class DrawList:
    """What to put on one application, the first choice first.

    ``chance`` is of getting any of them. ``by_themselves`` is what it would be, were each date drawn by itself: more
    than there is. ``value`` is what the list brings on average. ``proven`` says whether no better list of that length
    exists, where dates alike in two digits count alike, or only none was found.
    """

    permit: str
    way: str
    dates: tuple[str, ...]
    chance: float
    by_themselves: float
    value: float
    proven: bool
    says: str


@dataclass(frozen=True)
class DatesInARow:
    """Asking for some dates in a row, each with a drawing of its own, or where not ``drawn`` a line to stand in.

    ``chance_by_day`` is of having got one after each of them, as if no day had to do with another; ``low`` and ``high``
    are what the last of these can be, whatever hangs together.
    """

    permit: str
    way: str
    drawn: bool
    dates: tuple[str, ...]
    chance_by_day: tuple[float, ...]
    low: float
    high: float
    says: str


@dataclass(frozen=True)
class DatesProvenance:
    """What made the numbers; ``today`` is the day deadlines are seen from, None where none was given."""

    version: str
    seed: int
    days: int
    trip_file: str
    inputs_sha256: str
    today: str | None


@dataclass(frozen=True)
class DatesReport:
    """A season of dates. ``starts_clock_s`` are the starts of every row's chances; ``ways`` are "push" and "night".

    ``best`` has one entry a date at most, and none that is past or closed.
    """

    name: str
    units: Units
    timezone: str
    line_name: str
    party_size: int
    wanted_chance: float
    dates_say: str
    camp_name: str
    ways: tuple[str, ...]
    starts_clock_s: tuple[float, ...]
    level: Level
    headline: str
    why: str
    findings: tuple[Finding, ...]
    rows: tuple[DateRow, ...]
    best: tuple[BestDate, ...]
    lists: tuple[DrawList, ...]
    in_a_row: tuple[DatesInARow, ...]
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    provenance: DatesProvenance
