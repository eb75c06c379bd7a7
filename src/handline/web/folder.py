"""The folder of trip files: its trips by the name they have in an address, and nothing outside it.

A name is looked up among the trips that are there. No path is made from what a browser sends, and no file that a trip
names is opened outside the folder: its text may come from a browser.
"""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

from handline.errors import InputError, Problem, near_miss
from handline.trip.model import Trip
from handline.trip.reading import Check, read_trip, read_trip_text

DEEPEST = 2
"""Folders below the folder that are looked into."""
MOST_TRIPS = 500
_MARK = re.compile(rb"^\s*\[\s*(trip|route|line|party)\s*\]", re.MULTILINE)
_UNFIT = re.compile(r"[^A-Za-z0-9._-]+")


@dataclass(frozen=True)
class TripFile:
    """A trip file and its name in addresses."""

    name: str
    path: Path
    inside: str
    """Where it lies, from the folder on, for people to read."""
    served: Path
    """The folder that is served: no file outside it is read."""

    def read(self, more_checks: Check | None = None) -> Trip:
        """The trip in the file, as ``read_trip`` reads it. Here alone, and in ``read_text``, the pages read trips."""
        return read_trip(self.path, more_checks, inside=self.served)

    def read_text(self, text: str, more_checks: Check | None = None) -> Trip:
        """The trip in a text, as if it stood in the file."""
        return read_trip_text(text, self.path, more_checks, inside=self.served)


@dataclass(frozen=True)
class TripFolder:
    """A folder with trip files, in it or in folders of their own."""

    path: Path

    def trips(self) -> tuple[TripFile, ...]:
        """Every trip file, in the order of their names."""
        found: dict[str, TripFile] = {}
        for path in self._files():
            inside = path.relative_to(self.path).as_posix()
            name = self._name(inside)
            number = 2
            while name in found:
                name = f"{self._name(inside)}-{number}"
                number += 1
            found[name] = TripFile(name, path, inside, self.path)
        return tuple(sorted(found.values(), key=lambda trip: trip.name.lower()))

    def trip(self, name: str) -> TripFile:
        """The trip of a name.

        Raises
        ------
        UnknownTripError
            There is none of that name.
        """
        trips = {trip.name: trip for trip in self.trips()}
        if name not in trips:
            guess = near_miss(name, list(trips))
            mend = f'did you mean "{guess}"?' if guess else "choose one from the list of trips"
            raise UnknownTripError(Problem("there is no trip of this name in the folder", read=name[:80], mend=mend))
        return trips[name]

    def _files(self) -> list[Path]:
        files: list[Path] = []
        for depth in range(DEEPEST + 1):
            for path in sorted(self.path.glob("*/" * depth + "*.toml")):
                hidden = any(part.startswith(".") for part in path.relative_to(self.path).parts)
                if not hidden and self._is_inside(path) and _is_trip(path):
                    files.append(path)
                if len(files) == MOST_TRIPS:
                    return files
        return files

    def _is_inside(self, path: Path) -> bool:
        """Whether a link does not lead out of the folder."""
        return path.resolve().is_relative_to(self.path.resolve()) and path.is_file()

    def _name(self, inside: str) -> str:
        """tamsin-dome/trip.toml is "tamsin-dome", spring.toml is "spring", north/spring.toml is "north-spring"."""
        parts = inside.removesuffix(".toml").split("/")
        if len(parts) > 1 and parts[-1] == "trip":
            parts = parts[:-1]
        return _UNFIT.sub("-", "-".join(parts)).strip("-.") or "trip"


class UnknownTripError(InputError):
    """There is no such trip in the folder."""


def _is_trip(path: Path) -> bool:
    """Whether a TOML file looks like a trip, though it may be broken."""
    try:
        with path.open("rb") as file:
            start = file.read(65536)
    except OSError:
        return False
    return path.name == "trip.toml" or _MARK.search(start) is not None


def glance(path: Path) -> dict[str, object]:
    """What a trip file says at a glance, checked by nobody: name, date, size of the party."""
    try:
        typed = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError):
        return {}
    about, party = (typed.get(key) for key in ("trip", "party"))
    return {
        "name": about.get("name") if isinstance(about, dict) else None,
        "date": about.get("date") if isinstance(about, dict) else None,
        "size": party.get("size") if isinstance(party, dict) else None,
    }
