"""The rock by the hour: how likely it is dry, damp, wet or iced, stacked, with a pattern and a word for each."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from handline.brief.figures import theme
from handline.brief.figures.day_strip_sky import HOUR_S
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec
from handline.brief.figures.rock_shares import (
    DRY,
    ICED,
    LEAST_SHARE,
    NOT_KNOWN,
    not_dry_share,
    rock_shares,
    rock_words,
)
from handline.brief.figures.slab_clock import (
    HEAD_PX,
    MARGINS,
    TIE_ON_KEY,
    SlabClock,
    party_hours,
    slab_clock,
    tie_on_layers,
    tie_on_rows,
    tie_on_sentences,
)
from handline.brief.figures.vega_lite import Channel, chart, haloed, layer, name, quantity, tooltip
from handline.brief.figures.weather_hours import HasWeather
from handline.day.plan_weather import SlabHour, WeatherPlan
from handline.quantity import show_clock, show_share

_PANEL_PX = 210
# Dry is plain; damp has one upright stroke an hour, wet three, iced a cross; what is not known is empty in a dashed
# frame.
_COLOURS = {
    DRY: theme.ROCK,
    "damp": theme.BLUE_PALE,
    "wet": theme.SKY_BLUE,
    ICED: theme.NIGHT,
    NOT_KNOWN: theme.PAPER,
}
_OTHER = theme.BLUE_MIDDLE  # a state of the rock this picture does not know by name
_STROKES = {"damp": 1, "wet": 3}


def rock_hours_picture(plan: HasWeather) -> Picture | None:
    """The picture; None where the rock is typed or of no hour known."""
    weather = plan.weather
    hours = party_hours(weather)
    cells = [] if weather.rock_typed else _cells(hours, weather.rocks)
    if not any(cell.state != NOT_KNOWN for cell in cells):
        return None
    states = [state for state in (*weather.rocks, NOT_KNOWN) if any(cell.state == state for cell in cells)]
    clocks = {width: slab_clock(hours, width) for width in WIDTH_PX}
    marks_h = [tie_on.clock_s[1] / HOUR_S for tie_on in weather.met]
    return Picture(
        key="rock-hours",
        title="The rock by the hour",
        caption="How the rock on the slab is in each hour, as shares of the courses the weather may take: dry at the "
        "foot of each column, what is worse above it.",
        alt=_alt(hours, weather),
        keys=(
            *(Key(f"rock-{state.replace(' ', '-')}", state) for state in states),
            *((TIE_ON_KEY,) if weather.met else ()),
        ),
        specs={width: _draw(clock, states) for width, clock in clocks.items()},
        datasets={
            "cells": [_cell_row(cell) for cell in cells],
            "strokes": [row for cell in cells for row in _strokes(cell)],
            "words": [row for clock in clocks.values() for row in _words(cells, states, marks_h, clock)],
            "tie_on": [row for clock in clocks.values() for row in tie_on_rows(weather.met, clock)],
        },
    )


@dataclass(frozen=True)
class _Cell:
    """One state in one hour, as a piece of its column."""

    from_h: float
    state: str
    low: float
    high: float


def _cells(hours: Sequence[SlabHour], rocks: Sequence[str]) -> list[_Cell]:
    cells = []
    for hour in hours:
        low = 0.0
        for state, share in rock_shares(hour.rock_share, rocks).items():
            if share >= LEAST_SHARE:
                cells.append(_Cell(hour.clock_s / HOUR_S, state, low, low + share))
            low += share
    return cells


def _cell_row(cell: _Cell) -> Row:
    says = f"{show_clock(cell.from_h * HOUR_S)}: {cell.state} {show_share(cell.high - cell.low)}"
    shares = {"low": 100.0 * cell.low, "high": 100.0 * cell.high}
    return {"from_h": cell.from_h, "to_h": cell.from_h + 1.0, **shares, "state": cell.state, "says": says}


def _strokes(cell: _Cell) -> list[Row]:
    """The pattern of a cell as strokes: upright ones, or the two of a cross."""
    low, high = 100.0 * cell.low, 100.0 * cell.high
    ends = [(cell.from_h, cell.from_h + 1.0), (cell.from_h + 1.0, cell.from_h)]
    if cell.state != ICED:
        count = _STROKES.get(cell.state, 0)
        places_h = [cell.from_h + (index + 0.5) / count for index in range(count)]
        ends = [(at_h, at_h) for at_h in places_h]
    return [{"from_h": first, "to_h": last, "low": low, "high": high, "state": cell.state} for first, last in ends]


def _words(cells: Sequence[_Cell], states: Sequence[str], marks_h: Sequence[float], clock: SlabClock) -> list[Row]:
    """Every state's word where its band is deepest, if it fits anywhere; rather off the party's marks than on them."""
    text_px = theme.TEXT_PX[clock.width]
    rows: list[Row] = []
    for state in states:
        hours = max(1, math.ceil(words_width_px(state, text_px) / clock.hour_px))
        places = [
            (not any(from_h < mark_h < from_h + hours for mark_h in marks_h), high - low, from_h, (low + high) / 2.0)
            for from_h, low, high in _common_bands([cell for cell in cells if cell.state == state], hours)
            if (high - low) * _PANEL_PX >= text_px
        ]
        if places:
            _, _, from_h, middle = max(places, key=lambda place: place[:2])
            at = {"clock_h": from_h + hours / 2.0, "share": 100.0 * middle}
            rows.append({"width": clock.width, **at, "words": state})
    return rows


def _common_bands(cells: Sequence[_Cell], hours: int) -> Iterator[tuple[float, float, float]]:
    """Where a state is there for so many hours on end: from when, and the band common to all of them."""
    by_hour = {cell.from_h: cell for cell in cells}
    for from_h in by_hour:
        run = [by_hour[from_h + step] for step in range(hours) if from_h + step in by_hour]
        if len(run) == hours:
            yield from_h, max(cell.low for cell in run), min(cell.high for cell in run)


def _alt(hours: Sequence[SlabHour], weather: WeatherPlan) -> str:
    sentences = tie_on_sentences(weather.met)
    sentences += [f"The rock then, going {met.way}: {rock_words(met.share, weather.rocks)}." for met in weather.met]
    worst = max(hours, key=lambda hour: not_dry_share(hour.rock_share, weather.rocks))
    best = min(hours, key=lambda hour: not_dry_share(hour.rock_share, weather.rocks))
    for title, hour in (("Most often dry", best), ("Least often dry", worst)):
        sentences.append(f"{title} from {show_clock(hour.clock_s)}: {rock_words(hour.rock_share, weather.rocks)}.")
    return " ".join(sentences)


# --- drawing -------------------------------------------------------------------------------------------------------


def _draw(clock: SlabClock, states: Sequence[str]) -> Spec:
    height_px = HEAD_PX + _PANEL_PX
    layers = [
        *_columns(clock, states),
        *haloed(
            "words", {"x": clock.x("clock_h"), "y": _share("share"), "text": name("words")},
            f"datum.width == '{clock.width}'", fontSize=theme.TEXT_PX[clock.width], fontWeight="bold",
        ),
        *tie_on_layers(clock, height_px),
    ]  # fmt: skip
    return chart(layers, clock.width, height_px, MARGINS[clock.width])


def _share(field: str, axis: bool = False) -> Channel:
    scale = {"domain": [0.0, 100.0], "range": [HEAD_PX + _PANEL_PX, HEAD_PX], "nice": False}
    shown = {"title": None, "values": [0, 25, 50, 75, 100], "labelExpr": "datum.value + ' %'", "grid": False}
    return quantity(field, scale=scale, **({"axis": shown} if axis else {"title": None}))


def _columns(clock: SlabClock, states: Sequence[str]) -> list[Spec]:
    colours = [_COLOURS.get(state, _OTHER) for state in states]
    fill = name("state", scale={"domain": list(states), "range": colours}, legend=None)
    box = {
        "x": clock.x("from_h", axis=True),
        "x2": {"field": "to_h"},
        "y": _share("low", axis=True),
        "y2": {"field": "high"},
    }
    stroke = {"x": clock.x("from_h"), "x2": {"field": "to_h"}, "y": _share("low"), "y2": {"field": "high"}}
    unknown = f"datum.state == '{NOT_KNOWN}'"
    return [
        layer("cells", "rect", {**box, "fill": fill, "tooltip": tooltip(says="Rock")}, stroke=theme.PAPER, aria=False),
        layer("cells", "rect", stroke, unknown, fill=None, stroke=theme.QUIET_INK, strokeDash=[3, 3], aria=False),
        layer("strokes", "rule", stroke, f"datum.state == '{ICED}'", color=theme.PAPER, strokeWidth=1.5, aria=False),
        layer("strokes", "rule", stroke, f"datum.state != '{ICED}'", color=theme.BLUE, strokeWidth=1, aria=False),
    ]
