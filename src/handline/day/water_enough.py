"""Whether the water that is planned is enough, day by day: longer days and thirstier people against full bottles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.day.load_setting import Carried
from handline.day.simulation import Days, Floats, Itinerary
from handline.walking.drinking import MOST_L_H

# The draws of thirst are a stream of their own.
_THIRST_STREAM = 3
_HOUR_S = 3600.0


@dataclass(frozen=True)
class WaterEnough:
    """The chance that nobody's bottles are empty before the next sure water or the end, with its standard error.

    ``by_stretch`` (stretches,) is the chance of each stretch of the water plan; ``stretches`` names them.
    """

    share: float
    error: float
    by_stretch: tuple[float, ...]
    stretches: tuple[str, ...]


def water_enough(carried: Carried, itinerary: Itinerary, days: Days, seed: int) -> WaterEnough:
    """How often the water as planned is enough for everybody.

    Everybody fills up at each sure source as the plan says and drinks what is lost, up to the cap of an hour. On each
    day a leg lasts as long as it is simulated, and one draw says how much more or less than the middle is lost, by all
    and all day: loss = centre + z (high - centre), and never less than low.

    Parameters
    ----------
    carried : Carried
        The water plan, and the day it was reckoned for.
    days : Days
        Walked from the start, arrivals of shape (days,) or (1,).
    seed : int

    Returns
    -------
    WaterEnough

    Notes
    -----
    The reserve is there to be drunk: water is enough down to the last drop. The heat is that of the planned hours. The
    spread is more that of the tables than that between people, so it is taken to be the same for all: the careful side
    where they would share what is left.
    Sources: our_spread, our_water_plan, tb_med_507.
    """
    water, planned_s = carried.water, carried.day.duration_s
    lasts_s = np.stack(_lasts_s(itinerary, days))
    count = lasts_s.shape[1]
    thirst = np.random.default_rng([seed, _THIRST_STREAM]).standard_normal(count)
    need = carried.need_L
    more_L = thirst * (need.high - need.centre)[:, :, None]
    lost_L = np.maximum(need.centre[:, :, None] + more_L, need.low[:, :, None])
    longer = np.divide(lasts_s, planned_s[:, None], out=np.zeros_like(lasts_s), where=planned_s[:, None] > 0.0)
    drunk_L = np.minimum(lost_L * longer, MOST_L_H / _HOUR_S * lasts_s)
    enough, by_stretch = np.ones(count, bool), []
    for stretch in water.stretches:
        dry = [place for place in water.stations[stretch.first + 1 : stretch.last + 1] if not place.is_reliable]
        wanted_L = drunk_L[:, stretch.first : stretch.last].sum(axis=1) + sum(place.used_here_L for place in dry)
        kept = (wanted_L <= water.leave_L[:, stretch.first, None]).all(axis=0)
        by_stretch.append(float(kept.mean()))
        enough &= kept
    share = float(enough.mean())
    return WaterEnough(
        share=share,
        error=float(np.sqrt(share * (1.0 - share) / count)),
        by_stretch=tuple(by_stretch),
        stretches=tuple(stretch.words for stretch in water.stretches),
    )


def _lasts_s(itinerary: Itinerary, days: Days) -> list[Floats]:
    """How long each leg lasts on each day, its stop and wait included and a night out not [s]."""
    arrive_s = np.broadcast_arrays(*days.arrive_clock_s)
    rows = []
    for j in range(itinerary.legs):
        from_s = arrive_s[j]
        if itinerary.night is not None and j == itinerary.night.passing:
            from_s = itinerary.ready_clock_s(j, from_s)
        rows.append(arrive_s[j + 1] - from_s)
    return rows
