"""A fitted pace as one offline page: what it is, what it rests on, what was thrown out, and one picture."""

from __future__ import annotations

from pathlib import Path

from handline.brief.figures.own_pace import own_pace_picture, speed_unit
from handline.brief.still_page import Sheet, write_still_page
from handline.brief.stills import Draw, draw_here
from handline.day.pace_report import PaceReport
from handline.quantity import show_duration, show_share
from handline.route.counted import counted
from handline.walking.recording import PIECE_S

PACE_NAME = "pace.html"


def pace_sheet(report: PaceReport) -> Sheet:
    """The page of a pace, before it is laid out."""
    unit, one_m_s = speed_unit(report.units)
    return Sheet(
        template="pace.html",
        units=report.units,
        pictures=(own_pace_picture(report),),
        shown={
            "report": report,
            "recordings": counted(len(report.tracks), "recording"),
            "days": counted(report.days, "day"),
            "climb": climb_words,
            "minutes": signed_minutes,
            "slope": slope_name,
            "piece": show_duration(PIECE_S),
            "speed": lambda speed_m_s: f"{speed_m_s / one_m_s:.1f}",
            "speed_unit": unit,
            "error": error_words,
            "ride_words": lambda part: _ride_words(part.ride_s),
        },
    )


def write_pace(report: PaceReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a pace into a folder, which is made if need be."""
    return write_still_page(pace_sheet(report), folder / PACE_NAME, draw)


def signed_minutes(time_s: float) -> str:
    """Minutes to a tenth with their sign: "+1.8 min", "−0.5 min", "0.0 min"."""
    minutes = round(time_s / 60.0, 1)
    sign = "+" if minutes > 0 else "−" if minutes < 0 else ""
    return f"{sign}{abs(minutes):.1f} min"


def climb_words(report: PaceReport) -> str:
    """The climb term with its range: "+1.8 min (+1.3 to +2.4)"."""
    low, high = (signed_minutes(value).removesuffix(" min") for value in report.climb_band_s_100m)
    return f"{signed_minutes(report.climb_s_100m)} ({low} to {high})"


def slope_name(grade: float) -> str:
    """A slope in words: "20 % up", "level"."""
    if grade == 0.0:
        return "level"
    return f"{show_share(abs(grade))} {'up' if grade > 0 else 'down'}"


def error_words(error: float) -> str:
    """A spread or an error as a share, to a tenth of a per cent: "7.0 %"."""
    return f"{100.0 * error:.1f} %"


def _ride_words(ride_s: float) -> str:
    return show_duration(ride_s) if ride_s >= 30.0 else "none"
