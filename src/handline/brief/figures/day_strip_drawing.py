"""The day strip drawn: its named data as layers. What the data are, ``day_strip.py`` says."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from typing import Any

from handline.brief.figures import theme
from handline.brief.figures.day_strip_sheet import (
    HEIGHTS,
    LIGHT_STRIP,
    ROCK_STRIP,
    STORM_STRIP,
    SUN_STRIP,
    WASH,
    Sheet,
)
from handline.brief.figures.picture import Spec, Width
from handline.brief.figures.vega_lite import (
    chart,
    haloed,
    layer,
    name,
    place,
    quantity,
    tooltip,
)

_CLOCK_PX = 44.0  # from one hour on the axis to the next
_NAME_LETTERS: dict[Width, int] = {"wide": 20, "narrow": 11}


# The strips above the places, from the lowest up.
_STRIPS = {"storm": STORM_STRIP, "rock": ROCK_STRIP, "sun": SUN_STRIP, "light": LIGHT_STRIP}
_ICICLE = 0.014  # of the height: they end above the words
_MOON = (LIGHT_STRIP[0] + 0.006, LIGHT_STRIP[0] + 0.015)  # below the words


def draw_day_strip(places: Mapping[str, float], rock: str, sheet: Sheet) -> Spec:
    """The spec of one width, without its data. ``rock`` names the strip of the rock."""
    layers = [
        _frame(places, sheet),
        *_background(sheet.width),
        *_fan(),
        *_on_the_line(),
        *_latest(),
        _passings(),
        *_words(sheet.width),
    ]
    # The place names are data: they reach the axis as values and never as part of an expression.
    params = [
        {"name": "axis_words", "value": _axis_words(places, rock, sheet.width)},
        {"name": "axis_heights", "value": _axis_heights(places)},
    ]
    return chart(layers, sheet.width, sheet.height_px, sheet.margins, params=params)


def _axis_heights(places: Mapping[str, float]) -> list[float]:
    return [*places.values(), *(sum(heights) / 2.0 for heights in _STRIPS.values())]


def _axis_words(places: Mapping[str, float], rock: str, width: Width) -> list[list[str]]:
    names = [*places, "storm begun", rock, "sun on slab", "light"]
    return [textwrap.wrap(word, _NAME_LETTERS[width], max_lines=2, placeholder="…") or [word] for word in names]


def _frame(places: Mapping[str, float], sheet: Sheet) -> Spec:
    """A hairline for every place; this layer carries both axes for all the others."""
    first_h, last_h = sheet.clock_range_h
    step_h, line_px = sheet.step_h(_CLOCK_PX), theme.TEXT_PX[sheet.width] + 1
    two_lines = "length(axis_words[indexof(axis_heights, datum.value)]) > 1"
    clock = quantity(
        "from_h",
        scale={"domain": [first_h, last_h], "nice": False, "zero": False},
        axis={
            "values": list(range(-(-first_h // step_h) * step_h, last_h + 1, step_h)),
            "labelExpr": "format((datum.value + 48) % 24, '02d') + ':00'",
            "title": None,
            "grid": False,
        },
    )
    height = quantity(
        "height",
        scale={"domain": list(HEIGHTS), "nice": False, "zero": False},
        axis={
            "values": _axis_heights(places),
            "labelExpr": "axis_words[indexof(axis_heights, datum.value)]",
            "labelLineHeight": line_px,
            "labelOffset": {"condition": {"test": two_lines, "value": -line_px / 2.0}, "value": 0},
            "labelPadding": 6,
            "labelLimit": sheet.margins.left - 10,
            "title": None,
            "grid": False,
            "ticks": False,
            "domain": False,
        },
    )
    return layer("places", "rule", {"x": clock, "x2": {"field": "to_h"}, "y": height}, color=theme.RULE)


_POINT = {"x": quantity("clock_h", title=None), "y": quantity("height", title=None)}


def _box(heights: tuple[float, float]) -> dict[str, Any]:
    """A rectangle between two clock times and two heights."""
    return {
        "x": quantity("from_h", title=None),
        "x2": {"field": "to_h"},
        "y": place(heights[0]),
        "y2": place(heights[1]),
    }


def _background(width: Width) -> list[Spec]:
    storm = quantity("share", scale={"domain": [0.0, 1.0], "range": theme.STORM_SCALE}, legend=None)
    depths = {key: quantity(key, scale=None, legend=None) for key in ("veil", "depth")}
    told = tooltip(says="Storm")
    words = [
        layer(
            "strip_words", "text",
            {"x": quantity("clock_h", title=None), "y": place(sum(heights) / 2.0), "text": name("words")},
            f"datum.width == '{width}' && datum.strip == '{strip}'", fontSize=theme.TEXT_PX[width] - 1,
        )
        for strip, heights in _STRIPS.items()
    ]  # fmt: skip
    return [
        layer("storm", "rect", {**_box(WASH), "fill": storm}, opacity=0.35),
        layer("storm", "rect", {**_box(STORM_STRIP), "fill": storm, "tooltip": told}, opacity=1),
        layer("light", "rect", {**_box(WASH), "opacity": depths["veil"]}, color=theme.NIGHT),
        layer("light", "rect", {**_box(LIGHT_STRIP), "opacity": depths["depth"]}, color=theme.NIGHT),
        layer("moon", "rect", _box(_MOON), color=theme.MOONLIGHT, aria=False),
        layer(
            "sun",
            "rect",
            {**_box(SUN_STRIP), "tooltip": tooltip(says="Sun on the slab")},
            color=theme.YELLOW,
            aria=False,
        ),
        *_rock(),
        *words,
    ]


def _rock() -> list[Spec]:
    """Deeper where it is likelier not dry, in a thin frame; icicles hang from its upper edge."""
    wet = quantity("share", scale={"domain": [0.0, 1.0], "range": theme.WET_SCALE}, legend=None)
    hanging = {
        "x": quantity("at_h", title=None),
        "y": place(ROCK_STRIP[1]),
        "y2": place(ROCK_STRIP[1] - _ICICLE),
    }
    return [
        layer(
            "rock", "rect", {**_box(ROCK_STRIP), "color": wet, "tooltip": tooltip(says="Rock")}, opacity=1, aria=False
        ),
        layer("icicles", "rule", hanging, color=theme.INK, strokeWidth=2, strokeCap="round", aria=False),
    ]


def _fan() -> list[Spec]:
    bands = [
        layer(
            data, "line", {**_POINT, "order": quantity("order"), "detail": name("part")},
            filled=True, fill=colour, stroke=colour, strokeWidth=1, interpolate="linear-closed",
        )
        for data, colour in (("fan_outer", theme.BLUE_PALE), ("fan_inner", theme.BLUE_MIDDLE))
    ]  # fmt: skip
    hairline = {"x": quantity("from_h", title=None), "x2": {"field": "to_h"}, "y": quantity("height", title=None)}
    return [
        *bands,
        layer("places", "rule", hairline, color=theme.QUIET_INK, opacity=0.25),
        layer("median", "line", {**_POINT, "order": quantity("order")}, color=theme.BLUE, strokeWidth=2),
    ]


def _on_the_line() -> list[Spec]:
    both = {**_POINT, "detail": name("way")}
    return [
        layer("line", "line", both, color=theme.PAPER, strokeWidth=8),
        layer("line", "line", both, color=theme.VERMILLION, strokeWidth=5, strokeDash=[5, 2]),
    ]


def _latest() -> list[Spec]:
    """Full and pointing up on the way up, hollow and pointing down on the way down."""
    looks = {
        "up": {"shape": "triangle-up", "fill": theme.INK},
        "down": {"shape": "triangle-down", "fill": theme.PAPER},
    }
    return [
        layer(
            "latest", "point", _POINT, f"datum.way == '{way}'",
            filled=True, stroke=theme.INK, strokeWidth=1.5, size=62, opacity=1, **look,
        )
        for way, look in looks.items()
    ]  # fmt: skip


def _passings() -> Spec:
    told = tooltip(
        place="Place", way="Way", half="Half the days by", eight="Eight days in ten", latest="Latest to arrive"
    )
    return layer(
        "passings", "point", {**_POINT, "tooltip": told},
        filled=True, fill=theme.PAPER, stroke=theme.BLUE, strokeWidth=2, size=34, opacity=1,
    )  # fmt: skip


def _words(width: Width) -> list[Spec]:
    """The words beside the marks: times on the way up are bold, for they decide."""
    looks = {
        "line": {"color": theme.VERMILLION_INK},
        "down": {"color": theme.INK},
        "median": {"color": theme.BLUE, "fontWeight": "bold"},
        "up": {"color": theme.INK, "fontWeight": "bold"},
    }
    return [
        spec
        for kind, look in looks.items()
        for spec in haloed(
            "words", {**_POINT, "text": name("words")}, f"datum.width == '{width}' && datum.kind == '{kind}'",
            fontSize=theme.TEXT_PX[width], align="center", baseline="middle", **look,
        )
    ]  # fmt: skip
