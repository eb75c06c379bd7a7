"""Packs, water and food as one offline page: one push against a night out, then packs, water and effort of each."""

from __future__ import annotations

from pathlib import Path

from handline.brief.figures.load_curve import load_pictures
from handline.brief.load_words import compared, load_cautions, load_shown, load_ways
from handline.brief.still_page import Sheet, write_still_page
from handline.brief.stills import Draw, draw_here
from handline.brief.words import LEVEL_WORDS
from handline.day.load_report import LoadReport

LOAD_NAME = "load.html"


def load_sheet(report: LoadReport) -> Sheet:
    """The page of a load report, before it is laid out."""
    ways = load_ways(report)
    return Sheet(
        template="load.html",
        units=report.units,
        pictures=load_pictures(ways, report.units),
        shown={
            "report": report,
            "levels": LEVEL_WORDS,
            "ways": [load_shown(way, report.units) for way in ways],
            "compared": compared(ways, report.units),
            "cautions": load_cautions(report),
        },
    )


def write_load(report: LoadReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a load report into a folder, which is made if need be."""
    return write_still_page(load_sheet(report), folder / LOAD_NAME, draw)
