"""Where a Plan may hold a number that is none, and why: every other place is a fault.

Places are written as in the JSON, with [] for any item of a list. Beside each stands what must be true of the object
that holds the number, so that a reader can tell from it why there is none.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from types import MappingProxyType
from typing import Any

from handline.day.plan import Plan

Holder = Any
Flag = Callable[[Holder, Plan], bool]


@dataclass(frozen=True)
class NotKnown:
    """Why a number may be none, and the flag beside it."""

    why: str
    flag: Flag


def _always(holder: Holder, plan: Plan) -> bool:
    return True


_NO_EVENT = NotKnown("no such event on this date, as in polar days, or of a moon that stays down", _always)
_HEAT = NotKnown(
    "the weather on that leg is not known, so a warm day is taken",
    lambda leg, plan: any("weather is not known" in note for note in plan.load.notes),
)
_STANDS = NotKnown(
    "two passings at one place: the leg between them has no length, and nobody walks",
    lambda leg, plan: any(one.length_m == 0.0 for one in plan.legs if (one.start, one.end) == (leg.start, leg.end)),
)
_THERE = NotKnown(
    "the weather there is not known as often as counts: then nothing is said of it",
    lambda there, plan: there.felt is None and math.isnan(there.rain_share) and all(map(math.isnan, there.wind_m_s)),
)
_HOUR = NotKnown("the forecast does not hold this hour", lambda hour, plan: math.isnan(hour.rain_share))
_HANDS = NotKnown("the feet hold, so nothing tires the hands", lambda load, plan: load.hands == 0)

NOT_KNOWN: Mapping[str, NotKnown] = MappingProxyType(
    {
        **{
            f"light.{event}_clock_s": _NO_EVENT
            for event in ("civil_dawn", "sunrise", "sunset", "civil_dusk", "moonrise", "moonset")
        },
        **{
            f"sky.places[].{which}_clock_s": NotKnown("the sun does not come or go that day", _always)
            for which in ("first", "last")
        },
        **{
            f"line.bays[].hands_{way}[].endurance_{who}_s": _HANDS for way in ("up", "down") for who in ("men", "women")
        },
        "line.tethers[].outcomes[].force_N[]": NotKnown(
            "the tether stops nothing anywhere", lambda outcome, plan: outcome.stopped_share == 0.0
        ),
        "route.raw_up_m": NotKnown(
            "typed legs have no recorded heights to sum", lambda route, plan: not route.track_latitude_deg
        ),
        "load.legs[].rate_W[]": _STANDS,
        "load.members[].legs[].rate_W[]": _STANDS,
        "load.legs[].wbgt_C": _HEAT,
        "load.members[].legs[].wbgt_C": _HEAT,
        **{f"weather.there[].{what}": _THERE for what in ("temperature_C[]", "wind_m_s[]", "rain_share")},
        **{
            f"weather.hours[].{what}": _HOUR
            for what in ("temperature_C[]", "wind_m_s[]", "rain_share", "rain_mm", "cloud_share", "rock_C[]")
        },
        "load.settling.ratio": NotKnown("packs as typed need no settling", lambda settling, plan: settling.steps == 0),
    }
)


def not_finite(value: Any, at: str = "", holder: Holder = None) -> Iterator[tuple[str, Holder]]:
    """Every place of a result with a number that is none, and the object that holds it."""
    if is_dataclass(value) and not isinstance(value, type):
        for part in fields(value):
            yield from not_finite(getattr(value, part.name), f"{at}.{part.name}".removeprefix("."), value)
    elif isinstance(value, tuple | list):
        for item in value:
            yield from not_finite(item, f"{at}[]", holder)
    elif isinstance(value, float) and not math.isfinite(value):
        yield at, holder


def unflagged(plan: Plan) -> list[str]:
    """The places of a Plan with a number that is none and no reason to be."""
    found = []
    for place, holder in not_finite(plan):
        known = NOT_KNOWN.get(place)
        if known is None or not known.flag(holder, plan):
            found.append(place)
    return sorted(set(found))
