"""The pictures, each one file: a Plan in, Vega-Lite specs and a text that says the same out."""

from __future__ import annotations

from handline.brief.figures.day_strip import day_strip
from handline.brief.figures.load_curve import load_pictures
from handline.brief.figures.picture import Key, Picture
from handline.brief.figures.rock_hours import rock_hours_picture
from handline.brief.figures.sketch_map import sketch_map_pictures
from handline.brief.figures.slab_section import slab_section
from handline.brief.figures.slip_lengths import slip_lengths
from handline.brief.figures.start_chance import start_chance_pictures
from handline.brief.figures.stopping_forces import stopping_forces
from handline.brief.figures.weather_hours import HasWeather, weather_hours_picture
from handline.day.plan import Plan

__all__ = [
    "Key",
    "Picture",
    "all_pictures",
    "day_strip",
    "load_pictures",
    "sketch_map_pictures",
    "slab_section",
    "slip_lengths",
    "start_chance_pictures",
    "stopping_forces",
    "weather_pictures",
]


def all_pictures(plan: Plan) -> dict[str, Picture]:
    """Every picture of the brief by its key, in the order of the page."""
    pictures = (
        day_strip(plan),
        *start_chance_pictures(plan.turned),
        slab_section(plan),
        slip_lengths(plan),
        stopping_forces(plan),
        *load_pictures((plan.load,), plan.units),
        *weather_pictures(plan),
        *sketch_map_pictures(plan),
    )
    return {picture.key: picture for picture in pictures}


def weather_pictures(plan: HasWeather) -> tuple[Picture, ...]:
    """The pictures of the weather and the rock by the hour that there is something to show in."""
    pictures = (weather_hours_picture(plan), rock_hours_picture(plan))
    return tuple(picture for picture in pictures if picture is not None)
