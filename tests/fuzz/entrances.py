"""What is fuzzed: for each kind of input how it is drawn, where it goes in, and its part of all inputs."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from handline.day.file_checks import subject_problems
from handline.day.line_reporting import line_report
from handline.day.line_setting import set_up_line
from handline.day.plan_json import plan_json, result_json
from handline.day.planning import make_plan
from handline.route.reading import read_track
from handline.trip.model import Trip
from handline.trip.reading import read_trip, read_trip_text
from handline.trip.writing import with_values
from handline.weather.forecast_csv import read_forecast_csv
from handline.web.form_changes import changes
from handline.web.form_saved import changed_text
from tests.fuzz.bases import EXAMPLE_TEXTS, TYPED_LEGS, folder
from tests.fuzz.filled_forms import BASES, POSTED, TYPED, Posted, Typed
from tests.fuzz.forecast_files import forecast_files
from tests.fuzz.mutations import Mutation, lists_of_mutations, mutated
from tests.fuzz.not_known import unflagged
from tests.fuzz.toml_files import toml_files
from tests.fuzz.track_files import geojson_files, gpx_files
from tests.fuzz.typed_trips import trip_texts
from tests.fuzz.watched import watched

FEW_DAYS = 100
TYPED_WAIT_S = 300.0
ON_TRACK = """
[trip]
date = 2027-07-17
[route]
track = "{track}"
[line]
length = "96 m"
angle = "42 deg"
[party]
size = 4
"""
WITH_FORECAST = TYPED_LEGS.replace('rock = "dry"\nstorm_chance = "20 %"', 'forecast = "{forecast}"')

# How far an input is taken that reads cleanly: to the line, to the report of it, to the plan.
READ, REPORT, PLAN = range(3)
_HOW_FAR = st.sampled_from((*[READ] * 4, REPORT, PLAN))
_HOW_FAR_FILES = st.sampled_from((*[READ] * 3, PLAN))

seen: dict[str, int] = {}
"""How many inputs came how far, by kind: so that a fuzzer that never gets past the door is found out."""


def _count(what: str) -> None:
    seen[what] = seen.get(what, 0) + 1


# --- trips ---------------------------------------------------------------------------------------------------------


def few_days(trip: Trip) -> Trip:
    """The same with few days, and typed waits so that no crowd is followed."""
    about = trip.about.model_copy(update={"days": FEW_DAYS})
    waits = {key: TYPED_WAIT_S for key in ("wait_up_s", "wait_down_s") if getattr(trip.crowd, key) is None}
    return trip.model_copy(update={"about": about, "crowd": trip.crowd.model_copy(update=waits)})


def take(trip: Trip, how_far: int) -> None:
    """Take a trip that reads cleanly as far as asked."""
    _count("read")
    set_up_line(trip)
    _count("line set up")
    if how_far == READ:
        return
    trip = few_days(trip)
    if how_far == REPORT:
        result_json(line_report(trip, whole=False)).encode()
        _count("line reports")
        return
    plan = make_plan(trip)
    assert not (places := unflagged(plan)), f"no number, and nothing says why: {', '.join(places)}"
    plan_json(plan).encode()
    _count("plans")


def _trip_text(kind: str, text: str, how_far: int) -> None:
    def case() -> None:
        take(read_trip_text(text, folder() / "trip.toml", subject_problems), how_far)

    # What is wrong with a file that the trip names is told of that file.
    says = None if how_far != READ or _names_files(text) else "trip.toml"
    watched(kind, text.encode("utf-8", "surrogatepass"), ".toml", case, says)


def _names_files(text: str) -> bool:
    return any(key in text for key in ("track", "terrain", "forecast"))


def _typed(given: tuple[str, int]) -> None:
    _trip_text("typed", *given)


def _demo(given: tuple[str, list[Mutation], int]) -> None:
    text, mutations, how_far = given
    _trip_text("demo", mutated(text, mutations), how_far)


def _toml(content: bytes) -> None:
    def case() -> None:
        file = folder() / "bytes.toml"
        file.write_bytes(content)
        take(read_trip(file, subject_problems), READ)

    watched("toml", content, ".toml", case)


# --- files beside a trip -------------------------------------------------------------------------------------------


def _track(kind: str, content: bytes, ending: str, how_far: int) -> None:
    def case() -> None:
        file = folder() / f"fuzzed{ending}"
        file.write_bytes(content)
        read_track(file)
        _count(f"{kind} read")
        text = ON_TRACK.format(track=file.name)
        take(read_trip_text(text, folder() / "trip.toml", subject_problems), how_far)

    watched(kind, content, ending, case, f"fuzzed{ending}")


def _gpx(given: tuple[bytes, int]) -> None:
    _track("gpx", given[0], ".gpx", given[1])


def _geojson(given: tuple[bytes, int]) -> None:
    _track("geojson", given[0], ".geojson", given[1])


def _forecast(given: tuple[bytes, str, int]) -> None:
    content, timezone, how_far = given

    def case() -> None:
        file = folder() / "fuzzed.csv"
        file.write_bytes(content)
        read_forecast_csv(file, timezone)
        _count("forecast read")
        if how_far == PLAN:
            text = WITH_FORECAST.format(forecast=file.name)
            take(read_trip_text(text, folder() / "trip.toml", subject_problems), PLAN)

    watched("forecast", content, ".csv", case, "fuzzed.csv")


# --- the form ------------------------------------------------------------------------------------------------------


def _form(given: tuple[str, Posted, Typed]) -> None:
    text, posted, typed = given
    said: Mapping[str, Any] = tomllib.loads(text)

    def case() -> None:
        file = Path("trip.toml")
        if posted:
            changed = changes(posted, said)
            tomllib.loads(changed_text(text, said, changed, file))
            _count("forms put in")
        if typed:
            tomllib.loads(with_values(text, typed, file))
            _count("values set")

    watched("form", repr(given).encode(), ".txt", case, "trip.toml")


@dataclass(frozen=True)
class Fuzzed:
    """One kind of input: ``of_thousand`` of all inputs are of it."""

    kind: str
    inputs: st.SearchStrategy[Any]
    check: Callable[[Any], None]
    of_thousand: int


_ZONES = st.sampled_from(("America/Denver", "Australia/Hobart", "UTC", "Asia/Kathmandu"))

FUZZED = (
    Fuzzed("typed", st.tuples(trip_texts(), _HOW_FAR), _typed, 300),
    Fuzzed("demo", st.tuples(st.sampled_from(EXAMPLE_TEXTS), lists_of_mutations(), _HOW_FAR), _demo, 250),
    Fuzzed("toml", toml_files(), _toml, 100),
    Fuzzed("gpx", st.tuples(gpx_files(), _HOW_FAR_FILES), _gpx, 125),
    Fuzzed("geojson", st.tuples(geojson_files(), _HOW_FAR_FILES), _geojson, 50),
    Fuzzed("forecast", st.tuples(forecast_files(), _ZONES, _HOW_FAR_FILES), _forecast, 100),
    Fuzzed("form", st.tuples(BASES, POSTED, TYPED), _form, 75),
)
