"""Who carries what: the gear list, shared out, with food and water, against each body."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from handline.errors import InputError, unknown_choice
from handline.walking.drinking import KG_PER_L
from handline.walking.grade_models import FloatArray

MARKS = (0.20, 0.30)
"""Pack over body mass that many people like to stay below, and that is heavy for a long day. [practice_pack_marks]"""


@dataclass(frozen=True)
class GearItem:
    """A line of the gear list.

    ``mass_kg`` is that of one piece. ``shared``: the party has ``count`` of it; else every member has ``count``, or
    only ``who`` where a name stands there. ``worn``: on the body, not in the pack.
    """

    name: str
    mass_kg: float
    count: int = 1
    shared: bool = False
    worn: bool = False
    who: str | None = None

    def __post_init__(self) -> None:
        if not (np.isfinite(self.mass_kg) and self.mass_kg >= 0.0):
            raise ValueError(f"{self.name}: mass_kg must be finite and 0 or more")
        if self.count < 1:
            raise ValueError(f"{self.name}: count must be 1 or more")
        if self.shared and (self.worn or self.who is not None):
            raise ValueError(f"{self.name}: what the party shares is neither worn nor one member's")


@dataclass(frozen=True)
class Member:
    """Who carries. ``strength`` only counts against the others': twice the strength, twice the share."""

    name: str
    body_mass_kg: float
    strength: float = 1.0

    def __post_init__(self) -> None:
        if not (np.isfinite(self.body_mass_kg) and self.body_mass_kg > 0.0):
            raise ValueError(f"{self.name}: body_mass_kg must be finite and above 0")
        if not (np.isfinite(self.strength) and self.strength >= 0.0):
            raise ValueError(f"{self.name}: strength must be finite and 0 or more")


SPLITS: Mapping[str, Callable[[Member], float]] = MappingProxyType(
    {
        "even": lambda member: 1.0,
        "by body mass": lambda member: member.body_mass_kg,
        "by strength": lambda member: member.strength,
    }
)
"""Rules for shared gear: how much of it is a member's, against the others. [our_gear_split]"""


@dataclass(frozen=True, eq=False)
class Packs:
    """What each member sets out with; arrays of shape (members,), masses in kg.

    ``fair_kg`` is what the rule gives of the shared gear, ``shared_kg`` what whole pieces come to; ``pieces`` has the
    names of those pieces for each member. ``share`` is the pack over body mass [1]; ``flags`` for each member.
    """

    members: tuple[Member, ...]
    own_kg: FloatArray
    shared_kg: FloatArray
    fair_kg: FloatArray
    worn_kg: FloatArray
    food_kg: FloatArray
    water_kg: FloatArray
    pieces: tuple[tuple[str, ...], ...]
    flags: tuple[tuple[str, ...], ...]

    @property
    def gear_kg(self) -> FloatArray:
        """Own and shared gear in the pack."""
        return self.own_kg + self.shared_kg

    @property
    def pack_kg(self) -> FloatArray:
        """The pack, with food and water."""
        return self.gear_kg + self.food_kg + self.water_kg

    @property
    def load_kg(self) -> FloatArray:
        """The pack and what is worn: what the effort models count."""
        return self.pack_kg + self.worn_kg

    @property
    def share(self) -> FloatArray:
        """The pack over body mass [1]."""
        return self.pack_kg / np.array([member.body_mass_kg for member in self.members])


def pack(
    members: Sequence[Member],
    items: Sequence[GearItem],
    *,
    split: str = "even",
    food_kg: npt.ArrayLike = 0.0,
    water_L: npt.ArrayLike = 0.0,
) -> Packs:
    """Share out the gear and weigh the packs.

    Parameters
    ----------
    members, items : sequences
        The party and its gear list.
    split : str
        A key of ``SPLITS``.
    food_kg, water_L : array_like, shape (members,) or one for all
        What each sets out with [kg], [L].

    Returns
    -------
    Packs
        Flags: ``pack_over_first_mark``, ``pack_over_second_mark``, ``load_over_body_mass``; data, not verdicts.

    Raises
    ------
    InputError
        No such rule.
    ValueError
        No members, two of one name, gear of somebody who is not there, nobody with any strength, or food or water
        missing or below 0.

    Validity: any. A load over body mass is allowed and flagged.
    Notes: pieces are handed out whole, the heaviest first, each to whoever is then farthest below the rule's share, so
    nothing is lost or carried twice.
    Sources: our_gear_split, practice_pack_marks, practice_water.
    """
    party = tuple(members)
    _check_party(party, items)
    names = [member.name for member in party]
    own, worn = np.zeros(len(party)), np.zeros(len(party))
    pieces: list[tuple[float, str]] = []
    for item in items:
        if item.shared:
            pieces += [(item.mass_kg, item.name)] * item.count
        else:
            where = worn if item.worn else own
            where[slice(None) if item.who is None else names.index(item.who)] += item.mass_kg * item.count
    fair_kg = _shares(party, split) * sum(mass for mass, _ in pieces)
    shared_kg, handed = _hand_out(pieces, fair_kg)
    packs = Packs(
        members=party,
        own_kg=own,
        shared_kg=shared_kg,
        fair_kg=fair_kg,
        worn_kg=worn,
        food_kg=_each(food_kg, len(party), "food_kg"),
        water_kg=KG_PER_L * _each(water_L, len(party), "water_L"),
        pieces=handed,
        flags=tuple(() for _ in party),
    )
    return _flagged(packs)


def _shares(party: tuple[Member, ...], split: str) -> FloatArray:
    try:
        rule = SPLITS[split]
    except KeyError:
        raise InputError(unknown_choice("rule for shared gear", split, tuple(SPLITS))) from None
    weights = np.array([rule(member) for member in party])
    if not weights.sum() > 0.0:
        raise ValueError("somebody must have a strength above 0")
    shares: FloatArray = weights / weights.sum()
    return shares


def _hand_out(
    pieces: Sequence[tuple[float, str]], fair_kg: FloatArray
) -> tuple[FloatArray, tuple[tuple[str, ...], ...]]:
    """Whole pieces, the heaviest first, each to who is farthest below the fair share; the first of equals."""
    carried = np.zeros_like(fair_kg)
    handed: list[list[str]] = [[] for _ in fair_kg]
    # Who is to carry nothing gets nothing, whatever the others have by then.
    carriers = np.flatnonzero(fair_kg > 0.0) if bool(np.any(fair_kg > 0.0)) else np.arange(fair_kg.size)
    for mass_kg, name in sorted(pieces, key=lambda piece: -piece[0]):
        taker = carriers[int(np.argmax(fair_kg[carriers] - carried[carriers]))]
        carried[taker] += mass_kg
        handed[taker].append(name)
    return carried, tuple(tuple(names) for names in handed)


def _flagged(packs: Packs) -> Packs:
    over = {
        "pack_over_first_mark": (packs.share > MARKS[0]) & (packs.share <= MARKS[1]),
        "pack_over_second_mark": packs.share > MARKS[1],
        "load_over_body_mass": packs.load_kg > np.array([member.body_mass_kg for member in packs.members]),
    }
    flags = tuple(tuple(flag for flag, where in over.items() if where[i]) for i in range(len(packs.members)))
    return Packs(**{**vars(packs), "flags": flags})


def _each(given: npt.ArrayLike, members: int, name: str) -> FloatArray:
    values = np.asarray(given, float)
    if not bool(np.all(np.isfinite(values) & (values >= 0.0))):
        raise ValueError(f"{name} must be finite and 0 or more")
    if values.shape not in ((), (members,)):
        raise ValueError(f"{name} must be one number or one for each of {members} members")
    return np.broadcast_to(values, (members,))


def _check_party(party: tuple[Member, ...], items: Sequence[GearItem]) -> None:
    names = [member.name for member in party]
    if not names:
        raise ValueError("members must be one or more")
    if len(set(names)) < len(names):
        raise ValueError(f"members must have names of their own: {', '.join(names)}")
    strangers = [f"{item.name}: {item.who}" for item in items if item.who is not None and item.who not in names]
    if strangers:
        raise ValueError(f"gear of somebody who is not there: {'; '.join(strangers)}; members are {', '.join(names)}")
