"""What hangs on no trip: sources, pictures, and the files of the pages themselves."""

from __future__ import annotations

from dataclasses import asdict
from functools import lru_cache
from importlib.resources import files

from anyio.to_thread import run_sync
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from handline.brief.still_page import part
from handline.sources import SEEN, sources
from handline.web.shell import page, table_of

_KINDS = {".css": "text/css", ".js": "text/javascript", ".svg": "image/svg+xml", ".txt": "text/plain"}


async def sources_page(request: Request) -> Response:
    """Every source, its kind and how far it was seen."""
    return page(request, "sources.html", title="Sources", sources=list(sources().values()), seen=SEEN)


async def sources_twin(request: Request) -> Response:
    """The same as JSON."""
    return JSONResponse([asdict(source) for source in sources().values()])


async def picture(request: Request) -> Response:
    """A picture of a page that was shown lately."""
    svg = await run_sync(table_of(request).pictures.svg, request.path_params["digest"])
    if svg is None:
        raise HTTPException(404)
    # Its address is made from what it shows: it never changes.
    return Response(svg, media_type="image/svg+xml", headers={"cache-control": "private, max-age=86400, immutable"})


async def static(request: Request) -> Response:
    """A file of the pages themselves, by its name among those there are."""
    name = request.path_params["name"]
    if name not in _static_names():
        raise HTTPException(404)
    kind = _KINDS["." + name.rpartition(".")[2]]
    return Response(_static(name), media_type=kind, headers={"cache-control": "no-cache"})


@lru_cache(maxsize=1)
def _static_names() -> frozenset[str]:
    own = (file.name for file in files("handline.web").joinpath("static").iterdir() if file.is_file())
    return frozenset((*own, "brief.css"))


@lru_cache(maxsize=32)
def _static(name: str) -> bytes:
    if name == "brief.css":
        return part(name).encode()
    return files("handline.web").joinpath("static", name).read_bytes()


plain_routes = [
    Route("/sources", sources_page),
    Route("/sources.json", sources_twin),
    Route("/pictures/{digest}.svg", picture),
    Route("/static/{name}", static),
]
