"""A page without any script: words, tables and still pictures in two widths, and nothing asked for from outside."""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache, partial
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

from handline.brief.figures.picture import Picture
from handline.brief.stills import Draw, data_uri, draw_here
from handline.brief.template_cache import template_cache
from handline.brief.words import is_known, said, walk_words
from handline.quantity import (
    Units,
    show_chance,
    show_clock,
    show_duration,
    show_height,
    show_length,
    show_mass,
    show_share,
)
from handline.whole_file import write_whole

if TYPE_CHECKING:
    import jinja2


@dataclass(frozen=True)
class Sheet:
    """A page before it is laid out: which template, its pictures, and what else the template shows."""

    template: str
    units: Units
    pictures: tuple[Picture, ...]
    shown: Mapping[str, Any]


@dataclass(frozen=True)
class Drawn:
    """A picture and the addresses of its two stills."""

    picture: Picture
    narrow: str
    wide: str


def still_page(sheet: Sheet, draw: Draw = draw_here) -> str:
    """The page of a sheet standing alone, whole; ``draw`` draws the stills."""
    # Asked for first and taken last: they may be drawn elsewhere meanwhile.
    svgs = draw([picture.complete(width) for picture in sheet.pictures for width in ("narrow", "wide")])
    style = part("brief.css")
    page = sheet_environment(sheet.units).get_template(sheet.template)
    addresses = [data_uri(svg) for svg in svgs]
    pairs = zip(sheet.pictures, addresses[::2], addresses[1::2], strict=True)
    return page.render(
        layout="still_layout.html",
        style=style,
        policy=_policy(style),
        drawn={picture.key: Drawn(picture, narrow, wide) for picture, narrow, wide in pairs},
        **sheet.shown,
    )


def write_still_page(sheet: Sheet, path: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a sheet standing alone; its folder is made if need be.

    Raises
    ------
    OutputError
        The folder cannot be made or written; nothing half written is left.
    """
    write_whole(path, still_page(sheet, draw))
    return path


def sheet_environment(units: Units, load: Callable[[str], str | None] | None = None) -> jinja2.Environment:
    """The surroundings of a sheet's template: everything escaped, and a filter for each kind of quantity.

    ``load`` gives the text of a template by its name; left out, those of this room.
    """
    import jinja2

    environment = jinja2.Environment(
        loader=jinja2.FunctionLoader(load or part),
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
        "chance": show_chance,
    }
    for name, show in shows.items():
        environment.filters[name] = partial(said, show=show, otherwise="not known")
    environment.filters["known"] = is_known
    return environment


@lru_cache(maxsize=8)
def part(name: str) -> str:
    """A file of the templates, as it is."""
    return files("handline.brief").joinpath("templates", name).read_text(encoding="utf-8")


def _policy(style: str) -> str:
    """What the page may do: its own style, pictures inside itself, and nothing else."""
    return f"default-src 'none'; style-src {hash_of(style)}; img-src data:; base-uri 'none'; form-action 'none'"


def hash_of(text: str) -> str:
    """A style or a script as a policy names it."""
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
