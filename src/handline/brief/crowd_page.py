"""The crowd as one offline page: what waits for the party, by arrival and people a day, and one day bay by bay."""

from __future__ import annotations

from pathlib import Path

from handline.brief.crowd_words import clears_words, pair_words, people_words, windows_words
from handline.brief.figures.crowd_day import crowd_day_picture
from handline.brief.figures.crowd_heat import LONG, MEDIAN, crowd_heat_picture
from handline.brief.still_page import Sheet, write_still_page
from handline.brief.stills import Draw, draw_here
from handline.brief.words import LEVEL_WORDS
from handline.day.crowd_report import CrowdReport

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


def write_crowd(report: CrowdReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a crowd report into a folder, which is made if need be."""
    return write_still_page(crowd_sheet(report), folder / CROWD_NAME, draw)
