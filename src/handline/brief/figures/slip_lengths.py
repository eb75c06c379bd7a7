"""Slip lengths: every tether and case as a bar along the line, from where its longest slip starts to where it ends."""

from __future__ import annotations

from handline.brief.figures import theme
from handline.brief.figures.case_rows import (
    ROW_MARGINS,
    ROW_SHAPE,
    case_rows,
    head_row,
    row_scale,
    row_words,
    rows_height_px,
    verdict_channels,
    verdict_keys,
    with_words,
)
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Spec, Width
from handline.brief.figures.shown_length import shown_length
from handline.brief.figures.vega_lite import chart, layer, place, quantity, tooltip
from handline.brief.words import foot_words, usual_slide_words
from handline.day.plan import Plan


def slip_lengths(plan: Plan) -> Picture:
    """The slip lengths of a plan."""
    shown = shown_length(plan.units)
    cases = case_rows(plan)
    rows = []
    for row, _, outcome in cases:
        words = ", ".join(filter(None, (usual_slide_words(outcome, plan.units), foot_words(outcome))))
        rows.append({**with_words(row, words), "start": shown.of(outcome.start_m), "end": shown.of(outcome.end_m)})
    stops = [
        {"at": shown.of(stop_m), "what": "anchor" if is_anchor else "stanchion"}
        for stop_m, is_anchor in zip(plan.line.stop_m, plan.line.stop_is_anchor, strict=True)
    ]
    anchors = [{"row": row["row"], "at": stop["at"]} for row in rows for stop in stops if stop["what"] == "anchor"]
    length = shown.of(plan.line.length_m)
    stanchion = [] if all(plan.line.stop_is_anchor) else [Key("stanchion", "stanchion, standing in a socket")]
    return Picture(
        key="slip-lengths",
        title="Where each slip starts and ends, along the line",
        caption="The foot of the line is at the left, its head at the right. Each bar is the longest slide of one "
        f"case on {plan.line.rock} rock and ends at its mark; the words give the usual and the longest slide.",
        alt=" ".join(f"{row['label']}: {row['words']}." for row in rows),
        keys=(Key("anchor", "anchor in the rock"), *stanchion, *verdict_keys(outcome for _, _, outcome in cases)),
        specs={width: _draw(len(rows), length, shown.unit, width) for width in WIDTH_PX},
        datasets={"cases": rows, "stops": stops, "anchors": anchors},
    )


def _draw(count: int, length: float, unit: str, width: Width) -> Spec:
    bar_px, y, verdict = ROW_SHAPE[width].bar_px, row_scale(count, width), verdict_channels()
    axis = {"title": f"along the line from its foot ({unit})", "grid": False, "tickCount": 6}
    at = quantity("at", scale={"domain": [0.0, length], "nice": False, "zero": False}, axis=axis)
    whole = {"x": place(0.0), "x2": place(length), "y": y}
    slip = {"x": quantity("start"), "x2": {"field": "end"}, "y": y, "color": verdict["color"]}
    end = {"x": quantity("end"), "y": y, **verdict, "tooltip": tooltip(label="Tether", words="Slip")}
    anchors = "datum.what == 'anchor'"
    layers = [
        layer(
            "stops", "point", {"x": at, "y": head_row()}, f"!({anchors})",
            filled=True, fill=theme.PAPER, stroke=theme.INK, strokeWidth=1, size=18, opacity=1,
        ),
        layer(
            "stops", "point", {"x": at, "y": head_row()}, anchors,
            filled=True, shape="square", color=theme.INK, size=60, opacity=1,
        ),
        layer("cases", "rule", whole, color=theme.RULE, yOffset=bar_px, y2Offset=bar_px),
        layer(
            "anchors", "tick", {"x": quantity("at"), "y": y},
            orient="vertical", color=theme.QUIET_INK, size=12, yOffset=bar_px,
        ),
        layer("cases", "rule", slip, strokeWidth=6, yOffset=bar_px, y2Offset=bar_px),
        layer("cases", "point", end, filled=True, size=100, opacity=1, yOffset=bar_px),
        *row_words(count, 0.0, width),
    ]  # fmt: skip
    return chart(layers, width, rows_height_px(count, width), ROW_MARGINS)
