"""One climber's way along the line of a trip, alone, with the tether, gloves and rock of the day."""

from __future__ import annotations

from handline.line.friction import Rock
from handline.line.geometry import DOWN, UP, Line
from handline.line.grip import BARE, GLOVES, LEATHER, Glove
from handline.line.passage import Passage, passage
from handline.line.tethers import NONE, Tether
from handline.line.tired_hands import hand_rests_s
from handline.trip.model import Trip


def gloves_of(trip: Trip, way: str) -> Glove:
    """What is on the hands that way: as typed; else leather where gloves are carried, and bare hands where not."""
    usual = LEATHER if "gloves" in trip.gear.has else BARE
    return GLOVES[{UP: trip.line.gloves_up, DOWN: trip.line.gloves_down}[way] or usual]


def rate_of_m_s(trip: Trip, way: str) -> float:
    """How fast the party moves along the cable that way [m/s]."""
    return {UP: trip.line.climb_rate_m_s, DOWN: trip.line.descend_rate_m_s}[way]


def changeover_of_s(trip: Trip, tether: Tether) -> float:
    """Time to move a tether past one stop: as typed, else as is usual for it; none where there is no tether. [s]"""
    if tether.kind == NONE:
        return 0.0
    return tether.changeover_s if trip.line.changeover_s is None else trip.line.changeover_s


def rests_of_s(trip: Trip, line: Line, rock: Rock, way: str) -> tuple[float, ...]:
    """The rests the hands of the heaviest need in each bay, foot first [s]; no tether changes them."""
    return hand_rests_s(line, trip.party.loaded_kg, rock, gloves_of(trip, way), rate_of_m_s(trip, way))


def passage_of(
    trip: Trip, line: Line, tether: Tether, rock: Rock, way: str, rests_s: tuple[float, ...] | None = None
) -> Passage:
    """One climber's way along this line with this tether, by bays in the order of walking.

    ``rests_s`` is what ``rests_of_s`` gave, where it is known already.
    """
    return passage(
        line,
        way,
        rate_m_s=rate_of_m_s(trip, way),
        arms=tether.arms,
        changeover_s=changeover_of_s(trip, tether),
        stance_rest_s=trip.line.stance_rest_s,
        hand_rest_s=rests_of_s(trip, line, rock, way) if rests_s is None else rests_s,
    )
