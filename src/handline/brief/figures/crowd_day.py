"""One drawn day on the line: for each piece of it and each quarter of an hour, how full it is going up and down."""

from __future__ import annotations

from handline.brief.figures import theme
from handline.brief.figures.crowd_heat import CLOCK_WORDS
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.shown_length import shown_length
from handline.brief.figures.vega_lite import Channel, Margins, chart, layer, quantity
from handline.day.crowd_report import CrowdReport, Occupied
from handline.quantity import show_clock, show_length, show_share

_MARGINS: dict[Width, Margins] = {"wide": Margins(60, 8, 22, 44), "narrow": Margins(50, 8, 18, 42)}
_HEIGHT_PX: dict[Width, int] = {"wide": 380, "narrow": 340}
# Half of a piece's height is for each way, and a bar stays so much off the middle of it.
_HALF, _OFF = 0.5, 0.04


def crowd_day_picture(report: CrowdReport) -> Picture | None:
    """The picture of the first of the drawn days; None where it was not computed."""
    if not report.example:
        return None
    length = shown_length(report.units)
    rows = [row for cell in report.example for row in _bars(cell, length.metres)]
    edges: list[Row] = [{"at": at_m / length.metres} for at_m in sorted({cell.from_m for cell in report.example})]
    clocks = (min(row["from_h"] for row in rows), max(row["to_h"] for row in rows))
    top = max(cell.to_m for cell in report.example) / length.metres
    return Picture(
        key="crowd-day",
        title="One drawn day on the line",
        caption="Along the rock from the foot up, in pieces between the thin lines. In each piece and quarter of an "
        "hour the bar from its lower edge is how much of the time a bay there is taken by somebody going up, the bar "
        "from its upper edge by somebody coming down; a bar to the middle is all of the time.",
        alt=_alt(report),
        keys=(Key("crowd-up", "going up: from the lower edge"), Key("crowd-down", "coming down: from the upper edge")),
        specs={width: _draw(clocks, top, length.unit, width) for width in WIDTH_PX},
        datasets={"bars": rows, "edges": edges},
    )


def _bars(cell: Occupied, metres: float) -> list[Row]:
    low, high = cell.from_m / metres, cell.to_m / metres
    from_h, to_h = cell.from_clock_s / 3600.0, cell.to_clock_s / 3600.0
    half = (high - low) * (_HALF - _OFF)
    bars: list[Row] = []
    if cell.up > 0.0:
        bars.append({"from_h": from_h, "to_h": to_h, "low": low, "high": low + half * cell.up, "way": "up"})
    if cell.down > 0.0:
        bars.append({"from_h": from_h, "to_h": to_h, "low": high - half * cell.down, "high": high, "way": "down"})
    return bars


def _alt(report: CrowdReport) -> str:
    """The fullest while of each way, for the lowest and the highest piece."""
    sentences = []
    for at_m in (min(cell.from_m for cell in report.example), max(cell.from_m for cell in report.example)):
        piece = [cell for cell in report.example if cell.from_m == at_m]
        span = f"{show_length(piece[0].from_m, report.units)} to {show_length(piece[0].to_m, report.units)}"
        up, down = max(piece, key=lambda cell: cell.up), max(piece, key=lambda cell: cell.down)
        sentences.append(
            f"From {span} above the foot: going up fullest at {show_clock(up.from_clock_s)}, {show_share(up.up)} of "
            f"the time; coming down at {show_clock(down.from_clock_s)}, {show_share(down.down)}."
        )
    return " ".join(sentences)


def _draw(clocks: tuple[float, float], top: float, unit: str, width: Width) -> Spec:
    x: Channel = quantity(
        "from_h",
        scale={"domain": list(clocks), "nice": False, "zero": False},
        axis={"title": "clock", "grid": False, "labelExpr": CLOCK_WORDS, "tickMinStep": 1, "labelFlush": False}
        | {"tickCount": 8 if width == "wide" else 4},
    )
    y: Channel = quantity(
        "low", scale={"domain": [0.0, top], "nice": False}, axis={"title": f"along the line ({unit})", "grid": False}
    )
    bar = {"x": x, "x2": {"field": "to_h"}, "y": y, "y2": {"field": "high"}}
    layers = [
        layer("edges", "rule", {"y": quantity("at")}, color=theme.RULE),
        layer("bars", "rect", bar, "datum.way == 'up'", color=theme.BLUE, aria=False),
        layer("bars", "rect", bar, "datum.way == 'down'", color=theme.ORANGE, aria=False),
    ]
    return chart(layers, width, _HEIGHT_PX[width], _MARGINS[width])
