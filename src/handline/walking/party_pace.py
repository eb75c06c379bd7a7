"""The walking time of every member on every leg, by every model of the mix, and what each factor adds.

Factors apply one after the other, in the order of ``FACTORS``, segment by segment: the speed that one leaves is the
speed the next begins with. What a factor does to a leg is the time of the leg after it over the time before it, so the
factors of a leg multiply to the whole.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from handline.walking.altitude import altitude_factor
from handline.walking.grade_models import FloatArray
from handline.walking.group import group_factor
from handline.walking.load import load_factor
from handline.walking.mix import DEFAULT_MIX, MixTimes, mix_times
from handline.walking.pace import walking_time
from handline.walking.registry import pace_model
from handline.walking.snow import snow_factor
from handline.walking.walker import FITNESS, LEAST_SHARE, USUAL_FITNESS, OwnPace, Walker

FACTORS = ("fitness", "load", "altitude", "snow", "ground", "group")
"""In the order in which they apply. Slowing over a long day and the dark depend on the clock and come later."""


@dataclass(frozen=True, eq=False)
class LegGround:
    """One leg as segments, all arrays of one shape (k,).

    ``run_m``, ``rise_m`` and the middle ``elevation_m`` [m], NaN where heights are not known; ``surface_factor`` is the
    time factor of the ground; ``snow_m`` is how deep a foot sinks, NaN where there is no snow. ``up_m`` is the climb
    counted on the leg.
    """

    run_m: FloatArray
    rise_m: FloatArray
    elevation_m: FloatArray
    surface_factor: FloatArray
    snow_m: FloatArray
    up_m: float


@dataclass(frozen=True, eq=False)
class PartyTimes:
    """Walking times without rests, spread, slowing over the day and the dark.

    ``mix`` is the published mix as it stands. ``time_s`` has shape (models, walkers, legs); ``sigma`` one value a
    walker, NaN where the party's spread of pace counts. ``factor`` has for every one of FACTORS shape (walkers, legs),
    1 where it is switched off. ``flags`` has every flag raised.
    """

    mix: MixTimes
    time_s: FloatArray
    sigma: FloatArray
    factor: Mapping[str, FloatArray]
    flags: tuple[str, ...]


@dataclass(frozen=True, eq=False)
class _Way:
    """All legs laid end to end; leg j has the segments from ``first[j]`` to ``first[j + 1]``."""

    legs: Sequence[LegGround]
    first: tuple[int, ...]
    run_m: FloatArray = field(init=False)
    rise_m: FloatArray = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "run_m", self.joined("run_m"))
        object.__setattr__(self, "rise_m", self.joined("rise_m"))

    def joined(self, name: str) -> FloatArray:
        return np.concatenate([np.empty(0), *(np.asarray(getattr(leg, name), float) for leg in self.legs)])

    @property
    def grade(self) -> FloatArray:
        return np.divide(self.rise_m, self.run_m, out=np.zeros_like(self.run_m), where=self.run_m > 0.0)

    def model_s(self, key: str) -> FloatArray:
        """The time of each leg by one model."""
        return np.array([walking_time(key, leg.run_m, leg.rise_m).time_s for leg in self.legs], float)

    def on_segments(self, of_leg: FloatArray) -> FloatArray:
        """One value a leg as one value a segment."""
        return np.repeat(of_leg, np.diff(self.first))

    def by_leg(self, segment: FloatArray) -> FloatArray:
        """Sums over each leg; legs without segments have 0."""
        total = np.concatenate(([0.0], np.cumsum(segment)))
        bounds = np.array(self.first)
        summed: FloatArray = total[bounds[1:]] - total[bounds[:-1]]
        return summed


def party_times(
    legs: Sequence[LegGround],
    walkers: Sequence[Walker],
    mix: Mapping[str, float] = DEFAULT_MIX,
    *,
    on: frozenset[str] = frozenset(FACTORS),
    size: int = 1,
    group_per_person: float = 0.0,
    published: MixTimes | None = None,
) -> PartyTimes:
    """The walking times of a party.

    Parameters
    ----------
    legs : sequence of LegGround
    walkers : sequence of Walker
    mix : mapping
        Published model -> weight [1].
    on : set of str
        The factors that are switched on.
    size : int
        How many people walk together.
    group_per_person : float
        What each person past the fourth adds to everybody's time [1].
    published : MixTimes, optional
        What ``mix_times`` gives for these legs and this mix, where that is known already.

    Returns
    -------
    PartyTimes
        [s], in the order of ``mix``, ``walkers`` and ``legs``.

    Raises
    ------
    InputError
        An unknown model, or weights that do not sum to one.
    ValueError
        A walker with a load for some of the legs only.

    Validity: each model's and each factor's own; see the flags.
    Notes: two walkers who are alike get the same numbers, and are worked out once. A walker with a pace of their own
    has the same time under every model; a credit for climbing leaves at least half of the scaled model's time.
    Sources: our_factor_order, and each factor's own.
    """
    way = _Way(legs, tuple(np.cumsum([0, *(np.size(leg.run_m) for leg in legs)]).tolist()))
    if published is None:
        published = mix_times([(leg.run_m, leg.rise_m) for leg in legs], mix)
    group = group_factor(size, group_per_person) if "group" in on else 1.0
    alike: dict[tuple[object, ...], _WalkerTimes] = {}
    rows = []
    for walker in walkers:
        if walker.pack_by_leg_kg is not None and len(walker.pack_by_leg_kg) != len(legs):
            raise ValueError(
                f"pack_by_leg_kg has {len(walker.pack_by_leg_kg)} loads: it must have {len(legs)}, one a leg"
            )
        key = (walker.body_mass_kg, walker.pack_mass_kg, walker.pack_by_leg_kg, walker.fitness, walker.pace)
        if key not in alike:
            alike[key] = _walker_times(way, walker, published, on, group)
        rows.append(alike[key])
    return PartyTimes(
        mix=published,
        time_s=np.stack([row.time_s for row in rows], axis=1),
        sigma=np.array([np.nan if walker.pace is None else walker.pace.sigma for walker in walkers]),
        factor={key: np.stack([row.factor[key] for row in rows]) for key in FACTORS},
        flags=tuple(sorted({*published.flags, *(flag for row in rows for flag in row.flags)})),
    )


@dataclass(frozen=True, eq=False)
class _WalkerTimes:
    """One walker: ``time_s`` of shape (models, legs), each factor of shape (legs,)."""

    time_s: FloatArray
    factor: Mapping[str, FloatArray]
    flags: frozenset[str]


def _walker_times(way: _Way, walker: Walker, published: MixTimes, on: frozenset[str], group: float) -> _WalkerTimes:
    if walker.pace is not None:
        base_s = np.broadcast_to(_own_leg_s(way, walker.pace, published), published.time_s.shape)
        carried_kg = np.full(len(published.keys), walker.pace.carried_kg)
        fit = np.ones(base_s.shape)
    else:
        base_s = published.time_s
        carried_kg = np.array([pace_model(key).carried_kg for key in published.keys])
        fit = _fitness(way, walker.fitness if "fitness" in on else None, published)
    time_s = np.empty(base_s.shape)
    mean = {key: np.zeros(base_s.shape[1]) for key in FACTORS}
    middle_s = published.weights @ base_s
    mean["fitness"] = np.divide(
        published.weights @ (fit * base_s), middle_s, out=np.ones_like(middle_s), where=middle_s > 0.0
    )
    flags: set[str] = set()
    for carried in np.unique(carried_kg):
        of_these = carried_kg == carried
        weights = published.weights[of_these]
        segment_s = _segment_s(way, walker.pace, [published.keys[i] for i in np.flatnonzero(of_these)], weights)
        segment_s = segment_s * way.on_segments(np.average(fit[of_these], axis=0, weights=weights))
        factor, found = _factors(way, walker, segment_s, float(carried), on, group)
        flags |= found
        time_s[of_these] = fit[of_these] * base_s[of_these] * np.prod(list(factor.values()), axis=0)
        for key, of_leg in factor.items():
            mean[key] += weights.sum() * of_leg
    return _WalkerTimes(time_s, mean, frozenset(flags))


def _own_leg_s(way: _Way, pace: OwnPace, published: MixTimes) -> FloatArray:
    """The legs at a walker's own pace [s], shape (legs,)."""
    model_s = published.weights @ published.time_s if pace.model is None else way.model_s(pace.model)
    return _own_s(pace, model_s, np.array([leg.up_m for leg in way.legs]))


def _own_s(pace: OwnPace, model_s: FloatArray, up_m: FloatArray) -> FloatArray:
    scaled_s = pace.time_factor * model_s
    own_s: FloatArray = np.maximum(scaled_s + pace.climb_s_m * up_m, LEAST_SHARE * scaled_s)
    return own_s


def _segment_s(way: _Way, pace: OwnPace | None, keys: Sequence[str], weights: FloatArray) -> FloatArray:
    """About how long each segment takes [s]: what the factors that depend on speed begin with.

    The middle of the models that know segments; where none of these does, of the usual mix.
    """
    if pace is not None and pace.model is not None:
        own = walking_time(pace.model, way.run_m, way.rise_m).segment_s
        if own is not None:
            return _own_s(pace, own, np.maximum(way.rise_m, 0.0))
    scale = 1.0 if pace is None else pace.time_factor
    by_model = [(walking_time(key, way.run_m, way.rise_m).segment_s, w) for key, w in zip(keys, weights, strict=True)]
    known = [(segment_s, weight) for segment_s, weight in by_model if segment_s is not None]
    if not known:
        usual = [(walking_time(key, way.run_m, way.rise_m).segment_s, w) for key, w in DEFAULT_MIX.items()]
        known = [(segment_s, weight) for segment_s, weight in usual if segment_s is not None]
    middle: FloatArray = np.average([segment_s for segment_s, _ in known], axis=0, weights=[w for _, w in known])
    return scale * middle


def _factors(
    way: _Way, walker: Walker, segment_s: FloatArray, carried_kg: float, on: frozenset[str], group: float
) -> tuple[dict[str, FloatArray], set[str]]:
    """Each factor but fitness of each leg for one walker, shape (legs,), and the flags raised."""
    grade, recorded_m = way.grade, 0.0 if walker.pace is None else walker.pace.recorded_elevation_m
    pack_kg: FloatArray | float = walker.pack_mass_kg
    if walker.pack_by_leg_kg is not None:
        pack_kg = way.on_segments(np.array(walker.pack_by_leg_kg))
    # As the load rule has it: who walks with a lighter pack than was carried goes as if with that one.
    load_share = np.maximum(pack_kg, carried_kg) / walker.body_mass_kg
    found: set[str] = set()
    factor: dict[str, FloatArray] = {}
    before_s = way.by_leg(segment_s)
    ones = np.ones_like(segment_s)

    def apply(key: str, segment_factor: FloatArray) -> None:
        nonlocal segment_s, before_s
        # A step without length has no speed, and so no factor of its own: it gets the worst of the others.
        worst = float(np.max(segment_factor, where=np.isfinite(segment_factor), initial=1.0))
        segment_s = segment_s * np.where(np.isfinite(segment_factor), segment_factor, worst)
        after_s = way.by_leg(segment_s)
        factor[key] = np.divide(after_s, before_s, out=np.ones_like(after_s), where=before_s > 0.0)
        before_s = after_s

    def speed_m_s() -> FloatArray:
        return np.divide(way.run_m, segment_s, out=np.zeros_like(segment_s), where=segment_s > 0.0)

    if "load" in on:
        loaded = load_factor(
            speed_m_s(), grade, body_mass_kg=walker.body_mass_kg, pack_mass_kg=pack_kg, carried_kg=carried_kg
        )
        found |= set(loaded.flags)
    apply("load", loaded.time_factor if "load" in on else ones)
    if "altitude" in on:
        thin = altitude_factor(way.joined("elevation_m"), recorded_m)
        found |= set(thin.flags)
    apply("altitude", thin.time_factor if "altitude" in on else ones)
    snow_m = way.joined("snow_m")
    has_snow = np.isfinite(snow_m)
    deep = ones.copy()
    if "snow" in on and has_snow.any():
        share = np.broadcast_to(load_share, has_snow.shape)[has_snow]
        snowed = snow_factor(speed_m_s()[has_snow], grade[has_snow], snow_m[has_snow], load_share=share)
        deep[has_snow], found = snowed.time_factor, found | set(snowed.flags)
    apply("snow", deep)
    # Snow covers the ground: the slower of the two counts, not both.
    apply("ground", np.maximum(1.0, way.joined("surface_factor") / deep) if "ground" in on else ones)
    apply("group", group * ones)
    return factor, found


def _fitness(way: _Way, fitness: str | None, published: MixTimes) -> FloatArray:
    """How many times longer a walker of this fitness takes than each model says, shape (models, legs).

    The crews whose rates stand for fitness are taken at that rate; the other models in proportion to it.
    """
    ratio = np.ones(published.time_s.shape)
    if fitness is None:
        return ratio
    rate_s = {key: way.model_s(key) for key in FITNESS.values()}
    own_s, usual_s = rate_s[FITNESS[fitness]], rate_s[FITNESS[USUAL_FITNESS]]
    for i, key in enumerate(published.keys):
        held_against_s = rate_s.get(key, usual_s)
        np.divide(own_s, held_against_s, out=ratio[i], where=held_against_s > 0.0)
    return ratio
