"""How much of its words each page of the card tries to hold, and in which type: everything in big type first.

What gives way, in this order: the size of the type, the length of lists, then places on the way. What is left out is
counted in words, and no finding at "stop" goes before one at "heed".
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from handline.brief import card_words as words
from handline.brief.card_places import Places, place_choices
from handline.day.plan import Plan

# Sizes of type, 1 being ten points.
BIG = (1.3, 1.27, 1.24, 1.21, 1.18, 1.15, 1.12, 1.09, 1.06, 1.03)
SMALL = (0.95, 0.9, 0.85)
SMALLEST = (0.8, 0.75, 0.7, 0.65, 0.6, 0.55, 0.5, 0.45, 0.4, 0.35)
_ALL = 1000

Try = dict[str, Any]
"""``words`` for the page and the ``scale`` of its type."""


def front_tries(plan: Plan) -> list[Try]:
    """The first page: passing times, water, permits."""
    return list(_front(plan))


def _front(plan: Plan) -> Iterator[Try]:
    everywhere, looked_for, needed = (place_choices(plan, most) for most in (2, 1, 0))
    lists = [(_ALL, True), (6, True), (4, False)]
    for scale in BIG:
        yield _front_try(plan, everywhere[0], *lists[0], scale)
    for places in everywhere:
        yield _front_try(plan, places, *lists[0], 1.0)
    for much in lists[1:]:
        yield _front_try(plan, everywhere[-1], *much, 1.0)
    for scale in SMALL:
        yield _front_try(plan, everywhere[-1], *lists[-1], scale)
    for places in (*looked_for, *needed):
        yield _front_try(plan, places, *lists[-1], 1.0)
    for scale in (*SMALL, *SMALLEST):
        yield _front_try(plan, needed[-1], *lists[-1], scale)


def _front_try(plan: Plan, places: Places, waters: int, documents: bool, scale: float) -> Try:
    told = {
        "places": asdict(places),
        "water": asdict(words.water_said(plan, waters)),
        "permits": asdict(words.permits_said(plan, documents)),
    }
    return {"words": told, "scale": scale}


def back_tries(plan: Plan) -> list[Try]:
    """The second page: what to act on, tethers."""
    lists = [(_ALL, True), (8, True), (8, False), (5, False), (3, False)]
    tries = [_back_try(plan, *lists[0], scale) for scale in (*BIG, 1.0, *SMALL[:2])]
    tries += [_back_try(plan, *much, 1.0) for much in lists[1:]]
    return tries + [_back_try(plan, *lists[-1], scale) for scale in (*SMALL, *SMALLEST)]


def _back_try(plan: Plan, findings: int, tethers: bool, scale: float) -> Try:
    told = {
        "findings": asdict(words.findings_said(plan, findings)),
        "tethers": asdict(words.tethers_said(plan, tethers)),
    }
    return {"words": told, "scale": scale}
