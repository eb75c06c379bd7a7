"""The trip edited by forms: opened, checked while it is typed, saved, and undone."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import date, time
from typing import Any

from anyio.to_thread import run_sync
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from handline.errors import Problem, TripError
from handline.web.changes import changed_form, text_of, texts
from handline.web.failing import told_inside
from handline.web.file_pages import file_checked, file_routes, said_words, show_stale
from handline.web.file_problems import problems_in
from handline.web.folder import TripFile
from handline.web.form_changes import Posted
from handline.web.form_quotes import in_a_form
from handline.web.form_saved import FileNow, file_now, filled
from handline.web.form_shown import ShownForm, ShownPart, shown_form
from handline.web.form_words import offered_words
from handline.web.saving import StaleError, can_redo, can_undo, redo, save, undo, with_line_ends_of
from handline.web.shell import page, table_of

ADD, UNFINISHED, VERSION = "add", "unfinished", "version"
"""Fields beside those of the trip: the list that gets an empty row, leave to save what cannot be planned yet, and the
version that the form was made from."""
FORM = "edit.html"


@dataclass(frozen=True)
class Typed:
    """A form that came back, with what it says about itself."""

    posted: Posted

    def one(self, name: str) -> str:
        found = self.posted.get(name) or [""]
        return found[-1]

    @property
    def unfinished(self) -> bool:
        return bool(self.one(UNFINISHED))


async def edit(request: Request) -> Response:
    """The form as the file is."""
    return await run_sync(_open, request)


def _open(request: Request) -> Response:
    now = _now(request)
    if now.typed is None:
        return RedirectResponse(f"/trips/{now.trip.name}/file", 303)
    return _form_page(request, now, {}, problems_in(now.text, now.trip))


async def edit_twin(request: Request) -> Response:
    """The same as JSON: every value by its key."""

    def told() -> dict[str, Any]:
        now = _now(request)
        found = [told_inside(one, table_of(request).folder.path) for one in problems_in(now.text, now.trip)]
        return {
            "trip": now.trip.name,
            "version": now.version,
            "values": flat(now.typed or {}),
            "problems": [asdict(one) for one in found],
        }

    return JSONResponse(await run_sync(told))


async def edited(request: Request) -> Response:
    """The form as it came back: saved, or shown again with what is wrong beside each field."""
    form = await changed_form(request)
    return await run_sync(_edited, request, Typed(texts(form)))


def _edited(request: Request, typed: Typed) -> Response:
    now, folder = _now(request), table_of(request).folder.path
    try:
        result = filled(now, typed.posted)
    except TripError as error:
        return _form_page(request, now, typed.posted, error.problems, status=422)
    if typed.one(VERSION) != now.version:
        if result.text == now.text:  # what was typed stands there already
            return _done(now.trip, "same")
        return show_stale(request, now.trip, StaleError(result.text, now.text))
    if typed.one(ADD):
        return _form_page(request, now, typed.posted, (), add=typed.one(ADD))
    if result.problems and not typed.unfinished:
        return _form_page(request, now, typed.posted, result.problems, status=422)
    text = with_line_ends_of(now.text, result.text)
    try:
        said = "saved" if save(folder, now.trip, text, now.version) != now.version else "same"
    except StaleError as stale:
        return show_stale(request, now.trip, stale)
    return _done(now.trip, said)


async def check(request: Request) -> Response:
    """What is wrong with what is typed so far, of the form or of the file itself; nothing is written."""
    form = await changed_form(request)
    typed = Typed(texts(form))
    return await run_sync(file_checked if "text" in typed.posted else _checked, request, typed.posted)


def _checked(request: Request, posted: Posted) -> Response:
    now, typed = _now(request), Typed(posted)
    try:
        problems: Sequence[Problem] = filled(now, posted).problems
    except TripError as error:
        problems = error.problems
    if request.headers.get("hx-request") != "true":
        return _form_page(request, now, posted, problems)
    form = shown_form(now.typed or {}, posted)
    placed = form.place(_told(request, problems))
    wrong = {part.id: part for _, part in placed if part is not None}
    known = {part.id: part for part in form.parts.values()}
    before = [known[one] for one in typed.one("wrong_before").split() if one in known]
    return page(
        request,
        "edit_checked.html",
        trip=now.trip,
        title=now.trip.name,
        placed=placed,
        slots=list({part.id: part for part in [*before, *wrong.values()]}.values()),
        stale=typed.one(VERSION) != now.version,
    )


async def undo_last(request: Request) -> Response:
    """What was there before the last save, put back; or what was undone, done again."""
    form = await changed_form(request)
    return await run_sync(_undo, request, text_of(form, "again") != "")


def _undo(request: Request, again: bool) -> Response:
    table = table_of(request)
    trip = table.folder.trip(request.path_params["trip"])
    try:
        (redo if again else undo)(table.folder.path, trip)
    except StaleError as stale:
        return show_stale(request, trip, stale, undoing=not again)
    return _done(trip, "redone" if again else "undone")


def _now(request: Request) -> FileNow:
    return file_now(table_of(request).folder.trip(request.path_params["trip"]))


def _done(trip: TripFile, said: str) -> Response:
    return RedirectResponse(f"/trips/{trip.name}/edit?said={said}", 303)


def _told(request: Request, problems: Sequence[Problem]) -> list[Problem]:
    return [in_a_form(told_inside(one, table_of(request).folder.path)) for one in problems]


def _form_page(
    request: Request, now: FileNow, posted: Posted, problems: Sequence[Problem], *, status: int = 200, add: str = ""
) -> Response:
    typed = Typed(posted)
    form: ShownForm = shown_form(now.typed or {}, posted, add)
    placed: list[tuple[Problem, ShownPart | None]] = form.place(_told(request, problems))
    return page(
        request,
        FORM,
        status=status,
        trip=now.trip,
        title=_name(now),
        form=form,
        placed=placed,
        version=typed.one(VERSION) or now.version,
        words=offered_words(now.typed or {}),
        can_undo=can_undo(table_of(request).folder.path, now.trip),
        can_redo=can_redo(table_of(request).folder.path, now.trip, now.version),
        said=said_words(request),
        refused=status == 422,
        unfinished=typed.unfinished,
        unsaved=bool(posted),
        wrong_ids=" ".join(sorted({part.id for _, part in placed if part is not None})),
    )


def _name(now: FileNow) -> str:
    about = (now.typed or {}).get("trip")
    name = about.get("name") if isinstance(about, Mapping) else None
    return name if isinstance(name, str) and name.strip() else now.trip.name


def flat(value: Any, key: str = "") -> dict[str, Any]:
    """Every value of a file by its key, as JSON has it: dates and times as text."""
    if isinstance(value, dict):
        inside = [flat(one, f"{key}.{name}".removeprefix(".")) for name, one in value.items()]
        return {at: one for part in inside for at, one in part.items()}
    if isinstance(value, list) and value and all(isinstance(one, dict) for one in value):
        return {at: one for i, row in enumerate(value) for at, one in flat(row, f"{key}[{i}]").items()}
    return {key: value.isoformat() if isinstance(value, date | time) else value}


edit_routes = [
    Route("/trips/{trip}/edit", edit),
    Route("/trips/{trip}/edit", edited, methods=["POST"]),
    Route("/trips/{trip}/edit.json", edit_twin),
    Route("/trips/{trip}/check", check, methods=["POST"]),
    Route("/trips/{trip}/undo", undo_last, methods=["POST"]),
    *file_routes,
]
