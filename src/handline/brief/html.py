"""The brief as one HTML page: no request leaves it, no script runs in it but its own."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Callable
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Any

from handline.brief import pace_words, words
from handline.brief.bundle import bundle
from handline.brief.chance_words import chances_shown
from handline.brief.contact_words import contacts_shown
from handline.brief.crowd_window_words import crowd_shown
from handline.brief.dated_words import weekday_words
from handline.brief.field_page import field_json, field_script, field_style
from handline.brief.figures import Picture, all_pictures
from handline.brief.figures.theme import VERDICT_WORDS
from handline.brief.gear_words import gear_checks
from handline.brief.load_words import load_shown
from handline.brief.permit_words import permits_shown
from handline.brief.still_page import part
from handline.brief.stills import Draw, data_uri, draw_here
from handline.brief.template_cache import template_cache
from handline.brief.tether_cases import tether_cases
from handline.brief.turn_words import leave_by, turns
from handline.brief.weather_words import weather_shown
from handline.day.plan import PROBABILITIES, LinePlan, Plan
from handline.quantity import (
    show_angle,
    show_clock,
    show_duration,
    show_error,
    show_force,
    show_height,
    show_length,
    show_mass,
    show_share,
)

if TYPE_CHECKING:
    import jinja2

SCRIPTS = ("brief.js", "checklist.js")
_LEVEL_WORDS = {"stop": "Stop: do not go like this", "heed": "Heed: act on this", "note": "Note"}


def brief_html(plan: Plan, draw: Draw = draw_here) -> str:
    """The page of a plan, whole; ``draw`` makes the still pictures."""
    pictures = all_pictures(plan)
    # Asked for first and collected last: they may be drawn elsewhere meanwhile.
    collect = draw([picture.complete("narrow") for picture in pictures.values()])
    scripts = (bundle(), *(part(name) for name in SCRIPTS), field_script())
    style = part("brief.css") + field_style()
    template = _environment(plan).get_template("brief.html")
    return template.render(
        plan=plan,
        line=plan.line,
        day=weekday_words(date.fromisoformat(plan.date)),
        tethers=tether_cases(plan),
        quantile={f"p{probability:.0%}".rstrip("%"): index for index, probability in enumerate(PROBABILITIES)},
        hardest=_hardest_bays(plan.line),
        leave_by=leave_by(plan),
        turns=turns(plan),
        hang_on=chances_shown(plan.turned),
        told=weather_shown(plan),
        crowd=crowd_shown(plan.crowd),
        load=load_shown(plan.load, plan.units),
        permits=permits_shown(plan),
        gear=gear_checks(plan),
        contacts=contacts_shown(plan),
        field_data=field_json(plan),
        level_words=_LEVEL_WORDS,
        verdict_words=VERDICT_WORDS,
        pictures=pictures,
        data=_data(pictures),
        style=style,
        scripts=scripts,
        policy=_policy(style, scripts),
        stills={key: data_uri(svg) for key, svg in zip(pictures, collect(), strict=True)},
    )


def _hardest_bays(line: LinePlan) -> list[dict[str, Any]]:
    """For each state of the rock, the bay that asks the most of the hands."""
    rows = []
    for index, rock in enumerate(line.rocks):
        bay = max(line.bays, key=lambda bay: bay.pull_N[index])
        rows.append({"rock": rock, "bay": bay, "pull_N": bay.pull_N[index], "share": bay.pull_body_weights[index]})
    return rows


def _data(pictures: dict[str, Picture]) -> str:
    """Specs and data of every picture as JSON that may stand inside a script element.

    No number is told finer than four places after the point: 0.4 s of an hour, 0.1 N of a kilonewton.
    """
    told = {key: {"specs": picture.specs, "datasets": picture.datasets} for key, picture in pictures.items()}
    text = json.dumps(_rounded(told), allow_nan=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _rounded(told: Any) -> Any:
    if isinstance(told, float):
        return round(told, 4)
    if isinstance(told, dict):
        return {key: _rounded(value) for key, value in told.items()}
    return [_rounded(value) for value in told] if isinstance(told, list | tuple) else told


def _policy(style: str, scripts: tuple[str, ...]) -> str:
    """What the page may do: its own scripts by their hash, its own style, pictures inside itself, and nothing else."""
    allowed = " ".join(_hash(script) for script in scripts)
    return (
        f"default-src 'none'; script-src {allowed}; style-src {_hash(style)}; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"


def _environment(plan: Plan) -> jinja2.Environment:
    """The template's surroundings: everything escaped, and a filter for each kind of quantity."""
    import jinja2

    units = plan.units
    environment = jinja2.Environment(
        loader=jinja2.FunctionLoader(part),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        bytecode_cache=template_cache(),
    )
    shows: dict[str, Callable[[float], str]] = {
        "angle": show_angle,
        "clock": show_clock,
        "distance": partial(words.walk_words, units=units),
        "duration": show_duration,
        "force": partial(show_force, units=units),
        "height": partial(show_height, units=units),
        "length": partial(show_length, units=units),
        "mass": partial(show_mass, units=units),
        "share": show_share,
        "error": show_error,
    }
    for name, show in shows.items():
        environment.filters[name] = partial(words.said, show=show, otherwise="not known")
    environment.filters["known"] = words.is_known
    environment.filters["latest"] = words.latest_words
    environment.filters["other_days"] = words.other_days
    environment.filters["force_words"] = partial(words.force_words, units=units)
    environment.filters["slide_words"] = partial(words.slide_words, units=units)
    environment.filters["foot_words"] = words.foot_words
    environment.filters["speed_words"] = partial(words.speed_words, units=units)
    environment.filters["over_words"] = partial(words.over_words, limits=plan.line.limits)
    environment.filters["seconds"] = words.seconds_words
    environment.filters["added"] = pace_words.added_words
    environment.filters["times_words"] = pace_words.times_words
    environment.filters["walking_words"] = pace_words.walking_words
    environment.filters["factors_words"] = partial(pace_words.leg_factors_words, factors=plan.pace.factors)
    return environment
