"""The sketch map: the way from above, north up, its places by shape and name, on shaded ground where there is some."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType
from typing import Any

from handline.brief.figures import theme
from handline.brief.figures.grey_image import grey_uri
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.placed_words import RIGHT_FIRST, Point, Words, place_words
from handline.brief.figures.sketch_map_scale import Furniture, furniture_of
from handline.brief.figures.sketch_map_sheet import EDGE_PX, MapSheet
from handline.brief.figures.vega_lite import Margins, chart, haloed, layer, name, quantity, tooltip
from handline.brief.words import walk_words
from handline.day.plan import Passing, Plan
from handline.day.plan_map import GroundShade, MapPlan
from handline.quantity import show_height

# A drop of water, point up, as a path in a square from -1 to 1.
_DROP = "M0,-1.15C0.25,-0.6,0.8,-0.1,0.8,0.35A0.8,0.8,0,1,1,-0.8,0.35C-0.8,-0.1,-0.25,-0.6,0,-1.15Z"
_TENT = "M-1,0.8L0,-0.9L1,0.8L0.35,0.8L0,0.1L-0.35,0.8Z"
_FOOT = "M-1,-0.3H1V0.3H-1Z"

KINDS: Mapping[str, tuple[str, dict[str, Any], str]] = MappingProxyType(
    {
        "trailhead": ("map-trailhead", {"shape": "square", "fill": theme.INK}, "where the way begins or ends"),
        "water": ("map-water", {"shape": _DROP, "fill": theme.SKY_BLUE}, "water"),
        "unsure water": ("map-unsure-water", {"shape": _DROP, "fill": theme.PAPER}, "water not counted on"),
        "camp": ("map-camp", {"shape": _TENT, "fill": theme.INK}, "camp"),
        "permit_check": ("map-permit", {"shape": "diamond", "fill": theme.YELLOW}, "permits are checked here"),
        "line_foot": ("map-line", {"shape": _FOOT, "fill": theme.VERMILLION}, "foot and head of the line"),
        "line_head": ("map-line", {"shape": _FOOT, "fill": theme.VERMILLION}, "foot and head of the line"),
        "summit": ("map-summit", {"shape": "triangle-up", "fill": theme.PAPER}, "summit"),
        "bail_out": ("map-bail-out", {"shape": "triangle-right", "fill": theme.PAPER}, "a way out"),
        "place": ("map-place", {"shape": "circle", "fill": theme.PAPER}, "a place on the way"),
    }
)
"""Every kind of place: swatch of the key, looks of the mark, words."""
_MARK_AREA = 90
_NAME_LETTERS: dict[Width, int] = {"wide": 34, "narrow": 24}
_RINGS = 5
# Greys of the ground, paler than it is so that words stay readable on it, in steps that pack well.
_DARKEST, _PALEST, _GREY_STEP = 120.0, 252.0, 3
_COMPASS = ("north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west")


@dataclass(frozen=True)
class MapPlace:
    """A place of the way once, however often it is passed, east and north of the sheet's middle [m]."""

    name: str
    kind: str
    at_m: Point
    says: str


@dataclass(frozen=True)
class Names:
    """The names of one width, the lines that lead from marks to them, and the places without room for theirs."""

    rows: list[Row]
    leads: list[Row]
    left_out: list[str]


def sketch_map_pictures(plan: Plan) -> tuple[Picture, ...]:
    """The sketch map; nothing where the way has no coordinates."""
    return () if plan.map is None else (sketch_map(plan, plan.map),)


def sketch_map(plan: Plan, sheet_plan: MapPlan) -> Picture:
    """The sketch map of a plan."""
    places = map_places(plan, sheet_plan)
    track_m = [
        sheet_plan.at_m(*at) for at in zip(plan.route.track_latitude_deg, plan.route.track_longitude_deg, strict=True)
    ]
    sheets: dict[Width, MapSheet] = {width: MapSheet(sheet_plan, width) for width in WIDTH_PX}
    furniture = {width: furniture_of(sheet, plan.units, track_m) for width, sheet in sheets.items()}
    named = {width: _named(sheet, places, track_m, furniture[width]) for width, sheet in sheets.items()}
    datasets = {
        **({"ground": _ground(sheet_plan.shade)} if sheet_plan.shade else {}),
        "track": [{"x": round(east_m), "y": round(north_m), "order": i} for i, (east_m, north_m) in enumerate(track_m)],
        "line": [_row(place.at_m) for place in places if place.kind in ("line_foot", "line_head")],
        "places": [_row(place.at_m, name=place.name, kind=place.kind, says=place.says) for place in places],
        "names": [row for names in named.values() for row in names.rows],
        "leads": [row for names in named.values() for row in names.leads],
        "scale": [row for width, sheet in sheets.items() for row in furniture[width].rows(sheet)],
    }
    kinds = dict.fromkeys((KINDS[place.kind][0], KINDS[place.kind][2]) for place in places)
    return Picture(
        key="sketch-map",
        title="The way from above",
        caption=f"North is up, and one scale holds both ways. {sheet_plan.shade_says} A sketch to see how the places "
        f"lie, from your own track: it is no map to find the way by.{_no_room(named['narrow'].left_out)}",
        alt=_alt(plan, places),
        keys=(
            Key("map-way", "the way"),
            *(Key(swatch, words) for swatch, words in kinds),
        ),
        specs={width: _draw(sheet, datasets) for width, sheet in sheets.items()},
        datasets=datasets,
    )


def map_places(plan: Plan, sheet_plan: MapPlan) -> tuple[MapPlace, ...]:
    """Every place of the way with coordinates, as it is first passed; water by what the water plan counts on."""
    water = {stop.name: bool(stop.source) for stop in plan.load.water if stop.source or stop.dry_says}
    first: dict[str, Passing] = {}
    for passing in plan.timetable:
        first.setdefault(passing.name, passing)
    return tuple(
        MapPlace(
            name=passing.name,
            kind=_kind(passing.kind, water.get(passing.name)),
            at_m=sheet_plan.at_m(passing.latitude_deg, passing.longitude_deg),
            says=f"{walk_words(passing.distance_m, plan.units)} along the way, "
            f"{show_height(passing.elevation_m, plan.units)} high",
        )
        for passing in first.values()
        if passing.latitude_deg is not None and passing.longitude_deg is not None
    )


def _kind(kind: str, sure_water: bool | None) -> str:
    """How a place is drawn: a source that is not counted on as such, and a plain place with water as water."""
    if kind == "water":
        return "unsure water" if sure_water is False else "water"
    if kind == "place" and sure_water is not None:
        return "water" if sure_water else "unsure water"
    return kind if kind in KINDS else "place"


# --- data ------------------------------------------------------------------------------------------------------------


def _row(at_m: Point, **more: object) -> Row:
    return {"x": round(at_m[0], 1), "y": round(at_m[1], 1), **more}


def _ground(shade: GroundShade) -> list[Row]:
    """The shaded ground as one image, at its upper left corner."""
    greys = [[None if cell is None else _grey(cell) for cell in row] for row in shade.rows]
    return [{"x": shade.west_m, "y": shade.north_m, "url": grey_uri(greys)}]


def _grey(shade: int) -> int:
    grey = _DARKEST + (_PALEST - _DARKEST) * shade / 255.0
    return _GREY_STEP * round(grey / _GREY_STEP)


def _named(sheet: MapSheet, places: tuple[MapPlace, ...], track_m: Sequence[Point], furniture: Furniture) -> Names:
    """Where each name stands, with a line to the mark where it stands off it."""
    text_px = float(theme.TEXT_PX[sheet.width])
    ordered = _ends_first(places)
    wanted = [
        Words(_short(place.name, sheet.width), sheet.at_px(*place.at_m), RIGHT_FIRST, needed=True, rings=_RINGS)
        for place in ordered
    ]
    boxes = place_words(
        wanted,
        text_px,
        [sheet.at_px(*place.at_m) for place in places],
        [sheet.at_px(*at) for at in track_m],
        sheet.inside,
        taken=furniture.boxes_px,
    )
    rows, leads, left_out = [], [], []
    for place, words, box in zip(ordered, wanted, boxes, strict=True):
        if box is None:
            left_out.append(place.name)
            continue
        middle = sheet.from_px((box[0] + box[2]) / 2.0, (box[1] + box[3]) / 2.0)
        rows.append(_row(middle, width=sheet.width, words=words.words))
        near = (min(max(words.at_px[0], box[0]), box[2]), min(max(words.at_px[1], box[1]), box[3]))
        if math.dist(near, words.at_px) > 1.5 * text_px:
            to_m, from_m = sheet.from_px(*near), sheet.from_px(*words.at_px)
            leads.append(_row(from_m, width=sheet.width, x2=round(to_m[0], 1), y2=round(to_m[1], 1)))
    return Names(rows, leads, left_out)


def _no_room(names: Sequence[str]) -> str:
    """Whose names find no place on a phone: a wide picture has more room."""
    return f" On a phone there is no room for the names of {', '.join(names)}." if names else ""


def _ends_first(places: tuple[MapPlace, ...]) -> list[MapPlace]:
    """Those a leader looks for first: the line, then the ends of the way, then the rest."""
    ends = places[:1] + places[-1:]
    line = [place for place in places if place.kind in ("line_foot", "line_head")]
    return list(dict.fromkeys((*line, *ends, *places)))


def _short(words: str, width: Width) -> str:
    most = _NAME_LETTERS[width]
    return words if len(words) <= most else f"{words[: most - 1].rstrip()}…"


# --- words -----------------------------------------------------------------------------------------------------------


def _alt(plan: Plan, places: Sequence[MapPlace]) -> str:
    """Place after place: what it is, and how far and which way from the one before, straight."""
    told = [f"Sketch map with north up. The way begins at {places[0].name}."] if places else ["Sketch map, north up."]
    for here, there in pairwise(places):
        east_m, north_m = (after - before for before, after in zip(here.at_m, there.at_m, strict=True))
        away = walk_words(math.hypot(east_m, north_m), plan.units)
        what = KINDS[there.kind][2]
        told.append(f"{there.name} ({what}) lies {away} to the {compass_words(east_m, north_m)} of {here.name}.")
    return " ".join(told)


def compass_words(east_m: float, north_m: float) -> str:
    """The direction to a place, by the eighth of the compass."""
    return _COMPASS[round(math.degrees(math.atan2(east_m, north_m)) / 45.0) % 8]


# --- drawing ---------------------------------------------------------------------------------------------------------


def _draw(sheet: MapSheet, datasets: Mapping[str, list[Row]]) -> Spec:
    across_m, up_m = sheet.half_m
    plain = {"nice": False, "zero": False}
    x = quantity("x", scale={"domain": [-across_m, across_m], **plain}, axis=None)
    y = quantity("y", scale={"domain": [-up_m, up_m], **plain}, axis=None)
    at, only = {"x": x, "y": y}, f"datum.width == '{sheet.width}'"
    to = {**at, "x2": {"field": "x2"}, "y2": {"field": "y2"}}
    words = {"fontSize": theme.TEXT_PX[sheet.width], "align": "center", "baseline": "middle"}
    way = {**at, "order": quantity("order")}
    told = tooltip(name="Place", says="Where")
    layers = [
        *_ground_layers(sheet, at, datasets),
        layer("track", "line", way, color=theme.PAPER, strokeWidth=5, strokeJoin="round", opacity=0.9, aria=False),
        layer("track", "line", way, color=theme.BLUE, strokeWidth=2.5, strokeJoin="round", aria=False),
        layer("line", "line", at, color=theme.VERMILLION, strokeWidth=6, aria=False),
        layer("leads", "rule", to, only, color=theme.INK, strokeWidth=1, aria=False),
        *(
            layer(
                "places", "point", {**at, "tooltip": told}, f"datum.kind == '{kind}'",
                filled=True, stroke=theme.INK, strokeWidth=1.5, size=_MARK_AREA, opacity=1, aria=False,
                **KINDS[kind][1],
            )
            for kind in dict.fromkeys(row["kind"] for row in datasets["places"])
        ),
        layer("scale", "rule", to, f"{only} && datum.kind == 'rule'", color=theme.INK, strokeWidth=1.5, aria=False),
        layer(
            "scale", "point", at, f"{only} && datum.kind == 'head'",
            filled=True, shape="triangle-up", fill=theme.INK, size=90, opacity=1, aria=False,
        ),
        *haloed("scale", {**at, "text": name("words")}, f"{only} && datum.kind == 'words'", **words),
        *haloed("names", {**at, "text": name("words")}, only, fontWeight="bold", **words),
    ]  # fmt: skip
    return chart(layers, sheet.width, sheet.height_px, Margins(EDGE_PX, EDGE_PX, EDGE_PX, EDGE_PX))


def _ground_layers(sheet: MapSheet, at: dict[str, Any], datasets: Mapping[str, list[Row]]) -> list[Spec]:
    shade = sheet.plan.shade
    if shade is None or "ground" not in datasets:
        return []
    return [
        layer(
            "ground", "image", {**at, "url": name("url")},
            width=(shade.east_m - shade.west_m) * sheet.px_per_m,
            height=(shade.north_m - shade.south_m) * sheet.px_per_m,
            align="left", baseline="top", aspect=False, aria=False,
        )
    ]  # fmt: skip
