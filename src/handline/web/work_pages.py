"""How far work is, as it goes on, and stopping it."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response, StreamingResponse
from starlette.routing import Route

from handline.web.changes import changed_form
from handline.web.shell import table_of
from handline.web.work import Work, finished

TOLD_EVERY_S = 0.2


async def progress(request: Request) -> Response:
    """A stream of server-sent events: "told" with words and a share, then "done"."""
    return StreamingResponse(_told(_work(request)), media_type="text/event-stream")


async def stop(request: Request) -> Response:
    """Stop the work, and go back to the trips."""
    await changed_form(request)
    work = _work(request)
    work.stop()
    return RedirectResponse("/trips", 303)


def _work(request: Request) -> Work:
    work = table_of(request).bench.numbered(request.path_params["number"])
    if work is None:
        raise HTTPException(404)
    return work


async def _told(work: Work) -> AsyncIterator[str]:
    while not work.done:
        yield f"event: told\ndata: {json.dumps({'doing': work.doing, 'share': round(work.share, 3)})}\n\n"
        if not await finished(work, TOLD_EVERY_S):
            await asyncio.sleep(0)
    yield "event: done\ndata: {}\n\n"


work_routes = [
    Route("/work/{number}/progress", progress),
    Route("/work/{number}/stop", stop, methods=["POST"]),
]
