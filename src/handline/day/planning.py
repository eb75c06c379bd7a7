"""The whole job: from a trip to the frozen Plan."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from handline import __version__
from handline.day.assumptions import assumptions
from handline.day.cautions import CAUTIONS
from handline.day.chance_planning import plan_chances
from handline.day.computed import Computed
from handline.day.contacts_planning import contacts_findings, plan_contacts
from handline.day.crowd_window import plan_crowd
from handline.day.decision import decide
from handline.day.field_numbers import field_numbers
from handline.day.findings import findings
from handline.day.latest import Latest, latest_passings
from handline.day.light_planning import light_of, storm_above_share, storm_of
from handline.day.limits import kept_share, limit_sentences
from handline.day.line_planning import plan_line
from handline.day.load_planning import plan_load
from handline.day.map_planning import plan_map
from handline.day.pace_planning import leg_factors, plan_pace, slowest_on_legs
from handline.day.permit_planning import permits_together, plan_permits
from handline.day.plan import (
    NO_TIME,
    NOT_FROM_THIS_START,
    PROBABILITIES,
    RANGE,
    Chance,
    LegTime,
    Passing,
    Plan,
    Provenance,
    RouteSummary,
)
from handline.day.plan_chances import ChancePlan
from handline.day.plan_line import LinePlan
from handline.day.plan_pace import ModelTime
from handline.day.plan_permits import Permit
from handline.day.setting import set_up
from handline.day.simulation import Days, Draws, Floats, Night, dark_movement_s, draw_days, walk
from handline.day.subjects import Setting
from handline.day.told import Told
from handline.day.weather_planning import plan_sky, plan_weather
from handline.quantity import in_units
from handline.route.thinning import WITHIN_M, thinned
from handline.sources import source
from handline.trip.model import Trip
from handline.walking.registry import PACE_MODELS

# Less than this in the dark is dusk at the trailhead, not a walk by lamp.
DARK_COUNTS_FROM_S = 60.0


@dataclass(frozen=True)
class Simulated:
    """The simulated days of a setting, and the latest passing times.

    ``not_from_here`` marks the passings whose latest time this start cannot keep, and which therefore have none.
    """

    draws: Draws
    days: Days
    dark_s: Floats
    kept: Mapping[str, Floats]
    latest: Latest
    not_from_here: NDArray[np.bool_]
    night: Night | None

    @property
    def latest_clock_s(self) -> Floats:
        """Latest arrivals at every passing [s after local midnight]."""
        return self.latest.clock_s

    @property
    def leave_by_clock_s(self) -> float:
        """The latest start on the date: from the camp after a night out, else at the trailhead [s]."""
        camp = self.latest.leave_camp_clock_s
        return float(self.latest.clock_s[0]) if self.night is None else camp


def make_plan(
    trip: Trip,
    told: Told = lambda what, share: None,
    today: date | None = None,
    known: Callable[[], Setting] | None = None,
) -> Plan:
    """Plan a trip.

    Parameters
    ----------
    trip : Trip
        As read from its file.
    told : callable
        Told of the progress; may raise to stop the work.
    today : datetime.date, optional
        The day it is, from which deadlines of permits are seen; left out, none of them is said to be past.
    known : callable, optional
        Gives the setting of this very trip, where it is known already.

    Returns
    -------
    Plan
        The same trip, seed and day it is give the same Plan.

    Raises
    ------
    TripError
        Whatever of the file cannot be planned with, all at once.
    """
    told("Reading the way", 0.0)
    setting = set_up(trip, told) if known is None else known()
    simulated = simulate(setting, told)
    told("Checking the line", 0.0)
    line = plan_line(setting)
    turned = plan_chances(setting, simulated.draws, simulated.days, simulated.leave_by_clock_s)
    computed = _computed(setting, simulated, line, turned, plan_permits(trip, setting.line.state, today))
    latest_home_s, home_by_s = computed.latest_clock_s[-1], setting.limits.home_by_clock_s
    contacts = plan_contacts(trip, simulated.days, latest_home_s, home_by_s)
    found = findings(computed, contacts_findings(contacts, trip.morning_clock_s))
    about, route = trip.about, _route_summary(setting)
    return Plan(
        name=about.name,
        date=about.date.isoformat(),
        units=about.units,
        paper=about.printed_on,
        timezone=_zone_words(setting),
        zone=setting.timezone,
        party_size=trip.party.size,
        wanted_chance=trip.limits.chance,
        decision=decide(computed, found),
        findings=found,
        chances=computed.chances,
        route=route,
        legs=_legs(setting, simulated),
        timetable=_timetable(setting, simulated),
        turned=turned,
        light=light_of(setting, simulated.dark_s),
        sky=plan_sky(setting, simulated.days),
        weather=computed.weather,
        storm=storm_of(setting),
        line=line,
        crowd=plan_crowd(setting, computed.latest_clock_s),
        pace=plan_pace(setting, simulated.draws, simulated.days, simulated.dark_s),
        load=computed.load,
        models=_models(setting),
        permits=computed.permits,
        permits_together=permits_together(computed.permits),
        contacts=contacts,
        field=field_numbers(setting, simulated.days),
        map=plan_map(trip, route),
        assumptions=assumptions(setting),
        cautions=CAUTIONS,
        provenance=Provenance(
            version=__version__,
            seed=about.seed,
            days=about.days,
            trip_file=trip.path.name,
            inputs_sha256=setting.inputs_sha256,
            today=None if today is None else today.isoformat(),
        ),
    )


def _computed(
    setting: Setting, simulated: Simulated, line: LinePlan, turned: ChancePlan, permits: tuple[Permit, ...]
) -> Computed:
    """What the rules of the findings look at."""
    chances = chances_kept(setting, simulated.kept)
    return Computed(
        setting=setting,
        chances=chances,
        all_chance=next(chance for chance in chances if chance.key == "all"),
        latest_clock_s=tuple(float(value) for value in simulated.latest_clock_s),
        leave_by_clock_s=simulated.leave_by_clock_s,
        turned=turned,
        chosen=next(row for row in line.tethers if row.chosen),
        bays=line.bays,
        dark_share=float(np.mean(simulated.dark_s > DARK_COUNTS_FROM_S)),
        pace_outside_m=steep_m(setting),
        weather=plan_weather(setting, simulated.draws, simulated.days),
        load=plan_load(setting),
        storm_above_share=storm_above_share(setting, simulated.days),
        permits=permits,
    )


def simulate(setting: Setting, told: Told = lambda what, share: None) -> Simulated:
    """Simulate the days of a setting and search the latest passing times; the party's own rules count among them."""
    about = setting.trip.about
    told("Simulating days", 0.0)
    draws = draw_days(setting.itinerary, about.days, about.seed)
    days = walk(setting.itinerary, draws, np.array([setting.trip.depart_clock_s]))
    told("Simulating days", 1.0)
    latest = latest_passings(
        setting.limits,
        setting.itinerary,
        draws,
        setting.storm,
        days,
        lambda share: told("Searching latest passing times", share),
    )
    not_from_here = _not_from(latest.clock_s, setting.trip.depart_clock_s, days, setting.itinerary.off_line)
    latest.clock_s[not_from_here] = np.nan
    for rule in setting.turn_rules:
        latest.clock_s[rule.passing] = np.minimum(latest.clock_s[rule.passing], rule.after_clock_s)
    return Simulated(
        draws=draws,
        days=days,
        dark_s=dark_movement_s(setting.itinerary, days),
        kept=kept_share(setting.limits, setting.itinerary, days, setting.storm),
        latest=latest,
        not_from_here=not_from_here,
        night=setting.itinerary.night,
    )


def _not_from(latest_clock_s: Floats, depart_s: float, days: Days, off_line: int) -> NDArray[np.bool_]:
    """The passings on the way whose latest time is of no use to a party that departs then.

    A time before the party even leaves is no advice on the way. Nor is, until it is off the line, one by which it is
    there on no simulated day. The way home keeps its times: who turned early is early there.
    """
    gone = latest_clock_s <= depart_s
    for passing in range(1, off_line):
        gone[passing] |= bool(latest_clock_s[passing] < np.min(days.arrive_clock_s[passing]))
    gone[0] = False
    return gone


def first_chances(setting: Setting) -> tuple[Chance, ...]:
    """The chances of a plan before the rest of it is worked out: the same numbers, without latest times."""
    about, itinerary = setting.trip.about, setting.itinerary
    days = walk(itinerary, draw_days(itinerary, about.days, about.seed), np.array([setting.trip.depart_clock_s]))
    return chances_kept(setting, kept_share(setting.limits, itinerary, days, setting.storm))


# --- the parts of a Plan -----------------------------------------------------------------------------------------


def chances_kept(setting: Setting, kept: Mapping[str, Floats]) -> tuple[Chance, ...]:
    """The chance of each limit, from how surely each day keeps it; that of all of them last."""
    limits = setting.limits
    sentences = {
        **limit_sentences(limits),
        "all": "All of these on one day" if len(kept) > 1 else "No limit was set",
    }
    return tuple(
        Chance(
            key=key,
            sentence=sentences[key],
            share=float(share.mean()),
            error=float(share.std() / np.sqrt(share.size)),
            wanted=limits.chance,
        )
        for key, share in kept.items()
    )


def steep_m(setting: Setting) -> float:
    """How much of the walking is steeper than at least one of the pace models was made for [m]."""
    walked = np.array([not leg.is_line for leg in setting.route.legs])
    return float(setting.pace.mix.outside_m[:, walked].sum(axis=1).max())


def _route_summary(setting: Setting) -> RouteSummary:
    route = setting.route
    height_m = route.profile.elevation_m
    track = None if route.track is None else thinned(route.track)
    return RouteSummary(
        length_m=route.length_m,
        up_m=route.up_m,
        down_m=route.down_m,
        raw_up_m=route.raw_up_m,
        dead_band_m=route.dead_band_m,
        lowest_m=float(np.min(height_m)),
        highest_m=float(np.max(height_m)),
        latitude_deg=route.latitude_deg,
        longitude_deg=route.longitude_deg,
        profile_distance_m=_floats(route.profile.distance_m),
        profile_elevation_m=_floats(height_m),
        notes=tuple(in_units(note, setting.trip.about.units) for note in route.notes),
        track_latitude_deg=() if track is None else _floats(track.latitude_deg),
        track_longitude_deg=() if track is None else _floats(track.longitude_deg),
        track_elevation_m=() if track is None else _floats(track.elevation_m),
        track_within_m=0.0 if track is None else WITHIN_M,
    )


def _legs(setting: Setting, simulated: Simulated) -> tuple[LegTime, ...]:
    points, arrive = setting.route.points, simulated.days.arrive_clock_s
    factors, slowest = leg_factors(setting, simulated.draws), slowest_on_legs(setting, simulated.draws)
    rows = []
    for j, leg in enumerate(setting.route.legs):
        who = slowest[j]
        low, middle, high = np.quantile(arrive[j + 1] - setting.itinerary.ready_clock_s(j, arrive[j]), RANGE)
        rows.append(
            LegTime(
                start=points[leg.start].name,
                end=points[leg.end].name,
                way="up" if points[leg.end].way == "up" else "down",
                length_m=leg.length_m,
                up_m=leg.up_m,
                down_m=leg.down_m,
                is_line=leg.is_line,
                time_s=(float(low), float(middle), float(high)),
                factors=factors[j],
                slowest="" if who is None else who.names,
                slowest_share=0.0 if who is None else who.share,
            )
        )
    return tuple(rows)


def _timetable(setting: Setting, simulated: Simulated) -> tuple[Passing, ...]:
    rows = []
    last = len(setting.route.points) - 1
    for i, point in enumerate(setting.route.points):
        latest_s, error_s = float(simulated.latest_clock_s[i]), float(simulated.latest.error_s[i])
        sleeps = setting.camp is not None and setting.camp.stays == i
        says = "" if np.isfinite(latest_s) else _no_latest(setting, i, latest_s, bool(simulated.not_from_here[i]))
        rows.append(
            Passing(
                name=point.name,
                kind=point.kind,
                way="up" if point.way == "up" else "down",
                distance_m=point.distance_m,
                elevation_m=point.elevation_m,
                arrive_clock_s=_floats(np.quantile(simulated.days.arrive_clock_s[i], PROBABILITIES)),
                stop_s=float(setting.itinerary.stop_s[i]) if 0 < i < last and not sleeps else 0.0,
                latest_clock_s=latest_s if np.isfinite(latest_s) else None,
                latest_says=says,
                latest_error_s=error_s if np.isfinite(latest_s) and np.isfinite(error_s) else None,
                sleeps_until_clock_s=setting.trip.morning_clock_s if sleeps else None,
                leave_by_clock_s=simulated.leave_by_clock_s
                if sleeps and np.isfinite(simulated.leave_by_clock_s)
                else None,
                latitude_deg=point.latitude_deg if np.isfinite(point.latitude_deg) else None,
                longitude_deg=point.longitude_deg if np.isfinite(point.longitude_deg) else None,
            )
        )
    return tuple(rows)


def _zone_words(setting: Setting) -> str:
    """The time zone as a leader reads it; a guessed one by its hours, for its own name turns the sign round."""
    if "timezone" not in setting.guessed:
        return setting.timezone
    hours = round(setting.light.utc_offset_s / 3600.0)
    return f"UTC{hours:+d}, guessed"


def _no_latest(setting: Setting, passing: int, latest_s: float, not_from_here: bool) -> str:
    """Why there is no latest time to give."""
    if not_from_here:
        return NOT_FROM_THIS_START
    if np.isnan(latest_s):
        return NO_TIME
    over = passing > setting.itinerary.off_line and not setting.limits.on_the_way_home
    return "no limit left to miss" if over or not setting.limits.any else "the chance never falls that low"


def _models(setting: Setting) -> tuple[ModelTime, ...]:
    walked = np.array([not leg.is_line for leg in setting.route.legs])
    return tuple(
        ModelTime(
            key=key,
            title=PACE_MODELS[key].title,
            weight=float(setting.pace.mix.weights[i]),
            walking_s=float(setting.pace.mix.time_s[i, walked].sum()),
            outside_m=float(setting.pace.mix.outside_m[i, walked].sum()),
            source=source(PACE_MODELS[key].source).words,
        )
        for i, key in enumerate(setting.pace.mix.keys)
    )


def _floats(values: Floats) -> tuple[float, ...]:
    return tuple(float(value) for value in values)
