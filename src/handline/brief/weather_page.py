"""Light, weather and rock of a day as one offline page: what to act on first, then hour by hour and place by place."""

from __future__ import annotations

from pathlib import Path

from handline.brief.figures import weather_pictures
from handline.brief.still_page import Sheet, write_still_page
from handline.brief.stills import Draw, draw_here
from handline.brief.weather_words import weather_shown
from handline.brief.words import LEVEL_WORDS
from handline.day.weather_report import WeatherReport

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


def write_weather(report: WeatherReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a weather report into a folder, which is made if need be."""
    return write_still_page(weather_sheet(report), folder / WEATHER_NAME, draw)
