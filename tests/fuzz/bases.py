"""What is fuzzed stands on these: the two example trips, a trip of typed legs, their tracks and a forecast.

They lie in a folder of their own, made once a process, so that the files a trip names are there.
"""

from __future__ import annotations

import atexit
import re
import shutil
import tempfile
from functools import cache
from pathlib import Path

from tests.day.trips import LEGS

EXAMPLES = Path(__file__).parents[2] / "examples"
EXAMPLE_TEXTS = tuple((EXAMPLES / name / "trip.toml").read_text("utf-8") for name in ("petrel-slab", "tamsin-dome"))
TYPED_LEGS = LEGS.format(
    days=100, seed=1, route="", line="", party="", tether="absorbing lanyard", wait="5 min", crowd="", rock="dry",
    weather='storm_chance = "20 %"', limits="",
)  # fmt: skip
POINT = re.compile(r"<trkpt.*?</trkpt>", re.DOTALL)


@cache
def folder() -> Path:
    """A folder with the files that trips name. ``track.gpx`` is the whole track, ``short.gpx`` one of 60 points."""
    made = Path(tempfile.mkdtemp(prefix="handline-fuzz-"))
    atexit.register(shutil.rmtree, made, ignore_errors=True)
    shutil.copy(EXAMPLES / "petrel-slab" / "track.gpx", made / "track.gpx")
    for name in ("terrain.tif", "forecast.csv"):
        shutil.copy(EXAMPLES / "tamsin-dome" / name, made / name)
    (made / "short.gpx").write_text(short_track(), "utf-8")
    return made


@cache
def short_track() -> str:
    """The Petrel Slab track with 60 of its points."""
    text = (EXAMPLES / "petrel-slab" / "track.gpx").read_text("utf-8")
    points = POINT.findall(text)
    before, after = text[: text.index(points[0])], text[text.rindex(points[-1]) + len(points[-1]) :]
    return before + "\n".join(points[:: len(points) // 60]) + after


@cache
def forecast() -> str:
    """The forecast of the Tamsin Dome trip."""
    return (EXAMPLES / "tamsin-dome" / "forecast.csv").read_text("utf-8")
