"""What stands around every page: the desk a request finds, the layout, and pages made of templates."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from starlette.requests import Request
from starlette.responses import HTMLResponse

from handline.brief.html import plan_environment, plan_shown
from handline.brief.still_page import Sheet, part, sheet_environment
from handline.day.plan import Plan
from handline.quantity import Units
from handline.web.folder import TripFile, TripFolder
from handline.web.guard import Door
from handline.web.pictures import Pictures
from handline.web.work import Bench

if TYPE_CHECKING:
    import jinja2

LAYOUT = "table_layout.html"
PAGES: Mapping[str, str] = {
    "day": "The day",
    "line": "The line",
    "crowd": "The crowd",
    "load": "Packs and water",
    "dates": "Dates",
    "options": "Ways of doing it",
    "brief": "Brief to carry",
    "edit": "The trip",
}
"""The pages of a trip, in the order a leader comes to them."""


@dataclass(frozen=True)
class Table:
    """What every request finds: the folder, the work going on, the pictures shown, and the door."""

    folder: TripFolder
    door: Door
    bench: Bench = field(default_factory=Bench)
    pictures: Pictures = field(default_factory=Pictures)


def table_of(request: Request) -> Table:
    table: Table = request.app.state.table
    return table


def load_template(name: str) -> str | None:
    """The text of a template of this room, or of the brief's."""
    return _own(name) or part(name)


@lru_cache(maxsize=64)
def _own(name: str) -> str | None:
    file = files("handline.web").joinpath("templates", name)
    return file.read_text(encoding="utf-8") if file.is_file() else None


@lru_cache(maxsize=2)
def environment(units: Units) -> jinja2.Environment:
    """The surroundings of this room's templates."""
    return sheet_environment(units, load_template)


def page(
    request: Request,
    template: str,
    *,
    units: Units = "si",
    status: int = 200,
    trip: TripFile | None = None,
    **shown: Any,
) -> HTMLResponse:
    """A page of this room's own templates inside the layout.

    Every template gets ``page_token`` for its forms, ``trip`` (or None) and ``here``, the last part of the address.
    """
    text = environment(units).get_template(template).render(**_around(request, trip), **shown)
    return HTMLResponse(text, status)


def sheet_page(request: Request, sheet: Sheet, trip: TripFile, **shown: Any) -> HTMLResponse:
    """A page of a report inside the layout; ``above`` names the template of what stands before it."""
    text = (
        environment(sheet.units)
        .get_template(sheet.template)
        .render(
            **_around(request, trip),
            **sheet.shown,
            **shown,
            drawn=table_of(request).pictures.hung(sheet.pictures),
        )
    )
    return HTMLResponse(text)


def plan_page(request: Request, plan: Plan, template: str, trip: TripFile, **shown: Any) -> HTMLResponse:
    """A page of a plan inside the layout."""
    from handline.brief.figures import all_pictures

    hung = table_of(request).pictures.hung(all_pictures(plan).values())
    text = (
        plan_environment(plan, load_template)
        .get_template(template)
        .render(**_around(request, trip), **plan_shown(plan), **shown, hung=hung)
    )
    return HTMLResponse(text)


def _around(request: Request, trip: TripFile | None) -> dict[str, Any]:
    return {
        "layout": LAYOUT,
        "page_token": table_of(request).door.page_token,
        "trip": trip,
        "pages": PAGES,
        "here": request.url.path.rstrip("/").rpartition("/")[2],
        "address": request.url.path,
    }
