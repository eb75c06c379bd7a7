"""The trips of the folder: the next date first, and of each what there is to act on."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import date
from functools import partial
from typing import Any

from anyio.to_thread import run_sync
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Route

from handline.day.file_checks import subject_problems
from handline.errors import TripError
from handline.web.answers import Question, asked_of
from handline.web.failing import failed_page, told_inside
from handline.web.folder import TripFile, TripFolder, glance
from handline.web.shell import page, table_of
from handline.web.work import finished

GLANCE_WITHIN_S = 5.0


@dataclass(frozen=True)
class TripRow:
    """A trip in the list. ``problems`` counts what keeps it from being planned; ``days_left`` is below 0 when past."""

    name: str
    file: str
    title: str
    date: str | None
    days_left: int | None
    people: int | None
    problems: int
    first_problem: str


async def home(request: Request) -> Response:
    return RedirectResponse("/trips", 307)


async def trips(request: Request) -> Response:
    """The list of trips."""
    rows = await run_sync(trip_rows, table_of(request).folder, date.today())
    return page(request, "trips.html", title="Trips", rows=rows)


async def trips_twin(request: Request) -> Response:
    """The same as JSON."""
    rows = await run_sync(trip_rows, table_of(request).folder, date.today())
    return JSONResponse([asdict(row) for row in rows])


async def trip_home(request: Request) -> Response:
    trip = await run_sync(table_of(request).folder.trip, request.path_params["trip"])
    return RedirectResponse(f"/trips/{trip.name}/day", 307)


async def at_a_glance(request: Request) -> Response:
    """What a trip's plan says in a few words, for its row of the list; or why there is none."""
    table = table_of(request)
    try:
        trip = await run_sync(table.folder.trip, request.path_params["trip"])
        work = await run_sync(asked_of, table.bench, trip, Question("day"))
        plan: Any = work.result().plan if await finished(work, GLANCE_WITHIN_S) else None
    except Exception as error:  # whatever it is, the row says so: nothing else would show it
        return await run_sync(partial(failed_page, request, error, template="glance_failed.html"))
    return page(request, "glance.html", trip=trip, title=trip.name, plan=plan, counts=_counts(plan))


def trip_rows(folder: TripFolder, today: date) -> list[TripRow]:
    """The rows of the list: what is still to come first, the next date at the top."""
    rows = [_row(trip, folder, today) for trip in folder.trips()]
    return sorted(rows, key=lambda row: (row.days_left is None, (row.days_left or 0) < 0, abs(row.days_left or 0)))


def _row(trip: TripFile, folder: TripFolder, today: date) -> TripRow:
    problems: tuple[Any, ...] = ()
    try:
        trip.read(subject_problems)
    except TripError as error:
        problems = tuple(told_inside(problem, folder.path) for problem in error.problems)
    seen = glance(trip.path)
    day, title, people = seen.get("date"), seen.get("name"), seen.get("size")
    is_day = isinstance(day, date)
    return TripRow(
        name=trip.name,
        file=trip.inside,
        title=title if isinstance(title, str) and title.strip() else trip.name,
        date=day.isoformat() if isinstance(day, date) else None,
        days_left=(date(day.year, day.month, day.day) - today).days if is_day and isinstance(day, date) else None,
        people=people if isinstance(people, int) and not isinstance(people, bool) else None,
        problems=len(problems),
        first_problem=problems[0].what if problems else "",
    )


def _counts(plan: Any) -> list[tuple[str, int]]:
    """How many findings there are of each level, the gravest first."""
    levels = [finding.level for finding in plan.findings] if plan is not None else []
    return [(level, levels.count(level)) for level in ("stop", "heed", "note") if level in levels]


trips_routes = [
    Route("/", home),
    Route("/trips", trips),
    Route("/trips.json", trips_twin),
    Route("/trips/{trip}", trip_home),
    Route("/trips/{trip}/glance", at_a_glance),
]
