"""The load curve: what each pack weighs along the way, falling as water is drunk, jumping where it is filled in.

One push and a night out stand beside each other on one scale; on a phone one over the other.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from handline.brief.figures import theme
from handline.brief.figures.load_marks import Place, marked_places, marks_of
from handline.brief.figures.load_sheet import MARGINS, MARK_PX, Panel, curve_width_px, panels, pixel
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import Channel, chart, haloed, layer, name, quantity, tooltip
from handline.brief.load_words import member_labels
from handline.brief.words import is_known
from handline.day.plan_load import LoadPlan, MemberLoad
from handline.quantity import Units, parse, show_pack

# So many members at most have a line of their own: swatch of the key, colour and dash.
LOOKS: tuple[tuple[str, dict[str, Any]], ...] = (
    ("curve-now", {"color": theme.BLUE, "strokeWidth": 3}),
    ("curve-0", {"color": theme.INK, "strokeWidth": 2, "strokeDash": [8, 3]}),
    ("curve-1", {"color": theme.VERMILLION_INK, "strokeWidth": 2, "strokeDash": [3, 3]}),
    ("curve-2", {"color": theme.GREEN, "strokeWidth": 2, "strokeDash": [8, 3, 2, 3]}),
    ("curve-3", {"color": theme.QUIET_INK, "strokeWidth": 2, "strokeDash": [1, 3]}),
)
Looks = dict[str, int]
"""By the name of a member, the number of its look."""
_OTHERS, _GREY = "others", "#a39f94"
_LINE_PX = 14.0  # from one name to the next
_NAME_LETTERS = 14
_LETTER_EM = 0.6  # of bold type, a little too wide
_HEADROOM = 1.06
_NAME_DX = 5.0
_TITLE_ROOM_PX = 300


def load_pictures(ways: Sequence[LoadPlan], units: Units) -> tuple[Picture, ...]:
    """The load curve of one or two ways; nothing where nobody's pack is known."""
    known = any(is_known(mass_kg) for way in ways for member in way.members for mass_kg in member.pack_kg)
    return (load_curve_picture(ways, units),) if known else ()


def load_curve_picture(ways: Sequence[LoadPlan], units: Units) -> Picture:
    """What each pack weighs along the way, a panel for each way."""
    looks, places = looks_of(ways), marked_places(ways)
    others = max(len(way.members) - len(of_way) for way, of_way in zip(ways, looks, strict=True))
    sheets: dict[Width, tuple[Panel, ...]] = {width: _panels(ways, looks, places, units, width) for width in WIDTH_PX}
    curves = [row for number, way in enumerate(ways) for row in _curves(number, way, looks[number], units)]
    keys = [*_line_keys(looks), *([Key("trace-other", "the others")] if others else [])]
    keys += [Key(f"number {place.number}", f"{place.name}: {place.says}") for place in places]
    return Picture(
        key="load-curve",
        title="What each pack weighs along the way",
        caption="The pack falls as water is drunk and food eaten; it jumps where water is filled in, and where gear is "
        f"left or picked up.{' Both pictures have the same scales.' if len(ways) > 1 else ''}"
        f"{' By name: the heaviest packs, and the heaviest for their body.' if others else ''}",
        alt=" ".join(_way_words(way, units) for way in ways),
        keys=tuple(keys),
        specs={width: _draw(sheet, units, width) for width, sheet in sheets.items()},
        datasets={
            "curves": curves,
            "names": [row for width, sheet in sheets.items() for row in _names(curves, looks, sheet, width)],
            "marks": [row for width, sheet in sheets.items() for row in _marks(ways, places, sheet, units, width)],
            "titles": [row for width, sheet in sheets.items() for row in _titles(ways, sheet, units, width)],
        },
    )


def looks_of(ways: Sequence[LoadPlan]) -> tuple[Looks, ...]:
    """For each way, whose curve has which look and a name; who is called alike on all ways looks alike on all."""
    chosen: dict[str, int] = {}
    found: list[Looks] = []
    for way in ways:
        labels = drawn_members(way)
        kept = {label: chosen[label] for label in labels if label in chosen}
        free = iter(sorted(set(range(len(LOOKS))) - set(kept.values())))
        found.append({label: kept[label] if label in kept else next(free) for label in labels})
        chosen = found[-1] | chosen
    return tuple(found)


def drawn_members(way: LoadPlan) -> tuple[str, ...]:
    """Who has a name in the picture: everybody, or of many the heaviest packs and the heaviest for their body."""
    members = list(zip(member_labels(way), way.members, strict=True))
    if len(members) <= len(LOOKS):
        return tuple(label for label, _ in members)
    heavy = sorted(members, key=lambda one: -_or_nothing(one[1].most_kg))
    for_body = sorted(members, key=lambda one: -_or_nothing(one[1].share))
    ranked = [label for pair in zip(heavy, for_body, strict=True) for label, _ in pair]
    return tuple(dict.fromkeys(ranked))[: len(LOOKS)]


def _line_keys(looks: Sequence[Looks]) -> list[Key]:
    """One entry for each look, with everybody who has it."""
    names: dict[int, list[str]] = {}
    for of_way in looks:
        for label, look in of_way.items():
            names.setdefault(look, []).append(label)
    return [Key(LOOKS[look][0], " / ".join(dict.fromkeys(names[look]))) for look in sorted(names)]


def _or_nothing(value: float) -> float:
    return value if is_known(value) else 0.0


# --- data ----------------------------------------------------------------------------------------------------------


def _distance(length_m: float, units: Units) -> float:
    return length_m / parse(f"1 {_distance_unit(units)}", "length")


def _mass(mass_kg: float, units: Units) -> float:
    return mass_kg / parse(f"1 {_mass_unit(units)}", "mass")


def _distance_unit(units: Units) -> str:
    return "km" if units == "si" else "mi"


def _mass_unit(units: Units) -> str:
    return "kg" if units == "si" else "lb"


def _curves(panel: int, way: LoadPlan, looks: Looks, units: Units) -> list[Row]:
    """Two rows for each passing of each member, coming and going; an unknown pack breaks the line."""
    return [
        {
            "panel": panel,
            "member": label,
            "look": str(looks[label]) if label in looks else _OTHERS,
            "order": order,
            "distance": _distance(distance_m, units),
            "mass": _mass(mass_kg, units) if is_known(mass_kg) else None,
            "place": way.passings[order // 2],
            "says": show_pack(mass_kg, units) if is_known(mass_kg) else "not known",
        }
        for label, member in zip(member_labels(way), way.members, strict=True)
        for order, (distance_m, mass_kg) in enumerate(zip(way.distance_m, member.pack_kg, strict=True))
    ]


def _names(curves: Sequence[Row], looks: Sequence[Looks], sheet: Sequence[Panel], width: Width) -> list[Row]:
    """Each drawn member's name where the line ends, moved off its neighbours' in the order of the lines."""
    rows: list[Row] = []
    for number, panel in enumerate(sheet):
        ends = {row["member"]: row for row in curves if row["panel"] == number and row["mass"] is not None}
        named = sorted((panel.y_px(row["mass"]), member) for member, row in ends.items() if member in looks[number])
        places_px = _apart_px([end_px for end_px, _ in named], panel.bottom_px)
        rows += [
            {
                "width": width,
                "words": _short(member),
                "left_px": panel.x_px(ends[member]["distance"]) + _NAME_DX,
                "at_px": at_px,
                "look": str(looks[number][member]),
            }
            for at_px, (_, member) in zip(places_px, named, strict=True)
        ]
    return rows


def _short(label: str) -> str:
    """A name that fits beside its line; the key has it whole."""
    return label if len(label) <= _NAME_LETTERS else f"{label[: _NAME_LETTERS - 1].rstrip()}…"


def _names_px(looks: Sequence[Looks], width: Width) -> float:
    """The room the longest name needs."""
    return _NAME_DX + _LETTER_EM * theme.TEXT_PX[width] * max(
        len(_short(label)) for of_way in looks for label in of_way
    )


def _apart_px(wanted_px: Sequence[float], lowest_px: float) -> list[float]:
    """Places in the order given, a line or more apart, the last no lower than ``lowest_px``."""
    placed: list[float] = []
    for at_px in wanted_px:
        placed.append(max(at_px, placed[-1] + _LINE_PX) if placed else at_px)
    from_below = range(len(placed))[::-1]
    return [min(placed[i], lowest_px - _LINE_PX * below) for below, i in enumerate(from_below)][::-1]


def _marks(
    ways: Sequence[LoadPlan], places: Sequence[Place], sheet: Sequence[Panel], units: Units, width: Width
) -> list[Row]:
    most_m, curve_px = max(way.distance_m[-1] for way in ways), sheet[0].right_px - sheet[0].left_px
    return [
        {
            "width": width,
            "words": str(mark.place.number),
            "place": mark.place.name,
            "at_px": panel.x_px(_distance(mark.at_m, units)),
            "mark_px": panel.top_px - (mark.row + 0.5) * MARK_PX,
            "foot_px": panel.bottom_px,
        }
        for way, panel in zip(ways, sheet, strict=True)
        for mark in marks_of(way, places, most_m, curve_px)
    ]


def _titles(ways: Sequence[LoadPlan], sheet: Sequence[Panel], units: Units, width: Width) -> list[Row]:
    """The name of each panel."""
    return [
        {
            "width": width,
            "words": f"{way.title} ({_mass_unit(units)})",
            "left_px": panel.left_px,
            "at_px": panel.title_px,
        }
        for way, panel in zip(ways, sheet, strict=True)
    ]


# --- words ---------------------------------------------------------------------------------------------------------


def _way_words(way: LoadPlan, units: Units) -> str:
    told = "; ".join(_member_words(*one, units) for one in zip(member_labels(way), way.members, strict=True))
    filled = [f"{stop.name} going {stop.way}" for stop in way.water[1:] if stop.refill_L > 0.0]
    where = f"Water is filled in at {', '.join(filled)}." if filled else "No water is filled in on the way."
    return f"{way.title}: {told}. {where}"


def _member_words(label: str, member: MemberLoad, units: Units) -> str:
    if not (is_known(member.start_kg) and is_known(member.most_kg)):
        return f"{label}: not known"
    line = f", {show_pack(member.line_kg, units)} at the foot of the line" if is_known(member.line_kg) else ""
    end = f", {show_pack(member.pack_kg[-1], units)} at the end" if is_known(member.pack_kg[-1]) else ""
    return (
        f"{label} sets out with {show_pack(member.start_kg, units)}{line}{end}, at most "
        f"{show_pack(member.most_kg, units)} at {member.most_at}"
    )


# --- drawing -------------------------------------------------------------------------------------------------------


def _panels(
    ways: Sequence[LoadPlan], looks: Sequence[Looks], places: Sequence[Place], units: Units, width: Width
) -> tuple[Panel, ...]:
    most_m, names_px = max(way.distance_m[-1] for way in ways), _names_px(looks, width)
    curve_px = curve_width_px(len(ways), names_px, width)
    marks = [marks_of(way, places, most_m, curve_px) for way in ways]
    packs_kg = [mass for way in ways for member in way.members for mass in member.pack_kg if is_known(mass)]
    return panels(
        [max((mark.row for mark in of_way), default=-1) + 1 for of_way in marks],
        names_px,
        _distance(most_m, units),
        _HEADROOM * _mass(max(packs_kg), units),
        width,
    )


def _draw(sheet: Sequence[Panel], units: Units, width: Width) -> Spec:
    text_px, only = theme.TEXT_PX[width], f"datum.width == '{width}'"
    mark = {"x": pixel("at_px"), "y": pixel("mark_px")}
    down = {"x": pixel("at_px"), "y": pixel("mark_px"), "y2": {"field": "foot_px"}}
    title = {"x": pixel("left_px"), "y": pixel("at_px"), "text": name("words")}
    layers = [
        layer("marks", "rule", down, only, color=theme.QUIET_INK, strokeDash=[3, 2], aria=False),
        *(spec for number in range(len(sheet)) for spec in _panel_layers(number, sheet, units, width)),
        layer(
            "marks", "point", mark, only,
            shape="circle", filled=True, fill=theme.PAPER, stroke=theme.INK, strokeWidth=1.5, size=210, opacity=1,
            aria=False,
        ),
        layer(
            "marks", "text", {**mark, "text": name("words"), "tooltip": tooltip(place="Place")}, only,
            baseline="middle", fontWeight="bold", fontSize=11,
        ),
        layer(
            "titles", "text", title, only,
            align="left", baseline="middle", fontWeight="bold", fontSize=text_px, limit=_TITLE_ROOM_PX,
        ),
    ]  # fmt: skip
    for number, (_, look) in enumerate(LOOKS):
        words = {"x": pixel("left_px"), "y": pixel("at_px"), "text": name("words")}
        style = {"align": "left", "baseline": "middle", "fontWeight": "bold", "fontSize": text_px}
        layers += haloed("names", words, f"{only} && datum.look == '{number}'", **style, color=look["color"])
    resolve = {"scale": {"x": "independent", "y": "independent"}}
    return chart(layers, width, round(sheet[-1].bottom_px), MARGINS[width], resolve=resolve)


def _panel_layers(number: int, sheet: Sequence[Panel], units: Units, width: Width) -> list[Spec]:
    """The axes of a panel, the others in grey, and each drawn member's line."""
    panel = sheet[number]
    # Axes stand at the edges of the whole sheet unless they are moved in.
    across: Channel = {
        "title": f"along the way ({_distance_unit(units)})", "tickCount": 6 if width == "wide" else 5, "grid": False,
        "labelFlush": False, "orient": "bottom", "offset": panel.bottom_px - sheet[-1].bottom_px,
    }  # fmt: skip
    up: Channel = {
        "title": None, "tickCount": 6, "ticks": False, "domain": False, "grid": True, "orient": "left",
        "offset": -panel.left_px,
    }  # fmt: skip
    both = {"x": panel.x("distance", axis=across), "y": panel.y("mass", axis=up)}
    line = {
        "x": panel.x("distance"), "y": panel.y("mass"), "detail": name("member"), "order": quantity("order"),
        "tooltip": tooltip(member="Member", place="Place", says="Pack"),
    }  # fmt: skip
    here = f"datum.panel == {number}"
    return [
        layer("curves", "point", both, f"{here} && datum.order < 0", size=0),
        layer(
            "curves", "line", line, f"{here} && datum.look == '{_OTHERS}'",
            color=_GREY, strokeWidth=1.5, aria=False,
        ),
        *(
            layer("curves", "line", line, f"{here} && datum.look == '{look}'", aria=False, **style)
            for look, (_, style) in enumerate(LOOKS)
        ),
    ]  # fmt: skip
