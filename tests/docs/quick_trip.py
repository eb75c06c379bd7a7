"""A trip that commands of the pages are tried on: Tamsin Dome with fewer simulated days and a season of four dates."""

from __future__ import annotations

import shutil
from pathlib import Path

ROOT = Path(__file__).parents[2]
EXAMPLE = ROOT / "examples" / "tamsin-dome"
_CHANGES = (
    ("seed = 1 ", "days = 400\nseed = 1 "),
    ("[season]\n", '[season]\nopen = ["15 July to 18 July"]\n'),
    ("Aldermere Camp", "Camp"),
)


def quick_text() -> str:
    """The trip file."""
    text = (EXAMPLE / "trip.toml").read_text(encoding="utf-8")
    for old, new in _CHANGES:
        if old not in text:
            raise AssertionError(f"the example no longer has {old!r}")
        text = text.replace(old, new)
    return text


def quick_folder(folder: Path) -> Path:
    """A folder with the trip, under the names that the pages use."""
    shutil.copytree(EXAMPLE, folder)
    (folder / "trip.toml").write_text(quick_text(), encoding="utf-8")
    for copy, of in {"my-track.gpx": "recorded.gpx", "the-day.gpx": "recorded.gpx"}.items():
        shutil.copy(folder / of, folder / copy)
    return folder
