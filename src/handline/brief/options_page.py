"""Ways of doing the trip as one offline page: what is recommended and why, a picture, every way, raised and lowered."""

from __future__ import annotations

from pathlib import Path

from handline.brief.figures.option_map import option_map
from handline.brief.line_page import LEVEL_WORDS
from handline.brief.options_shown import latest_words, option_name, reasons_shown, stop_words, table_shown
from handline.brief.still_page import Sheet, still_page
from handline.brief.stills import Draw, draw_here
from handline.choose.options_report import OptionsReport
from handline.whole_file import write_whole

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


def options_html(report: OptionsReport, draw: Draw = draw_here) -> str:
    """The page of an options report, whole; ``draw`` makes the still pictures."""
    return still_page(options_sheet(report), draw)


def write_options(report: OptionsReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of an options report into a folder, which is made if need be.

    Raises
    ------
    OutputError
        The folder cannot be made or written; nothing half written is left.
    """
    path = folder / OPTIONS_NAME
    write_whole(path, options_html(report, draw))
    return path
