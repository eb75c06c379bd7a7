"""What ``handline options`` is asked with, read and refused as a trip file is."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from pydantic_core import PydanticCustomError

from handline.day.file_checks import unknown_tether
from handline.day.line_planning import SHOWN
from handline.day.start_sweep import SWEEP_DAYS
from handline.day.typed_options import whole
from handline.errors import InputError, Problem
from handline.line.tethers import TETHERS
from handline.trip.amount import Number
from handline.trip.model import Trip
from handline.trip.problems import as_typed
from handline.trip.words import Day

DATE, TETHERS_OPTION, DAYS = "--date", "--tethers", "--days"
PLANNED: Literal["planned"] = "planned"
BEST: Literal["best"] = "best"
USUAL_DAYS = SWEEP_DAYS
# With fewer days a chance of nine in ten is known to three points only; a trip file takes no fewer either.
FEWEST_DAYS, MOST_DAYS = 100, 20_000

_DAYS = Number(FEWEST_DAYS, MOST_DAYS, whole=True, few="fewer days tell too little", many="more tell no more")

Dates = dt.date | Literal["planned", "best"]


@dataclass(frozen=True)
class Asked:
    """What was asked: a date, the planned one or each way's best; names of tethers in their order; days."""

    dates: Dates
    tethers: tuple[str, ...]
    days: int


def asked_options(trip: Trip, dates: str | None, tethers: str | None, days: str | None) -> Asked:
    """The options of ``handline options`` as typed, read.

    Parameters
    ----------
    trip : Trip
    dates : str, optional
        "YYYY-MM-DD", "planned" or "best"; left out, as planned.
    tethers : str, optional
        Names with commas between them; left out, those a brief shows. What the file chooses always stands beside them.
    days : str, optional
        A whole number.

    Raises
    ------
    InputError
        Everything that cannot be used, each with its option.
    """
    problems: list[Problem] = []
    asked = Asked(
        dates=_dates(dates, problems),
        tethers=_tethers(trip, tethers, problems),
        days=whole(DAYS, days, _DAYS, problems) or USUAL_DAYS,
    )
    if problems:
        raise InputError(problems)
    return asked


def _dates(text: str | None, problems: list[Problem]) -> Dates:
    word = PLANNED if text is None else text.strip()
    if word == PLANNED:
        return PLANNED
    if word == BEST:
        return BEST
    try:
        return Day().read(word)
    except PydanticCustomError as error:
        refused: Problem = (error.context or {})["problem"]
        allowed = f'a day such as 2027-07-17, or "{PLANNED}", or "{BEST}"'
        problems.append(Problem(refused.what, as_typed(word), allowed, refused.mend, key=DATE))
        return PLANNED


def _tethers(trip: Trip, text: str | None, problems: list[Problem]) -> tuple[str, ...]:
    own = [tether.name for tether in trip.tethers.own]
    known = [*TETHERS, *own]
    if text is None:
        return tuple(name for name in known if name in (*SHOWN, trip.tethers.chosen, *own))
    typed = list(_names(text))
    problems += [unknown_tether(name[:80], known).at(key=TETHERS_OPTION) for name in typed if name not in known]
    if not typed:
        problems.append(
            Problem("no tether is named", as_typed(text), ", ".join(known), "name some, a comma between two",
                    key=TETHERS_OPTION)
        )  # fmt: skip
    return tuple(name for name in known if name in (*typed, trip.tethers.chosen))


def _names(text: str) -> Iterator[str]:
    for name in text.split(","):
        if name.strip():
            yield name.strip()
