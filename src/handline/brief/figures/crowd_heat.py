"""From joining the queue at the foot to the head of the line, by arrival and people a day: a number in each cell."""

from __future__ import annotations

import math

from handline.brief.figures import theme
from handline.brief.figures.crowd_shades import SHADES, shade_edges_min, shade_ink, shade_keys, shade_of
from handline.brief.figures.picture import WIDTH_PX, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import Channel, Margins, chart, layer, name, quantity
from handline.day.crowd_report import CrowdReport, HeatCell
from handline.quantity import show_clock

_MARGINS: dict[Width, Margins] = {"wide": Margins(60, 8, 22, 44), "narrow": Margins(48, 8, 18, 42)}
_ROW_PX = 34
CLOCK_WORDS = "format((datum.value + 48) % 24, '02d') + ':00'"
MEDIAN, LONG = "crowd-median", "crowd-long"
_TITLES = {
    MEDIAN: "From the queue to the head: half need less",
    LONG: "From the queue to the head: nine in ten need less",
}


def crowd_heat_picture(report: CrowdReport, which: str) -> Picture | None:
    """The picture of the median or of nine in ten; None where no cell is known."""
    known = [cell for cell in report.heat if math.isfinite(_value_s(cell, which))]
    if not known:
        return None
    edges_min = shade_edges_min([_value_s(cell, key) for cell in known for key in _TITLES])
    numbers = sorted({cell.people for cell in report.heat})
    rows = [_row(cell, which, numbers, edges_min, report.people) for cell in known]
    heads: list[Row] = [
        {"row": number + 0.5, "words": f"{people}", "weight": "bold" if people == report.people else "normal"}
        for number, people in enumerate(numbers)
    ]
    clocks = (min(row["from_h"] for row in rows), max(row["to_h"] for row in rows))
    return Picture(
        key=which,
        title=_TITLES[which],
        caption="Minutes, for who joins the queue at the foot within that hour, waiting included; up each row more "
        f"people a day, {report.people} of them in bold. {report.provenance.heat_days} days a row; where fewer than 30 "
        "came nothing is told.",
        alt=_alt(known, which),
        keys=shade_keys(edges_min),
        specs={width: _draw(len(numbers), clocks, width) for width in WIDTH_PX},
        datasets={"cells": rows, "heads": heads},
    )


def _value_s(cell: HeatCell, which: str) -> float:
    return cell.median_s if which == MEDIAN else cell.long_s


def _row(cell: HeatCell, which: str, numbers: list[int], edges_min: tuple[int, ...], asked: int) -> Row:
    value_s = _value_s(cell, which)
    shade = shade_of(value_s, edges_min)
    from_h, to_h, low = cell.from_clock_s / 3600.0, cell.to_clock_s / 3600.0, numbers.index(cell.people)
    return {
        "from_h": from_h,
        "to_h": to_h,
        "middle_h": (from_h + to_h) / 2.0,
        "low": low,
        "high": low + 1,
        "middle": low + 0.5,
        "shade": str(shade),
        "ink": shade_ink(shade),
        "words": f"{value_s / 60.0:.0f}",
        "weight": "bold" if cell.people == asked else "normal",
    }


def _alt(known: list[HeatCell], which: str) -> str:
    sentences = []
    for people in sorted({cell.people for cell in known}):
        of_row = [cell for cell in known if cell.people == people]
        told = ", ".join(f"{show_clock(cell.from_clock_s)} {_value_s(cell, which) / 60.0:.0f} min" for cell in of_row)
        sentences.append(f"{people} people a day: {told}.")
    return " ".join(sentences)


def _draw(count: int, clocks: tuple[float, float], width: Width) -> Spec:
    x: Channel = quantity(
        "from_h",
        scale={"domain": list(clocks), "nice": False, "zero": False},
        axis={"title": "joins the queue", "grid": False, "labelFlush": False}
        | {"labelExpr": CLOCK_WORDS, "tickMinStep": 1, "tickCount": 8 if width == "wide" else 4},
    )
    y: Channel = quantity("low", scale={"domain": [0.0, count], "nice": False}, axis=None)
    cell = {"x": x, "x2": {"field": "to_h"}, "y": y, "y2": {"field": "high"}}
    colour = name("shade", scale={"domain": [str(n) for n in range(len(SHADES))], "range": list(SHADES)}, legend=None)
    number = {
        "x": quantity("middle_h"),
        "y": quantity("middle"),
        "text": name("words"),
        "color": name("ink", scale=None),
    }
    head = {"y": quantity("row"), "x": {"value": -6}, "text": name("words")}
    text_px = theme.TEXT_PX[width]
    layers = [
        layer("cells", "rect", {**cell, "color": colour}, stroke=theme.PAPER, strokeWidth=1, aria=False),
        *(
            layer("cells", "text", number, f"datum.weight == '{weight}'", fontWeight=weight, fontSize=text_px - 1)
            for weight in ("normal", "bold")
        ),
        *(
            layer(
                "heads", "text", head, f"datum.weight == '{weight}'",
                align="right", baseline="middle", fontWeight=weight, fontSize=text_px,
            )
            for weight in ("normal", "bold")
        ),
    ]  # fmt: skip
    return chart(layers, width, count * _ROW_PX, _MARGINS[width])
