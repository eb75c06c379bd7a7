"""How a page fails: the same words and the same body everywhere, as a page or as JSON.

{"status": 422, "problems": [{"what", "read", "allowed", "mend", "file", "key", "line"}]}
"""

from __future__ import annotations

import logging
import re
from dataclasses import asdict, replace
from pathlib import Path
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response

from handline.errors import HandlineError, InputError, OutputError, Problem
from handline.web.folder import UnknownTripError
from handline.web.form_quotes import in_a_form
from handline.web.guard import LARGEST_BODY_BYTES, BodyTooLargeError
from handline.web.shell import page, table_of
from handline.web.work import StoppedError, TooMuchError

_log = logging.getLogger(__name__)
_OPTION = re.compile(r"(?<!\S)--([a-z][a-z-]*)")
_ADD = re.compile(r"\badd --(people|tether)(?: \S+)?")
_FIELDS = {"people": "type People a day above", "tether": "choose a tether above: Tied on with"}
"""What is added to a command, as it is done above a page."""
_TITLES = {
    403: "This is not allowed",
    404: "There is no such page",
    405: "This cannot be done here",
    409: "The file was changed meanwhile",
    413: "This is too large",
    422: "This cannot be used as it stands",
    500: "Something went wrong in the program",
    503: "Too much at once",
    507: "It could not be written",
}


def status_of(error: Exception) -> int:
    """The HTTP status of an error."""
    if isinstance(error, HTTPException):
        return error.status_code
    for kind, status in (
        (UnknownTripError, 404),
        (InputError, 422),
        (OutputError, 507),
        (TooMuchError, 503),
        (StoppedError, 409),
        (BodyTooLargeError, 413),
    ):
        if isinstance(error, kind):
            return status
    return 500


def problems_told(error: Exception, folder: Path) -> list[Problem]:
    """What went wrong as problems, their files told from the folder on."""
    if isinstance(error, InputError):
        return [told_inside(problem, folder) for problem in error.problems]
    if isinstance(error, BodyTooLargeError):
        return [Problem("more was sent than may be", allowed=f"at most {LARGEST_BODY_BYTES // 1_000_000} MB")]
    if isinstance(error, StoppedError):
        return [Problem("the work was stopped", mend="ask for the page again")]
    if isinstance(error, HTTPException):
        return [Problem(_TITLES.get(error.status_code, error.detail), mend="go back to the list of trips")]
    if isinstance(error, HandlineError):
        return [Problem(str(error).replace(f"{folder}/", ""))]
    return [Problem("this is a mistake of the program, not yours", mend="the words in its window say more")]


def told_inside(problem: Problem, folder: Path) -> Problem:
    """A problem whose file is told from the folder on: nobody needs to know where the folder lies."""
    file = problem.file and problem.file.replace(f"{folder}/", "")
    # What is an option on the command line is a field here.
    mend = problem.mend and _ADD.sub(lambda option: _FIELDS[option[1]], problem.mend)
    key, mend = (text and _OPTION.sub(r"\1", text) for text in (problem.key, mend))
    told = replace(problem, file=file, key=key, mend=mend)
    return in_a_form(told) if _is_asked(told) else told


def _is_asked(problem: Problem) -> bool:
    """Whether it is about what was typed above a page, not about a file."""
    return problem.file is None and problem.key is not None


def problems_body(status: int, problems: list[Problem]) -> dict[str, Any]:
    """The one shape of every error in JSON."""
    return {"status": status, "problems": [asdict(problem) for problem in problems]}


def wants_json(request: Request) -> bool:
    return request.url.path.endswith(".json")


async def failed(request: Request, error: Exception) -> Response:
    """The answer where a page cannot be given."""
    return failed_page(request, error)


def failed_page(request: Request, error: Exception, template: str = "failed.html", **above: Any) -> Response:
    """The same, with what stood above the result: whoever asked wrongly can ask again."""
    status = status_of(error)
    if status == 500:
        _log.exception("a page went wrong", exc_info=error)
    problems = problems_told(error, table_of(request).folder.path)
    if wants_json(request):
        return JSONResponse(problems_body(status, problems), status)
    name = request.path_params.get("trip")
    trips = {trip.name: trip for trip in table_of(request).folder.trips()} if name else {}
    return page(
        request,
        template,
        status=status,
        trip=trips.get(str(name)),
        title=_TITLES.get(status, "This failed"),
        problems=problems,
        of_the_trip=not all(_is_asked(one) or one.key in request.query_params for one in problems),
        **above,
    )
