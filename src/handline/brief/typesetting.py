"""PDF pages: a template of typst and what it shows. The same words give the same bytes.

What is shown goes in as data and never becomes part of the template, so that no name can be read as a command.
Only the fonts that come with typst are used, unless a name has letters which they do not have.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from handline.brief.figures.theme import FONT
from handline.brief.still_page import part
from handline.trip.day_model import Paper

_PAPERS: Mapping[Paper, str] = {"letter": "us-letter", "a4": "a4"}
_SHARED = "sheet.typ"
# Nothing is read from it: but where typst is told no folder it takes the one a program is in.
_ROOT = Path(__file__).parent / "templates"
_LACKED = re.compile("[^\u0000-\u052f\u1e00-\u22ff]")
_SHIPPED_SANS = "'Liberation Sans', sans-serif"


def typeset(template: str, paper: Paper, shown: Mapping[str, Any], picture: bytes = b"") -> bytes:
    """The pages of a template as PDF.

    Parameters
    ----------
    template : str
        Its name in the folder of templates.
    paper : "letter" or "a4"
    shown : mapping
        What it shows: words, numbers, lists and mappings of them.
    picture : bytes
        A PDF of one page to stand in it; empty where the template shows none.
    """
    import typst

    lacks_letters = beyond_our_fonts(shown)
    words = json.dumps({**shown, "paper": _PAPERS[paper], "lacks_letters": lacks_letters})
    files = {
        "main.typ": part(template).encode(),
        _SHARED: part(_SHARED).encode(),
        "shown.json": words.encode(),
        # A file in memory has to be text.
        "picture.json": json.dumps(list(picture)).encode(),
    }
    pdf = typst.compile(files, root=_ROOT, format="pdf", ignore_system_fonts=not lacks_letters)  # type: ignore[call-overload]
    assert isinstance(pdf, bytes)
    return pdf


def picture_pdf(svg: str) -> bytes:
    """A drawn picture as a PDF of one page, its words in the sans that comes with the drawing library.

    An SVG's own words would be set in a serif: typst comes with no proportional sans.
    """
    import vl_convert

    pdf: bytes = vl_convert.svg_to_pdf(svg.replace(FONT, _SHIPPED_SANS))
    return pdf


def beyond_our_fonts(shown: Any) -> bool:
    """Whether there are letters that the fonts which come with typst may lack: beyond Latin, Greek and Cyrillic."""
    return _LACKED.search(json.dumps(shown, ensure_ascii=False)) is not None
