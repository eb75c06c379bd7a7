"""Each way of sleeping and each state of the line on a date, set up once: what no tether and no start changes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from handline.choose.date_pieces import NIGHT, PUSH
from handline.day.line_passage import gloves_of
from handline.day.load_planning import plan_load
from handline.day.on_date import set_up_on, trip_on
from handline.day.permit_planning import chance_on, plan_permits
from handline.day.permit_setting import permits_of_trip
from handline.day.plan import Permit, PermitChance
from handline.day.plan_load import LoadPlan
from handline.day.simulation import Draws, draw_days
from handline.day.subjects import Setting
from handline.day.told import Told
from handline.line.footing import BayPull, bay_pulls
from handline.line.geometry import DOWN, LOWERED, RAISED, UP
from handline.season.permit_rules import LineState
from handline.trip.model import Trip

WAY_WORDS = {PUSH: "one push", NIGHT: "a night out"}
AS_ASKED = "as asked, whatever the file says"


@dataclass(frozen=True, eq=False)
class WaySetting:
    """One push or a night out on a date, the line raised or lowered.

    ``on_date`` says whether the line is so on that date. ``permits`` are as that day, state and way need them;
    ``permit_chance`` is of all of them, 1 where none is to be got and None where nothing is said, and ``permit_says``
    what it rests on.
    """

    way: str
    on_date: bool
    setting: Setting
    permits: tuple[Permit, ...]
    permit_chance: float | None
    permit_says: str

    @property
    def state(self) -> str:
        return self.setting.line.state

    @property
    def date(self) -> dt.date:
        return self.setting.trip.about.date

    @cached_property
    def draws(self) -> Draws:
        """What chance gives to each day, whatever the party ties on with."""
        about = self.setting.trip.about
        return draw_days(self.setting.itinerary, about.days, about.seed)

    @cached_property
    def load(self) -> LoadPlan:
        """The packs of this way, as they are settled for the start and the tether of the file."""
        return plan_load(self.setting)

    @cached_property
    def bays(self) -> tuple[BayPull, ...]:
        setting = self.setting
        return bay_pulls(setting.line, setting.body_mass_kg, gloves_of(setting.trip, UP), gloves_of(setting.trip, DOWN))


@dataclass(frozen=True)
class WayWanted:
    """A way of sleeping on a date, in the state the line is in that day or, ``forced``, in the other one."""

    way: str
    date: dt.date
    forced: bool = False


def way_settings(
    trip: Trip,
    known: Setting,
    wanted: tuple[WayWanted, ...],
    today: dt.date | None = None,
    told: Told = lambda what, share: None,
) -> tuple[WaySetting, ...]:
    """Set up every way that is wanted.

    Parameters
    ----------
    trip : Trip
        As read from its file.
    known : Setting
        Of the same file; where it is of a date and way that is wanted it is taken as it is.
    wanted : tuple of WayWanted
    today : datetime.date, optional
        The day it is, from which permits are seen.
    told : callable
        Told of the progress: the waits of a crowd take a while the first time.

    Raises
    ------
    TripError
        As ``set_up``: a date on which the way is closed, a camp that is nowhere on the way.
    """
    return tuple(_set_up(trip, known, wanted, today, told))


def _set_up(
    trip: Trip, known: Setting, wanted: tuple[WayWanted, ...], today: dt.date | None, told: Told
) -> Iterator[WaySetting]:
    as_it_is: dict[tuple[str, dt.date], Setting] = {(way_of(known.trip), known.trip.about.date): known}
    for number, want in enumerate(wanted):
        told(f"Setting up {WAY_WORDS[want.way]}", number / len(wanted))
        on_day = trip_on(trip, want.date, want.way == NIGHT)
        natural = as_it_is.get((want.way, want.date))
        if natural is None:
            natural = as_it_is[want.way, want.date] = set_up_on(known, on_day)
        setting = _forced(natural, on_day) if want.forced else natural
        permits, chance = _permits(trip, on_day, setting.line.state, today)
        share, says = (None, _nothing_said(permits)) if chance is None else (chance.share, chance.says)
        yield WaySetting(want.way, not want.forced, setting, permits, share, says)


def _permits(
    trip: Trip, on_day: Trip, line_state: str, today: dt.date | None
) -> tuple[tuple[Permit, ...], PermitChance | None]:
    """The permits of a day, and the chance of all of them. One that is held is held for the date of the trip alone."""
    state: LineState = "raised" if line_state == RAISED else "lowered"
    if on_day.about.date != trip.about.date:
        to_get = tuple(permit.model_copy(update={"held": False}) for permit in on_day.permits)
        on_day = on_day.model_copy(update={"permits": to_get})
    found = chance_on(trip, permits_of_trip(trip, on_day.about.date, state, on_day.night.out), today)
    return plan_permits(on_day, state, today), found


def _nothing_said(permits: tuple[Permit, ...]) -> str:
    unknown = [permit.name for permit in permits if permit.needed and not permit.held and permit.chance is None]
    return f"Nothing is said of the chance of {' and '.join(unknown)}"


def way_of(trip: Trip) -> str:
    """How a trip sleeps."""
    return NIGHT if trip.night.out else PUSH


def _forced(natural: Setting, trip: Trip) -> Setting:
    """The same day with the line in its other state."""
    line = trip.line.model_copy(update={"state": OTHER[natural.line.state]})
    setting = set_up_on(natural, trip.model_copy(update={"line": line}))
    return replace(setting, line_says=AS_ASKED)


OTHER: Mapping[str, str] = {RAISED: LOWERED, LOWERED: RAISED}
