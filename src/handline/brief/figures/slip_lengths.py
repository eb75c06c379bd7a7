"""Slip lengths: every tether and case as a bar along the line, from where its longest slip starts to where it ends."""

from __future__ import annotations

from handline.brief.figures import theme
from handline.brief.figures.case_rows import (
    ROW_SHAPE,
    case_rows,
    row_scale,
    row_words,
    rows_height_px,
    verdict_colour,
    verdict_shape,
)
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Spec, Width
from handline.brief.figures.shown_length import shown_length
from handline.brief.words import foot_words, slide_words
from handline.day.plan import Plan


def slip_lengths(plan: Plan) -> Picture:
    """The slip lengths of a plan."""
    shown = shown_length(plan.units)
    rows = []
    for row, _, outcome in case_rows(plan):
        words = ", ".join(filter(None, (f"slides {slide_words(outcome, plan.units)}", foot_words(outcome))))
        rows.append({**row, "start": shown.of(outcome.start_m), "end": shown.of(outcome.end_m), "words": words})
    stops = [
        {"at": shown.of(stop_m), "what": "anchor" if is_anchor else "stanchion"}
        for stop_m, is_anchor in zip(plan.line.stop_m, plan.line.stop_is_anchor, strict=True)
    ]
    length = shown.of(plan.line.length_m)
    stanchion = () if all(plan.line.stop_is_anchor) else (Key("stanchion", "stanchion, standing in a socket"),)
    return Picture(
        key="slip-lengths",
        title="Where each slip starts and ends, along the line",
        caption="The foot of the line is at the left, its head at the right. Each bar is the longest slide of one case on "
        f"{plan.line.rock} rock and ends at its mark; the words give the typical and the longest slide.",
        alt=" ".join(f"{row['label']}: {row['words']}." for row in rows),
        keys=(
            Key("anchor", "anchor in the rock"),
            *stanchion,
            *(Key(f"verdict-{verdict.replace(' ', '-')}", theme.VERDICT_WORDS[verdict]) for verdict in theme.VERDICTS),
        ),
        specs={width: _draw(len(rows), length, shown.unit, width) for width in WIDTH_PX},
        datasets={"cases": rows, "stops": stops},
    )


def _draw(count: int, length: float, unit: str, width: Width) -> Spec:
    import altair as alt

    cases, stops = alt.Chart(alt.NamedData("cases")), alt.Chart(alt.NamedData("stops"))
    bar_px = ROW_SHAPE[width].bar_px
    at = alt.X(
        "at:Q",
        scale=alt.Scale(domain=[0.0, length], nice=False, zero=False),
        axis=alt.Axis(title=f"along the line from its foot ({unit})", grid=False, tickCount=6),
    )
    y, ruler = row_scale(count, width), alt.YDatum(-0.22, axis=None)
    anchors, stanchions = "datum.what == 'anchor'", "datum.what == 'stanchion'"
    hollow = {"filled": True, "fill": theme.PAPER, "stroke": theme.INK, "strokeWidth": 1, "opacity": 1}
    chart = alt.layer(
        stops.transform_filter(anchors).mark_rule(color=theme.RULE).encode(x=at),
        stops.transform_filter(stanchions).mark_point(size=18, **hollow).encode(x=at, y=ruler),
        stops.transform_filter(anchors).mark_point(filled=True, shape="square", color=theme.INK, size=60, opacity=1)
        .encode(x=at, y=ruler),
        cases.mark_rule(color=theme.RULE, yOffset=bar_px, y2Offset=bar_px).encode(x=alt.XDatum(0.0), x2=alt.X2Datum(length), y=y),
        cases.mark_rule(strokeWidth=6, yOffset=bar_px, y2Offset=bar_px).encode(x="start:Q", x2="end:Q", y=y, color=verdict_colour()),
        cases.mark_point(filled=True, size=100, opacity=1, stroke=theme.PAPER, strokeWidth=1, yOffset=bar_px)
        .encode(x="end:Q", y=y, color=verdict_colour(), shape=verdict_shape()),
        *row_words(count, (0.0, length), width),
    ).properties(width=WIDTH_PX[width], height=rows_height_px(count, width))
    spec: Spec = chart.to_dict()
    spec["autosize"] = {"type": "fit-x", "contains": "padding"}
    spec["config"] = theme.config(width)
    return spec
