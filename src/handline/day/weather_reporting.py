"""From a trip to the frozen WeatherReport: light, weather, storms and rock of its day."""

from __future__ import annotations

from handline import __version__
from handline.day.cautions import CAUTIONS
from handline.day.plan import LEVELS, Finding, Plan
from handline.day.planning import make_plan
from handline.day.told import Told
from handline.day.weather_report import WeatherProvenance, WeatherReport
from handline.trip.model import Trip

# Findings of a plan that are about sky, weather and rock; a name that ends in an underscore begins several.
_ABOUT = (
    "slab_", "rock_", "storm_", "cold", "heat", "weather_", "forecast_", "wind", "terrain_", "lightning", "dark_",
    "no_light", "clock_change", "zone_far", "timezone_",
)  # fmt: skip


def weather_report(trip: Trip, told: Told = lambda what, share: None) -> WeatherReport:
    """The sky and the weather of a trip's day, at the places and times of its plan.

    Parameters
    ----------
    trip : Trip
        As read from its file.
    told : callable
        Told of the progress; may raise to stop the work.

    Returns
    -------
    WeatherReport
        The same trip and seed give the same report, and the same numbers as the plan.

    Raises
    ------
    TripError
        Whatever of the file cannot be planned with, all at once.
    """
    plan = make_plan(trip, told)
    found = tuple(finding for finding in plan.findings if finding.key.startswith(_ABOUT))
    return WeatherReport(
        name=plan.name,
        date=plan.date,
        units=plan.units,
        timezone=plan.timezone,
        level=found[0].level if found else LEVELS[-1],
        headline=_headline(plan, found),
        findings=found,
        light=plan.light,
        storm=plan.storm,
        sky=plan.sky,
        weather=plan.weather,
        cautions=CAUTIONS,
        provenance=WeatherProvenance(
            version=__version__,
            seed=plan.provenance.seed,
            days=plan.provenance.days,
            trip_file=plan.provenance.trip_file,
            inputs_sha256=plan.provenance.inputs_sha256,
        ),
    )


def _headline(plan: Plan, found: tuple[Finding, ...]) -> str:
    """The gravest finding that is more than a note, else that there is none."""
    if found and found[0].level != "note":
        return found[0].sentence
    if plan.weather.source == "nothing":
        return "No weather is given: only light and storms are looked at."
    return "Nothing of sky, weather or rock asks for more than the usual care."
