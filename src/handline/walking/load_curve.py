"""What each pack weighs along the way, as water is drunk and filled in, food eaten, and gear left and picked up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.walking.drinking import KG_PER_L
from handline.walking.grade_models import FloatArray
from handline.walking.water_plan import WaterPlan


@dataclass(frozen=True, eq=False)
class Cache:
    """Gear left at one station and picked up at a later one; ``picked_at`` None: left for good. By walker [kg]."""

    mass_kg: npt.ArrayLike
    left_at: int
    picked_at: int | None = None


@dataclass(frozen=True, eq=False)
class LoadCurve:
    """Mass at every passing.

    ``distance_m`` has each station twice, on coming and on going; in between it is a straight line. ``mass_kg`` and
    its parts have shape (walkers, 2 stations); ``flags`` are keys of ``CARRIED_FLAGS``.
    """

    distance_m: FloatArray
    gear_kg: FloatArray
    food_kg: FloatArray
    water_kg: FloatArray
    flags: tuple[str, ...]

    @property
    def mass_kg(self) -> FloatArray:
        """Gear, food and water together."""
        return self.gear_kg + self.food_kg + self.water_kg

    @property
    def leg_mean_kg(self) -> FloatArray:
        """The mean on each leg, shape (walkers, legs): what pace and effort of the leg are reckoned with."""
        mass = self.mass_kg
        mean: FloatArray = 0.5 * (mass[:, 1:-1:2] + mass[:, 2::2])
        return mean


def load_curve(
    water: WaterPlan,
    distance_m: npt.ArrayLike,
    *,
    gear_kg: npt.ArrayLike,
    food_kg: npt.ArrayLike = 0.0,
    eaten_kg: npt.ArrayLike = 0.0,
    eaten_here_kg: npt.ArrayLike = 0.0,
    caches: Sequence[Cache] = (),
) -> LoadCurve:
    """Weigh each pack on coming to and going from every station.

    Parameters
    ----------
    water : WaterPlan
        Its walkers and stations are those of the curve.
    distance_m : array_like, shape (stations,)
        Along the way, from the start [m].
    gear_kg, food_kg : array_like, shape (walkers,) or one for all
        What each sets out with [kg].
    eaten_kg, eaten_here_kg : array_like, broadcast to (walkers, legs) and to (walkers, stations)
        Food eaten on each leg, and at each station [kg].
    caches : sequence of Cache
        Gear that stays behind for a while.

    Returns
    -------
    LoadCurve
        [m], [kg]. Nothing falls below 0: ``food_runs_out`` where more is eaten than there is, ``gear_not_there`` where
        more gear is left than is carried; then only what there is goes, and only that is picked up again.

    Raises
    ------
    ValueError
        Shapes that do not fit, anything missing or below 0, distances that go back, or a cache picked up before it is
        left, or at a station that is not there.

    Validity: drinking and eating are spread evenly along a leg. Sources: practice_water, our_load_curve.
    """
    walkers, stations = water.arrive_L.shape
    distance = np.asarray(distance_m, float)
    if distance.shape != (stations,):
        raise ValueError(f"distance_m must have one for each of {stations} stations; it has shape {distance.shape}")
    if not bool(np.all(np.isfinite(distance))) or bool(np.any(np.diff(distance) < 0.0)):
        raise ValueError("distance_m must be finite and never go back")
    gear = _mass(gear_kg, (walkers,), "gear_kg")
    food = _mass(food_kg, (walkers,), "food_kg")
    on_way = _mass(eaten_kg, (walkers, stations - 1), "eaten_kg")
    here = _mass(eaten_here_kg, (walkers, stations), "eaten_here_kg")
    food_curve, hungry = _food(food, on_way, here)
    gear_curve, missing = _gear(gear, stations, caches)
    flags = {"food_runs_out": hungry, "gear_not_there": missing}
    return LoadCurve(
        distance_m=np.repeat(distance, 2),
        gear_kg=gear_curve,
        food_kg=food_curve,
        water_kg=KG_PER_L * _woven(water.arrive_L, water.leave_L),
        flags=tuple(flag for flag, raised in flags.items() if raised),
    )


def _woven(coming: FloatArray, going: FloatArray) -> FloatArray:
    """Two arrays of shape (walkers, stations) as one of (walkers, 2 stations), station by station."""
    woven: FloatArray = np.stack([coming, going], axis=2).reshape(coming.shape[0], -1)
    return woven


def _food(food_kg: FloatArray, on_way_kg: FloatArray, here_kg: FloatArray) -> tuple[FloatArray, bool]:
    """What is left of the food after each meal, in the order of the day."""
    meals = np.zeros((food_kg.size, 2 * here_kg.shape[1]))
    meals[:, 1::2], meals[:, 2::2] = here_kg, on_way_kg
    left = food_kg[:, None] - np.cumsum(meals, axis=1)
    # A last meal of just what there is must not count as hunger by the last digit of a sum.
    return np.maximum(left, 0.0), bool(np.any(left < -1e-9))


def _gear(gear_kg: FloatArray, stations: int, caches: Sequence[Cache]) -> tuple[FloatArray, bool]:
    coming, going = (np.repeat(gear_kg[:, None], stations, axis=1) for _ in range(2))
    missing = False
    for cache in sorted(caches, key=lambda one: one.left_at):
        back_at = stations if cache.picked_at is None else cache.picked_at
        if not 0 <= cache.left_at < stations or (cache.picked_at is not None and cache.picked_at >= stations):
            raise ValueError(f"a cache must be at one of the {stations} stations, counted from 0")
        if back_at <= cache.left_at:
            raise ValueError("a cache must be picked up at a later station than it is left at")
        wanted = _mass(cache.mass_kg, gear_kg.shape, "mass_kg of a cache")
        left = np.minimum(wanted, going[:, cache.left_at])
        missing |= bool(np.any(left < wanted))
        going[:, cache.left_at : back_at] -= left[:, None]
        coming[:, cache.left_at + 1 : back_at + 1] -= left[:, None]
    return _woven(coming, going), missing


def _mass(given: npt.ArrayLike, shape: tuple[int, ...], name: str) -> FloatArray:
    values = np.asarray(given, float)
    if not bool(np.all(np.isfinite(values) & (values >= 0.0))):
        raise ValueError(f"{name} must be finite and 0 or more")
    try:
        return np.broadcast_to(values, shape)
    except ValueError:
        raise ValueError(f"{name} must fit the shape {shape}; it has shape {values.shape}") from None
