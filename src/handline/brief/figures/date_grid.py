"""The date grid: dates across, starts down, and the chance of keeping all limits as shade; one picture a way.

Over it the state of the line, and the best dates. The edge of the wanted chance is a line, so that shade alone need
not be read.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from handline.brief.figures import theme
from handline.brief.figures.date_axis import date_ticks, short_date
from handline.brief.figures.date_cells import chance_edges, shade_cells, state_runs, wanted_edge
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import Channel, Margins, chart, haloed, layer, name, quantity, view_width_px
from handline.choose.dates_report import DatesReport, WayOnDate
from handline.quantity import show_clock, show_share
from handline.season.day_words import day_words
from handline.season.rules import MONTHS

_MARGINS: dict[Width, Margins] = {"wide": Margins(62, 6, 12, 40), "narrow": Margins(54, 6, 10, 38)}
_GRID_PX: dict[Width, int] = {"wide": 330, "narrow": 300}
_ROW_PX = 15  # from one row of names over the grid to the next
_BAND_PX = 22  # the state of the line
_GAP_PX = 6.0  # between two names of one row
_POST_PX = 9.0  # from one post of the standing line to the next
_MOST_MARKED = 5
_HOUR_STEPS = (1, 2, 3, 4, 6)
_MOST_HOURS: dict[Width, int] = {"wide": 13, "narrow": 9}
_TITLES = {"push": "Every date in one push", "night": "Every date with a night out"}
_STATES = {"raised": "the cables stand", "lowered": "the cables lie on the rock", "closed": "the way is closed"}
_SHORT_STATES = {"raised": "stand", "lowered": "lie", "closed": "closed"}


def date_grid_pictures(report: DatesReport) -> tuple[Picture, ...]:
    """One picture for each way; none where every date is closed."""
    if all(row.closed for row in report.rows):
        return ()
    return tuple(date_grid_picture(report, way) for way in report.ways)


def date_grid_picture(report: DatesReport, way: str) -> Picture:
    """The grid of one way: "push" or "night"."""
    chance, edges = _chances(report, way), chance_edges(report.wanted_chance)
    laid = {width: _laid(report, way, width) for width in WIDTH_PX}
    start = "the start from the camp" if way == "night" else "the start"
    return Picture(
        key=f"date-grid-{way}",
        title=f"{_TITLES[way]}: the chance of all your limits",
        caption=f"Across the dates, down {start}; the darker, the surer. Over it how the line stands, and the dates of "
        f"this way that rank best, each at its latest start. {report.provenance.days:,} days behind every cell.",
        alt=_alt(report, way),
        keys=_keys(report, way, edges),
        specs={width: _draw(report, laid[width], width) for width in WIDTH_PX},
        datasets={
            "cells": [{**row, "shade": str(row["shade"])} for row in shade_cells(chance, edges)],
            "wanted": wanted_edge(chance, report.wanted_chance),
            "line": [row for each in laid.values() for row in each.line],
            "posts": [row for each in laid.values() for row in each.posts],
            "best": [row for each in laid.values() for row in each.best],
            "dates": [row for each in laid.values() for row in each.ticks],
        },
    )


def _chances(report: DatesReport, way: str) -> NDArray[np.float64]:
    """The chance at every date and start, (dates, starts); NaN where closed."""
    nothing = (np.nan,) * len(report.starts_clock_s)
    return np.array(
        [next((on_date.chance for on_date in row.ways if on_date.way == way), nothing) for row in report.rows]
    )


# --- words ---------------------------------------------------------------------------------------------------------


def _keys(report: DatesReport, way: str, edges: Sequence[float]) -> tuple[Key, ...]:
    inner = [f"{show_share(low)} to {show_share(high)}" for low, high in pairwise(edges)]
    first = len(theme.CHANCE_SCALE) - 1 - len(edges)
    words = [f"under {show_share(edges[0])}", *inner, f"{show_share(edges[-1])} and more: what you want"]
    shades = [Key(f"chance-{first + number}", said) for number, said in enumerate(words)]
    states = [
        Key(f"line-{state}", _STATES[state]) for state in dict.fromkeys(r["state"] for r in state_runs(report.rows))
    ]
    best = [Key("best-date", "a best date, and its rank")] if any(one.way == way for one in report.best) else []
    return (*shades, Key("wanted-edge", "where the chance you want ends"), *states, *best)


def _alt(report: DatesReport, way: str) -> str:
    """How many dates meet the limits, the latest start by month, the state of the line, and the best dates."""
    on_dates = [
        (dt.date.fromisoformat(row.date), on_date) for row in report.rows for on_date in row.ways if on_date.way == way
    ]
    meeting = [on_date for _, on_date in on_dates if on_date.window_clock_s is not None]
    wanted = show_share(report.wanted_chance)
    sentences = [f"On {len(meeting)} of {len(on_dates)} open dates some start keeps all limits in {wanted} of days."]
    months = dict.fromkeys((date.year, date.month) for date, _ in on_dates)
    told = [_month_words([o for d, o in on_dates if (d.year, d.month) == month], month) for month in months]
    sentences.append(f"The latest start that does, in the middle of each month's dates: {'; '.join(told)}.")
    for run in state_runs(report.rows):
        first, last = report.rows[run["left"]], report.rows[run["right"] - 1]
        sentences.append(f"From {_said(first.date)} to {_said(last.date)} {_STATES[run['state']]}.")
    best = [
        f"{_said(one.date)}, rank {one.rank}, up to {show_clock(one.start_clock_s)}"
        for one in report.best
        if one.way == way
    ]
    if best:
        sentences.append(f"Best dates of this way: {'; '.join(best)}.")
    return " ".join(sentences)


def _month_words(of_month: Sequence[WayOnDate], month: tuple[int, int]) -> str:
    starts_s = sorted(on_date.start_clock_s for on_date in of_month if on_date.window_clock_s is not None)
    said = show_clock(starts_s[len(starts_s) // 2]) if 2 * len(starts_s) > len(of_month) else "none on most"
    return f"{MONTHS[month[1] - 1].title()} {said}"


def _said(date: str) -> str:
    return day_words(dt.date.fromisoformat(date))


# --- where everything stands ---------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Laid:
    """What stands over and under the grid at one width, and how high what is over it is [px]."""

    line: list[Row]
    posts: list[Row]
    best: list[Row]
    ticks: list[Row]
    name_rows: int

    @property
    def band_px(self) -> int:
        """The top of the band of the line."""
        return _ROW_PX * self.name_rows + (8 if self.name_rows else 0)

    @property
    def head_px(self) -> int:
        """The top of the grid."""
        return self.band_px + _BAND_PX + 3


def _laid(report: DatesReport, way: str, width: Width) -> _Laid:
    text_px = theme.TEXT_PX[width]
    date_px = view_width_px(width, _MARGINS[width]) / len(report.rows)
    best = _marks(report, way, date_px, width)
    crossed_px = [row["at"] * date_px for row in best]
    line = [
        {"width": width, **run, **_state_words(run, date_px, text_px, crossed_px)} for run in state_runs(report.rows)
    ]
    posts = [
        {"width": width, "at": at}
        for run in line
        if run["state"] == "raised"
        for at in np.linspace(run["left"], run["right"], _posts(run, date_px)).tolist()
        if abs(at - run["middle"]) * date_px > _half_px(run["words"], text_px) + 3.0
    ]
    dates = [dt.date.fromisoformat(row.date) for row in report.rows]
    ticks = [{"width": width, **tick} for tick in date_ticks(dates, date_px, text_px)]
    return _Laid(line, posts, best, ticks, 1 + max((row["row"] for row in best), default=-1))


def _state_words(run: Row, date_px: float, text_px: float, crossed_px: Sequence[float]) -> Row:
    """The longest words for a state that its run has room for, none where it has none, and where their middle stands.

    They keep off the lines down from the best dates, at ``crossed_px``, where there is room beside those.
    """
    left_px, right_px = run["left"] * date_px + 4.0, run["right"] * date_px - 4.0
    middle_px = (left_px + right_px) / 2.0
    for words in (_STATES[run["state"]], _SHORT_STATES[run["state"]]):
        half_px = words_width_px(words, text_px) / 2.0
        if 2.0 * half_px <= right_px - left_px:
            clear_px = half_px + 4.0
            beside_px = [at_px + side * clear_px for at_px in crossed_px for side in (-1.0, 1.0)]
            free_px = [
                at_px
                for at_px in (middle_px, *beside_px)
                if left_px + half_px <= at_px <= right_px - half_px
                and all(abs(at_px - line_px) >= clear_px - 1e-6 for line_px in crossed_px)
            ]
            at_px = min(free_px, key=lambda at_px: abs(at_px - middle_px), default=middle_px)
            return {"words": words, "middle": at_px / date_px}
    return {"words": "", "middle": middle_px / date_px}


def _half_px(words: str, text_px: float) -> float:
    return words_width_px(words, text_px) / 2.0 if words else -4.0


def _posts(run: Row, date_px: float) -> int:
    return max(2, round((run["right"] - run["left"]) * date_px / _POST_PX) + 1)


def _marks(report: DatesReport, way: str, date_px: float, width: Width) -> list[Row]:
    """The best dates of a way, named to the right over the grid, each in the first row where it touches no other.

    Nor does the line down from a name run through another one, but where that stands at the right end.
    """
    text_px, room_px = theme.TEXT_PX[width], date_px * len(report.rows)
    places = {row.date: i for i, row in enumerate(report.rows)}
    marked = sorted([one for one in report.best if one.way == way][:_MOST_MARKED], key=lambda one: one.date)
    step_s = _step_s(report)
    taken_px: list[tuple[int, float, float]] = []
    rows: list[Row] = []
    for one in marked:
        at, words = places[one.date] + 0.5, f"{one.rank}: {short_date(dt.date.fromisoformat(one.date))}"
        words_px = words_width_px(words, text_px)
        left_px = max(0.0, min(at * date_px + 3.0, room_px - words_px))
        row = _free_row(taken_px, left_px, at * date_px)
        taken_px.append((row, left_px, left_px + words_px + _GAP_PX))
        start = (one.start_clock_s - report.starts_clock_s[0]) / step_s + 0.5
        rows.append(
            {"width": width, "at": at, "start": start, "words_at": left_px / date_px, "row": row, "words": words}
        )
    return rows


def _free_row(taken_px: Sequence[tuple[int, float, float]], left_px: float, at_px: float) -> int:
    """The first row where a name finds room from ``left_px`` on, and its line down meets no name of the rows below."""
    row = 0
    while any(
        end > left_px if other == row else other > row and start <= at_px <= end for other, start, end in taken_px
    ):
        row += 1
    return row


def _step_s(report: DatesReport) -> float:
    starts_s = report.starts_clock_s
    return starts_s[1] - starts_s[0] if len(starts_s) > 1 else 3600.0


# --- drawing -------------------------------------------------------------------------------------------------------


def _draw(report: DatesReport, laid: _Laid, width: Width) -> Spec:
    height_px, text_px = laid.head_px + _GRID_PX[width], theme.TEXT_PX[width]
    only = f"datum.width == '{width}'"
    x: Channel = {"scale": {"domain": [0, len(report.rows)], "nice": False}, "axis": None}
    starts = {"domain": [0, len(report.starts_clock_s)], "range": [laid.head_px, height_px], "nice": False}
    y: Channel = {"scale": starts, "axis": _clock_axis(report, width)}
    box = {"x": quantity("left", **x), "x2": {"field": "right"}, "y": quantity("top", **y), "y2": {"field": "bottom"}}
    used = [str(number) for number in range(len(chance_edges(report.wanted_chance)) + 1)]
    shades = list(theme.CHANCE_SCALE[-len(used) :])
    shade = name("shade", scale={"domain": used, "range": shades}, legend=None)
    under = {"x": quantity("at", **x), "y": {"value": height_px}}
    layers = [
        # An edge of its own shade, so that no seam shows between two cells.
        layer("cells", "rect", {**box, "fill": shade, "stroke": shade}, strokeWidth=0.7, aria=False),
        layer("wanted", "rule", box, color=theme.PAPER, strokeWidth=4, strokeCap="square", aria=False),
        layer("wanted", "rule", box, color=theme.INK, strokeWidth=1.6, strokeCap="square", aria=False),
        *_line_layers(laid, x, width),
        *_best_layers(laid, x, starts, width),
        *_line_words(laid, x, width),
        layer("dates", "rule", {**under, "y2": {"value": height_px + 5}}, only, color=theme.QUIET_INK, aria=False),
        layer(
            "dates", "text", {**under, "text": name("words")}, only, dy=9, baseline="top", fontSize=text_px, aria=False
        ),
    ]
    return chart(layers, width, height_px, _MARGINS[width])


def _clock_axis(report: DatesReport, width: Width) -> Channel:
    """Whole hours down the side, at the middle of the cell that starts then."""
    first_s, last_s, step_s = report.starts_clock_s[0], report.starts_clock_s[-1], _step_s(report)
    hours = range(-(-int(first_s) // 3600), int(last_s) // 3600 + 1)
    step = next((one for one in _HOUR_STEPS if len(hours) <= one * _MOST_HOURS[width]), _HOUR_STEPS[-1])
    values = [(hour * 3600.0 - first_s) / step_s + 0.5 for hour in hours if hour % step == 0]
    clock = f"floor({first_s / 60.0:g} + (datum.value - 0.5) * {step_s / 60.0:g} + 0.5)"
    return {
        "values": values,
        "labelExpr": f"format(floor({clock} / 60) % 24, '02d') + ':' + format({clock} % 60, '02d')",
        "title": "start",
        "grid": False,
        "domain": False,
    }


def _line_layers(laid: _Laid, x: Channel, width: Width) -> Iterator[Spec]:
    """The band of the line: posts under a cable where it stands, a cable on the ground where it lies, else nothing."""
    top, bottom = laid.band_px, laid.band_px + _BAND_PX
    only = f"datum.width == '{width}'"
    along = {"x": quantity("left", **x), "x2": {"field": "right"}}
    ground = {**along, "y": {"value": bottom - 1}}
    cable = {**along, "y": {"value": top + 2}}
    post = {"x": quantity("at", **x), "y": {"value": top + 2}, "y2": {"value": bottom - 1}}
    yield layer("line", "rule", ground, f"{only} && datum.state != 'closed'", color=theme.QUIET_INK, aria=False)
    yield layer("posts", "rule", post, only, color=theme.QUIET_INK, aria=False)
    yield layer("line", "rule", cable, f"{only} && datum.state == 'raised'", color=theme.INK, strokeWidth=2, aria=False)
    lying = {**along, "y": {"value": bottom - 2}}
    yield layer(
        "line", "rule", lying, f"{only} && datum.state == 'lowered'", color=theme.INK, strokeWidth=3, aria=False
    )


def _line_words(laid: _Laid, x: Channel, width: Width) -> Iterator[Spec]:
    """What the band means, where it has room."""
    only, text_px = f"datum.width == '{width}'", theme.TEXT_PX[width]
    words = {"x": quantity("middle", **x), "y": {"value": laid.band_px + 12}, "text": name("words")}
    yield from haloed("line", words, f"{only} && datum.words != ''", baseline="middle", fontSize=text_px, aria=False)


def _best_layers(laid: _Laid, x: Channel, starts: Channel, width: Width) -> Iterator[Spec]:
    """A mark in the grid for each best date, a line up from it, and its name over the band."""
    only, text_px = f"datum.width == '{width}'", theme.TEXT_PX[width]
    at = {"x": quantity("at", **x), "y": quantity("start", scale=starts)}
    for row in sorted({row["row"] for row in laid.best}):
        of_row = f"{only} && datum.row == {row}"
        up = {**at, "y2": {"value": row * _ROW_PX + 3}}
        yield layer("best", "rule", up, of_row, color=theme.PAPER, strokeWidth=3, opacity=0.8, aria=False)
        yield layer("best", "rule", up, of_row, color=theme.INK, strokeWidth=1, aria=False)
    yield layer(
        "best", "point", at, only,
        shape="circle", filled=True, fill=theme.PAPER, stroke=theme.INK, strokeWidth=1.8, size=60, opacity=1,
        aria=False,
    )  # fmt: skip
    for row in sorted({row["row"] for row in laid.best}):
        words = {
            "x": quantity("words_at", **x), "y": {"value": row * _ROW_PX + _ROW_PX // 2}, "text": name("words"),
        }  # fmt: skip
        yield from haloed(
            "best", words, f"{only} && datum.row == {row}",
            align="left", baseline="middle", fontSize=text_px, fontWeight="bold", aria=False,
        )  # fmt: skip
