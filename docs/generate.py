"""Write the pages of docs/ that are made from the code, or with --check say which are out of date."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable, Mapping
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
    rows = []
    for key, prop in section["properties"].items():
        text = prop.get("description", "")
        if "enum" in prop:
            text += f" One of {', '.join(f'`{choice}`' for choice in prop['enum'])}."
        if key in required:
            default = "must be given"
        elif "default" in prop and prop["default"] not in (None, []):
            default = f"`{json.dumps(prop['default']).strip(chr(34))}`"
        else:
            default = ""
        rows.append((f"`{key}`", text, default))
    return _table("key | what | if left out", rows)


def _table(heads: str, rows: Iterable[tuple[str, ...]]) -> str:
    """A table in Markdown: its heads with bars between them, then its rows."""
    lines = [f"| {heads} |", "|---" * (heads.count("|") + 1) + "|"]
    lines += [f"| {' | '.join(map(_cell, row))} |" for row in rows]
    return "\n".join(lines) + "\n"


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def sources_page() -> str:
    """Every source with its kind and how far it was seen."""
    from handline.sources import SEEN, sources

    rows = ((each.key, each.title, each.kind, SEEN[each.seen], each.note) for each in sources().values())
    return "# Sources\n\n" + _table("key | source | kind | seen | note", rows)


def registries_page() -> str:
    """The registries: pace models, kinds of ground, effort models, states of the rock, tethers, limits."""
    parts = [*_of_walking(), _tethers(), *_parts_of_tethers(), *_of_holding(), *_of_choosing()]
    return "\n".join(["# What Handline knows by name\n", *parts])


def _headed(title: str, heads: str, rows: Iterable[tuple[str, ...]]) -> str:
    return f"## {title}\n\n{_table(heads, rows)}"


def _words(key: str) -> str:
    from handline.sources import source

    return source(key).words


def _of_walking() -> list[str]:
    """Pace models, kinds of ground, and what walking costs the body."""
    from handline.walking.effort_registry import EFFORT_MODELS
    from handline.walking.mix import DEFAULT_MIX
    from handline.walking.registry import PACE_MODELS
    from handline.walking.surface import SURFACES

    weights = {key: f"{weight:.1%}".replace("%", " %") for key, weight in DEFAULT_MIX.items()}
    paces = (
        (f"`{key}`", pace.title, pace.use, weights.get(key, ""), f"{pace.carried_kg:g}", _words(pace.source))
        for key, pace in PACE_MODELS.items()
    )
    grounds = (
        (f"`{ground.key}`", ground.words, f"{ground.time_factor:.2f}", _words(ground.source))
        for ground in SURFACES.values()
    )
    efforts = (
        (f"`{effort.key}`", effort.title, effort.unit, _words(effort.source)) for effort in EFFORT_MODELS.values()
    )
    return [
        _headed("Pace models", "name | model | for | in the usual mix | carried kg | source", paces),
        _headed("Kinds of ground", "name | what | times longer than on a good path | source", grounds),
        _headed("Models of what walking costs the body", "name | model | unit | source", efforts),
    ]


def _tethers() -> str:
    from handline.line.tethers import TETHERS

    rows = (
        (
            f"`{tether.name}`", tether.title, str(tether.arms), f"{tether.reach_m:g}", f"{tether.stiffness_N / 1000:g}",
            tether.weakest.words, f"{tether.weakest.force_N / 1000:g}", f"{tether.changeover_s:g}",
            _words(tether.source),
        )
        for tether in TETHERS.values()
    )  # fmt: skip
    return _headed(
        "Tethers", "name | what | arms | reach m | EA kN | weakest part | holds kN | s a stop | source", rows
    )


def _parts_of_tethers() -> list[str]:
    """What tethers are made of: parts, knots and hitches."""
    from handline.line.hitches import HITCHES
    from handline.line.parts import CORD, KNOTS, PARTS

    parts = []
    for kind in PARTS.values():
        holds, across_kN, stretch_kN = (
            "" if value is None else f"{value / 1000:g}" for value in (kind.strength_N, kind.across_N, kind.stiffness_N)
        )
        holds = "by its diameter" if kind.what == CORD else holds or ("" if kind.absorber else "not known")
        catches = "no" if kind.static else ""
        parts.append((
            f"`{kind.key}`", holds, across_kN, stretch_kN, catches, kind.certified_for, kind.not_for,
            _words(kind.source),
        ))  # fmt: skip
    knots = []
    for knot in KNOTS.values():
        low, high = knot.keeps_range
        reported = f"{low:g}" if low == high else f"{low:g} to {high:g}"
        named = "" if knot.keeps == 1.0 else _words(knot.source)
        knots.append((f"`{knot.key}`", f"{knot.keeps:g}", reported, "yes" if knot.closes_loop else "", named))
    hitches = []
    for hitch in HITCHES.values():
        stop, up, down = ("yes" if value else "no" for value in (hitch.is_stop, hitch.for_up, hitch.for_down))
        hitches.append((f"`{hitch.key}`", hitch.title, stop, up, down, hitch.note, _words(hitch.source)))
    part_heads = "name | holds kN | across a stop kN | EA kN | catches a fall | certified for | not meant for | source"
    return [
        _headed("Parts of tethers", part_heads, parts),
        _headed("Knots", "name | leaves | reported | closes a loop | source", knots),
        _headed("Hitches", "name | what | stop | way up | way down | what to know | source", hitches),
    ]


def _of_holding() -> list[str]:
    """What feet and hands hold on, and what forces are borne."""
    from handline.line.friction import ROCKS
    from handline.line.grip import GLOVES, GRIPS
    from handline.line.limits import LIMITS

    rocks = (
        (f"`{rock.name}`", f"{rock.mu_foot:g}", f"{rock.mu_slide:g}", _words(rock.source)) for rock in ROCKS.values()
    )
    gloves = (
        (
            f"`{glove.name}`", *(f"{glove.mu[rock]:g}" for rock in ("dry", "wet", "iced")),
            " and ".join(glove.for_ways) or "no way", glove.note, _words(glove.source),
        )
        for glove in GLOVES.values()
    )  # fmt: skip
    hands = ((grip.title, f"{grip.force_N:.0f}", _words(grip.source)) for grip in GRIPS.values())
    limits = ((limit.of, limit.what, f"{limit.force_N / 1000:g}", _words(limit.source)) for limit in LIMITS.values())
    return [
        _headed("States of the rock", "name | sole | sliding body | source", rocks),
        _headed("Gloves", "name | on a dry cable | wet | iced | of use | note | source", gloves),
        _headed("Hands", "who | squeezes at most N | source", hands),
        _headed("Limits", "of | what | kN | source", limits),
    ]


def _of_choosing() -> list[str]:
    """What counts between ways of doing a trip, and who yields on the line."""
    from handline.choose.what_counts import WHAT_COUNTS
    from handline.crowd.rules import YIELDS

    counting = (
        (
            counts.words, "more" if counts.more_is_better else "less", counts.show(counts.least, "si"),
            _words("practice_options"),
        )
        for counts in WHAT_COUNTS.values()
    )  # fmt: skip
    yields = ((f"`{rule.key}`", rule.words, _words(rule.source)) for rule in YIELDS.values())
    return [
        _headed(
            "What counts between ways of doing a trip",
            "what | better | smallest difference that matters | source",
            counting,
        ),
        _headed("Who yields on the line", "name | what two do who meet in a bay | source", yields),
    ]


def forecast_file_page() -> str:
    """The columns of a forecast file, and the scales its weather is told in."""
    from handline.weather.categories import SCALES
    from handline.weather.forecast_columns import columns_doc
    from handline.weather.index_registry import INDICES
    from handline.weather.rock_state import STATES

    indices = ((entry.title, ", ".join(entry.inputs), _words(entry.source)) for entry in INDICES.values())
    parts = [
        "# The forecast file\n",
        "CSV in UTF-8: commas between columns, points in decimals, one row for each time and place. A time has its "
        'offset ("2027-07-17T06:00-06:00", or Z for UTC); without one it is local time of the trip. Steps of up to six '
        "hours are read. Lines that begin with # come first: `# issued: 2027-07-16T18:00-06:00` says when it was made, "
        "`# source: ...` who made it. What the file leaves out is taken on the careful side, and the plan says so.\n",
        columns_doc(),
        "`handline weather TRIP --download` writes such a file from an open forecast service.\n",
        _headed("How cold or hot it feels", "index | from | source", indices),
    ]
    for scale in SCALES.values():
        parts.append(f"### {INDICES[scale.index].title}: {scale.name.replace('_', ' ')}\n")
        steps = (
            (f"{step.edge_C:.1f}" if abs(step.edge_C) < 1e3 else "any", step.words, _words(step.source))
            for step in scale.steps
        )
        parts.append(_table("from C | what it means | source", steps))
    parts.append(f"## The rock\n\nStates, the most slippery last: {', '.join(STATES)}.\n")
    return "\n".join(parts)


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
