"""The first page: a new trip from a recorded track, a date, a party and a line, in a minute."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import replace

from anyio.to_thread import run_sync
from starlette.datastructures import FormData, UploadFile
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from handline.errors import InputError, Problem
from handline.trip.starter import next_saturday
from handline.web.changes import changed_form, texts
from handline.web.form_fields import Field, Fields, plain, trip_fields
from handline.web.form_quotes import in_a_form
from handline.web.form_shown import ShownField, ShownPart, suggestions_for
from handline.web.form_values import typed_value
from handline.web.form_words import offered_words
from handline.web.guard import LARGEST_BODY_BYTES
from handline.web.new_trip import TRACK, Recorded, field_problems, make_trip, recorded
from handline.web.shell import page, table_of

NO_TRACK = "no_track"
_ASKED: Mapping[str, bool] = {
    "trip.name": True,
    "trip.date": True,
    "party.size": True,
    "line.length": True,
    "line.angle": True,
    "tethers.chosen": False,
    "trip.units": False,
}
"""Keys that are asked for, and whether a trip cannot begin without them."""
_ASKED_WITHOUT_TRACK = ("route.latitude", "route.longitude")


async def new(request: Request) -> Response:
    """The empty form."""
    usual = {"trip.date": [next_saturday(dt.date.today()).isoformat()]}
    return await run_sync(_page, request, usual, ())


async def new_twin(request: Request) -> Response:
    """The same as JSON: what is asked for, whether a trip cannot begin without it, and what stands there at first."""
    usual = {"trip.date": next_saturday(dt.date.today()).isoformat()}
    return JSONResponse({"asked": _ASKED, "asked_without_track": _ASKED_WITHOUT_TRACK, "values": usual})


async def made(request: Request) -> Response:
    """A trip made of what was typed, or the form again with what is wrong beside each field."""
    form = await changed_form(request)
    try:
        upload = await _upload(form)
    finally:
        await form.close()
    return await run_sync(_made, request, texts(form), upload)


async def _upload(form: FormData) -> tuple[str, bytes] | None:
    """The name and the bytes of the file that was sent, if one was."""
    sent = form.get(TRACK)
    if not isinstance(sent, UploadFile) or not sent.filename:
        return None
    return sent.filename, await sent.read()


def _made(request: Request, posted: Mapping[str, list[str]], upload: tuple[str, bytes] | None) -> Response:
    no_track = NO_TRACK in posted
    problems: list[Problem] = []
    track: Recorded | None = None
    if upload is not None and not no_track:
        try:
            track = recorded(*upload)
        except InputError as error:
            problems += error.problems
    elif not no_track:
        problems.append(Problem("no track was chosen", mend="choose one, or say that there is none", key=TRACK))
    elif upload is not None:
        problems.append(Problem("a track was chosen, and it is said that there is none", mend="untick it", key=TRACK))
    keys = [key for key, needed in _ASKED.items() if needed] + (list(_ASKED_WITHOUT_TRACK) if no_track else [])
    typed = {key: typed_value(posted.get(key, ()), _field(key)) for key in _asked(no_track)}
    values = {key: value for key, value in typed.items() if value is not None}
    problems += [Problem("this is needed", key=key) for key in keys if key not in values]
    if problems:
        problems += field_problems(values, track)
    else:
        try:
            path = make_trip(table_of(request).folder.path, values, track)
        except InputError as error:
            problems += error.problems
        else:
            return _opened(request, str(path))
    return _page(request, posted, problems, chosen=upload is not None)


def _opened(request: Request, path: str) -> Response:
    name = next((trip.name for trip in table_of(request).folder.trips() if str(trip.path) == path), None)
    return RedirectResponse(f"/trips/{name}/edit?said=made" if name else "/trips", 303)


def _asked(no_track: bool) -> tuple[str, ...]:
    return (*_ASKED, *(_ASKED_WITHOUT_TRACK if no_track else ()))


def _page(
    request: Request, posted: Mapping[str, Sequence[str]], problems: Sequence[Problem], *, chosen: bool = False
) -> Response:
    fields = {key: _shown(key, posted) for key in (*_ASKED, *_ASKED_WITHOUT_TRACK)}
    track = ShownPart(TRACK, "Track")
    placed: list[tuple[Problem, ShownPart | None]] = []
    for problem in problems:
        part = track if problem.key == TRACK else fields.get(problem.key or "")
        if part is not None:
            problem = problem if part is track else in_a_form(replace(problem, line=None))
            part.problems.append(problem)
        placed.append((problem, part))
    return page(
        request,
        "new.html",
        status=422 if problems else 200,
        title="New trip",
        fields=fields,
        asked=list(_ASKED),
        asked_without_track=_ASKED_WITHOUT_TRACK,
        track=track,
        placed=placed,
        chosen=chosen,
        no_track=NO_TRACK in posted,
        words=offered_words({}),
        largest_mb=LARGEST_BODY_BYTES // 1_000_000,
    )


def _shown(key: str, posted: Mapping[str, Sequence[str]]) -> ShownField:
    field = _field(key)
    return ShownField(key, field.label, spec=field, texts=tuple(posted.get(key, ())), suggested=suggestions_for(key))


def _field(key: str) -> Field:
    """The field of a key, with its section in its label, and said to be needed where this page needs it."""
    section, _, name = key.partition(".")
    fields = trip_fields().part(section)
    field = fields.part(name) if isinstance(fields, Fields) else None
    if not isinstance(field, Field):
        raise KeyError(key)
    usual = None if _ASKED.get(key, True) else field.usual
    label = field.label if section in ("trip", "route") else f"{plain(section)} {field.label.lower()}"
    return replace(field, label=label, needed=_ASKED.get(key, True), usual=usual)


new_routes = [
    Route("/trips/new", new),
    Route("/trips/new", made, methods=["POST"]),
    Route("/trips/new.json", new_twin),
]
