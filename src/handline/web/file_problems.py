"""What is wrong with the text of a trip file: what the command line would say, quick enough to ask with each change."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Hashable

from handline.day.file_checks import subject_problems
from handline.errors import InputError, Problem, TripError
from handline.route.route import Route
from handline.trip.model import Trip
from handline.web.folder import TripFile

_LOOKED_AT = {"about", "route", "waypoints", "line", "season", "tethers", "permits", "weather", "night"}
"""Parts of a trip that the way, the line, the permits and the forecast are made of: while they stay, so does what is
wrong there."""
_MOST_KEPT = 64

_kept: OrderedDict[Hashable, tuple[Problem, ...]] = OrderedDict()
_lock = threading.Lock()


def problems_in(text: str, trip_file: TripFile) -> tuple[Problem, ...]:
    """Everything wrong with a text as a trip file: with its keys, and where those can be read, with its way.

    The track and the forecast are read as well; what only shows when the whole day is worked out is not looked for.
    """
    try:
        trip = trip_file.read_text(text, subject_problems)
    except TripError as error:
        return error.problems
    return _problems_of_the_way(trip)


def _problems_of_the_way(trip: Trip) -> tuple[Problem, ...]:
    key = _key(trip)
    with _lock:
        known = _kept.get(key)
    if known is None:
        known = _found(trip)
        with _lock:
            _kept[key] = known
            while len(_kept) > _MOST_KEPT:
                _kept.popitem(last=False)
    return tuple(trip.located(problem) for problem in known)


def _found(trip: Trip) -> tuple[Problem, ...]:
    from handline.day.line_setting import set_up_line
    from handline.day.permit_setting import permit_problems

    try:
        line = set_up_line(trip, permit_problems(trip))
        if trip.weather.forecast is not None:
            _read_forecast(trip, line.route)
    except InputError as error:
        # Their lines are those of this text; another text with the same problems has its own.
        return tuple(_without_line(problem, trip) for problem in error.problems)
    return ()


def _read_forecast(trip: Trip, route: Route) -> None:
    """Raise InputError where the forecast cannot be read, or says nothing of the date."""
    from handline.day.weather_setting import set_weather
    from handline.sky.season_light import season_light
    from handline.sky.zones import nautical_zone

    zone = trip.route.timezone or nautical_zone(route.longitude_deg)
    try:
        light = season_light(route.latitude_deg, route.longitude_deg, [trip.about.date], zone)[0]
    except InputError:
        return  # of the date, which the whole day tells
    set_weather(trip, route, zone, light)


def _without_line(problem: Problem, trip: Trip) -> Problem:
    if problem.file != str(trip.path):
        # Inside another file: said beside the key that names it, with its own file and line.
        track = trip.route.track
        of_track = track is not None and problem.file == str(trip.file(track))
        return problem.at(key="route.track") if of_track else problem
    return Problem(problem.what, problem.read, problem.allowed, problem.mend, key=problem.key)


def _key(trip: Trip) -> Hashable:
    """The parts that are looked at, and the files they name as they are now."""
    files = []
    for name in (trip.route.track, trip.route.terrain, trip.weather.forecast):
        if name is not None:
            state = trip.file(name).stat()
            files.append((state.st_size, state.st_mtime_ns, state.st_ino))
    return str(trip.path), trip.model_dump_json(include=_LOOKED_AT), tuple(files)
