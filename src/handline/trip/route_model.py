"""[route] and [[waypoints]]: the way, as a recorded track or as typed legs, and the places on it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from handline.trip.amount import Along, Amount, Degrees
from handline.trip.directions import Bearing, HeightAngle
from handline.trip.section import Section, key, usual
from handline.trip.words import OneOf, Text, TimeZone

WaypointKind = Literal[
    "trailhead", "water", "camp", "permit_check", "line_foot", "line_head", "summit", "bail_out", "place"
]

Surface = Literal["good path", "meadow", "open ground", "stony trail", "bog", "bare rock", "stream"]

Name = Annotated[str, Text()]
FileName = Annotated[str, Text(longest=500)]
Distance = Annotated[float, Amount("length", "0 m", "500 km", above=True)]
Climb = Annotated[float, Amount("length", "0 m", "9000 m", mend="up and down are both typed without a minus")]


class Leg(Section):
    """One leg of a route that is typed instead of recorded."""

    start: Name = key("from", "Where the leg starts.")
    end: Name = key("to", "Where the leg ends: the next one starts there.")
    distance_m: Distance = key("distance", "How far it is to walk.")
    up_m: Climb = key("up", "All climbing on the leg added up.", default=0.0, json_schema_extra={"default": "0 m"})
    down_m: Climb = key(
        "down", "All descending on the leg added up.", default=0.0, json_schema_extra={"default": "0 m"}
    )


class Ground(Section):
    """What a part of the way is like underfoot, going both ways."""

    start: Name = key("from", "Where it begins: a place on the way.")
    end: Name = key("to", "Where it ends.")
    surface: Annotated[Surface, OneOf("kind of ground")] = Field(default="good path", description="What it is.")
    snow_m: Annotated[float, Amount("length", "0 cm", "60 cm", above=True)] | None = key(
        "snow", "How deep a foot sinks into snow, 1 cm for hard snow; left out, there is none.", default=None
    )


class Route(Section):
    """The way: either a recorded track, or typed legs with the place they lie in."""

    model_config = ConfigDict(
        json_schema_extra={
            "oneOf": [
                {"required": ["track"], "not": {"required": ["legs"]}},
                {"required": ["legs", "latitude", "longitude"], "not": {"required": ["track"]}},
            ]
        }
    )

    track: FileName | None = Field(
        default=None, description="A GPX or GeoJSON file; the path starts at the trip file's folder."
    )
    legs: Annotated[tuple[Leg, ...], Field(strict=False)] = Field(
        default=(), description="Legs typed instead of a track, each a [[route.legs]]."
    )
    out_and_back: bool = Field(default=True, description="The way back is the way there.")
    timezone: Annotated[str, TimeZone()] | None = Field(
        default=None, description="The time zone of the clock times, by its IANA name."
    )
    terrain: FileName | None = Field(
        default=None, description='A terrain model (GeoTIFF or HGT) for a track without heights; needs the extra "dem".'
    )
    latitude_deg: Annotated[float, Degrees("latitude")] | None = key(
        "latitude", "Where the day is, for the sun; needed with typed legs.", default=None
    )
    longitude_deg: Annotated[float, Degrees("longitude")] | None = key(
        "longitude", "Where the day is, for the sun; needed with typed legs.", default=None
    )
    start_elevation_m: Annotated[float, Amount("length", "-430 m", "8850 m")] | None = key(
        "start_elevation", "Height above the sea of the start of typed legs.", default=None
    )
    dead_band_m: Annotated[float, Amount("length", "0 m", "100 m")] = usual(
        "5 m", "length", "dead_band", "Ups and downs smaller than this are taken for noise of the recording."
    )
    ground: Annotated[tuple[Ground, ...], Field(strict=False)] = Field(
        default=(), description="Where the way is not a good path, each part a [[route.ground]]."
    )
    pace_model: Name | None = Field(
        default=None, description="One walking model by name; left out, the walking models are mixed."
    )


class Skyline(Section):
    """How high the land stands in one direction, seen from a place; straight between one direction and the next."""

    bearing_deg: Annotated[float, Bearing()] = key("bearing", "The direction, from north through east.")
    height_deg: Annotated[float, HeightAngle()] = key("height", "How high the land stands there, above level.")


class Waypoint(Section):
    """A place on the way. On a track it is found by latitude and longitude, or by how far along it lies."""

    name: Name = Field(description="What the party calls the place; each name once.")
    kind: Annotated[WaypointKind, OneOf("kind of waypoint")] = Field(default="place", description="What is there.")
    latitude_deg: Annotated[float, Degrees("latitude")] | None = key("latitude", "Where it is.", default=None)
    longitude_deg: Annotated[float, Degrees("longitude")] | None = key("longitude", "Where it is.", default=None)
    at_m: Annotated[float | Literal["end"], Along()] | None = key(
        "at", "Where it is along the track, counted one way.", default=None
    )
    horizon: Annotated[tuple[Skyline, ...], Field(strict=False)] = Field(
        default=(), description="What stands around it, as for the line; left out, from route.terrain, else level."
    )
    dry: Annotated[tuple[Annotated[str, Text(longest=200)], ...], Field(strict=False)] = Field(
        default=(), description='When a source is not counted on, in words such as "1 August to 30 September".'
    )
    treatment: Name | None = Field(
        default=None, description="How the water of this source is treated; left out, as [load] says."
    )
    stop_s: Annotated[float, Amount("duration", "0 s", "24 h")] = key(
        "stop",
        "How long the party stops there, each time it passes.",
        default=0.0,
        json_schema_extra={"default": "0 min"},
    )
