"""What ``handline crowd`` and ``handline quota`` are asked with, read and refused as a trip file is."""

from __future__ import annotations

from dataclasses import dataclass

from handline.day.crowd_reporting import USUAL_DAYS
from handline.day.quota_reporting import FEWEST_QUOTA_DAYS, USUAL_LIMIT_S, USUAL_QUOTA_DAYS
from handline.day.typed_options import amount, whole
from handline.errors import InputError, Problem
from handline.trip.amount import Amount, Number
from handline.trip.day_model import MOST_PEOPLE

PEOPLE, DAYS, LIMIT = "--people", "--days", "--limit"
FEWEST_CROWD_DAYS, MOST_DAYS = 20, 20_000

_PEOPLE = Number(1, MOST_PEOPLE, whole=True)
_LIMIT = Amount("duration", "1 min", "12 h")


@dataclass(frozen=True)
class Asked:
    """What was asked: people a day or None, days, and the longest wait [s]."""

    people: int | None
    days: int
    limit_s: float


def asked_crowd(people: str | None, days: str | None) -> Asked:
    """The options of ``handline crowd`` as typed, read.

    Raises
    ------
    InputError
        Everything that cannot be used, each with its option.
    """
    return _asked(people, days, None, FEWEST_CROWD_DAYS, USUAL_DAYS)


def asked_quota(people: str | None, days: str | None, limit: str | None) -> Asked:
    """The options of ``handline quota`` as typed, read.

    Raises
    ------
    InputError
        Everything that cannot be used, each with its option.
    """
    return _asked(people, days, limit, FEWEST_QUOTA_DAYS, USUAL_QUOTA_DAYS)


def _asked(people: str | None, days: str | None, limit: str | None, fewest: int, usual_days: int) -> Asked:
    number = Number(fewest, MOST_DAYS, whole=True, few="fewer days tell too little", many="more tell no more")
    problems: list[Problem] = []
    wanted = Asked(
        people=whole(PEOPLE, people, _PEOPLE, problems),
        days=whole(DAYS, days, number, problems) or usual_days,
        limit_s=amount(LIMIT, limit, _LIMIT, problems) or USUAL_LIMIT_S,
    )
    if problems:
        raise InputError(problems)
    return wanted
