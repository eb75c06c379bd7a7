"""The page of names and units: letters in equations, endings of names in code and files, and the words of the trade."""

from __future__ import annotations

import ast
from collections.abc import Mapping

from docs.formulas import CODE

ENDINGS: Mapping[str, tuple[str, str]] = {
    "m": ("metres", "length_m"),
    "mm": ("millimetres (cord, cable, rain)", "rain_mm"),
    "m2": ("square metres", "skin_m2"),
    "s": ("seconds", "clock_s"),
    "clock_s": (
        "clock time, in seconds after midnight of the trip's date; below 0 the day before, over 86,400 the day after",
        "start_clock_s",
    ),
    "h": ("hours", "clock_range_h"),
    "min": ("minutes", "edges_min"),
    "m_s": ("metres a second", "speed_m_s"),
    "m_s2": ("metres a second, each second", "acceleration_m_s2"),
    "kg": ("kilograms", "mass_kg"),
    "N": ("newtons", "force_N"),
    "kN": ("kilonewtons", "top_kN"),
    "N_m": ("newtons for each metre of stretch", "stiffness_N_m"),
    "J": ("joules", "energy_J"),
    "J_kg_m": ("joules for each kilogram and metre walked", "grade_J_kg_m"),
    "W": ("watts", "rate_W"),
    "W_kg": ("watts for each kilogram of body mass", "lcda_2019_W_kg"),
    "W_m2": ("watts on each square metre", "most_W_m2"),
    "rad": ("radians", "angle_rad"),
    "deg": ("degrees: bearings, heights in the sky, latitude and longitude", "latitude_deg"),
    "C": ("degrees Celsius", "temperature_C"),
    "K": ("kelvins, or degrees of difference", "standard_temperature_K"),
    "Pa": ("pascals", "standard_pressure_Pa"),
    "hPa": ("hectopascals", "vapour_hPa"),
    "L": ("litres", "drunk_L"),
    "L_h": ("litres an hour", "need_L_h"),
    "mm_h": ("millimetres an hour", "melt_mm_h"),
    "g_m2_h": ("grams on each square metre in an hour (sweat)", "gonzalez_2009_curved_g_m2_h"),
    "lx": ("lux", "moonlight_lx"),
    "share": ("a part of the whole, 0 to 1", "humidity_share"),
    "chance": ("a probability, 0 to 1", "storm_chance"),
    "factor": ("how many times longer, or more", "time_factor"),
    "px": ("pixels of a picture", "text_px"),
}
"""What a bare number in the code, in plan.json and in tables/*.csv is in, by the ending of its name; and one such."""

LETTERS: Mapping[str, tuple[str, str]] = {
    "m": ("mass of a body with its pack", "kg"),
    "g": ("acceleration of free fall", "m/s2"),
    "a": ("angle of the slab from the horizontal; in the arrest, acceleration along it", "rad; m/s2"),
    "mu": ("friction: of a sole on rock, of a sliding body, of a hand or a cord on the cable", "1"),
    "T": ("pull along the cable or the tether", "N"),
    "F": ("force when a slip stops", "N"),
    "E": ("energy of motion when the tether comes taut", "J"),
    "EA": ("stiffness of a part: force for each unit of strain", "N"),
    "L": ("length of a tether; in effort models, the load", "m; kg"),
    "k": ("stiffness of a tether or a cable, EA / L", "N/m"),
    "d, D": ("diameter of a cord, of the cable", "m"),
    "n": ("coils of a hitch; people; in effort models, the ground", "1"),
    "v, V, S": ("speed on foot (S in walking by slope is the slope)", "m/s"),
    "G, S, i": ("slope, rise over run", "1, or % where said"),
    "W": ("body mass in effort models", "kg"),
    "M": ("what walking costs the body", "W or W/kg"),
    "h(t), H(t)": ("storm hazard at a clock time, and summed up to it", "1/s; 1"),
    "z": ("a draw from the standard normal distribution", "1"),
    "p, q, P": ("chances", "0 to 1"),
    "u, v": ("an even draw from 0 to 1; a turn in a draw of permits", "1"),
}
WORDS: Mapping[str, str] = {
    "line": "the way fixed with cables, from its foot to its head",
    "cable": "the steel rope of the line; twin where two run side by side",
    "raised, lowered": "the two states of the line: standing on stanchions, or lying on the rock",
    "anchor": "where the cable is held in the rock in both states",
    "stanchion": "a post that carries the cable while it is raised",
    "stop": "what a connector cannot pass: an anchor, or a stanchion that stands",
    "bay": "the line between two stops",
    "stance": "a place on the line where a person can stand at rest without hands",
    "changeover": "taking a connector off before a stop and on again after it",
    "tether": "all that joins a harness to the cable: lanyard, sling or cord, knots, connectors, absorber, hitch",
    "reach": "how long a tether is, stretched out",
    "slip, slide": "feet go; what happens until the body stands or the foot of the line comes",
    "fall factor": "how far a body goes, over the length of what stops it",
    "leg": "the way from one place to the next",
    "passing": "coming to a place, up or down",
    "latest passing time": "the latest to be at a place and still keep the limits as often as was asked for",
    "limit": "what the party does not want to go beyond: a clock time, a storm, a force on a body",
    "finding": "something to know, at stop, heed or note",
    "day, simulated": "one drawn course of a day: a pace, a weather, waits, stops",
    "usual": "half of them are under it: the median",
    "at worst": "the most of all that was looked at",
    "8 days in 10": "between the 10th and the 90th percentile",
    "one push, night out": "up and down in a day, or with a night at a camp",
    "permit": "what a land manager asks for: by draw, first come, or in line",
    "draw": "drawing lots for permits; every order of the applications is equally likely",
    "knee": "the number of people from which each more costs more waiting",
}


def names_page() -> str:
    """Names, letters and words with their units."""
    parts = [
        "# Names, letters, units\n",
        "Inside everything is in SI units, and a name that holds a bare number ends with its unit: in the code, in "
        "`plan.json`, in every `--json` and in `tables/*.csv`. What you read on screen and on paper is in the units of "
        "the trip file.\n",
        "## Endings of names\n",
        "| ending | in | such as |\n|---|---|---|",
    ]
    parts += [f"| `_{ending}` | {unit} | `{name}` |" for ending, (unit, name) in ENDINGS.items()]
    parts.append("\n## Letters in equations\n\n| letter | what | unit |\n|---|---|---|")
    parts += [f"| {letter} | {what} | {unit} |" for letter, (what, unit) in LETTERS.items()]
    parts.append(
        "\nA letter that an author used otherwise keeps the author's meaning, and the formula says so beside it.\n"
    )
    parts.append("## Words\n\n| word | what it means here |\n|---|---|")
    parts += [f"| {word} | {meaning} |" for word, meaning in WORDS.items()]
    return "\n".join(parts) + "\n"


def names_in_code() -> frozenset[str]:
    """The names of arguments, fields and functions of the code."""
    return frozenset(
        _named(node) for path in CODE.rglob("*.py") for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
    )


def _named(node: ast.AST) -> str:
    if isinstance(node, ast.arg):
        return node.arg
    if isinstance(node, ast.FunctionDef):
        return node.name
    if isinstance(node, ast.AnnAssign) and isinstance(node.target, ast.Name):
        return node.target.id
    return ""
