"""What the day's walking burns, for everybody on every leg, at the party's pace and under each one's load."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.day.load_hours import MiddleDay
from handline.day.load_subject import Floats, WalkedGround
from handline.quantity import KCAL_J
from handline.walking.energy import rest_energy, walk_energy
from handline.walking.spread import Spread
from handline.walking.sweat import WORK
from handline.walking.water_need import UNKNOWN_WORK, IntArray, work_by_rate, work_by_words

LINE_MET = (5.0, 5.8, 7.5)
"""Climbing rock: coming down on a rope, easy to moderate, hard; one is 1 kcal an hour for each kg. [climbing_met]"""
_MET_W_KG = KCAL_J / 3600.0


@dataclass(frozen=True, eq=False)
class Burnt:
    """By member and leg: metabolic rate on the move [W], NaN where nobody knows it, what is burnt [J], how hard it is.

    ``night_J`` is the night out, by member. ``unknown`` is where no model was made for the walk.
    """

    rate_W: Spread
    energy_J: Spread
    night_J: Spread
    work: IntArray
    unknown: bool

    @property
    def day_J(self) -> Spread:
        """All of it together, by member."""
        return Spread.total((self.energy_J.along_last(), self.night_J))


def burn(ground: WalkedGround, is_line: Floats, day: MiddleDay, body_mass_kg: Floats, load_kg: Floats) -> Burnt:
    """What the day burns.

    On foot the models of effort; on the line climbing by its metabolic equivalent, for the body with its load; stops,
    waits, rests and nights as rest. In the dark they walk as hard as in the light, only longer.

    Parameters
    ----------
    ground, day
        The way and the middle day.
    is_line : array of bool, (legs,)
        Which legs are climbed on the line.
    body_mass_kg, load_kg : arrays, (members,) and (members, legs)
        Bodies, and what each carries on each leg.

    Notes
    -----
    Work is the harder of what the rate and the drinking table's own words say; hard where neither knows it, and easy
    where nobody moves.
    Sources: our_energy_range, climbing_met, tb_med_507, our_middle_day.
    """
    # People who are alike are worked out once.
    alike, which = np.unique(np.column_stack([body_mass_kg, load_kg]), axis=0, return_inverse=True)
    if alike.shape[0] < body_mass_kg.size:
        return _for_each(burn(ground, is_line, day, alike[:, 0], alike[:, 1:]), which.reshape(-1))
    speed_m_s = ground.speed_m_s(day.light_s)
    walked = walk_energy(
        ground.length_m, ground.grade, speed_m_s,
        body_mass_kg=body_mass_kg[:, None, None], load_kg=load_kg[:, :, None], terrain_n=ground.terrain_n,
    )  # fmt: skip
    some = walked.time_s > 0.0
    loaded_kg = body_mass_kg[:, None] + load_kg
    rate_W = Spread(
        *(
            np.where(
                is_line,
                met * _MET_W_KG * loaded_kg,
                np.divide(of_walk_J, walked.time_s, out=np.full_like(walked.time_s, np.nan), where=some),
            )
            for met, of_walk_J in zip(
                LINE_MET, (walked.energy_J.low, walked.energy_J.centre, walked.energy_J.high), strict=True
            )
        )
    )
    known = ~np.isnan(rate_W.centre)
    bodies_kg = np.broadcast_to(body_mass_kg[:, None], known.shape)
    # A leg that takes no time burns nothing, whatever its rate; one that nobody knows counts as climbing.
    unknown = ~known & (day.moving_s > 0.0)
    filled_W = Spread(
        *(
            np.where(unknown, met * _MET_W_KG * loaded_kg, np.where(known, part_W, 0.0))
            for met, part_W in zip(LINE_MET, (rate_W.low, rate_W.centre, rate_W.high), strict=True)
        )
    )
    still = rest_energy(np.broadcast_to(day.still_s, known.shape), body_mass_kg=bodies_kg)
    night = rest_energy(np.full(body_mass_kg.shape, day.night_s), body_mass_kg=body_mass_kg)
    length_m = ground.length_m.sum(axis=1)
    mean_m_s = np.divide(length_m, day.light_s, out=np.full_like(length_m, np.nan), where=day.light_s > 0.0)
    work = np.maximum(work_by_rate(rate_W.centre), work_by_words(mean_m_s, ground.mean_grade, load_kg))
    return Burnt(
        rate_W=rate_W,
        energy_J=Spread.total((filled_W.times(day.moving_s), still.energy_J)),
        night_J=night.energy_J,
        work=np.where(work == UNKNOWN_WORK, np.where(day.moving_s > 0.0, len(WORK) - 1, 0), work),
        unknown=bool(np.any(unknown)) or bool(np.any(walked.unknown_s > 0.0)),
    )


def _for_each(of_kinds: Burnt, which: IntArray) -> Burnt:
    """From those who differ to everybody, by the kind each one is."""

    def each(spread: Spread) -> Spread:
        return Spread(spread.low[which], spread.centre[which], spread.high[which])

    return Burnt(
        rate_W=each(of_kinds.rate_W),
        energy_J=each(of_kinds.energy_J),
        night_J=each(of_kinds.night_J),
        work=of_kinds.work[which],
        unknown=of_kinds.unknown,
    )
