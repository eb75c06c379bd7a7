"""Light, weather and rock of a day as one offline page: what to act on first, then hour by hour and place by place."""

from __future__ import annotations

from pathlib import Path

from handline.brief.figures import weather_pictures
from handline.brief.line_page import LEVEL_WORDS
from handline.brief.still_page import Sheet, still_page
from handline.brief.stills import Draw, draw_here
from handline.brief.weather_words import weather_shown
from handline.day.weather_report import WeatherReport
from handline.whole_file import write_whole

WEATHER_NAME = "weather.html"


def weather_sheet(report: WeatherReport) -> Sheet:
    """The page of a weather report, before it is laid out."""
    return Sheet(
        template="weather.html",
        units=report.units,
        pictures=weather_pictures(report),
        shown={
            "report": report,
            "levels": LEVEL_WORDS,
            "told": weather_shown(report),
        },
    )


def weather_html(report: WeatherReport, draw: Draw = draw_here) -> str:
    """The page of a weather report, whole; ``draw`` makes the still pictures."""
    return still_page(weather_sheet(report), draw)


def write_weather(report: WeatherReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a weather report into a folder, which is made if need be.

    Raises
    ------
    OutputError
        The folder cannot be made or written; nothing half written is left.
    """
    path = folder / WEATHER_NAME
    write_whole(path, weather_html(report, draw))
    return path
