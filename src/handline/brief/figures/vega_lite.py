"""The few words of Vega-Lite the pictures are written in: layers of marks over named data.

Plain dictionaries, not a charting library: loading one and building with it costs more than drawing the pictures.
The tests hold every spec against the published Vega-Lite schema.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

from handline.brief.figures import theme
from handline.brief.figures.picture import WIDTH_PX, Spec, Width

SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"

Channel = dict[str, Any]


def quantity(field: str, **more: Any) -> Channel:
    """A channel that reads a number."""
    return {"field": field, "type": "quantitative", **more}


def name(field: str, **more: Any) -> Channel:
    """A channel that reads a word."""
    return {"field": field, "type": "nominal", **more}


def place(value: float, **more: Any) -> Channel:
    """A channel that stands at one value of its scale."""
    return {"datum": value, **more}


def tooltip(**titles: str) -> list[Channel]:
    """What a mark tells when it is touched: field and title."""
    return [name(field, title=title) for field, title in titles.items()]


def layer(data: str, mark: str, encoding: dict[str, Any], only: str | None = None, **style: Any) -> Spec:
    """One mark over one set of data, or over the rows ``only`` keeps."""
    spec: Spec = {"data": {"name": data}, "mark": {"type": mark, **style}, "encoding": encoding}
    if only is not None:
        spec["transform"] = [{"filter": only}]
    return spec


def haloed(data: str, encoding: dict[str, Any], only: str | None = None, **style: Any) -> list[Spec]:
    """Words that stay readable over lines: a halo of paper below, the ink above."""
    halo = {**style, "stroke": theme.PAPER, "strokeWidth": 3, "color": theme.PAPER}
    return [layer(data, "text", encoding, only, **halo), layer(data, "text", encoding, only, **style)]


@dataclass(frozen=True)
class Margins:
    """Room round the view for axes and their words [px]."""

    left: int
    top: int
    right: int
    bottom: int


def view_width_px(width: Width, margins: Margins) -> int:
    """What the margins leave of a picture's width."""
    return WIDTH_PX[width] - margins.left - margins.right


def chart(layers: list[Spec], width: Width, height_px: int, margins: Margins, **more: Any) -> Spec:
    """The whole spec of one picture at one width, without its data. ``height_px`` is that of the view.

    Margins are given and not found by fitting: fitting measures every word twice, which is most of the drawing time.
    """
    return {
        "$schema": SCHEMA,
        "width": view_width_px(width, margins),
        "height": height_px,
        "autosize": "none",
        "padding": asdict(margins),
        "layer": layers,
        "config": theme.config(width),
        **more,
    }
