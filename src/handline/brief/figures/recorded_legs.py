"""Every leg as a bar of its planned range, in times of its planned middle, with the recorded time as a mark on it."""

from __future__ import annotations

from typing import Any

from handline.brief.figures import theme
from handline.brief.figures.case_rows import (
    ROW_MARGINS,
    ROW_SHAPE,
    head_row,
    row_scale,
    row_words,
    rows_height_px,
)
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import chart, layer, name, place, quantity, tooltip
from handline.day.review import LegReview, Review
from handline.day.review_words import ranked
from handline.quantity import show_duration

# A leg shorter than this has no middle to be held against.
_LEAST_S = 60.0
_TICKS = (0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 6.0)
_BAR_PX = 9
_WITHIN, _OUTSIDE = "within", "outside"


def recorded_legs_picture(review: Review) -> Picture:
    """The legs of a review that were recorded, over their planned ranges."""
    legs = [leg for leg in review.legs if leg.time.recorded_s is not None and leg.time.planned_s[1] >= _LEAST_S]
    rows = [_row(index, leg) for index, leg in enumerate(legs)]
    drawn = [value for row in rows for value in (row["low"], row["high"], row["recorded"])]
    domain = (0.95 * min([*drawn, 0.9]), 1.06 * max([*drawn, 1.1]))
    return Picture(
        key="recorded-legs",
        title="Leg by leg",
        caption="Each bar is what eight planned days in ten take for the leg, from arriving at its start to arriving "
        "at its end; 1 is the planned middle. Each doubling takes the same room.",
        alt=" ".join(f"{row['title']}: {row['case_words']}." for row in rows),
        keys=(
            Key("leg-within", "recorded, inside the planned range"),
            Key("leg-outside", "recorded, outside it"),
            Key("leg-range", "eight planned days in ten"),
            Key("limit", "the planned middle"),
        ),
        specs={width: _draw(len(rows), domain, width) for width in WIDTH_PX},
        datasets={"cases": rows, "middle": [{"at": 1.0, "words": "planned middle"}]},
    )


def _row(index: int, leg: LegReview) -> Row:
    low_s, middle_s, high_s = leg.time.planned_s
    recorded_s, share = leg.time.recorded_s or 0.0, leg.time.share_below or 0.0
    return {
        "row": index,
        "title": f"{leg.start} to {leg.end}",
        "case_words": f"{show_duration(recorded_s)}; planned {show_duration(low_s)} to {show_duration(high_s)}",
        "weight": "normal",
        "ranked": ranked(share),
        "low": low_s / middle_s,
        "high": high_s / middle_s,
        "recorded": recorded_s / middle_s,
        "where": _WITHIN if low_s <= recorded_s <= high_s else _OUTSIDE,
    }


def _draw(count: int, domain: tuple[float, float], width: Width) -> Spec:
    bar_px, y = ROW_SHAPE[width].bar_px, row_scale(count, width)
    ticks = [tick for tick in _TICKS if domain[0] <= tick <= domain[1]]
    at = quantity(
        "low",
        scale={"type": "log", "domain": list(domain), "nice": False},
        axis={"values": ticks, "format": "~g", "title": "times the planned middle", "grid": False},
    )
    told = tooltip(title="Leg", case_words="Time", ranked="Of the plan")
    recorded = {"x": quantity("recorded"), "y": y, "tooltip": told}
    span: dict[str, Any] = {"yOffset": bar_px - _BAR_PX, "y2Offset": bar_px + _BAR_PX}
    layers = [
        layer(
            "cases", "rule", {"x": at, "x2": {"field": "high"}, "y": y},
            strokeWidth=10, color=theme.BLUE_MIDDLE, yOffset=bar_px, y2Offset=bar_px,
        ),
        layer(
            "cases", "rule", {"x": place(1.0), "y": y, "y2": {"field": "row"}},
            color=theme.QUIET_INK, strokeDash=[3, 2], **span,
        ),
        layer(
            "cases", "point", recorded, f"datum.where == '{_WITHIN}'",
            filled=True, shape="circle", size=90, fill=theme.INK, stroke=theme.PAPER, strokeWidth=1.5, opacity=1,
            yOffset=bar_px,
        ),
        layer(
            "cases", "point", recorded, f"datum.where == '{_OUTSIDE}'",
            filled=True, shape="diamond", size=130, fill=theme.VERMILLION, stroke=theme.PAPER, strokeWidth=1.5,
            opacity=1, yOffset=bar_px,
        ),
        layer(
            "middle", "text", {"x": quantity("at"), "y": head_row(), "text": name("words")},
            baseline="middle", fontSize=theme.TEXT_PX[width],
        ),
        *row_words(count, domain[0], width),
    ]  # fmt: skip
    return chart(layers, width, rows_height_px(count, width), ROW_MARGINS)
