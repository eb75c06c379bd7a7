"""The crowd as one offline page: what waits for the party, by arrival and people a day, and one day bay by bay."""

from __future__ import annotations

from pathlib import Path

from handline.brief.crowd_words import clears_words, pair_words, people_words, windows_words
from handline.brief.figures.crowd_day import crowd_day_picture
from handline.brief.figures.crowd_heat import LONG, MEDIAN, crowd_heat_picture
from handline.brief.line_page import LEVEL_WORDS
from handline.brief.still_page import Sheet, still_page
from handline.brief.stills import Draw, draw_here
from handline.day.crowd_report import CrowdReport
from handline.whole_file import write_whole

CROWD_NAME = "crowd.html"


def crowd_sheet(report: CrowdReport) -> Sheet:
    """The page of a crowd report, before it is laid out."""
    pictures = (crowd_heat_picture(report, MEDIAN), crowd_heat_picture(report, LONG), crowd_day_picture(report))
    return Sheet(
        template="crowd.html",
        units=report.units,
        pictures=tuple(picture for picture in pictures if picture is not None),
        shown={
            "report": report,
            "levels": LEVEL_WORDS,
            "pair": pair_words,
            "people": people_words,
            "windows": windows_words(report.windows, report.most_delay_s),
            "clears": clears_words(report),
        },
    )


def crowd_html(report: CrowdReport, draw: Draw = draw_here) -> str:
    """The page of a crowd report, whole; ``draw`` makes the still pictures."""
    return still_page(crowd_sheet(report), draw)


def write_crowd(report: CrowdReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a crowd report into a folder, which is made if need be.

    Raises
    ------
    OutputError
        The folder cannot be made or written; nothing half written is left.
    """
    path = folder / CROWD_NAME
    write_whole(path, crowd_html(report, draw))
    return path
