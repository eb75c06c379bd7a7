"""The trip file itself, as text, with the same checks; and both versions where somebody else changed it meanwhile."""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from anyio.to_thread import run_sync
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from handline.errors import Problem
from handline.web.changes import changed_form, texts
from handline.web.failing import told_inside
from handline.web.file_problems import problems_in
from handline.web.folder import TripFile
from handline.web.form_changes import Posted
from handline.web.form_saved import file_now
from handline.web.saving import StaleError, can_redo, can_undo, save, version_of, with_line_ends_of
from handline.web.shell import page, table_of

SAID: Mapping[str, str] = {
    "saved": "Saved.",
    "same": "Nothing was changed.",
    "undone": "Undone: the file is as it was before the last save.",
    "redone": "Done again.",
    "made": "Made. What is still to be filled in is below.",
    "file": "The file was left as it is.",
}
"""What may be said at the top of a page, by its word in the address."""
LINES_ROUND = 3
"""Lines that are the same shown around those that differ."""


def said_words(request: Request) -> str:
    return SAID.get(request.query_params.get("said", ""), "")


async def file_page(request: Request) -> Response:
    """The file as it is."""

    def shown() -> Response:
        now = file_now(table_of(request).folder.trip(request.path_params["trip"]))
        return _page(request, now.trip, now.text, now.version, problems_in(now.text, now.trip))

    return await run_sync(shown)


async def file_twin(request: Request) -> Response:
    """The same as JSON."""

    def told() -> dict[str, Any]:
        now = file_now(table_of(request).folder.trip(request.path_params["trip"]))
        found = _told(request, problems_in(now.text, now.trip))
        return {
            "trip": now.trip.name,
            "file": now.trip.inside,
            "version": now.version,
            "text": now.text,
            "problems": [asdict(one) for one in found],
        }

    return JSONResponse(await run_sync(told))


async def file_edited(request: Request) -> Response:
    """The file as it was typed: saved, or shown again with what is wrong."""
    form = await changed_form(request)
    return await run_sync(_saved, request, texts(form))


def _saved(request: Request, posted: Posted) -> Response:
    table = table_of(request)
    now = file_now(table.folder.trip(request.path_params["trip"]))
    text, version = with_line_ends_of(now.text, _one(posted, "text")), _one(posted, "version")
    problems = problems_in(text, now.trip)
    if problems and not _one(posted, "unfinished"):
        return _page(request, now.trip, text, version, problems, status=422, unsaved=True)
    try:
        said = "saved" if save(table.folder.path, now.trip, text, version) != now.version else "same"
    except StaleError as stale:
        if stale.mine != stale.now:
            return show_stale(request, now.trip, stale)
        said = "same"
    return RedirectResponse(f"/trips/{now.trip.name}/{'file' if problems else 'edit'}?said={said}", 303)


def file_checked(request: Request, posted: Posted) -> Response:
    """What is wrong with a text so far; nothing is written."""
    trip = table_of(request).folder.trip(request.path_params["trip"])
    text = with_line_ends_of("", _one(posted, "text"))
    problems = problems_in(text, trip)
    if request.headers.get("hx-request") != "true":
        return _page(request, trip, text, _one(posted, "version"), problems, unsaved=True)
    return page(
        request, "file_checked.html", trip=trip, title=trip.name, lines=_lines(text, trip, _told(request, problems)),
        problems=_told(request, problems),
    )  # fmt: skip


@dataclass(frozen=True)
class Line:
    """A line of the file by its number, and whether something is wrong on it."""

    number: int
    text: str
    wrong: bool


def _page(
    request: Request,
    trip: TripFile,
    text: str,
    version: str,
    problems: Sequence[Problem],
    *,
    status: int = 200,
    unsaved: bool = False,
) -> Response:
    told = _told(request, problems)
    return page(
        request,
        "file.html",
        status=status,
        trip=trip,
        title=trip.inside,
        text=with_line_ends_of("", text),
        version=version,
        problems=told,
        lines=_lines(text, trip, told),
        can_undo=can_undo(table_of(request).folder.path, trip),
        can_redo=can_redo(table_of(request).folder.path, trip, version),
        said=said_words(request),
        refused=status == 422,
        unsaved=unsaved,
    )


def _lines(text: str, trip: TripFile, problems: Sequence[Problem]) -> list[Line]:
    wrong = {one.line for one in problems if one.file == trip.inside}
    return [Line(i, line, i in wrong) for i, line in enumerate(with_line_ends_of("", text).split("\n"), 1)]


def _told(request: Request, problems: Sequence[Problem]) -> list[Problem]:
    return [told_inside(one, table_of(request).folder.path) for one in problems]


@dataclass(frozen=True)
class Differing:
    """A line of two versions side by side; None where one of them has no such line."""

    mine: str | None
    now: str | None
    same: bool


def show_stale(request: Request, trip: TripFile, stale: StaleError, *, undoing: bool = False) -> Response:
    """Both versions of a file that was changed meanwhile, and what can be done."""
    return page(
        request,
        "stale.html",
        status=409,
        trip=trip,
        title="The file was changed meanwhile",
        mine=with_line_ends_of("", stale.mine),
        version=version_of(stale.now),
        parts=differing(with_line_ends_of("", stale.mine), with_line_ends_of("", stale.now)),
        undoing=undoing,
        problems=_told(request, problems_in(stale.mine, trip)),
    )


def differing(mine: str, now: str) -> list[list[Differing]]:
    """The parts of two texts that differ, each with some lines around it, line beside line."""
    ours, theirs = mine.splitlines(), now.splitlines()
    matcher = difflib.SequenceMatcher(None, ours, theirs, autojunk=False)
    parts = []
    for group in matcher.get_grouped_opcodes(LINES_ROUND):
        lines: list[Differing] = []
        for kind, a, a_end, b, b_end in group:
            for i in range(max(a_end - a, b_end - b)):
                one = ours[a + i] if a + i < a_end else None
                other = theirs[b + i] if b + i < b_end else None
                lines.append(Differing(one, other, kind == "equal"))
        parts.append(lines)
    return parts


def _one(posted: Posted, name: str) -> str:
    found = posted.get(name) or [""]
    return found[-1]


file_routes = [
    Route("/trips/{trip}/file", file_page),
    Route("/trips/{trip}/file", file_edited, methods=["POST"]),
    Route("/trips/{trip}/file.json", file_twin),
]
