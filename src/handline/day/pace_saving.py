"""A pace learned from a review, written into the trip file so that the plan's middle walks it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.day.pace_update import PaceUpdate
from handline.day.setting import set_up
from handline.day.simulation import draw_days, walk
from handline.day.subjects import Setting
from handline.day.time_parts import planned_by_light_s
from handline.errors import Problem, TripError
from handline.trip.model import Trip
from handline.trip.pace_model import Pace
from handline.trip.writing import set_values

# The factor that makes the plan's middle right is found in steps; walking is nearly in proportion to it.
CLOSE_ENOUGH = 1e-3
MOST_STEPS = 8


@dataclass(frozen=True)
class SavedPace:
    """What was written: ``[party.pace]`` time_factor and spread."""

    time_factor: float
    spread: float


def save_pace(trip: Trip, update: PaceUpdate | None) -> SavedPace:
    """Write the pace of a reviewed day into ``[party.pace]`` of its trip file; model and comments stay as they are.

    ``time_factor`` is such that, with packs, heights, ground and the slowest of the party counted as the plan counts
    them, the middle of the planned days walks as long as the updated pace says. ``spread`` is that of the next day's
    walking.

    Raises
    ------
    TripError
        There is nothing to save, members have paces of their own, no factor gives that time, or the file would not be
        usable; the file is as it was.
    OutputError
        The file could not be written; it is as it was.
    """
    if update is None:
        raise TripError(trip.located(_nothing_learned()))
    own = [member.name for member in trip.party.members if member.pace is not None]
    if own:
        raise TripError(trip.located(_own_paces(own)))
    factor = round(_fitting_factor(trip, update), 3)
    spread = round(update.spread, 3)
    set_values(trip.path, {"party.pace.time_factor": factor, "party.pace.spread": f"{100.0 * spread:.1f} %"})
    return SavedPace(factor, spread)


def _fitting_factor(trip: Trip, update: PaceUpdate) -> float:
    """The time_factor with which the plan's middle walking is the plan's of now times the updated factor."""
    before = set_up(trip)
    wanted_s = update.factor * _walking_s(before)
    factor = 1.0
    for _ in range(MOST_STEPS):
        ratio = wanted_s / _walking_s(set_up(_with_pace(trip, factor, update.spread)))
        factor *= ratio
        if abs(ratio - 1.0) < CLOSE_ENOUGH:
            return factor
    raise TripError(trip.located(_no_factor()))


def _with_pace(trip: Trip, time_factor: float, spread: float) -> Trip:
    """The trip with another pace of the party, its model kept."""
    old = trip.party.pace
    if old is None:
        pace = Pace.model_construct(time_factor=time_factor, spread=spread)
    else:
        pace = old.model_copy(update={"time_factor": time_factor, "spread": spread})
    return trip.model_copy(update={"party": trip.party.model_copy(update={"pace": pace})})


def _walking_s(setting: Setting) -> float:
    """The middle of the simulated days' walking, rests and dark left out [s]."""
    about = setting.trip.about
    days = walk(
        setting.itinerary, draw_days(setting.itinerary, about.days, about.seed), np.array([setting.trip.depart_clock_s])
    )
    walked = [j for j, leg in enumerate(setting.route.legs) if not leg.is_line]
    return float(np.median(np.sum([planned_by_light_s(setting, days, j) for j in walked], axis=0)))


def _nothing_learned() -> Problem:
    return Problem(
        "there is no pace to save",
        read="no walked leg was recorded whole",
        mend="review a recording that covers more of the way, or leave --save away",
        key="party.pace",
    )


def _own_paces(names: list[str]) -> Problem:
    return Problem(
        "members have paces of their own, so one recording of the party does not say whose to change",
        read=", ".join(names),
        allowed="--save where no member has a pace of their own",
        mend="learn each pace with handline pace --save TRIP --member NAME, or leave --save away",
        key="party.members",
    )


def _no_factor() -> Problem:
    return Problem(
        "no time_factor makes the plan walk as long as this party did",
        mend="leave --save away, and look at model and climb in [party.pace]",
        key="party.pace",
    )
