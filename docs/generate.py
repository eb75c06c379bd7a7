"""Write the pages of docs/ that are made from the code, or with --check say which are out of date."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import click

DOCS = Path(__file__).parent
sys.path.insert(0, str(DOCS.parent))  # as a script this file finds its own folder only
NOTE = "<!-- Made by docs/generate.py from the code. Do not edit here. -->\n\n"


def commands_page() -> str:
    """Every command with its help, word for word."""
    from handline.cli import COMMANDS, main

    context = click.Context(main, info_name="handline", terminal_width=90, max_content_width=90)
    parts = ["# Commands\n", f"```\n{main.get_help(context)}\n```\n"]
    for name in COMMANDS:
        command = main.get_command(context, name)
        assert command is not None
        inner = click.Context(command, info_name=name, parent=context, terminal_width=90, max_content_width=90)
        parts.append(f"## handline {name}\n\n```\n{command.get_help(inner)}\n```\n")
    return "\n".join(parts)


def trip_file_page() -> str:
    """Every key of the trip file, from its JSON Schema."""
    from handline.trip.schema import trip_schema

    schema = trip_schema()
    parts = [
        "# The trip file\n",
        "TOML. Quantities are strings with a unit; relative paths start at the file's folder. "
        "`handline schema` prints the same as JSON Schema.\n",
    ]
    for name, prop in schema["properties"].items():
        section, many = _section(prop, schema)
        heading = f"[[{name}]]" if many else f"[{name}]"
        parts.append(f"## {heading}\n\n{prop.get('description', '')}\n")
        parts.append(_key_table(section, schema))
        parts += _inner_tables(name, section, schema, "###")
    return "\n".join(parts)


def _inner_tables(name: str, section: Mapping[str, Any], schema: Mapping[str, Any], marks: str) -> list[str]:
    """Every table inside a section, and those inside them."""
    parts = []
    for key, inner in section["properties"].items():
        table, many = _section(inner, schema)
        if "properties" in table:
            heading = f"[[{name}.{key}]]" if many else f"[{name}.{key}]"
            parts.append(f"{marks} {heading}\n\n{table.get('description', '')}\n")
            parts.append(_key_table(table, schema))
            parts += _inner_tables(f"{name}.{key}", table, schema, f"{marks}#")
    return parts


def _section(prop: Mapping[str, Any], schema: Mapping[str, Any]) -> tuple[Mapping[str, Any], bool]:
    """The table behind a property, and whether it is a list of them."""
    many = prop.get("type") == "array"
    target = prop.get("items", {}) if many else prop
    if "$ref" in target:
        target = schema["$defs"][target["$ref"].rsplit("/", 1)[1]]
    return target, many


def _key_table(section: Mapping[str, Any], schema: Mapping[str, Any]) -> str:
    required = set(section.get("required", ()))
    rows = ["| key | what | if left out |", "|---|---|---|"]
    for key, prop in section["properties"].items():
        text = _cell(prop.get("description", ""))
        if "enum" in prop:
            text += f" One of {', '.join(f'`{choice}`' for choice in prop['enum'])}."
        if key in required:
            default = "must be given"
        elif "default" in prop and prop["default"] not in (None, []):
            default = f"`{json.dumps(prop['default']).strip(chr(34))}`"
        else:
            default = ""
        rows.append(f"| `{key}` | {text} | {default} |")
    return "\n".join(rows) + "\n"


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def sources_page() -> str:
    """Every source with its kind and how far it was seen."""
    from handline.sources import SEEN, sources

    rows = ["# Sources\n", "| key | source | kind | seen | note |", "|---|---|---|---|---|"]
    for source in sources().values():
        rows.append(
            f"| {source.key} | {_cell(source.title)} | {source.kind} | {SEEN[source.seen]} | {_cell(source.note)} |"
        )
    return "\n".join(rows) + "\n"


def registries_page() -> str:
    """The registries: pace models, kinds of ground, effort models, states of the rock, tethers, limits."""
    from handline.choose.what_counts import WHAT_COUNTS
    from handline.crowd.rules import YIELDS
    from handline.line.friction import ROCKS
    from handline.line.grip import GLOVES, GRIPS
    from handline.line.limits import LIMITS
    from handline.line.tethers import TETHERS
    from handline.sources import source
    from handline.walking.effort_registry import EFFORT_MODELS
    from handline.walking.mix import DEFAULT_MIX
    from handline.walking.registry import PACE_MODELS
    from handline.walking.surface import SURFACES

    parts = ["# What Handline knows by name\n", "## Pace models\n"]
    parts.append("| name | model | for | in the usual mix | carried kg | source |\n|---|---|---|---|---|---|")
    for key, model in PACE_MODELS.items():
        weight = f"{DEFAULT_MIX[key]:.1%}".replace("%", " %") if key in DEFAULT_MIX else ""
        parts.append(
            f"| `{key}` | {model.title} | {model.use} | {weight} | {model.carried_kg:g} | "
            f"{_cell(source(model.source).words)} |"
        )
    parts.append("\n## Kinds of ground\n")
    parts.append("| name | what | times longer than on a good path | source |\n|---|---|---|---|")
    for ground in SURFACES.values():
        parts.append(
            f"| `{ground.key}` | {ground.words} | {ground.time_factor:.2f} | {_cell(source(ground.source).words)} |"
        )
    parts.append("\n## Models of what walking costs the body\n")
    parts.append("| name | model | unit | source |\n|---|---|---|---|")
    for effort in EFFORT_MODELS.values():
        parts.append(f"| `{effort.key}` | {effort.title} | {effort.unit} | {_cell(source(effort.source).words)} |")
    parts.append("\n## Tethers\n")
    parts.append("| name | what | arms | reach m | EA kN | weakest part | holds kN | s a stop | source |")
    parts.append("|---|---|---|---|---|---|---|---|---|")
    for tether in TETHERS.values():
        parts.append(
            f"| `{tether.name}` | {tether.title} | {tether.arms} | {tether.reach_m:g} | "
            f"{tether.stiffness_N / 1000:g} | "
            f"{tether.weakest.words} | {tether.weakest.force_N / 1000:g} | {tether.changeover_s:g} | "
            f"{source(tether.source).words} |"
        )
    parts += _parts_of_tethers()
    parts.append("\n## States of the rock\n")
    parts.append("| name | sole | sliding body | source |\n|---|---|---|---|")
    for rock in ROCKS.values():
        parts.append(f"| `{rock.name}` | {rock.mu_foot:g} | {rock.mu_slide:g} | {source(rock.source).words} |")
    parts.append("\n## Gloves\n")
    parts.append("| name | on a dry cable | wet | iced | of use | note | source |\n|---|---|---|---|---|---|---|")
    for glove in GLOVES.values():
        mu = " | ".join(f"{glove.mu[rock]:g}" for rock in ("dry", "wet", "iced"))
        ways = " and ".join(glove.for_ways) or "no way"
        parts.append(f"| `{glove.name}` | {mu} | {ways} | {glove.note} | {_cell(source(glove.source).words)} |")
    parts.append("\n## Hands\n")
    parts.append("| who | squeezes at most N | source |\n|---|---|---|")
    for grip in GRIPS.values():
        parts.append(f"| {grip.title} | {grip.force_N:.0f} | {_cell(source(grip.source).words)} |")
    parts.append("\n## Limits\n")
    parts.append("| of | what | kN | source |\n|---|---|---|---|")
    for limit in LIMITS.values():
        parts.append(f"| {limit.of} | {limit.what} | {limit.force_N / 1000:g} | {source(limit.source).words} |")
    parts.append("\n## What counts between ways of doing a trip\n")
    parts.append("| what | better | smallest difference that matters | source |\n|---|---|---|---|")
    for counts in WHAT_COUNTS.values():
        better, least = "more" if counts.more_is_better else "less", counts.show(counts.least, "si")
        parts.append(f"| {counts.words} | {better} | {least} | {source('practice_options').words} |")
    parts.append("\n## Who yields on the line\n")
    parts.append("| name | what two do who meet in a bay | source |\n|---|---|---|")
    for rule in YIELDS.values():
        parts.append(f"| `{rule.key}` | {rule.words} | {_cell(source(rule.source).words)} |")
    return "\n".join(parts) + "\n"


def forecast_file_page() -> str:
    """The columns of a forecast file, and the scales its weather is told in."""
    from handline.sources import source
    from handline.weather.categories import SCALES
    from handline.weather.forecast_columns import columns_doc
    from handline.weather.index_registry import INDICES
    from handline.weather.rock_state import STATES

    parts = [
        "# The forecast file\n",
        "CSV in UTF-8: commas between columns, points in decimals, one row for each time and place. A time has its "
        'offset ("2027-07-17T06:00-06:00", or Z for UTC); without one it is local time of the trip. Steps of up to six '
        "hours are read. Lines that begin with # come first: `# issued: 2027-07-16T18:00-06:00` says when it was made, "
        "`# source: ...` who made it. What the file leaves out is taken on the careful side, and the plan says so.\n",
        columns_doc(),
        "`handline weather TRIP --download` writes such a file from an open forecast service.\n",
        "## How cold or hot it feels\n",
        "| index | from | source |\n|---|---|---|",
    ]
    for entry in INDICES.values():
        parts.append(f"| {entry.title} | {', '.join(entry.inputs)} | {_cell(source(entry.source).words)} |")
    for scale in SCALES.values():
        parts.append(f"\n### {INDICES[scale.index].title}: {scale.name.replace('_', ' ')}\n")
        parts.append("| from C | what it means | source |\n|---|---|---|")
        for step in scale.steps:
            edge = f"{step.edge_C:.1f}" if abs(step.edge_C) < 1e3 else "any"
            parts.append(f"| {edge} | {step.words} | {_cell(source(step.source).words)} |")
    parts.append(f"\n## The rock\n\nStates, the most slippery last: {', '.join(STATES)}.")
    return "\n".join(parts) + "\n"


def _parts_of_tethers() -> list[str]:
    """What tethers are made of: parts, knots and hitches."""
    from handline.line.hitches import HITCHES
    from handline.line.parts import CORD, KNOTS, PARTS
    from handline.sources import source

    parts = ["\n## Parts of tethers\n"]
    parts.append(
        "| name | holds kN | across a stop kN | EA kN | catches a fall | certified for | not meant for | source |"
    )
    parts.append("|---|---|---|---|---|---|---|---|")
    for kind in PARTS.values():
        holds, across_kN, stretch_kN = (
            "" if value is None else f"{value / 1000:g}" for value in (kind.strength_N, kind.across_N, kind.stiffness_N)
        )
        holds = "by its diameter" if kind.what == CORD else holds or ("" if kind.absorber else "not known")
        parts.append(
            f"| `{kind.key}` | {holds} | {across_kN} | {stretch_kN} | {'no' if kind.static else ''} | "
            f"{_cell(kind.certified_for)} | {_cell(kind.not_for)} | {_cell(source(kind.source).words)} |"
        )
    parts.append("\n## Knots\n")
    parts.append("| name | leaves | reported | closes a loop | source |\n|---|---|---|---|---|")
    for knot in KNOTS.values():
        low, high = knot.keeps_range
        reported = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        named = "" if knot.keeps == 1.0 else _cell(source(knot.source).words)
        loop = "yes" if knot.closes_loop else ""
        parts.append(f"| `{knot.key}` | {knot.keeps:g} | {reported} | {loop} | {named} |")
    parts.append("\n## Hitches\n")
    parts.append("| name | what | stop | way up | way down | what to know | source |\n|---|---|---|---|---|---|---|")
    for hitch in HITCHES.values():
        stop, up, down = ("yes" if value else "no" for value in (hitch.is_stop, hitch.for_up, hitch.for_down))
        parts.append(
            f"| `{hitch.key}` | {hitch.title} | {stop} | {up} | {down} | {_cell(hitch.note)} | "
            f"{_cell(source(hitch.source).words)} |"
        )
    return parts


def formulas_page() -> str:
    """Every formula with its equation, its limits and its sources."""
    from docs import formulas

    return formulas.formulas_page()


def names_page() -> str:
    """Letters, endings of names, and words."""
    from docs import names

    return names.names_page()


def licences_page() -> str:
    """The licences of what Handline runs on and of what it carries along."""
    from docs import licences

    return licences.licences_page()


PAGES: Mapping[str, Callable[[], str]] = {
    "commands.md": commands_page,
    "trip-file.md": trip_file_page,
    "sources.md": sources_page,
    "known-by-name.md": registries_page,
    "forecast-file.md": forecast_file_page,
    "formulas.md": formulas_page,
    "nomenclature.md": names_page,
    "licences.md": licences_page,
}


def main() -> int:
    """Write the pages, or check them. Returns the exit code."""
    checking = "--check" in sys.argv[1:]
    stale = []
    for name, make in PAGES.items():
        path, text = DOCS / name, NOTE + make()
        if checking:
            if not path.exists() or path.read_text(encoding="utf-8") != text:
                stale.append(name)
        else:
            path.write_text(text, encoding="utf-8")
    if stale:
        print(f"out of date: {', '.join(stale)}. Run: python docs/generate.py", file=sys.stderr)
    return 1 if stale else 0


if __name__ == "__main__":
    sys.exit(main())
