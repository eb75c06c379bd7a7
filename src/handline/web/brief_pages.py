"""The brief to carry: what is in it, and each file to take along."""

from __future__ import annotations

import io
import mimetypes
import zipfile
from collections.abc import Mapping
from dataclasses import dataclass

from anyio.to_thread import run_sync
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from handline.web.answers import Question, asked_of
from handline.web.folder import TripFile
from handline.web.result_pages import ResultPage, result_page
from handline.web.shell import page, table_of
from handline.web.work import Work, finished

ALL_NAME = "all.zip"
_FILES = {
    "brief.html": "The brief: one page that works offline, on a phone too. It answers “we are at … now”.",
    "card.pdf": "The card: two pages to print, everything that matters with cold hands.",
    "home.pdf": "The copy for whoever waits at home: one page.",
    "plan.gpx": "The way with its places and latest passing times, for a map.",
    "plan.ics": "The day and the deadlines of permits, for a calendar.",
    "plan.json": "Every number, for programs.",
}
_SHOWN = ("brief.html", "card.pdf", "home.pdf")
_SANDBOX = "sandbox allow-scripts allow-forms; form-action 'none'; frame-ancestors 'none'"
"""A brief that is looked at here runs as a page of nobody: it can ask nothing of this server.

Its buttons need leave for forms, or a browser does not even tell its script of them; none may send anything anywhere.
"""


@dataclass(frozen=True)
class BriefFile:
    """A file of the brief, with its size."""

    name: str
    words: str
    size_kB: int
    shown: bool


async def brief(request: Request) -> Response:
    """What the brief holds."""
    return await result_page(request, ResultPage("brief", _brief_page))


async def brief_twin(request: Request) -> Response:
    """The files as JSON."""
    trip, work = await _asked(request)
    await finished(work)
    files = [{"name": name, "bytes": len(data), "address": f"/trips/{trip.name}/brief/{name}"}
             for name, data in work.result().items()]  # fmt: skip
    return JSONResponse({"trip": trip.name, "files": files})


async def brief_file(request: Request) -> Response:
    """One file, to keep; with ``?look`` to look at here."""
    trip, work = await _asked(request)
    await finished(work)
    files: Mapping[str, bytes] = work.result()
    name = request.path_params["file"]
    if name == ALL_NAME:
        content, kind = await run_sync(_zipped, files), "application/zip"
    elif name in files:
        content, kind = files[name], mimetypes.guess_type(name)[0] or "application/octet-stream"
    else:
        raise HTTPException(404)
    kept_as = f"{trip.name}-{name.replace('/', '-')}"
    headers = {"content-disposition": f'attachment; filename="{kept_as}"'}
    if "look" in request.query_params and name in _SHOWN:
        headers = {"content-disposition": "inline"}
        if name == "brief.html":
            headers["content-security-policy"] = _SANDBOX
    return Response(content, headers=headers, media_type=kind)


def _brief_page(request: Request, trip: TripFile, files: Mapping[str, bytes]) -> Response:
    tables = [name for name in files if name.startswith("tables/")]
    shown = [BriefFile(name, words, round(len(files[name]) / 1000), name in _SHOWN) for name, words in _FILES.items()]
    return page(request, "brief_files.html", trip=trip, title="Brief to carry", files=shown, tables=tables)


async def _asked(request: Request) -> tuple[TripFile, Work]:
    table = table_of(request)
    trip = await run_sync(table.folder.trip, request.path_params["trip"])
    return trip, await run_sync(asked_of, table.bench, trip, Question("brief"))


def _zipped(files: Mapping[str, bytes]) -> bytes:
    """All files in one, the same bytes for the same files."""
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(zipfile.ZipInfo(name), data, zipfile.ZIP_DEFLATED)
    return whole.getvalue()


brief_routes = [
    Route("/trips/{trip}/brief", brief),
    Route("/trips/{trip}/brief.json", brief_twin),
    Route("/trips/{trip}/brief/{file:path}", brief_file),
]
