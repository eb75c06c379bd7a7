"""The app: a folder and a door in, every page out."""

from __future__ import annotations

from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware

from handline.errors import HandlineError
from handline.web.brief_pages import brief_routes
from handline.web.edit_pages import edit_routes
from handline.web.failing import failed
from handline.web.folder import TripFolder
from handline.web.guard import BodyTooLargeError, Door, Guard
from handline.web.new_pages import new_routes
from handline.web.plain_pages import plain_routes
from handline.web.result_pages import result_routes
from handline.web.shell import Table
from handline.web.trips_pages import trips_routes
from handline.web.work import StoppedError
from handline.web.work_pages import work_routes

_FAILS = (HTTPException, HandlineError, StoppedError, BodyTooLargeError, Exception)


def make_app(folder: Path, door: Door) -> Starlette:
    """The planning table over a folder of trip files, behind a door.

    Parameters
    ----------
    folder : Path
        It and folders in it are looked into; nothing outside is.
    door : Door
        Under which names it answers, and whether a token is asked for.
    """
    table = Table(TripFolder(folder.resolve()), door)

    @asynccontextmanager
    async def open_and_close(app: Starlette) -> AsyncIterator[None]:
        yield
        table.bench.close()

    app = Starlette(
        routes=[*new_routes, *edit_routes, *result_routes, *brief_routes, *work_routes, *plain_routes, *trips_routes],
        middleware=[Middleware(Guard, door=door)],
        exception_handlers=dict.fromkeys(_FAILS, failed),
        lifespan=open_and_close,
    )
    app.state.table = table
    return app
