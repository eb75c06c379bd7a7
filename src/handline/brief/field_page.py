"""The part of the brief that works on the way: what it computes with, and the script that does it.

The script draws the plan's days again and replans with the same arithmetic as ``day.replanning``, function by function.
"""

from __future__ import annotations

import json
from dataclasses import asdict
from typing import Any

from handline.brief.still_page import part
from handline.day.plan import PROBABILITIES, Plan

# In this order they are one script: each may name what another has.
FIELD_SCRIPTS = (
    "replan_draws.js",
    "replan_walk.js",
    "replan_pace.js",
    "replan_words.js",
    "replan_told.js",
    "replan.js",
    "replan_page.js",
)
_HALF = PROBABILITIES.index(0.50)


def field_script(names: tuple[str, ...] = FIELD_SCRIPTS) -> str:
    """The script of the page, whole: its names stay its own."""
    return "\n".join(('"use strict";', "(() => {", *(part(name) for name in names), "})();"))


def field_style() -> str:
    """The style of its part of the page."""
    return part("replan.css")


def field_data(plan: Plan) -> dict[str, Any]:
    """The plan as the script reads it: what of it is needed on the way, and nothing computed."""
    passings = [
        {
            "name": passing.name,
            "way": passing.way,
            "plannedClockS": round(passing.arrive_clock_s[_HALF], 1),
            "latestClockS": passing.latest_clock_s,
        }
        for passing in plan.timetable
    ]
    chances = [{"key": chance.key, "sentence": chance.sentence, "share": chance.share} for chance in plan.chances]
    return {
        "name": plan.name,
        "date": plan.date,
        "timezone": plan.timezone,
        "zone": plan.zone,
        "inputs": plan.provenance.inputs_sha256,
        "wantedChance": plan.wanted_chance,
        "probabilities": PROBABILITIES,
        "passings": passings,
        "chances": chances,
        "field": asdict(plan.field),
    }


def field_json(plan: Plan) -> str:
    """The same as JSON that may stand inside a script element."""
    text = json.dumps(field_data(plan), allow_nan=False, separators=(",", ":"))
    return text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")
