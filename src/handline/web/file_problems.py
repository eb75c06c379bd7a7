"""What is wrong with the text of a trip file: what the command line would say, quick enough to ask with each change."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Hashable
from pathlib import Path

from handline.day.file_checks import subject_problems
from handline.errors import InputError, Problem, TripError
from handline.trip.model import Trip
from handline.trip.reading import read_trip_text

_LOOKED_AT = {"about", "route", "waypoints", "line", "season", "tethers", "permits"}
"""Parts of a trip that the way, the line and the permits are made of: while they stay, so does what is wrong there."""
_MOST_KEPT = 64

_kept: OrderedDict[Hashable, tuple[Problem, ...]] = OrderedDict()
_lock = threading.Lock()


def problems_in(text: str, path: Path) -> tuple[Problem, ...]:
    """Everything wrong with a text as the trip file ``path``: with its keys, and where those can be read, with its way.

    The track is read as well; what only shows when the whole day is worked out is not looked for.
    """
    try:
        trip = read_trip_text(text, path, subject_problems)
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
        set_up_line(trip, permit_problems(trip))
    except InputError as error:
        # Their lines are those of this text; another text with the same problems has its own.
        return tuple(_without_line(problem, trip) for problem in error.problems)
    return ()


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
    for name in (trip.route.track, trip.route.terrain):
        if name is not None:
            state = trip.file(name).stat()
            files.append((state.st_size, state.st_mtime_ns, state.st_ino))
    return str(trip.path), trip.model_dump_json(include=_LOOKED_AT), tuple(files)
