"""A season of dates as one offline page: the best dates and why, what to apply for, the grid, every date."""

from __future__ import annotations

from pathlib import Path

from handline.brief.dates_words import (
    START_BY,
    WITH_REASONS,
    best_words,
    date_words,
    months_of,
    numbers_words,
    permit_words,
    start_words,
    state_words,
)
from handline.brief.figures.date_grid import date_grid_pictures
from handline.brief.still_page import Sheet, write_still_page
from handline.brief.stills import Draw, draw_here
from handline.brief.words import LEVEL_WORDS
from handline.choose.date_rock import most_iced
from handline.choose.dates_report import WAY_WORDS, DatesReport

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
            "permits": permit_words,
            "start": start_words,
            "most_iced": most_iced,
            "state": state_words,
        },
    )


def write_dates(report: DatesReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a season of dates into a folder, which is made if need be."""
    return write_still_page(dates_sheet(report), folder / DATES_NAME, draw)
