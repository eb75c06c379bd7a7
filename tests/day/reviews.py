"""Reviews the tests share: simulated days of the example, recorded whole or in part."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from handline.day.review import Review, review
from handline.trip.model import Trip
from tests.day.recordings import Walk, gpx_of, simulated, tamsin, tamsin_setting, walk_of

HOUR_S = 3600.0
DAYS = (0, 11, 222, 333, 444, 555, 777, 888, 999, 1234, 1555, 1900)


@lru_cache(maxsize=40)
def whole(folder: Path, day: int) -> Review:
    """The review of one simulated day of another seed, recorded whole."""
    setting = tamsin_setting()
    walked = walk_of(setting, simulated(setting, seed=77), day)
    return review(tamsin(), gpx_of(setting, walked, folder / f"day-{day}.gpx", seed=day))


def partly(folder: Path, name: str, walked: Walk, trip: Trip | None = None, **how: object) -> Review:
    path = gpx_of(tamsin_setting(), walked, folder / f"{name}.gpx", **how)  # type: ignore[arg-type]
    return review(trip or tamsin(), path)


def one_walk(day: int = 11) -> Walk:
    setting = tamsin_setting()
    return walk_of(setting, simulated(setting, seed=77), day)


def missing(reviewed: Review) -> list[str]:
    return [passing.missing for passing in reviewed.passings]
