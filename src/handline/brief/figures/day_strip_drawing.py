"""The day strip drawn: its named data as layers. What the data are, ``day_strip.py`` says."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from typing import Any

from handline.brief.figures import theme
from handline.brief.figures.picture import Spec, Width
from handline.brief.figures.vega_lite import (
    Margins,
    chart,
    haloed,
    layer,
    name,
    place,
    quantity,
    tooltip,
    view_width_px,
)

# Heights of the two strips above the highest place, which stands at 1, and of the wash behind the fan.
_LIGHT_STRIP = (1.20, 1.27)
_STORM_STRIP = (1.11, 1.18)
_WASH = (-0.09, 1.06)
_HEIGHTS = (_WASH[0], 1.28)
_HEIGHT_PX: dict[Width, int] = {"wide": 450, "narrow": 440}
_MARGINS: dict[Width, Margins] = {"wide": Margins(136, 8, 14, 28), "narrow": Margins(76, 8, 12, 26)}
_TICK_H: dict[Width, int] = {"wide": 2, "narrow": 4}
_NAME_LETTERS: dict[Width, int] = {"wide": 20, "narrow": 11}
# Room a clock time needs beside its mark: where there is less, the mark stands alone.
_CLOCK_WORDS_PX = 42


def draw_day_strip(places: Mapping[str, float], clock_range_h: tuple[int, int], width: Width) -> Spec:
    """The spec of one width, without its data."""
    text_px = theme.TEXT_PX[width]
    hours = clock_range_h[1] - clock_range_h[0]
    room_h = _CLOCK_WORDS_PX * hours / view_width_px(width, _MARGINS[width])
    layers = [
        _frame(places, clock_range_h, width),
        *_background(width, room_h, text_px),
        *_fan(),
        *_on_the_line(text_px),
        *_latest(room_h, text_px),
        *_passings(text_px),
    ]
    # The place names are data: they reach the axis as values and never as part of an expression.
    params = [
        {"name": "axis_words", "value": _axis_words(places, width)},
        {"name": "axis_heights", "value": _axis_heights(places)},
    ]
    return chart(layers, width, _HEIGHT_PX[width], _MARGINS[width], params=params)


def _axis_heights(places: Mapping[str, float]) -> list[float]:
    return [*places.values(), sum(_STORM_STRIP) / 2.0, sum(_LIGHT_STRIP) / 2.0]


def _axis_words(places: Mapping[str, float], width: Width) -> list[list[str]]:
    names = [*places, "storm begun", "light"]
    return [textwrap.wrap(word, _NAME_LETTERS[width], max_lines=2, placeholder="…") or [word] for word in names]


def _frame(places: Mapping[str, float], clock_range_h: tuple[int, int], width: Width) -> Spec:
    """A hairline for every place; this layer carries both axes for all the others."""
    first_h, last_h = clock_range_h
    step_h, line_px = _TICK_H[width], theme.TEXT_PX[width] + 1
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
        scale={"domain": list(_HEIGHTS), "nice": False, "zero": False},
        axis={
            "values": _axis_heights(places),
            "labelExpr": "axis_words[indexof(axis_heights, datum.value)]",
            "labelLineHeight": line_px,
            "labelOffset": {"condition": {"test": two_lines, "value": -line_px / 2.0}, "value": 0},
            "labelPadding": 6,
            "labelLimit": _MARGINS[width].left - 10,
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


def _background(width: Width, room_h: float, text_px: int) -> list[Spec]:
    storm = quantity("share", scale={"domain": [0.0, 1.0], "range": theme.STORM_SCALE}, legend=None)
    depths = {key: quantity(key, scale=None, legend=None) for key in ("veil", "depth")}
    told = tooltip(says="Storm")
    clock = quantity("clock_h", title=None)
    light_at, storm_at = place(sum(_LIGHT_STRIP) / 2.0), place(sum(_STORM_STRIP) / 2.0)
    return [
        layer("storm", "rect", {**_box(_WASH), "fill": storm}, opacity=0.35),
        layer("storm", "rect", {**_box(_STORM_STRIP), "fill": storm, "tooltip": told}, opacity=1),
        layer("light", "rect", {**_box(_WASH), "opacity": depths["veil"]}, color=theme.NIGHT),
        layer("light", "rect", {**_box(_LIGHT_STRIP), "opacity": depths["depth"]}, color=theme.NIGHT),
        layer(
            "light_words", "text", {"x": clock, "y": light_at, "text": name("words")}, f"datum.room_h > {room_h}",
            fontSize=text_px - 1,
        ),
        layer(
            "storm_words", "text", {"x": clock, "y": storm_at, "text": name("words")},
            "datum.sparse" if width == "narrow" else None, fontSize=text_px - 1,
        ),
    ]  # fmt: skip


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


def _on_the_line(text_px: int) -> list[Spec]:
    both = {**_POINT, "detail": name("way")}
    return [
        layer("line", "line", both, color=theme.PAPER, strokeWidth=8),
        layer("line", "line", both, color=theme.VERMILLION, strokeWidth=5, strokeDash=[5, 2]),
        *(
            words
            for way, align, dx in (("up", "right", -9), ("down", "left", 9))
            for words in haloed(
                "line_words", {**_POINT, "text": name("words")}, f"datum.way == '{way}'",
                fontSize=text_px, align=align, dx=dx, color=theme.VERMILLION_INK,
            )
        ),
    ]  # fmt: skip


def _latest(room_h: float, text_px: int) -> list[Spec]:
    words = haloed(
        "latest", {**_POINT, "text": name("words")}, f"datum.room_h > {room_h} || datum.turn_back",
        fontSize=text_px, fontWeight="bold", align="left", dx=5,
    )  # fmt: skip
    return [
        layer("latest", "tick", _POINT, orient="vertical", color=theme.INK, thickness=3, size=16, opacity=1),
        *words,
    ]


def _passings(text_px: int) -> list[Spec]:
    told = tooltip(
        place="Place", way="Way", half="Half the days by", nine="Nine days in ten", latest="Latest to arrive"
    )
    dots = layer(
        "passings", "point", {**_POINT, "tooltip": told},
        filled=True, fill=theme.PAPER, stroke=theme.BLUE, strokeWidth=2, size=34, opacity=1,
    )  # fmt: skip
    words = [
        spec
        for side, baseline, dy in (("top", "bottom", -7), ("bottom", "top", 7))
        for spec in haloed(
            "clock_words", {**_POINT, "text": name("words")}, f"datum.side == '{side}'",
            fontSize=text_px, fontWeight="bold", baseline=baseline, dy=dy, color=theme.BLUE,
        )
    ]  # fmt: skip
    return [dots, *words]
