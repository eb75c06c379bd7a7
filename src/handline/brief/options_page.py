"""Ways of doing the trip as one offline page: what is recommended and why, a picture, every way, raised and lowered."""

from __future__ import annotations

from pathlib import Path

from handline.brief.figures.option_map import option_map
from handline.brief.options_shown import latest_words, option_name, reasons_shown, stop_words, table_shown
from handline.brief.still_page import Sheet, write_still_page
from handline.brief.stills import Draw, draw_here
from handline.brief.words import LEVEL_WORDS
from handline.choose.options_report import OptionsReport

OPTIONS_NAME = "options.html"


def options_sheet(report: OptionsReport) -> Sheet:
    """The page of an options report, before it is laid out."""
    shown = table_shown(report)
    return Sheet(
        template="options.html",
        units=report.units,
        pictures=(option_map(report),),
        shown={
            "report": report,
            "levels": LEVEL_WORDS,
            "shown": shown,
            "titles": {option.key: option.title for option in report.options},
            "reasons": [reasons_shown(group) for group in shown.groups],
            "name": option_name,
            "best": next((option for option in report.options if option.key == report.recommended), None),
            "latest": latest_words,
            "stop": stop_words,
        },
    )


def write_options(report: OptionsReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of an options report into a folder, which is made if need be."""
    return write_still_page(options_sheet(report), folder / OPTIONS_NAME, draw)
