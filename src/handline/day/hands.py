"""Where hands give out first on the line, told in words, for every state of the rock and both ways."""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.line_passage import gloves_of, rate_of_m_s
from handline.day.line_setting import LineSetting
from handline.line.friction import ROCKS, Rock
from handline.line.geometry import UP, WAYS, bays
from handline.line.grip import GRIPS, WEAKER, Glove, Grip
from handline.line.tired_hands import TOO_MUCH, GivesOut, HandsTire, hands_tire
from handline.quantity import Units, show_length, show_share

# Nearer to an end of the line than this is told as that end.
_AT_AN_END_M = 0.1


@dataclass(frozen=True)
class HandsFail:
    """Where hands give out first on one state of the rock, one way.

    By the weaker norm: half of all women hold less. ``at_m`` is along the line from its foot and ``bay`` counts from 0
    at the foot; both are None where those hands last all the way. ``says`` tells it in a sentence.
    """

    rock: str
    at_m: float | None
    bay: int | None
    says: str
    way: str


def hands_fail(setting: LineSetting) -> tuple[HandsFail, ...]:
    """Where hands give out first, for every state of the rock, up before down."""
    return tuple(hands_fail_on(setting, rock, way) for rock in ROCKS.values() for way in WAYS)


def hands_fail_on(setting: LineSetting, rock: Rock, way: str) -> HandsFail:
    """Where hands give out first on one state of the rock, one way."""
    glove = gloves_of(setting.trip, way)
    tires = {grip.key: _tires(setting, rock, glove, way, grip) for grip in GRIPS.values()}
    weaker = tires[WEAKER.key].gives_out
    start = f"{rock.name.capitalize()} rock, {'going up' if way == UP else 'coming down'} in {glove.title}: "
    units = setting.trip.about.units
    if weaker is None:
        used = tires[WEAKER.key].most_used_share
        what = f"between two rests the hands of a {WEAKER.title} give at most {show_share(used)} of what they have."
        return HandsFail(rock.name, None, None, start + what if used > 0.0 else f"{start}the feet hold.", way)
    length_m = setting.line.length_m
    bay = f"in bay {weaker.bay + 1} of {len(bays(setting.line))}"
    what = (
        f"the hands of a {WEAKER.title} give out {_place(weaker, length_m, units)}, {bay}, {_why(weaker)}; "
        f"{_others(tires, length_m, units)}."
    )
    return HandsFail(rock.name, weaker.at_m, weaker.bay, start + what, way)


def _tires(setting: LineSetting, rock: Rock, glove: Glove, way: str, grip: Grip) -> HandsTire:
    rate_m_s = rate_of_m_s(setting.trip, way)
    return hands_tire(setting.line, setting.body_mass_kg, rock, glove, rate_m_s, way, grip)


def _place(found: GivesOut, length_m: float, units: Units) -> str:
    if found.at_m < _AT_AN_END_M:
        return "at its foot"
    if found.at_m > length_m - _AT_AN_END_M:
        return "at its head"
    return f"{show_length(found.at_m, units)} up the line"


def _why(found: GivesOut) -> str:
    return "where the pull is more than both can hold" if found.why == TOO_MUCH else "tired before a rest"


def _others(tires: dict[str, HandsTire], length_m: float, units: Units) -> str:
    """What the other norm's hands do."""
    parts = []
    for grip in GRIPS.values():
        if grip.key != WEAKER.key:
            found = tires[grip.key].gives_out
            does = "last all the way" if found is None else f"give out {_place(found, length_m, units)}"
            parts.append(f"those of a {grip.title} {does}")
    return ", ".join(parts)
