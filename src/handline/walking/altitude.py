"""Thin air: less breath, so a slower pace."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from handline.walking.factor import Factor
from handline.walking.grade_models import FloatArray

VO2MAX_LOSS_PER_M = 0.063 / 1000.0
VO2MAX_FROM_M = 300.0
VO2MAX_TO_M = 3000.0


@dataclass(frozen=True)
class BreathShare:
    """VO2max over that near sea level [1], NaN above the limit, and the flags that say why."""

    vo2max_share: FloatArray
    flags: tuple[str, ...]


def vo2max_share(elevation_m: npt.ArrayLike) -> BreathShare:
    """How much of the greatest oxygen uptake is left.

    share = 1 - 0.063 max(elevation - 300 m, 0) / 1000 m

    Parameters
    ----------
    elevation_m : array_like, any shape
        Above sea level [m].

    Returns
    -------
    BreathShare
        [1], shape of ``elevation_m``; NaN and ``beyond_altitude`` above 3000 m, NaN and ``height_unknown`` where the
        height is missing.

    Validity: to 3000 m, people not yet used to the height. Sources: wehrlin_2006.
    """
    elevation = np.asarray(elevation_m, float)
    beyond = elevation > VO2MAX_TO_M
    return BreathShare(np.where(beyond, np.nan, _line(elevation)), _flags(elevation))


def altitude_factor(elevation_m: npt.ArrayLike, recorded_elevation_m: npt.ArrayLike = 0.0) -> Factor:
    """How many times longer the walk takes in the thinner air.

    factor = share(recorded) / share(elevation), share of ``vo2max_share``

    Parameters
    ----------
    elevation_m : array_like
        Above sea level [m].
    recorded_elevation_m : array_like
        The height the pace is from [m]. Both broadcast together.

    Returns
    -------
    Factor
        [1], the broadcast shape, 1 or more. ``beyond_altitude`` above 3000 m, where the line is drawn on;
        ``height_unknown`` where a height is missing: the factor there is 1; ``lower_than_recorded`` where the air is
        thicker than where the pace is from: the factor there is 1, for thick air is not counted as a gain.

    Validity: to 3000 m, people not yet used to the height.
    Notes: pace falls as VO2max does, up, level and down. On a climb that is what the same share of breath gives; down,
    where footing holds people back, it errs to the slow side. Solving an equation of metabolic rate instead makes a
    stroll on the level half as slow again, because most of what a stroll costs is standing: nobody sees that.
    Sources: wehrlin_2006, our_altitude_rule.
    """
    here_m, recorded_m = np.broadcast_arrays(np.asarray(elevation_m, float), np.asarray(recorded_elevation_m, float))
    known = ~np.isnan(here_m) & ~np.isnan(recorded_m)
    share = np.where(known, _line(here_m) / _line(recorded_m), 1.0)
    flags = dict.fromkeys((*_flags(here_m), *_flags(recorded_m)))
    lower = ("lower_than_recorded",) if bool(np.any(share > 1.0)) else ()
    return Factor(1.0 / np.minimum(share, 1.0), (*flags, *lower))


def _line(elevation_m: FloatArray) -> FloatArray:
    return 1.0 - VO2MAX_LOSS_PER_M * np.maximum(elevation_m - VO2MAX_FROM_M, 0.0)


def _flags(elevation_m: FloatArray) -> tuple[str, ...]:
    beyond, unknown = bool(np.any(elevation_m > VO2MAX_TO_M)), bool(np.any(np.isnan(elevation_m)))
    return (("beyond_altitude",) if beyond else ()) + (("height_unknown",) if unknown else ())
