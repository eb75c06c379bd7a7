"""What the passings of this day say of its pace: the plan's own spread, narrowed by every stretch that was walked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from statistics import NormalDist

import numpy as np
from numpy.typing import ArrayLike

from handline.day.pace_report import BAND_SHARE as BAND_SHARE
from handline.day.passed_told import PassedAt
from handline.day.simulation import Draws, Floats, Itinerary, walk

# A time is told to the minute: its error is even over one minute, and a stretch has one at either end.
READ_TO_S = 60.0
# A stretch is quick that only so many of the days take less for: beyond it a stop cut short is likelier than such a
# pace. Common practice, no source.
QUICK_SHARE = 0.25
READING_SIGMA_S = READ_TO_S * float(np.sqrt(2.0 / 12.0))


@dataclass(frozen=True)
class PacePosterior:
    """The logarithm of how much slower than the plan's middle the party walks: ``mean`` and ``sigma``, any shape."""

    mean: Floats
    sigma: Floats

    @property
    def factor(self) -> Floats:
        """How many times as long as the plan's middle, in the middle."""
        return np.exp(self.mean)

    def band(self, share: float = BAND_SHARE) -> tuple[Floats, Floats]:
        """The times as long between which it lies with a share of the chance, as much left below as above."""
        reach = NormalDist().inv_cdf(0.5 + share / 2.0) * self.sigma
        return np.exp(self.mean - reach), np.exp(self.mean + reach)


def pace_posterior(
    prior_sigma: ArrayLike,
    log_ratio: ArrayLike,
    slope: ArrayLike,
    noise_sigma: ArrayLike,
    correlation: ArrayLike | None = None,
) -> PacePosterior:
    """The conjugate normal update of a pace by stretches.

    ::

        prior:      t ~ N(0, s0^2)
        stretches:  y = b t + e,  e ~ N(0, V),  V_kl = r_kl v_k v_l
        P = b' V^-1 b;  s^2 = s0^2 / (1 + s0^2 P);  mean = s^2 b' V^-1 y

    Independent stretches have V diagonal: P = sum b_k^2 / v_k^2, and the mean likewise.

    Parameters
    ----------
    prior_sigma : array_like, shape (...)
        s0, spread of the logarithm of the pace before anything is seen [1]. 0 learns nothing.
    log_ratio : array_like, shape (..., stretches)
        y, logarithm of what a stretch took over its planned middle [1]; NaN where it was not seen.
    slope : array_like, broadcast with ``log_ratio``
        b, how much longer the stretch gets with the pace: 1 where all of it is walking, less with stops and waits [1].
    noise_sigma : array_like, broadcast with ``log_ratio``
        v, spread of the stretch's logarithm at one pace, above 0 [1].
    correlation : array_like, shape (stretches, stretches), optional
        r, of the noises of stretches that were all seen, for one party; left out, they are independent.

    Returns
    -------
    PacePosterior, shape (...)
        With no stretch seen it is the prior. Another stretch never widens it.

    Raises
    ------
    ValueError
        A spread below 0, a noise that is not above 0, or correlations no noises can have.

    Sources
    -------
    gelman_2013.
    """
    prior, noise = np.asarray(prior_sigma, float), np.asarray(noise_sigma, float)
    if bool((prior < 0.0).any()) or not bool((noise > 0.0).all()):
        raise ValueError("prior_sigma must be 0 or more and noise_sigma above 0")
    ratio, weight = np.asarray(log_ratio, float), np.asarray(slope, float) / noise**2
    seen = np.isfinite(ratio)
    if correlation is not None:
        weight = _correlated_weight(np.asarray(slope, float), noise, np.asarray(correlation, float))
    precision = np.where(seen, weight * slope, 0.0).sum(axis=-1)
    pull = (np.where(seen, weight, 0.0) * np.where(seen, ratio, 0.0)).sum(axis=-1)
    variance = prior**2 / (1.0 + prior**2 * precision)
    return PacePosterior(mean=np.asarray(variance * pull), sigma=np.sqrt(variance))


def _correlated_weight(slope: Floats, noise: Floats, correlation: Floats) -> Floats:
    """V^-1 b, (stretches,)."""
    covariance = correlation * np.multiply.outer(noise, noise)
    if covariance.size and float(np.linalg.eigvalsh(covariance).min()) <= 0.0:
        raise ValueError("no noises have these correlations")
    return np.asarray(np.linalg.solve(covariance, slope), float)


@dataclass(frozen=True)
class Stretch:
    """What one stretch between two passings took, against the simulated days from the same passing and minute.

    ``middle_s`` is the geometric mean of the days; ``slope`` and ``noise_sigma`` say how its logarithm goes with the
    pace of the day and how much it differs at one pace. ``shorter_share`` is the share of days that took less. Where
    ``tells`` is False nobody walks on it (or the pace does not move it), so nothing is learned from it. ``rest``
    (days,) is what the pace leaves of each day's logarithm: neighbours have some of it in common. ``stop_s`` is what
    the stops planned on it make together, ``quick_s`` the time that ``QUICK_SHARE`` of the days take less than.
    """

    first: int
    last: int
    took_s: float
    middle_s: float
    slope: float
    noise_sigma: float
    shorter_share: float
    tells: bool
    rest: Floats = field(repr=False, compare=False)
    stop_s: float = 0.0
    quick_s: float = 0.0

    @property
    def learned_s(self) -> float:
        """What is learned from [s]: what is quicker than on a quick day is first put down to stops cut short.

        That is the careful side: who left out a long stop would else be taken to walk fast, and sent up later.
        """
        return max(self.took_s, min(self.took_s + self.stop_s, self.quick_s))

    @property
    def log_ratio(self) -> float:
        return float(np.log(self.learned_s / self.middle_s))


def observed_stretches(
    itinerary: Itinerary, draws: Draws, log_pace: Floats, passed: Sequence[PassedAt]
) -> tuple[Stretch, ...]:
    """The stretches between neighbouring passings, each against the simulated days.

    Every day is walked again from the minute at which the stretch began: stops, waits, passage, dark and the rock of
    the hour are all in it, so that nothing has to be taken off what the party's watch says.

    Equation: with t the log pace of the days and l the logarithm of what the stretch takes them,
    b = cov(l, t) / var(t) and v^2 = var(l - b t) + (reading error / middle)^2.

    Parameters
    ----------
    log_pace : ndarray, shape (days,)
        How much slower than the middle each day is, mean 0 (``drawn_parts.log_pace``).
    passed : sequence of PassedAt
        In order, the first being where the first stretch begins.

    Notes
    -----
    Where all is walking, b is 1 and v the leg noise of its legs in quadrature.
    """
    return tuple(_stretch(itinerary, draws, log_pace, start, end) for start, end in pairwise(passed))


def _stretch(itinerary: Itinerary, draws: Draws, log_pace: Floats, start: PassedAt, end: PassedAt) -> Stretch:
    days = walk(itinerary, draws, np.array([start.clock_s]), first=start.passing)
    begin_s = start.clock_s
    if itinerary.night is not None and start.passing == itinerary.night.passing:
        begin_s = max(begin_s, itinerary.night.start_clock_s)
    simulated_s = days.arrive_clock_s[end.passing - start.passing] - begin_s
    logs = np.log(simulated_s)
    middle_s = float(np.exp(logs.mean()))
    pace_variance = float((log_pace**2).mean())
    walked = any(itinerary.line_legs[j] is None for j in range(start.passing, end.passing))
    slope = float(((logs - logs.mean()) * log_pace).mean() / pace_variance) if walked and pace_variance > 0.0 else 0.0
    rest = logs - logs.mean() - slope * log_pace
    took_s = end.clock_s - begin_s
    # At the camp of a night out a time later than on any day is when the party left it, not when it came.
    slept = itinerary.night is not None and end.passing == itinerary.night.passing and took_s > simulated_s.max()
    return Stretch(
        first=start.passing,
        last=end.passing,
        took_s=took_s,
        middle_s=middle_s,
        slope=slope,
        noise_sigma=float(np.hypot(rest.std(), READING_SIGMA_S / middle_s)),
        shorter_share=float((simulated_s < took_s).mean()),
        tells=slope > 0.0 and not slept,
        rest=rest,
        stop_s=_stops_s(itinerary, start.passing, end.passing),
        quick_s=float(np.quantile(simulated_s, QUICK_SHARE)),
    )


def _stops_s(itinerary: Itinerary, first: int, last: int) -> float:
    """The stops planned from a passing on to before another; a night is no stop."""
    slept = None if itinerary.night is None else itinerary.night.passing
    return float(sum(itinerary.stop_s[i] for i in range(first, last) if i not in (0, slept)))


def learned_pace(log_pace: Floats, stretches: Sequence[Stretch]) -> PacePosterior:
    """The pace after these stretches; the prior's spread is that of the simulated days."""
    telling = [stretch for stretch in stretches if stretch.tells]
    return pace_posterior(
        float(log_pace.std()),
        np.array([stretch.log_ratio for stretch in telling]),
        np.array([stretch.slope for stretch in telling]),
        np.array([stretch.noise_sigma for stretch in telling]),
        _correlation(telling),
    )


def _correlation(stretches: Sequence[Stretch]) -> Floats:
    """Of the noises of stretches, (stretches, stretches); what is read off a watch is each its own."""
    if not stretches:
        return np.zeros((0, 0))
    noise = np.array([stretch.noise_sigma for stretch in stretches])
    rests = np.array([stretch.rest for stretch in stretches])
    common = rests @ rests.T / rests.shape[1] / np.multiply.outer(noise, noise)
    np.fill_diagonal(common, 1.0)
    return common


def moved_to(posterior: PacePosterior, log_pace: Floats) -> Floats:
    """How much each simulated day must slow down for the days to have the pace learned, shape (days,).

    Equation: t' - t with t' = mean + (s / s0) t. The days keep their order, and a skew of the plan's stays.
    """
    prior_sigma = float(log_pace.std())
    if prior_sigma == 0.0:
        return np.zeros_like(log_pace)
    moved: Floats = posterior.mean + (posterior.sigma / prior_sigma - 1.0) * log_pace
    return moved
