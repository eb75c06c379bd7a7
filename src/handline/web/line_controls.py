"""The line: what if the rock were wet, the body heavier, the tether another."""

from __future__ import annotations

from dataclasses import dataclass

from handline.line.friction import ROCKS
from handline.line.geometry import STATES
from handline.line.tethers import NONE, TETHERS
from handline.web.answers import Question
from handline.web.folder import TripFile


@dataclass(frozen=True)
class Choice:
    """One choice of a control: what is sent, and what is read."""

    value: str
    words: str


@dataclass(frozen=True)
class LineControls:
    """The controls of the line page: the choices, what the file says, and what is asked now."""

    states: tuple[Choice, ...]
    rocks: tuple[Choice, ...]
    tethers: tuple[Choice, ...]
    asked: dict[str, str]
    unit: tuple[str, str]
    """Examples of a mass and a reach in the trip's units."""


def line_controls(trip_file: TripFile, asked: Question) -> LineControls:
    """The controls for a trip file, with what is asked."""
    trip = trip_file.read()
    own = {tether.name: tether.name for tether in trip.tethers.own}
    titles = {NONE: "nothing", **{name: tether.title for name, tether in TETHERS.items() if name != NONE}, **own}
    file_rock = trip.weather.rock or "as the weather makes it"
    return LineControls(
        states=(Choice("", f"as in the trip: {trip.line.state}"), *(Choice(state, state) for state in STATES)),
        rocks=(Choice("", f"as in the trip: {file_rock}"), *(Choice(rock, rock) for rock in ROCKS)),
        tethers=(
            Choice("", f"as in the trip: {titles.get(trip.tethers.chosen, trip.tethers.chosen)}"),
            *(Choice(name, title) for name, title in titles.items()),
        ),
        asked=dict(asked.asked),
        unit=("210 lb", "2.5 ft") if trip.about.units == "us" else ("95 kg", "0.8 m"),
    )
