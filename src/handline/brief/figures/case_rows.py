"""Rows for pictures with one bar for each tether and case: words above, the bar below.

On a phone the numbers take a line of their own; on a wide page they stand at the right end of the first line.
"""

from __future__ import annotations

import textwrap
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from handline.brief.figures import theme
from handline.brief.figures.picture import Row, Width
from handline.brief.tether_cases import tether_cases
from handline.day.plan import Outcome, Plan, TetherRow

if TYPE_CHECKING:
    import altair as alt

HEAD_PX = 24
_SHORT_LETTERS = 54


@dataclass(frozen=True)
class RowShape:
    """How one row is laid out, from its top [px]."""

    row_px: int
    label_px: int
    words_px: int
    bar_px: int
    words_align: str


ROW_SHAPE: dict[Width, RowShape] = {
    "wide": RowShape(row_px=44, label_px=14, words_px=14, bar_px=30, words_align="right"),
    "narrow": RowShape(row_px=60, label_px=13, words_px=28, bar_px=44, words_align="left"),
}


def case_rows(plan: Plan) -> list[tuple[Row, TetherRow, Outcome]]:
    """A row for each tether and case, in the order of the page."""
    rows: list[tuple[Row, TetherRow, Outcome]] = []
    for tether in tether_cases(plan):
        for outcome in tether.cases:
            label = f"{tether.number}  {tether.row.title}: {outcome.case}"
            row = {
                "row": len(rows),
                "label": label,
                "short": textwrap.shorten(label, _SHORT_LETTERS, placeholder=" …"),
                "weight": "bold" if tether.row.chosen else "normal",
                "verdict": outcome.verdict,
            }
            rows.append((row, tether.row, outcome))
    return rows


def row_scale(count: int, width: Width) -> alt.Y:
    """The place of each of ``count`` rows. There is no axis: the words stand in the picture."""
    import altair as alt

    head = HEAD_PX / ROW_SHAPE[width].row_px
    return alt.Y("row:Q", scale=alt.Scale(domain=[count, -head], nice=False, zero=False), axis=None)


def rows_height_px(count: int, width: Width) -> int:
    """How high a picture of ``count`` rows is."""
    return count * ROW_SHAPE[width].row_px + HEAD_PX


def row_words(count: int, edges: tuple[float, float], width: Width) -> list[alt.Chart]:
    """Label and numbers of every row, between the edges of the horizontal scale."""
    import altair as alt

    shape, text_px = ROW_SHAPE[width], theme.TEXT_PX[width]
    rows, y = alt.Chart(alt.NamedData("cases")), row_scale(count, width)
    label = "short:N" if width == "narrow" else "label:N"

    def line(align: str, offset_px: int, **mark: Any) -> alt.Chart:
        return rows.mark_text(align=align, baseline="middle", fontSize=text_px, yOffset=offset_px, **mark)

    layers = [
        line("left", shape.label_px, fontWeight=weight)
        .transform_filter(f"datum.weight == '{weight}'")
        .encode(x=alt.XDatum(edges[0]), y=y, text=label)
        for weight in ("bold", "normal")
    ]
    numbers = line(shape.words_align, shape.words_px, color=theme.QUIET_INK)
    at = edges[1] if shape.words_align == "right" else edges[0]
    return [*layers, numbers.encode(x=alt.XDatum(at), y=y, text="words:N")]


def verdict_colour() -> alt.Color:
    """The colour of a verdict."""
    import altair as alt

    scale = alt.Scale(domain=list(theme.VERDICTS), range=[theme.VERDICT_COLOUR[verdict] for verdict in theme.VERDICTS])
    return alt.Color("verdict:N", scale=scale, legend=None)


def verdict_shape() -> alt.Shape:
    """The mark of a verdict."""
    import altair as alt

    scale = alt.Scale(domain=list(theme.VERDICTS), range=[theme.VERDICT_SHAPE[verdict] for verdict in theme.VERDICTS])
    return alt.Shape("verdict:N", scale=scale, legend=None)
