"""The day strip drawn: its named data as Altair layers. What the data are, ``day_strip.py`` says."""

from __future__ import annotations

import textwrap
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from handline.brief.figures import theme
from handline.brief.figures.picture import WIDTH_PX, Spec, Width

if TYPE_CHECKING:
    import altair as alt

# Heights of the two strips above the highest place, which stands at 1.
LIGHT_STRIP = (1.20, 1.27)
STORM_STRIP = (1.11, 1.18)
_TOP, _BOTTOM = 1.28, -0.09
_HEIGHT_PX: dict[Width, int] = {"wide": 480, "narrow": 460}
_TICK_H: dict[Width, int] = {"wide": 2, "narrow": 4}
_NAME_LETTERS: dict[Width, int] = {"wide": 20, "narrow": 11}
_LINE_DASH = [5, 2]


def draw_day_strip(places: Mapping[str, float], clock_range_h: tuple[int, int], width: Width) -> Spec:
    """The spec of one width, without its data."""
    import altair as alt

    text_px = theme.TEXT_PX[width]
    chart = alt.layer(
        _frame(places, clock_range_h, width),
        *_background(width),
        *_fan(),
        *_on_the_line(text_px),
        *_latest(text_px),
        *_passings(text_px),
    ).properties(width=WIDTH_PX[width], height=_HEIGHT_PX[width])
    spec: Spec = chart.to_dict()
    spec["autosize"] = {"type": "fit", "contains": "padding"}
    # The place names are data: they reach the axis as values and never as part of an expression.
    spec["params"] = [
        {"name": "axis_words", "value": _axis_words(places, width)},
        {"name": "axis_heights", "value": _axis_heights(places)},
    ]
    spec["config"] = theme.config(width)
    return spec


def _axis_heights(places: Mapping[str, float]) -> list[float]:
    return [*places.values(), sum(STORM_STRIP) / 2.0, sum(LIGHT_STRIP) / 2.0]


def _axis_words(places: Mapping[str, float], width: Width) -> list[list[str]]:
    names = [*places, "storm begun", "light"]
    return [textwrap.wrap(name, _NAME_LETTERS[width], max_lines=2, placeholder="…") or [name] for name in names]


def _frame(places: Mapping[str, float], clock_range_h: tuple[int, int], width: Width) -> alt.Chart:
    """A hairline for every place; this layer carries both axes for all the others."""
    import altair as alt

    first_h, last_h = clock_range_h
    step_h = _TICK_H[width]
    clock = alt.X(
        "from_h:Q",
        scale=alt.Scale(domain=[first_h, last_h], nice=False, zero=False),
        axis=alt.Axis(
            values=list(range(-(-first_h // step_h) * step_h, last_h + 1, step_h)),
            labelExpr="format((datum.value + 48) % 24, '02d') + ':00'",
            title=None,
            grid=False,
        ),
    )
    height = alt.Y(
        "height:Q",
        scale=alt.Scale(domain=[_BOTTOM, _TOP], nice=False, zero=False),
        axis=alt.Axis(
            values=_axis_heights(places),
            labelExpr="axis_words[indexof(axis_heights, datum.value)]",
            title=None,
            grid=False,
            ticks=False,
            domain=False,
            labelPadding=6,
            labelLimit=180,
            labelLineHeight=theme.TEXT_PX[width] + 1,
        ),
    )
    return alt.Chart(alt.NamedData("places")).mark_rule(color=theme.RULE).encode(x=clock, x2="to_h", y=height)


def _layer(name: str) -> alt.Chart:
    import altair as alt

    return alt.Chart(alt.NamedData(name))


def _box(low: float | None, high: float | None) -> dict[str, Any]:
    """Encodings of a rectangle between two clock times; the height is the whole picture or a strip."""
    import altair as alt

    box: dict[str, Any] = {"x": alt.X("from_h:Q", title=None), "x2": "to_h"}
    if low is not None and high is not None:
        box |= {"y": alt.YDatum(low), "y2": alt.Y2Datum(high)}
    return box


def _point() -> dict[str, Any]:
    import altair as alt

    return {"x": alt.X("clock_h:Q", title=None), "y": alt.Y("height:Q", title=None)}


def _background(width: Width) -> list[alt.Chart]:
    import altair as alt

    text_px = theme.TEXT_PX[width] - 1
    depth = alt.Fill("share:Q", scale=alt.Scale(domain=[0.0, 1.0], range=theme.STORM_SCALE), legend=None)
    words = _layer("storm_words")
    if width == "narrow":
        words = words.transform_filter("datum.sparse")
    return [
        _layer("storm").mark_rect(opacity=0.30).encode(**_box(_BOTTOM, 1.06), fill=depth),
        _layer("storm").mark_rect().encode(**_box(*STORM_STRIP), fill=depth, tooltip=alt.Tooltip("says:N", title="Storm")),
        _layer("light").mark_rect(color=theme.NIGHT).encode(
            **_box(_BOTTOM, 1.06), opacity=alt.Opacity("veil:Q", scale=None, legend=None)
        ),
        _layer("light").mark_rect(color=theme.NIGHT).encode(
            **_box(*LIGHT_STRIP), opacity=alt.Opacity("depth:Q", scale=None, legend=None)
        ),
        _layer("light_words").mark_text(fontSize=text_px).encode(
            x=alt.X("clock_h:Q", title=None), y=alt.YDatum(sum(LIGHT_STRIP) / 2.0), text="words:N"
        ),
        words.mark_text(fontSize=text_px).encode(
            x=alt.X("clock_h:Q", title=None), y=alt.YDatum(sum(STORM_STRIP) / 2.0), text="words:N"
        ),
    ]


def _fan() -> list[alt.Chart]:
    import altair as alt

    layers = [
        _layer(name)
        .mark_line(filled=True, fill=colour, stroke=colour, strokeWidth=1, interpolate="linear-closed")
        .encode(**_point(), order="order:Q", detail="part:N")
        for name, colour in (("fan_outer", theme.BLUE_PALE), ("fan_inner", theme.BLUE_MIDDLE))
    ]
    hairlines = _layer("places").mark_rule(color=theme.QUIET_INK, opacity=0.25).encode(
        x=alt.X("from_h:Q", title=None), x2="to_h", y=alt.Y("height:Q", title=None)
    )
    median = _layer("median").mark_line(color=theme.BLUE, strokeWidth=2).encode(**_point(), order="order:Q")
    return [*layers, hairlines, median]


def _on_the_line(text_px: int) -> list[alt.Chart]:
    under = _layer("line").mark_line(color=theme.PAPER, strokeWidth=8).encode(**_point(), detail="way:N")
    band = (
        _layer("line")
        .mark_line(color=theme.VERMILLION, strokeWidth=5, strokeDash=_LINE_DASH)
        .encode(**_point(), detail="way:N")
    )
    words = []
    for way, align, dx in (("up", "right", -8), ("down", "left", 8)):
        words += _haloed("line_words", f"datum.way == '{way}'", text_px, color=theme.VERMILLION, align=align, dx=dx)
    return [under, band, *words]


def _latest(text_px: int) -> list[alt.Chart]:
    mark = _layer("latest").mark_tick(orient="vertical", color=theme.INK, thickness=3, size=16).encode(**_point())
    return [mark, *_haloed("latest", None, text_px, align="left", dx=5, fontWeight="bold")]


def _passings(text_px: int) -> list[alt.Chart]:
    import altair as alt

    tooltip = [
        alt.Tooltip("place:N", title="Place"),
        alt.Tooltip("way:N", title="Way"),
        alt.Tooltip("half:N", title="Half the days by"),
        alt.Tooltip("nine:N", title="Nine days in ten"),
        alt.Tooltip("latest:N", title="Latest to arrive"),
    ]
    dots = (
        _layer("passings")
        .mark_point(filled=True, fill=theme.PAPER, stroke=theme.BLUE, strokeWidth=2, size=34, opacity=1)
        .encode(**_point(), tooltip=tooltip)
    )
    words = []
    for side, baseline, dy in (("top", "bottom", -7), ("bottom", "top", 7)):
        words += _haloed(
            "clock_words", f"datum.side == '{side}'", text_px, color=theme.BLUE, baseline=baseline, dy=dy, fontWeight="bold"
        )
    return [dots, *words]


def _haloed(name: str, only: str | None, text_px: int, **mark: Any) -> list[alt.Chart]:
    """Words twice: a halo of paper below, the ink above."""
    halo = {**mark, "stroke": theme.PAPER, "strokeWidth": 3, "color": theme.PAPER}
    chart = _layer(name).transform_filter(only) if only else _layer(name)
    return [chart.mark_text(fontSize=text_px, **style).encode(**_point(), text="words:N") for style in (halo, mark)]
