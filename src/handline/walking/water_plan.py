"""Where to fill up and how much: litres out of each source so that the next is reached with a reserve."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.walking.drinking import Drinking, drink
from handline.walking.grade_models import FloatArray
from handline.walking.spread import Spread
from handline.walking.treatment import treatment, treatment_time


@dataclass(frozen=True)
class Station:
    """A place the party passes, in walking order: on the way back it is another station.

    ``may_be_dry`` marks a source that is not counted on. ``used_here_L`` is what each person drinks and cooks with at
    the place itself [L], a camp for one: from the source, or out of the bottles where there is none. ``treatment`` is
    a key of ``TREATMENTS``; None means the one the plan is asked for.
    """

    name: str
    is_water: bool = False
    may_be_dry: bool = False
    used_here_L: float = 0.0
    treatment: str | None = None

    @property
    def is_reliable(self) -> bool:
        """A source that is counted on."""
        return self.is_water and not self.may_be_dry


@dataclass(frozen=True, eq=False)
class Stretch:
    """The way from one sure water to the next, or to the end: stations by number, time [s], litres by walker [L]."""

    first: int
    last: int
    words: str
    duration_s: float
    wanted_L: FloatArray


@dataclass(frozen=True)
class WaterFinding:
    """Something to act on: a key of ``CARRIED_FLAGS``, the station it is about, the walker, how many litres."""

    flag: str
    station: int
    name: str
    walker: int | None = None
    litres: float | None = None


@dataclass(frozen=True, eq=False)
class WaterPlan:
    """Water along the way.

    Shapes (walkers, stations): ``arrive_L`` and ``leave_L``, in the bottles on coming and going; ``used_L``, out of
    the bottles at the place; ``refill_L``, filled in; ``treat_L``, filled in or used there and treated first. Shapes
    (walkers, legs): ``drunk_L`` on the way, ``missed_L`` lost and not drunk. ``hands_s`` and ``wait_s`` (stations,)
    are the party's time to treat with one device. So leave = drunk + arrive at the next, and
    arrive - used + refill = leave.
    """

    stations: tuple[Station, ...]
    quantile: float
    arrive_L: FloatArray
    leave_L: FloatArray
    used_L: FloatArray
    refill_L: FloatArray
    treat_L: FloatArray
    drunk_L: FloatArray
    missed_L: FloatArray
    hands_s: FloatArray
    wait_s: FloatArray
    stretches: tuple[Stretch, ...]
    findings: tuple[WaterFinding, ...]

    @property
    def start_L(self) -> FloatArray:
        """What each walker sets out with [L]."""
        return self.leave_L[:, 0]

    @property
    def longest(self) -> Stretch:
        """The stretch without sure water that takes longest."""
        return max(self.stretches, key=lambda stretch: stretch.duration_s)


def plan_water(
    stations: Sequence[Station],
    need_L: Spread,
    duration_s: npt.ArrayLike,
    *,
    quantile: float,
    reserve_L: npt.ArrayLike,
    capacity_L: npt.ArrayLike = np.inf,
    treatment_key: str = "none",
    day: npt.ArrayLike = 0,
) -> WaterPlan:
    """Litres to carry out of every source.

    wanted = what is drunk on the legs to the next reliable source, what is used at places without one, and the reserve

    Parameters
    ----------
    stations : sequence of Station
        In walking order, there and back. The first is the start: what is carried from there comes
        from home unless it is a source, and what is used there is not counted.
    need_L : Spread, shape (walkers, legs)
        Water lost on each leg between two stations [L].
    duration_s, day : array_like, shape (legs,)
        How long each leg takes [s], for the hourly cap; which day it belongs to, for the daily one.
    quantile : float
        With what chance the need of a leg is to be no more than planned for; 0.5 or more.
    reserve_L, capacity_L : array_like, shape (walkers,) or one for all
        What is to be left on coming to the next source or the end; what the bottles hold [L].
    treatment_key : str
        A key of ``TREATMENTS`` for the sources that name none.

    Returns
    -------
    WaterPlan
        Where the bottles are too small they leave full (``beyond_capacity``, with the litres that do not fit): then the
        reserve goes first (``reserve_not_kept``), and then people go without (``water_runs_out``). What may not be
        drunk (``capped``) is not carried. Water in hand is never poured out.

    Raises
    ------
    InputError
        No such treatment.
    ValueError
        Fewer than two stations, shapes that do not fit, anything missing, below 0, or a quantile outside.

    Validity: water used at a place does not count towards the day's cap.
    Notes: each leg is planned at the same quantile, which is more careful than the quantile of the sum.
    Sources: our_water_plan, practice_water, tb_med_507.
    """
    places = tuple(stations)
    lost_L = need_L.at(quantile)
    _check_places(places, lost_L, duration_s)
    walkers = lost_L.shape[0]
    reserve, capacity = _for_each(reserve_L, walkers, "reserve_L"), _for_each(capacity_L, walkers, "capacity_L")
    treatments = [treatment(place.treatment or treatment_key).key for place in places]
    drinking = drink(lost_L, duration_s, day)
    stretches = _stretches(places, drinking.drunk_L, np.asarray(duration_s, float), reserve)
    carried = _carry(places, stretches, drinking.drunk_L, capacity)
    treat_L = np.zeros_like(carried.refill_L)
    hands_s, wait_s = np.zeros(len(places)), np.zeros(len(places))
    for i, place in enumerate(places):
        if not place.is_reliable:
            continue
        treat_L[:, i] = carried.refill_L[:, i] + (place.used_here_L if i else 0.0)
        time = treatment_time(treatments[i], treat_L[:, i].sum())
        hands_s[i], wait_s[i] = float(time.hands_s), float(time.wait_s)
    return WaterPlan(
        stations=places,
        quantile=quantile,
        arrive_L=carried.arrive_L,
        leave_L=carried.leave_L,
        used_L=carried.used_L,
        refill_L=carried.refill_L,
        treat_L=treat_L,
        drunk_L=carried.drunk_L,
        missed_L=lost_L - carried.drunk_L,
        hands_s=hands_s,
        wait_s=wait_s,
        stretches=stretches,
        findings=_findings(places, stretches, drinking, carried, reserve),
    )


@dataclass(frozen=True, eq=False)
class _Carried:
    arrive_L: FloatArray
    leave_L: FloatArray
    used_L: FloatArray
    refill_L: FloatArray
    drunk_L: FloatArray


def _stretches(
    places: tuple[Station, ...], drunk_L: FloatArray, duration_s: FloatArray, reserve_L: FloatArray
) -> tuple[Stretch, ...]:
    end = len(places) - 1
    firsts = [0, *(i for i in range(1, end) if places[i].is_reliable)]
    found = []
    for first, last in zip(firsts, [*firsts[1:], end], strict=True):
        dry = [place for place in places[first + 1 : last + 1] if not place.is_reliable]
        wanted = drunk_L[:, first:last].sum(axis=1) + sum(place.used_here_L for place in dry) + reserve_L
        words = _stretch_words(places, first, last)
        found.append(Stretch(first, last, words, float(duration_s[first:last].sum()), wanted))
    return tuple(found)


def _stretch_words(places: tuple[Station, ...], first: int, last: int) -> str:
    """From where to where; a place that is both is where one comes back to, named with the farthest on the way."""
    start, end = places[first].name, places[last].name
    if start != end:
        return f"{start} to {end}"
    return f"{start} by {places[(first + last) // 2].name} and back"


def _carry(
    places: tuple[Station, ...], stretches: tuple[Stretch, ...], drunk_L: FloatArray, capacity_L: FloatArray
) -> _Carried:
    """Go along with the bottles: they are never emptier than empty."""
    shape = (drunk_L.shape[0], len(places))
    arrive, leave, used, refill = (np.zeros(shape) for _ in range(4))
    drunk = np.zeros_like(drunk_L)
    for stretch in stretches:
        first = stretch.first
        leave[:, first] = np.maximum(np.minimum(stretch.wanted_L, capacity_L), arrive[:, first])
        refill[:, first] = leave[:, first] - arrive[:, first]
        for i in range(first, stretch.last):
            drunk[:, i] = np.minimum(drunk_L[:, i], leave[:, i])
            arrive[:, i + 1] = leave[:, i] - drunk[:, i]
            if not places[i + 1].is_reliable:
                used[:, i + 1] = np.minimum(places[i + 1].used_here_L, arrive[:, i + 1])
            leave[:, i + 1] = arrive[:, i + 1] - used[:, i + 1]
    return _Carried(arrive, leave, used, refill, drunk)


# Litres added up in another order differ in their last digits: less than a drop is nothing to tell of.
_DROP_L = 1e-9


def _findings(
    places: tuple[Station, ...],
    stretches: tuple[Stretch, ...],
    drinking: Drinking,
    carried: _Carried,
    reserve_L: FloatArray,
) -> tuple[WaterFinding, ...]:
    found = [WaterFinding("no_source", 0, places[0].name)] if len(stretches) == 1 else []
    found += [
        WaterFinding("dry_source", i, place.name)
        for i, place in enumerate(places)
        if place.is_water and place.may_be_dry
    ]

    def tell(flag: str, station: int, litres: FloatArray) -> None:
        for walker in np.flatnonzero(litres > _DROP_L):
            found.append(WaterFinding(flag, station, places[station].name, int(walker), float(litres[walker])))

    for stretch in stretches:
        first, last = stretch.first, stretch.last
        tell("beyond_capacity", first, stretch.wanted_L - carried.leave_L[:, first])
        left_L = carried.leave_L[:, last] if last == len(places) - 1 else carried.arrive_L[:, last]
        tell("reserve_not_kept", last, reserve_L - left_L)
        dry = range(first + 1, last + 1)
        unused = sum(
            (places[i].used_here_L - carried.used_L[:, i] for i in dry if not places[i].is_reliable),
            start=np.zeros_like(reserve_L),
        )
        without = (drinking.drunk_L - carried.drunk_L)[:, first:last].sum(axis=1) + unused
        tell("water_runs_out", last, without)
    for leg in range(len(places) - 1):
        tell("capped", leg + 1, drinking.missed_L[:, leg])
    return tuple(found)


def _for_each(litres: npt.ArrayLike, walkers: int, name: str) -> FloatArray:
    given = np.asarray(litres, float)
    if not bool(np.all(given >= 0.0)):
        raise ValueError(f"{name} must be 0 or more")
    if given.shape not in ((), (walkers,)):
        raise ValueError(f"{name} must be one number or one for each of {walkers} walkers")
    return np.broadcast_to(given, (walkers,))


def _check_places(places: tuple[Station, ...], lost_L: FloatArray, duration_s: npt.ArrayLike) -> None:
    legs = len(places) - 1
    if legs < 1:
        raise ValueError("stations must be two or more: a start and an end")
    if lost_L.ndim != 2 or lost_L.shape[1] != legs or lost_L.shape[0] < 1:
        raise ValueError(f"need_L must have a row for each walker and {legs} legs; it has shape {lost_L.shape}")
    if np.shape(duration_s) != (legs,):
        raise ValueError(f"duration_s must have one for each of {legs} legs; it has shape {np.shape(duration_s)}")
    if not bool(np.all(np.isfinite(lost_L))):
        raise ValueError("need_L must be finite: water cannot be planned with a need that is missing")
    wrong = [place.name for place in places if not (np.isfinite(place.used_here_L) and place.used_here_L >= 0.0)]
    if wrong:
        raise ValueError(f"used_here_L must be finite and 0 or more: {', '.join(wrong)}")
