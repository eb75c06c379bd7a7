"""People a day against waiting as one offline page, for land managers."""

from __future__ import annotations

from pathlib import Path

from handline.brief.figures.quota_curve import CHANCE, PASSAGE, quota_picture
from handline.brief.quota_words import chance_words, knee_words, time_words, within_words
from handline.brief.still_page import Sheet, write_still_page
from handline.brief.stills import Draw, draw_here
from handline.brief.words import LEVEL_WORDS
from handline.day.quota_report import QuotaReport

QUOTA_NAME = "quota.html"


def quota_sheet(report: QuotaReport) -> Sheet:
    """The page of a quota report, before it is laid out."""
    return Sheet(
        template="quota.html",
        units=report.units,
        pictures=tuple(quota_picture(report, which) for which in (CHANCE, PASSAGE)),
        shown={
            "report": report,
            "levels": LEVEL_WORDS,
            "chance": chance_words,
            "time": time_words,
            "within": within_words,
            "knee": knee_words,
        },
    )


def write_quota(report: QuotaReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a quota report into a folder, which is made if need be."""
    return write_still_page(quota_sheet(report), folder / QUOTA_NAME, draw)
