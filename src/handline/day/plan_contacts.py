"""Who waits, whom to call and from when on, for the Plan."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ContactsPlan:
    """People and the car as typed, empty where nothing is.

    ``overdue_clock_s`` is from when on the party is overdue, to the quarter of an hour [s after local midnight of the
    date]; ``overdue_says`` what it stands on. ``home_by_clock_s`` is the typed limit for being home, None without one;
    ``later_home_clock_s`` the latest time home, or else that limit, where it lies later than overdue, else None.
    """

    leader: str
    waiting: str
    call: tuple[str, ...]
    car: str
    names: tuple[str, ...]
    overdue_clock_s: float
    overdue_says: str
    home_by_clock_s: float | None
    later_home_clock_s: float | None
