"""How slips end: for every tether and case, a whole bar of chances for each state of the rock."""

from __future__ import annotations

from dataclasses import replace
from typing import Any, cast

from handline.brief.figures import theme
from handline.brief.figures.case_rows import (
    ROW_MARGINS,
    ROW_SHAPE,
    case_rows,
    head_row,
    row_scale,
    row_words,
    rows_height_px,
    with_words,
)
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import Channel, chart, layer, name, quantity
from handline.day.line_report import CaseChances, LineReport
from handline.day.plan import Plan
from handline.line.slip_chances import BREAKS, ENDS, NOT_STOPPED, OVER, UNDER_ABSORBER, UNDER_LAW, UNDER_ROPE
from handline.quantity import show_chance, show_force

# Nothing stands below the rows.
_MARGINS = replace(ROW_MARGINS, bottom=8)
# Room between the bars of two states of the rock, as a share of a bar.
_GAP = 0.06
_HALF_BAR_PX = 8
# A bar's number is written where at least this share of it has room for it.
_TOLD_FROM: dict[Width, float] = {"wide": 0.2, "narrow": 0.45}
# Colour of each end, that of its number, and the bands across it: along both edges, along the lower one, or none.
_BOTH, _LOWER = "both", "lower"
_LOOKS: dict[str, tuple[str, str, str]] = {
    NOT_STOPPED: (theme.INK, theme.PAPER, ""),
    BREAKS: (theme.VERMILLION, theme.INK, _BOTH),
    OVER: (theme.ORANGE, theme.INK, _LOWER),
    UNDER_ROPE: ("#f3d28c", theme.INK, ""),
    UNDER_LAW: (theme.BLUE_MIDDLE, theme.INK, _LOWER),
    UNDER_ABSORBER: (theme.BLUE, theme.PAPER, ""),
}
# From which to which part of a bar's height the bands go.
_BANDS = {_BOTH: (0.06, 0.18), _LOWER: (0.82, 0.94)}
END_WORDS = {
    NOT_STOPPED: "not stopped",
    BREAKS: "a part breaks",
    OVER: "stopped, over 12 kN on the body",
    UNDER_ROPE: "stopped at 8 to 12 kN",
    UNDER_LAW: "stopped at 6 to 8 kN",
    UNDER_ABSORBER: "stopped under 6 kN, or by friction",
}


def slip_ends_picture(report: LineReport) -> Picture:
    """How the drawn slips of a report end."""
    rows, segments = [], []
    for row, tether, outcome in case_rows(cast(Plan, report)):
        shown = next(other for other in report.line.tethers if other.name == tether.name)
        of_case = [chances for chances in shown.by_rock if chances.case == outcome.case]
        today = next(chances for chances in of_case if chances.rock == report.line.rock)
        case = next(case for case in shown.today if case.case == outcome.case)
        row = {**row, "ends": _words(today)}
        rows.append(with_words(row, f"{show_chance(case.stopped_share)} stopped"))
        for column, rock in enumerate(report.line.rocks):
            chances = next(chances for chances in of_case if chances.rock == rock)
            segments += _segments(row, column, chances)
    heads = [
        {
            "at": column * (1.0 + _GAP),
            "words": f"{rock} rock",
            "weight": "bold" if rock == report.line.rock else "normal",
        }
        for column, rock in enumerate(report.line.rocks)
    ]
    seen = {segment["end"] for segment in segments}
    return Picture(
        key="slip-ends",
        title="How slips end, by the state of the rock",
        caption=f"Each bar is all of {report.provenance.draws:,} drawn slips on a {report.line.state} line. In words: "
        f"stopped within your limit of {show_force(report.body_force_N, report.units)}, no part broken, on "
        f"{report.line.rock} rock.",
        alt=" ".join(f"{row['label']}: {row['words']}; {row['ends']}." for row in rows),
        keys=tuple(Key(f"end-{ENDS.index(end)}", END_WORDS[end]) for end in ENDS if end in seen),
        specs={width: _draw(len(rows), len(heads), width) for width in WIDTH_PX},
        datasets={"cases": rows, "ends": segments, "heads": heads},
    )


def _words(chances: CaseChances) -> str:
    """The chances of a case, the ends that happen."""
    told = [f"{entry.end} {show_chance(entry.share)}" for entry in reversed(chances.ends) if entry.share > 0.0]
    return ", ".join(told)


def _segments(row: Row, column: int, chances: CaseChances) -> list[Row]:
    """The pieces of one bar, the mildest end first."""
    pieces, at = [], column * (1.0 + _GAP)
    for entry in reversed(chances.ends):
        if entry.share > 0.0:
            _, ink, bands = _LOOKS[entry.end]
            told = {"end": entry.end, "share": show_chance(entry.share), "ink": ink, "bands": bands}
            place = {"rock": chances.rock, "from": at, "to": at + entry.share, "middle": at + entry.share / 2.0}
            pieces.append({"row": row["row"], "size": entry.share, **place, **told})
        at += entry.share
    return pieces


def _bars(width: Width, bar: dict[str, Any]) -> list[Spec]:
    """The pieces in their colours and the bands across them: rectangles, as a gradient has a number of its own that
    counts on from one picture to the next."""
    top_px, height_px = ROW_SHAPE[width].bar_px - _HALF_BAR_PX, 2 * _HALF_BAR_PX

    def rectangles(part: tuple[float, float], only: str | None, **style: Any) -> Spec:
        span = {"yOffset": top_px + part[0] * height_px, "y2Offset": top_px + part[1] * height_px}
        return layer("ends", "rect", style.pop("encoding", bar), only, aria=False, **span, **style)

    colours = {end: ground for end, (ground, _, _) in _LOOKS.items()}
    scale = {"domain": list(colours), "range": list(colours.values())}
    return [
        rectangles((0.0, 1.0), None, encoding={**bar, "color": name("end", scale=scale, legend=None)}),
        rectangles(_BANDS[_BOTH], f"datum.bands == '{_BOTH}'", color=theme.INK),
        rectangles(_BANDS[_LOWER], "datum.bands != ''", color=theme.INK),
    ]


def _draw(count: int, columns: int, width: Width) -> Spec:
    shape = ROW_SHAPE[width]
    right = columns + (columns - 1) * _GAP
    x: Channel = quantity("from", scale={"domain": [0.0, right], "nice": False, "zero": False}, axis=None)
    y = row_scale(count, width)
    bar = {"x": x, "x2": {"field": "to"}, "y": y, "y2": {"field": "row"}}
    head = {"x": quantity("at"), "y": head_row(), "text": name("words")}
    number = {"x": quantity("middle"), "y": y, "text": name("share"), "color": name("ink", scale=None)}
    layers = [
        *_bars(width, bar),
        layer(
            "ends", "text", number, f"datum.size >= {_TOLD_FROM[width]}",
            yOffset=shape.bar_px, baseline="middle", fontSize=theme.TEXT_PX[width], aria=False,
        ),
        *(
            layer(
                "heads", "text", head, f"datum.weight == '{weight}'",
                align="left", baseline="middle", fontWeight=weight, fontSize=theme.TEXT_PX[width],
            )
            for weight in ("bold", "normal")
        ),
        *row_words(count, 0.0, width),
    ]  # fmt: skip
    return chart(layers, width, rows_height_px(count, width), _MARGINS)
