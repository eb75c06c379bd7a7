"""A season of dates as one offline page: the best dates and why, what to apply for, the grid, every date."""

from __future__ import annotations

from pathlib import Path

from handline.brief.dates_words import (
    START_BY,
    WITH_REASONS,
    best_words,
    date_words,
    list_words,
    months_of,
    numbers_words,
    permit_words,
    start_words,
    state_words,
)
from handline.brief.figures.date_grid import date_grid_pictures
from handline.brief.line_page import LEVEL_WORDS
from handline.brief.still_page import Sheet, still_page
from handline.brief.stills import Draw, draw_here
from handline.choose.dates_report import WAY_WORDS, DatesReport
from handline.whole_file import write_whole

DATES_NAME = "dates.html"


def dates_sheet(report: DatesReport) -> Sheet:
    """The page of a season of dates, before it is laid out."""
    return Sheet(
        template="dates.html",
        units=report.units,
        pictures=date_grid_pictures(report),
        shown={
            "report": report,
            "levels": LEVEL_WORDS,
            "way_words": WAY_WORDS,
            "start_by": START_BY,
            "months": months_of(report),
            "best": best_words,
            "numbers": numbers_words,
            "with_reasons": WITH_REASONS,
            "date": date_words,
            "listed": list_words,
            "permits": permit_words,
            "start": start_words,
            "state": state_words,
        },
    )


def dates_html(report: DatesReport, draw: Draw = draw_here) -> str:
    """The page of a season of dates, whole; ``draw`` makes the still pictures."""
    return still_page(dates_sheet(report), draw)


def write_dates(report: DatesReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a season of dates into a folder, which is made if need be.

    Raises
    ------
    OutputError
        The folder cannot be made or written; nothing half written is left.
    """
    path = folder / DATES_NAME
    write_whole(path, dates_html(report, draw))
    return path
