"""The pages of results: asked, worked out beside the page, shown; and the same result as JSON."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from anyio.to_thread import run_sync
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from handline.brief.still_page import Sheet
from handline.day.plan_json import result_json
from handline.errors import HandlineError
from handline.web.answers import SUBJECTS, DayAnswer, Question, asked_of, question
from handline.web.failing import failed_page
from handline.web.folder import TripFile
from handline.web.line_controls import line_controls
from handline.web.shell import Table, page, plan_page, sheet_page, table_of
from handline.web.work import StoppedError, finished

SHOWN_AT_ONCE_S = 0.3
"""Work that is done so soon needs no word of its progress."""
FIRST_WITHIN_S = 3.0
Show = Callable[..., Response]
"""Shows a request, a trip and a result; with what stands above it by name."""


@dataclass(frozen=True)
class Controls:
    """What stands above a result to ask with: a template, and what it shows."""

    template: str
    shown: Mapping[str, Any]


@dataclass(frozen=True)
class ResultPage:
    """How a subject is asked about and shown."""

    subject: str
    show: Show
    controls: Callable[[TripFile, Question], Controls] | None = None
    first: tuple[str, str] | None = None
    """What can be told at once where something is changed: its subject, and the template that shows it."""


async def result_page(request: Request, of: ResultPage) -> Response:
    """The page of a subject, or of how far it is."""
    table = table_of(request)
    trip = await run_sync(table.folder.trip, request.path_params["trip"])
    asked = question(of.subject, request.query_params)
    above: Mapping[str, Any] = {}
    if of.controls is not None:
        controls = await run_sync(of.controls, trip, asked)
        above = {"above": controls.template, **controls.shown}
    try:
        first = await _first(table, trip, of, asked)
        work = await run_sync(asked_of, table.bench, trip, asked)
        if not await finished(work, SHOWN_AT_ONCE_S if first is None else 0.0):
            return page(
                request,
                "working.html",
                status=202,
                trip=trip,
                title=SUBJECTS[of.subject].words,
                work=work,
                again=request.url.path + (f"?{request.url.query}" if request.url.query else ""),
                first=first,
                first_template=of.first and of.first[1],
                **above,
            )
        result = work.result()
    except (HandlineError, StoppedError) as error:
        return await run_sync(partial(failed_page, request, error, **above))
    return await run_sync(partial(of.show, request, trip, result, **above))


async def _first(table: Table, trip: TripFile, of: ResultPage, asked: Question) -> Any:
    """What can be told at once, where something was changed; None where that is nothing."""
    if of.first is None or not asked.asked:
        return None
    work = await run_sync(asked_of, table.bench, trip, Question(of.first[0], asked.asked))
    return work.result() if await finished(work, FIRST_WITHIN_S) else None


async def result_twin(request: Request, subject: str) -> Response:
    """The same result as JSON, the same bytes as on the command line."""
    table = table_of(request)
    trip = await run_sync(table.folder.trip, request.path_params["trip"])
    work = await run_sync(asked_of, table.bench, trip, question(subject, request.query_params))
    await finished(work)
    result = work.result()
    shown = result.plan if isinstance(result, DayAnswer) else result
    return Response(await run_sync(result_json, shown), media_type="application/json")


# --- the pages ---------------------------------------------------------------------------------------------------


def _day(request: Request, trip: TripFile, answer: Any, **above: Any) -> Response:
    plan = answer.plan
    return plan_page(
        request,
        plan,
        "day.html",
        trip,
        title=f"{plan.name}, {plan.date}",
        changed=answer.changed,
        strip_first=True,
        **above,
    )


def _report(request: Request, trip: TripFile, report: Any, *, sheet: str, **above: Any) -> Response:
    return sheet_page(request, _sheet_of(sheet)(report), trip, **above)


def _what_if_line(trip: TripFile, asked: Question) -> Controls:
    return Controls("line_controls.html", {"controls": line_controls(trip, asked), "slab_first": True})


def _asks(template: str) -> Callable[[TripFile, Question], Controls]:
    return lambda trip, asked: Controls(template, {"asked": dict(asked.asked)})


def _sheet_of(name: str) -> Callable[[Any], Sheet]:
    from handline.brief.crowd_page import crowd_sheet
    from handline.brief.dates_page import dates_sheet
    from handline.brief.line_page import line_sheet
    from handline.brief.load_page import load_sheet
    from handline.brief.options_page import options_sheet

    sheets: Mapping[str, Callable[[Any], Sheet]] = {
        "line": line_sheet,
        "crowd": crowd_sheet,
        "load": load_sheet,
        "dates": dates_sheet,
        "options": options_sheet,
    }
    return sheets[name]


_PAGES: Mapping[str, ResultPage] = {
    "day": ResultPage("day", _day, _asks("day_controls.html"), ("day-first", "day_first.html")),
    "line": ResultPage("line", partial(_report, sheet="line"), _what_if_line),
    "line-whole": ResultPage("line-whole", partial(_report, sheet="line"), _what_if_line),
    "crowd": ResultPage("crowd", partial(_report, sheet="crowd"), _asks("crowd_controls.html")),
    "load": ResultPage("load", partial(_report, sheet="load")),
    "dates": ResultPage("dates", partial(_report, sheet="dates"), _asks("dates_controls.html")),
    "options": ResultPage("options", partial(_report, sheet="options"), _asks("options_controls.html")),
}
"""By the last part of their address."""


def _paged(key: str) -> Callable[[Request], Awaitable[Response]]:
    async def answer(request: Request) -> Response:
        return await result_page(request, _PAGES[key])

    return answer


def _twinned(key: str) -> Callable[[Request], Awaitable[Response]]:
    async def answer(request: Request) -> Response:
        return await result_twin(request, _PAGES[key].subject)

    return answer


result_routes = [
    route
    for key in _PAGES
    for route in (Route(f"/trips/{{trip}}/{key}", _paged(key)), Route(f"/trips/{{trip}}/{key}.json", _twinned(key)))
]
