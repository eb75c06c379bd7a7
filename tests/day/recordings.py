"""Recordings made for the tests: a simulated day, or any walk along the way of a trip, as a recorder writes it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from handline.day.file_checks import subject_problems
from handline.day.setting import Setting, set_up
from handline.day.simulation import Days, draw_days, walk
from handline.day.way_matched import whole_way
from handline.sky.zones import midnight_utc_s
from handline.trip.model import Trip
from handline.trip.reading import read_trip

Floats = NDArray[np.float64]

EXAMPLES = Path(__file__).parents[2] / "examples"
TAMSIN = EXAMPLES / "tamsin-dome" / "trip.toml"
RECORDED = EXAMPLES / "tamsin-dome" / "recorded.gpx"
METRES_PER_DEGREE = 111_195.0


@lru_cache(maxsize=2)
def tamsin(days: int = 2000, seed: int = 1) -> Trip:
    """The example trip with fewer days, so that it is quick, dry all day, packs typed, and no pace recorded yet.

    Without its list of gear six people would share one filter, and stand at the bridge for the better part of two
    hours: so nobody treats water here. It starts at three and waits as typed, whatever the example does.
    """
    trip = read_trip(TAMSIN, subject_problems)
    about = trip.about.model_copy(update={"days": days, "seed": seed, "start_clock_s": 3 * 3600.0})
    waits_min = {"wait_up_s": 25.0, "wait_up_long_s": 70.0, "wait_down_s": 10.0, "wait_down_long_s": 40.0}
    crowd = trip.crowd.model_copy(update={key: 60.0 * minutes for key, minutes in waits_min.items()})
    party = trip.party.model_copy(update={"pace": None, "pack_mass_kg": 6.8})
    weather, gear = trip.weather.model_copy(update={"rock": "dry"}), trip.gear.model_copy(update={"items": ()})
    load = trip.load.model_copy(update={"treatment": "none"})
    changed = {"about": about, "party": party, "crowd": crowd, "weather": weather, "gear": gear, "load": load}
    return trip.model_copy(update=changed)


def tamsin_text(days: int = 500) -> str:
    """The file of that trip, with its comments; nobody's crowd has to be followed, for its waits are typed."""
    text = re.sub(r"\[party\.pace\][^\n]*\n(?:[^\[\n].*\n)*\n*", "", TAMSIN.read_text(encoding="utf-8"))
    waits = 'wait_up = "25 min"\nwait_up_long = "70 min"\nwait_down = "10 min"\nwait_down_long = "40 min"\n'
    text, crowds = re.subn(r"(\[crowd\][^\n]*\n)(?:[^\[\n].*\n)*", rf"\g<1>{waits}", text)
    assert crowds == 1
    return text.replace("seed = 1 ", f"days = {days}\nseed = 1 ")


@lru_cache(maxsize=2)
def tamsin_setting() -> Setting:
    return set_up(tamsin())


def simulated(setting: Setting, seed: int | None = None) -> Days:
    about = setting.trip.about
    draws = draw_days(setting.itinerary, about.days, about.seed if seed is None else seed)
    return walk(setting.itinerary, draws, np.array([setting.trip.depart_clock_s]))


@dataclass(frozen=True)
class Walk:
    """Clock times [s] and how far along the way of the day somebody was then [m], to be joined straight."""

    clock_s: Floats
    along_m: Floats

    def between(self, start_s: float, end_s: float) -> Walk:
        """The part of the walk between two times."""
        inside = (self.clock_s > start_s) & (self.clock_s < end_s)
        clock = np.concatenate(([start_s], self.clock_s[inside], [end_s]))
        return Walk(clock, np.interp(clock, self.clock_s, self.along_m))


def walk_of(setting: Setting, days: Days, day: int) -> Walk:
    """One simulated day: it stands at each place as long as stop and wait say, and moves evenly between."""
    clock, along = [float(days.arrive_clock_s[0][day])], [0.0]
    for j, leg in enumerate(setting.route.legs):
        clock += [float(days.leave_clock_s[j][day]), float(days.arrive_clock_s[j + 1][day])]
        along += [setting.route.points[leg.start].distance_m, setting.route.points[leg.end].distance_m]
    return Walk(np.array(clock), np.array(along))


def gpx_of(
    setting: Setting,
    walked: Walk,
    path: Path,
    *,
    date: dt.date | None = None,
    every_s: float = 20.0,
    jitter_m: float = 2.0,
    seed: int = 1,
    gaps_s: Sequence[tuple[float, float]] = (),
    shift_m: tuple[float, float] = (0.0, 0.0),
) -> Path:
    """Write a walk down as GPX: points at even times with a little jitter, none in the gaps."""
    rng = np.random.default_rng(seed)
    clock = np.arange(walked.clock_s[0], walked.clock_s[-1] + every_s, every_s)
    for start_s, end_s in gaps_s:
        clock = clock[(clock <= start_s) | (clock >= end_s)]
    along = np.interp(clock, walked.clock_s, walked.along_m)
    way = whole_way(setting.route, setting.trip.route.out_and_back)
    profile = setting.route.profile
    one_way = np.minimum(along, way.distance_m[-1] - along) if setting.trip.route.out_and_back else along
    north = rng.normal(0.0, jitter_m, clock.size) + shift_m[0]
    east = rng.normal(0.0, jitter_m, clock.size) + shift_m[1]
    latitude = np.interp(one_way, profile.distance_m, profile.latitude_deg) + north / METRES_PER_DEGREE
    narrowing = np.cos(np.radians(profile.latitude_deg[0]))
    longitude = np.interp(one_way, profile.distance_m, profile.longitude_deg) + east / METRES_PER_DEGREE / narrowing
    height = np.interp(one_way, profile.distance_m, profile.elevation_m)
    midnight = midnight_utc_s(date or setting.trip.about.date, setting.timezone)
    lines = ['<gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1"><trk><trkseg>']
    for at, lat, lon, high in zip(clock, latitude, longitude, height, strict=True):
        stamp = dt.datetime.fromtimestamp(midnight + at, dt.UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
        lines.append(f'<trkpt lat="{lat:.7f}" lon="{lon:.7f}"><ele>{high:.1f}</ele><time>{stamp}</time></trkpt>')
    path.write_text("\n".join((*lines, "</trkseg></trk></gpx>", "")), encoding="utf-8")
    return path
