"""Writing the brief to a folder."""

from __future__ import annotations

from pathlib import Path

from handline.brief.html import brief_html
from handline.brief.whole_file import write_whole
from handline.day.plan import Plan
from handline.errors import OutputError

BRIEF_NAME = "brief.html"


def write_brief(plan: Plan, folder: Path) -> tuple[Path, ...]:
    """Write the brief of a plan into a folder, which is made if need be.

    Returns
    -------
    tuple of Path
        The files written, the page first.

    Raises
    ------
    OutputError
        The folder cannot be made or written; nothing half written is left.
    """
    page = brief_html(plan)
    path = folder / BRIEF_NAME
    try:
        write_whole(path, page)
    except OSError as problem:
        reason = problem.strerror or str(problem)
        raise OutputError(
            f"{path}: the brief could not be written: {reason}. Choose a folder you may write to."
        ) from None
    return (path,)
