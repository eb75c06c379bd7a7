"""The whole trip file, checked: every key in its place, and the keys that hang together."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any, Self

from pydantic import ConfigDict, Field, ModelWrapValidatorHandler, PrivateAttr, ValidationError, model_validator
from pydantic_core import InitErrorDetails, PydanticCustomError

from handline.errors import Problem
from handline.trip.choice_model import Choice
from handline.trip.contacts_model import Contacts
from handline.trip.cross_checks import cross_problems
from handline.trip.day_model import About, Crowd, Limits, Season
from handline.trip.line_model import Line, Tethers
from handline.trip.load_model import Gear, Load
from handline.trip.night_model import Night
from handline.trip.party_model import Party
from handline.trip.permit_model import Permit
from handline.trip.route_model import Route, Waypoint
from handline.trip.section import Section, key
from handline.trip.weather_model import Weather

DAY_S = 86400.0


class Trip(Section):
    """A trip as its leader typed it."""

    model_config = ConfigDict(
        json_schema_extra={
            "anyOf": [
                {"properties": {"route": {"required": ["track"]}}},
                {"properties": {"line": {"anyOf": [{"required": ["length"]}, {"required": ["sections"]}]}}},
            ]
        }
    )

    about: About = key("trip", "What is planned: at least date.")
    route: Route = Field(description="The way: a track, or typed legs.")
    waypoints: Annotated[tuple[Waypoint, ...], Field(strict=False)] = Field(
        default=(), description="Places on the way, each a [[waypoints]]."
    )
    line: Line = Field(description="The cables on the slab: at least length and angle, or a track.")
    season: Season = Field(default_factory=Season, description="When the cables stand, and when the way is open.")
    party: Party = Field(description="The people: at least size.")
    tethers: Tethers = Field(default_factory=Tethers, description="What they tie on with.")
    crowd: Crowd = Field(default_factory=Crowd, description="Waiting at the line.")
    weather: Weather = Field(default_factory=Weather, description="The rock and the storms.")
    permits: Annotated[tuple[Permit, ...], Field(strict=False)] = Field(
        default=(), description="Permits that some days need, each a [[permits]]."
    )
    limits: Limits = Field(default_factory=Limits, description="What the party wants to keep to.")
    gear: Gear = Field(default_factory=Gear, description="What they carry.")
    load: Load = Field(default_factory=Load, description="How they drink and eat.")
    night: Night = Field(default_factory=Night, description="A night out on the way.")
    contacts: Contacts = Field(default_factory=Contacts, description="Who waits, whom to call, the car.")
    choice: Choice = Field(default_factory=Choice, description="Which dates the party would rather have.")

    _path: Path = PrivateAttr(default=Path("trip.toml"))
    _sha256: str = PrivateAttr(default="")
    _lines: Mapping[str, int] = PrivateAttr(default_factory=dict)

    @model_validator(mode="wrap")
    @classmethod
    def _everything_at_once(cls, typed: Any, handler: ModelWrapValidatorHandler[Self]) -> Self:
        """Report what is wrong between keys together with what is wrong in each of them."""
        across = [
            InitErrorDetails(
                type=PydanticCustomError("handline", "{what}", {"what": problem.what, "problem": problem}),
                loc=place,
                input=read,
            )
            for place, read, problem in (cross_problems(typed) if isinstance(typed, Mapping) else ())
        ]
        try:
            trip = handler(typed)
        except ValidationError as error:
            raise ValidationError.from_exception_data("Trip", [*_again(error), *across]) from None
        if across:
            raise ValidationError.from_exception_data("Trip", across)
        return trip

    def read_from(self, path: Path, sha256: str, lines: Mapping[str, int]) -> Trip:
        """The same trip, knowing the file it was read from, the hash of its bytes and the line of each key."""
        trip = self.model_copy()
        trip._path, trip._sha256, trip._lines = path, sha256, lines
        return trip

    def located(self, problem: Problem) -> Problem:
        """A problem with a key of this trip, told with the file and the line of the key or of what is around it.

        A problem inside another file keeps its own place there.
        """
        if problem.file is not None:
            return problem
        key = problem.key or ""
        while key and key not in self._lines:
            key = key[: max(key.rfind("."), key.rfind("["), 0)]
        return problem.at(file=self._path, line=self._lines.get(key))

    @property
    def depart_clock_s(self) -> float:
        """When the party sets out [s after midnight of the date]; below 0 for a night out, on the day before."""
        return self.night.set_out_clock_s - DAY_S if self.night.out else self.about.start_clock_s

    @property
    def morning_clock_s(self) -> float:
        """When it starts on the date: from the camp after a night out, else at the trailhead [s]."""
        return self.night.start_clock_s if self.night.out else self.about.start_clock_s

    @property
    def path(self) -> Path:
        """The trip file."""
        return self._path

    @property
    def folder(self) -> Path:
        """The folder of the trip file, where its relative paths start."""
        return self._path.parent

    @property
    def sha256(self) -> str:
        """Hash of the bytes of the trip file."""
        return self._sha256

    def file(self, relative: str) -> Path:
        """A file that the trip file names."""
        return self.folder / relative

    @property
    def foot_name(self) -> str | None:
        """The waypoint at the foot of the line, or None where the file has none."""
        return self.line.foot or self._only_of_kind("line_foot")

    @property
    def head_name(self) -> str | None:
        """The waypoint at the head of the line, or None where the file has none."""
        return self.line.head or self._only_of_kind("line_head")

    def _only_of_kind(self, kind: str) -> str | None:
        return next((waypoint.name for waypoint in self.waypoints if waypoint.kind == kind), None)


def _again(error: ValidationError) -> list[InitErrorDetails]:
    """The errors of a ValidationError, ready to be raised together with others."""
    return [
        InitErrorDetails(
            type=PydanticCustomError(found["type"], "{message}", {"message": found["msg"], **found.get("ctx", {})}),
            loc=found["loc"],
            input=found["input"],
        )
        for found in error.errors(include_url=False)
    ]
