"""The one script that draws every picture: Vega-Embed, Vega-Lite, Vega and its expression interpreter, in one text.

It takes seconds to make and never changes for one version of its makers, so it is kept in the user's cache folder.
A copy that was cut short or touched is made again.
"""

from __future__ import annotations

import hashlib
from importlib.metadata import version
from pathlib import Path

from handline.brief.still_page import part
from handline.brief.stills import VEGA_LITE
from handline.cache_folder import cache_folder
from handline.errors import OutputError
from handline.whole_file import write_whole

_SNIPPET = "window.handlineEmbed = vegaEmbed;"


def bundle() -> str:
    """The script with the licences of what it is made of.

    It comes from the cache where it is whole, else it is made and kept; a cache that cannot be written is no error.
    """
    return f"/*!\n{part('pictures_licences.txt')}*/\n{_script()}"


def _script() -> str:
    kept = _kept_at()
    script = _read_whole(kept)
    if script is None:
        script = _make()
        try:
            write_whole(kept, f"{_digest(script)}\n{script}")
        except OutputError:
            return script
    return script


def _kept_at() -> Path:
    return cache_folder() / f"figures-vl-convert-{version('vl-convert-python')}-vega-lite-{VEGA_LITE}.js"


def _digest(script: str) -> str:
    return hashlib.sha256(script.encode()).hexdigest()


def _read_whole(path: Path) -> str | None:
    try:
        digest, _, script = path.read_text(encoding="utf-8").partition("\n")
    except (OSError, UnicodeDecodeError):
        return None
    return script if script and digest == _digest(script) else None


def _make() -> str:
    import vl_convert

    made: str = vl_convert.javascript_bundle(_SNIPPET, vl_version=VEGA_LITE)
    # Inside a page the text must not end its own element, and its names must not become the page's.
    if "</script" in made.lower() or "<!--" in made:
        raise AssertionError("the script bundle cannot stand inside a page")
    return f"(() => {{\n{made}\n}})();"
