"""Writing the brief to a folder."""

from __future__ import annotations

from pathlib import Path

from handline.brief.html import brief_html
from handline.brief.stills import Draw, draw_here
from handline.day.plan import Plan
from handline.whole_file import write_whole

BRIEF_NAME = "brief.html"


def write_brief(plan: Plan, folder: Path, draw: Draw = draw_here) -> tuple[Path, ...]:
    """Write the brief of a plan into a folder, which is made if need be; ``draw`` makes the still pictures.

    Returns
    -------
    tuple of Path
        The files written, the page first.

    Raises
    ------
    OutputError
        The folder cannot be made or written; nothing half written is left.
    """
    path = folder / BRIEF_NAME
    write_whole(path, brief_html(plan, draw))
    return (path,)
