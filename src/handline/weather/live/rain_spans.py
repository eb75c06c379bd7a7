"""Rain given for one hour and for six hours from each time, as what falls from each time to the next."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

HOUR_S = 3600.0
LONG_H = 6


@dataclass(frozen=True)
class RainSpans:
    """``rain_mm`` (n,) from each time to the next, NaN where it is not said.

    ``spread`` counts the times whose amount is a part of a six-hour one, ``short`` those whose six hours are less than
    the single hours known in them: nothing more is then taken to fall in the rest.
    """

    rain_mm: FloatArray
    spread: int
    short: int


def rain_to_next(time_s: ArrayLike, one_hour_mm: ArrayLike, six_hour_mm: ArrayLike) -> RainSpans:
    """Rain from each time to the next one, each hour counted once.

    An hour's own amount goes first. Where an hour of a span has none, the six-hour amount of the span's start, less the
    hours already known in it, is spread evenly over its other hours:

        r(h) = (R6 - sum of r known in the six hours) / (number of the other hours)

    Parameters
    ----------
    time_s : array (n,)
        Rising [s].
    one_hour_mm, six_hour_mm : array (n,)
        What falls in the hour, and in the six hours, from each time [mm]; NaN where it is not said.

    Returns
    -------
    RainSpans

    Validity
    --------
    Spans of whole hours, up to six; NaN for others. The last time's span is as long as the one before, and an hour
    where there is none.

    Notes
    -----
    Kept in exact fractions, so that six sixths of an amount are that amount.
    Sources: met_norway_locationforecast for what the amounts are; the even spread is ours (our_forecast_spans).
    """
    times = np.asarray(time_s, float)
    ones, sixes = np.asarray(one_hour_mm, float), np.asarray(six_hour_mm, float)
    known = {float(t): _exact(mm) for t, mm in zip(times, ones, strict=True) if np.isfinite(mm)}
    filled: set[float] = set()
    rain_mm = np.full(times.shape, np.nan)
    spread = short = 0
    for i, span_h in enumerate(_spans_h(times)):
        hours = _hours(float(times[i]), float(span_h))
        if np.isfinite(sixes[i]) and any(hour not in known for hour in hours):
            parts, overdrawn = _spread(known, float(times[i]), _exact(sixes[i]))
            known |= parts
            filled |= parts.keys()
            short += overdrawn
        if hours and all(hour in known for hour in hours):
            rain_mm[i] = float(sum((known[hour] for hour in hours), Fraction(0)))
            spread += len(hours) < LONG_H and any(hour in filled for hour in hours)
    return RainSpans(rain_mm, spread, short)


def chance_to_next(time_s: ArrayLike, one_hour_share: ArrayLike, six_hour_share: ArrayLike) -> tuple[FloatArray, int]:
    """Chance of something from each time to the next one, and how often it is that of a longer span.

    An hour takes its own chance. Longer spans up to six hours, and hours without their own, take that of the six hours:
    it is never less than the chance of a part of them, so the careful side.

    Parameters
    ----------
    time_s, one_hour_share, six_hour_share : array (n,)
        Rising times [s]; chances in the hour and the six hours from each [share], NaN where they are not said.

    Returns
    -------
    chance : array (n,)
        NaN where it is not said and where the span is longer than six hours.
    longer : int
        How many of them are the chance of more hours than their own span.
    """
    times = np.asarray(time_s, float)
    ones, sixes = np.asarray(one_hour_share, float), np.asarray(six_hour_share, float)
    span_h = _spans_h(times)
    own = (span_h == 1.0) & np.isfinite(ones)
    within = ~own & (span_h <= LONG_H)
    chance = np.where(own, ones, np.where(within, sixes, np.nan))
    return chance, int(np.sum(within & (span_h < LONG_H) & np.isfinite(sixes)))


def _spans_h(time_s: FloatArray) -> FloatArray:
    """How long each time counts [h]: up to the next, and the last as long as the one before."""
    between = np.diff(time_s) / HOUR_S
    return np.append(between, between[-1] if between.size else 1.0)


def _hours(start_s: float, span_h: float) -> list[float]:
    """The starts of the hours of a span; none where it is no whole number of hours or longer than can be covered."""
    if span_h != int(span_h) or span_h > LONG_H:
        return []
    return [start_s + k * HOUR_S for k in range(int(span_h))]


def _spread(known: dict[float, Fraction], start_s: float, six_mm: Fraction) -> tuple[dict[float, Fraction], bool]:
    """What is left of six hours' rain, even over their hours not known; and whether the known ones are more than it."""
    block = _hours(start_s, LONG_H)
    left = six_mm - sum((known[hour] for hour in block if hour in known), Fraction(0))
    unknown = [hour for hour in block if hour not in known]
    return {hour: max(left, Fraction(0)) / len(unknown) for hour in unknown}, left < 0


def _exact(value_mm: float) -> Fraction:
    """The number as it was printed, so that tenths add up."""
    return Fraction(repr(float(value_mm)))
