"""From a trip to a crowd on its line: bays and places, everybody's times, who comes when. The one translator."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from handline.crowd.arrivals import ByHour, Comes, CrowdArrivals, OurParty, StartsAndWalk
from handline.crowd.draws import Drawn, draw_climbers
from handline.crowd.our_party import PartyDays, PartyPass
from handline.crowd.rules import Arrivals, Climbers, CrowdLine
from handline.crowd.simulate import CrowdDays, follow_days
from handline.day.line_passage import changeover_of_s, passage_of, rate_of_m_s
from handline.day.simulation import Floats, draw_days, walk
from handline.day.subjects import Setting
from handline.day.told import Told
from handline.day.walking_setting import ANYONE, leg_grounds
from handline.errors import Problem, TripError
from handline.line.geometry import DOWN, UP, WAYS, bay_edges_m
from handline.line.passage import PASSAGE_SIGMA
from handline.trip.model import Trip
from handline.walking.darkness import arrive_clock_s
from handline.walking.mix import DEFAULT_MIX
from handline.walking.party_pace import party_times
from handline.walking.rest import with_rests
from handline.walking.tiring import tired_s
from handline.walking.walker import Walker

# Spreads of a crowd, as sigmas of log-normals: a changeover, a freeze-up, the stay above the line. [practice_crowd]
CHANGEOVER_SIGMA = 0.30
FREEZE_SIGMA = 0.50
TOP_SIGMA = 0.30

# Days in one call of the kernel at most, and climbers: so much is in memory at once.
_DAYS_A_CHUNK = 50
_CLIMBERS_A_CHUNK = 15_000


@dataclass(frozen=True, eq=False)
class CrowdSetting:
    """A crowd on the line of a trip.

    ``people`` may be on the line in a day, the party with them; ``people_says`` is where that number is from.
    ``hands_s`` (2, bays) is what the rests of the hands add to everybody's time in a bay, by way [s].
    ``foot_leg`` is the leg at whose start the party joins the queue.
    """

    setting: Setting
    line: CrowdLine
    climbers: Climbers
    arrivals: CrowdArrivals
    hands_s: Floats
    people: int
    people_says: str
    foot_leg: int

    @property
    def party_size(self) -> int:
        """How many of these people are the party that asks; 0 where it was left out."""
        return self.arrivals.ours.size if self.arrivals.ours is not None else 0

    def with_people(self, people: int) -> CrowdSetting:
        """The same with another number of people a day, the party with them."""
        return replace(self, people=people, arrivals=replace(self.arrivals, people=people - self.party_size))

    def without_us(self) -> CrowdSetting:
        """The same people without the party that asks: all of them are others."""
        return replace(self, arrivals=replace(self.arrivals, ours=None, people=self.people))

    def coming(self, comes: Comes) -> CrowdSetting:
        """The same people, coming otherwise."""
        return replace(self, arrivals=replace(self.arrivals, comes=comes))


def crowd_days(crowd: CrowdSetting, days: int, *, first_day: int = 0) -> Iterator[CrowdDays]:
    """Days of a crowd, some at a time and in their order: memory stays flat in their number."""
    people = max(1, crowd.arrivals.people + crowd.party_size)
    step = min(_DAYS_A_CHUNK, max(1, _CLIMBERS_A_CHUNK // people))
    for first in range(first_day, first_day + days, step):
        yield some_days(crowd, first, min(step, first_day + days - first))


def told_days(chunks: Iterator[CrowdDays], days: int, told: Told, what: str) -> Iterator[CrowdDays]:
    """The same days; it is told how many of them are done."""
    done = 0
    for chunk in chunks:
        yield chunk
        done += chunk.days
        told(what, done / days)


def both_ways(days: Iterable[PartyDays]) -> tuple[PartyPass, PartyPass]:
    """The passes of the party on all these days, by the index of the way, one value a day."""
    each = list(days)
    up, down = (
        PartyPass(*(np.concatenate([getattr(one, part.name) for one in passes]) for part in fields(PartyPass)))
        for passes in ([some.up for some in each], [some.down for some in each])
    )
    return up, down


def some_days(crowd: CrowdSetting, first_day: int, days: int, *, keep_bays: bool = False) -> CrowdDays:
    """A few days at once."""
    seed = crowd.arrivals.seed
    who = crowd.arrivals(first_day, days)
    drawn = draw_climbers(crowd.line, crowd.climbers, who, seed=seed, first_day=first_day)
    drawn = Drawn(drawn.service_s + crowd.hands_s, drawn.top_s[_first_of_party(who)])
    return follow_days(crowd.line, who, drawn, seed=seed, first_day=first_day, keep_bays=keep_bays)


def _first_of_party(who: Arrivals) -> NDArray[np.int64]:
    """For each climber the first of their party: who came at one moment stays above together and comes down so."""
    begins = np.concatenate(([True], np.diff(who.clock_s) != 0.0))[: who.people]
    starts = who.day_first[:-1]
    begins[starts[starts < who.people]] = True
    return np.maximum.accumulate(np.where(begins, np.arange(who.people), 0))


def set_crowd(setting: Setting, days: int, people: int | None = None) -> CrowdSetting:
    """The crowd of a trip, with the party in it.

    Parameters
    ----------
    setting : Setting
    days : int
        On how many different days of its own the party walks to the foot.
    people : int, optional
        How many people may be on the line in a day, whatever the file says.

    Raises
    ------
    TripError
        Nothing says how many people come, they are fewer than the party, or the way does not come back over the line.
    """
    trip, itinerary = setting.trip, setting.itinerary
    up, down = _line_legs(setting)
    number, says = _people(trip, people)
    comes = _comes(setting, up)
    party = draw_days(itinerary, days, trip.about.seed)
    walked = walk(itinerary, party, np.full(days, trip.depart_clock_s))
    ready_clock_s = walked.arrive_clock_s[up] + (itinerary.stop_s[up] if up > 0 else 0.0)
    return CrowdSetting(
        setting=setting,
        line=_line(setting),
        climbers=_climbers(setting, _top_s(setting, up, down)),
        arrivals=CrowdArrivals(
            people=number - trip.party.size,
            comes=comes,
            seed=trip.about.seed,
            come_share=1.0 if trip.crowd.arrivals else trip.crowd.share_who_come,
            party_of=trip.crowd.parties_of,
            ours=OurParty(trip.party.size, ready_clock_s),
        ),
        hands_s=_hands_s(setting),
        people=number,
        people_says=says,
        foot_leg=up,
    )


def has_crowd(setting: Setting) -> bool:
    """Whether the file says enough for a crowd, and the way comes back over the line: what ``set_crowd`` asks for."""
    try:
        _people(setting.trip, None)
        _line_legs(setting)
    except TripError:
        return False
    return True


def people_of(trip: Trip) -> tuple[int, str] | None:
    """How many people may be on the line in a day by the file, and where that is from; None where it does not say."""
    crowd = trip.crowd
    if crowd.arrivals:
        return sum(span.people for span in crowd.arrivals), "as counted, in the trip file"
    if crowd.people_per_day is not None:
        return crowd.people_per_day, "as typed in the trip file"
    for permit in trip.permits:
        if permit.places_per_day is not None and permit.for_everybody:
            return permit.places_per_day, f"the places of {permit.name}"
    return None


def _people(trip: Trip, asked: int | None) -> tuple[int, str]:
    found = (asked, "as asked, whatever the file says") if asked is not None else people_of(trip)
    if found is None:
        raise TripError(
            trip.located(
                Problem(
                    "nothing says how many people come to the line",
                    allowed="people_per_day, arrivals, or a permit with places_per_day",
                    mend="write people_per_day = 120 in [crowd], or add --people 120",
                    key="crowd.people_per_day",
                )
            )
        )
    if found[0] < trip.party.size:
        by_permit = asked is None and not trip.crowd.arrivals and trip.crowd.people_per_day is None
        raise TripError(
            trip.located(
                Problem(
                    f"{found[0]} people a day are fewer than your own party",
                    read=str(found[0]),
                    allowed=f"at least {trip.party.size}: your party counts in",
                    key="--people" if asked is not None else "permits" if by_permit else "crowd.people_per_day",
                )
            )
        )
    return found


def _line_legs(setting: Setting) -> tuple[int, int]:
    """The leg on which the line is begun going up, and the one on which it is begun coming down."""
    legs, points = setting.route.legs, setting.route.points
    of_way = {way: [j for j, leg in enumerate(legs) if leg.is_line and points[leg.end].way == way] for way in WAYS}
    if not (of_way[UP] and of_way[DOWN]):
        raise TripError(
            setting.trip.located(
                Problem(
                    "the way does not come back over the line: this crowd goes up and down the same cable",
                    mend="plan the way back over the line, or write out_and_back = true",
                    key="route",
                )
            )
        )
    return of_way[UP][0], of_way[DOWN][0]


def _line(setting: Setting) -> CrowdLine:
    """Bays between stops; the places of a stance are at the end of a bay that is nearest to it."""
    edges_m = bay_edges_m(setting.line)
    places = np.zeros(edges_m.size, np.int64)
    crowd = setting.trip.crowd
    for at_m in setting.line.stance_m:
        places[int(np.argmin(np.abs(edges_m - at_m)))] += crowd.stance_places
    return CrowdLine(np.diff(edges_m), places, crowd.pass_time_s, crowd.yields)


def _climbers(setting: Setting, top_s: float) -> Climbers:
    """Everybody climbs at the rates and ties on as the file says for the party."""
    trip = setting.trip
    return Climbers(
        up_m_s=rate_of_m_s(trip, UP),
        down_m_s=rate_of_m_s(trip, DOWN),
        rate_sigma=PASSAGE_SIGMA,
        changeover_s=changeover_of_s(trip, setting.chosen),
        changeover_sigma=CHANGEOVER_SIGMA,
        rest_chance=1.0 if setting.line.stance_m else 0.0,
        rest_s=trip.line.stance_rest_s,
        freeze_chance=trip.crowd.freeze_chance,
        freeze_s=trip.crowd.freeze_time_s,
        freeze_sigma=FREEZE_SIGMA,
        top_s=top_s,
        top_sigma=TOP_SIGMA,
    )


def _hands_s(setting: Setting) -> Floats:
    """What rests of the hands add, (2, bays) from the foot [s]."""
    rows = []
    for way in WAYS:
        bays = passage_of(setting.trip, setting.line, setting.chosen, setting.rock, way).bays
        rests_s = [bay.hand_rest_s for bay in bays]
        rows.append(rests_s if way == UP else rests_s[::-1])
    return np.array(rows, float)


def _movement_s(setting: Setting) -> tuple[Floats, Floats]:
    """Walking and rests of somebody by each model of the mix, (legs, models) [s], and the weights of the models."""
    trip = setting.trip
    party, model = trip.party, trip.route.pace_model
    on = frozenset(key for key in ("load", "altitude", "ground", "snow", "group") if getattr(party.factors, key))
    others = party_times(
        leg_grounds(trip, setting.route),
        [Walker(ANYONE, party.light_masses_kg[0], party.packs_kg[0])],
        DEFAULT_MIX if model is None else {model: 1.0},
        on=on,
        size=trip.crowd.parties_of,
        group_per_person=party.group_per_person,
    )
    tiring = party.tiring_per_hour if party.factors.tiring else 0.0
    walked_s = tired_s(others.time_s[:, 0, :].T, party.tiring_after_s, tiring)
    return with_rests(walked_s, party.rest_per_hour_s), others.mix.weights


def _comes(setting: Setting, foot_leg: int) -> Comes:
    """When the others are at the foot: as counted, or by start and walk. The dark is that of the usual start."""
    trip, itinerary = setting.trip, setting.itinerary
    crowd = trip.crowd
    if crowd.arrivals:
        spans = crowd.arrivals
        return ByHour(
            np.array([span.from_clock_s for span in spans]),
            np.array([span.to_clock_s for span in spans]),
            np.array([float(span.people) for span in spans]),
        )
    movement_s, weight = _movement_s(setting)
    clock = np.full(weight.size, crowd.starts_clock_s)
    for j in range(foot_leg):
        leave = clock + (itinerary.stop_s[j] if j > 0 else 0.0)
        clock = arrive_clock_s(leave, movement_s[j], itinerary.dark_spans_clock_s, itinerary.dark_factor)
    stop_s = itinerary.stop_s[foot_leg] if foot_leg > 0 else 0.0
    return StartsAndWalk(
        start_clock_s=crowd.starts_clock_s,
        start_sigma_s=crowd.starts_spread_s,
        walk_s=clock + stop_s - crowd.starts_clock_s,
        weight=weight,
        walk_sigma=trip.party.pace_spread,
    )


def _top_s(setting: Setting, up: int, down: int) -> float:
    """From the head of the line to the top and back, with the stops there: the middle of the mix [s]."""
    movement_s, weight = _movement_s(setting)
    above = [j for j in range(up, down) if not setting.route.legs[j].is_line]
    first = above[0] if above else down
    walked_s = float(np.sum(movement_s[above] @ weight)) if above else 0.0
    stops = range(first, down + 1) if above else (down,)
    return walked_s + float(sum(setting.itinerary.stop_s[j] for j in stops))


def edges_of(crowd: CrowdSetting) -> tuple[tuple[float, float], ...]:
    """The bays from the foot up, each from where to where [m]."""
    edges_m = np.concatenate(([0.0], np.cumsum(crowd.line.bay_length_m)))
    return tuple((float(low), float(high)) for low, high in pairwise(edges_m))


def capacity_per_h(crowd: CrowdSetting) -> tuple[float, float]:
    """One over the median time in the slowest bay, each way, with nobody coming the other way [1/h]."""
    climbers, line = crowd.climbers, crowd.line
    rates = []
    for way, rate_m_s in ((UP, climbers.up_m_s), (DOWN, climbers.down_m_s)):
        change_s = np.full(line.bays, climbers.changeover_s)
        change_s[-1 if way == UP else 0] = 0.0
        stance = line.inner_places > 0
        rest_s = np.where(stance[1:] if way == UP else stance[:-1], climbers.rest_chance * climbers.rest_s, 0.0)
        slowest_s = float(np.max(line.bay_length_m / rate_m_s + change_s + rest_s + crowd.hands_s[WAYS.index(way)]))
        rates.append(3600.0 / slowest_s)
    return rates[0], rates[1]
