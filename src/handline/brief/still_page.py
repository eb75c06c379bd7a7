"""A page without any script: words, tables and still pictures in two widths, and nothing asked for from outside."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Sequence
from functools import lru_cache, partial
from importlib.resources import files
from typing import Any

from handline.brief.figures.picture import Picture
from handline.brief.stills import Draw, data_uri, draw_here
from handline.brief.template_cache import template_cache
from handline.brief.words import is_known, said, walk_words
from handline.quantity import Units, show_clock, show_duration, show_height, show_length, show_mass, show_share


def still_page(template: str, units: Units, pictures: Sequence[Picture], draw: Draw = draw_here, **shown: Any) -> str:
    """The page of a template, whole.

    Parameters
    ----------
    template : str
        Its name in the folder of templates. It gets ``shown``, and under the key of each picture the picture and the
        addresses of its two stills.
    units : "us" or "si"
    pictures : sequence of Picture
    draw : callable
        Draws the stills.
    """
    import jinja2

    # Asked for first and collected last: they may be drawn elsewhere meanwhile.
    collect = draw([picture.complete(width) for picture in pictures for width in ("narrow", "wide")])
    style = part("brief.css")
    environment = jinja2.Environment(
        loader=jinja2.FunctionLoader(part),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        bytecode_cache=template_cache(),
    )
    shows: dict[str, Callable[[float], str]] = {
        "clock": show_clock,
        "distance": partial(walk_words, units=units),
        "duration": show_duration,
        "height": partial(show_height, units=units),
        "length": partial(show_length, units=units),
        "mass": partial(show_mass, units=units),
        "share": show_share,
    }
    for name, show in shows.items():
        environment.filters[name] = partial(said, show=show, otherwise="not known")
    environment.filters["known"] = is_known
    page = environment.get_template(template)
    addresses = [data_uri(svg) for svg in collect()]
    drawn = {
        picture.key: {"picture": picture, "narrow": addresses[2 * i], "wide": addresses[2 * i + 1]}
        for i, picture in enumerate(pictures)
    }
    return page.render(style=style, policy=_policy(style), drawn=drawn, **shown)


@lru_cache(maxsize=8)
def part(name: str) -> str:
    """A file of the templates, as it is."""
    return files("handline.brief").joinpath("templates", name).read_text(encoding="utf-8")


def _policy(style: str) -> str:
    """What the page may do: its own style, pictures inside itself, and nothing else."""
    digest = base64.b64encode(hashlib.sha256(style.encode()).digest()).decode()
    return f"default-src 'none'; style-src 'sha256-{digest}'; img-src data:; base-uri 'none'; form-action 'none'"
