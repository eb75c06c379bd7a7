"""The brief as one HTML page: no request leaves it, no script runs in it but its own."""

from __future__ import annotations

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
from handline.brief.figures import all_pictures
from handline.brief.figures.theme import VERDICT_WORDS
from handline.brief.gear_words import gear_checks
from handline.brief.load_words import load_shown
from handline.brief.permit_words import permits_shown
from handline.brief.picture_data import picture_data
from handline.brief.still_page import hash_of, part, sheet_environment
from handline.brief.stills import Draw, data_uri, draw_here
from handline.brief.tether_cases import tether_cases
from handline.brief.turn_words import leave_by, turns
from handline.brief.weather_words import weather_shown
from handline.day.plan import PROBABILITIES, Plan
from handline.day.plan_line import LinePlan
from handline.quantity import (
    show_angle,
    show_error,
    show_force,
    show_pull,
)

if TYPE_CHECKING:
    import jinja2

SCRIPTS = ("brief.js", "checklist.js")


def brief_html(plan: Plan, draw: Draw = draw_here) -> str:
    """The page of a plan, whole; ``draw`` makes the still pictures."""
    pictures = all_pictures(plan)
    # Asked for first and taken last: they may be drawn elsewhere meanwhile.
    svgs = draw([picture.complete("narrow") for picture in pictures.values()])
    scripts = (bundle(), *(part(name) for name in SCRIPTS), field_script())
    style = part("brief.css") + part("brief_print.css") + field_style()
    template = plan_environment(plan).get_template("brief.html")
    return template.render(
        **plan_shown(plan),
        field_data=field_json(plan),
        pictures=pictures,
        data=picture_data(pictures),
        style=style,
        scripts=scripts,
        policy=_policy(style, scripts),
        stills={key: data_uri(svg) for key, svg in zip(pictures, svgs, strict=True)},
    )


def plan_shown(plan: Plan) -> dict[str, Any]:
    """What the templates show of a plan, by the names they know it by."""
    return {
        "plan": plan,
        "line": plan.line,
        "day": weekday_words(date.fromisoformat(plan.date)),
        "tethers": tether_cases(plan),
        "quantile": {f"p{probability:.0%}".rstrip("%"): index for index, probability in enumerate(PROBABILITIES)},
        "hardest": _hardest_bays(plan.line),
        "leave_by": leave_by(plan),
        "turns": turns(plan),
        "hang_on": chances_shown(plan.turned),
        "told": weather_shown(plan),
        "crowd": crowd_shown(plan.crowd),
        "load": load_shown(plan.load, plan.units),
        "permits": permits_shown(plan),
        "gear": gear_checks(plan),
        "contacts": contacts_shown(plan),
        "slower_than_planned": words.SLOWER_THAN_PLANNED,
        "level_words": words.LEVEL_WORDS,
        "verdict_words": VERDICT_WORDS,
    }


def _hardest_bays(line: LinePlan) -> list[dict[str, Any]]:
    """For each state of the rock, the bay that asks the most of the hands."""
    rows = []
    for index, rock in enumerate(line.rocks):
        bay = max(line.bays, key=lambda bay: bay.pull_N[index])
        rows.append({"rock": rock, "bay": bay, "pull_N": bay.pull_N[index], "share": bay.pull_body_weights[index]})
    return rows


def _policy(style: str, scripts: tuple[str, ...]) -> str:
    """What the page may do: its own scripts by their hash, its own style, pictures inside itself, and nothing else."""
    allowed = " ".join(hash_of(script) for script in scripts)
    return (
        f"default-src 'none'; script-src {allowed}; style-src {hash_of(style)}; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )


def plan_environment(plan: Plan, load: Callable[[str], str | None] | None = None) -> jinja2.Environment:
    """The surroundings of a plan's templates; ``load`` as of ``sheet_environment``."""
    units = plan.units
    environment = sheet_environment(units, load)
    shows: dict[str, Callable[[float], str]] = {
        "angle": show_angle,
        "force": partial(show_force, units=units),
        "pull": partial(show_pull, units=units),
        "error": show_error,
    }
    for name, show in shows.items():
        environment.filters[name] = partial(words.said, show=show, otherwise="not known")
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
