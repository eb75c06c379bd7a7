"""Rows for pictures with one bar for each tether and case: the tether, the case with its numbers, the bar below."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from handline.brief.figures import theme
from handline.brief.figures.picture import Key, Row, Spec, Width
from handline.brief.figures.vega_lite import Channel, Margins, layer, name, place, quantity
from handline.brief.tether_cases import tether_cases
from handline.day.plan import Plan
from handline.day.plan_line import TetherRow
from handline.line.audit import Outcome

HEAD_PX = 24
ROW_MARGINS = Margins(left=8, top=6, right=10, bottom=44)


@dataclass(frozen=True)
class RowShape:
    """How one row is laid out: its height, and how far from its top each part stands [px]."""

    row_px: int
    title_px: int
    words_px: int
    bar_px: int


ROW_SHAPE: dict[Width, RowShape] = {"wide": RowShape(56, 11, 25, 43), "narrow": RowShape(60, 13, 28, 44)}


def case_rows(plan: Plan) -> list[tuple[Row, TetherRow, Outcome]]:
    """A row for each tether and case, in the order of the page; ``with_words`` adds the numbers."""
    rows: list[tuple[Row, TetherRow, Outcome]] = []
    for tether in tether_cases(plan):
        for outcome in tether.cases:
            title = f"{tether.number}  {tether.row.title}"
            row = {
                "row": len(rows),
                "label": f"{title}: {outcome.case}",
                "title": title,
                "case": outcome.case,
                "weight": "bold" if tether.row.chosen else "normal",
                "verdict": outcome.verdict,
            }
            rows.append((row, tether.row, outcome))
    return rows


def with_words(row: Row, words: str) -> Row:
    """The row with its numbers in words, alone and after the case."""
    return {**row, "words": words, "case_words": f"{row['case']}: {words}"}


def row_scale(count: int, width: Width) -> Channel:
    """The place of each of ``count`` rows. There is no axis: the words stand in the picture."""
    head = HEAD_PX / ROW_SHAPE[width].row_px
    return quantity("row", scale={"domain": [count, -head], "nice": False, "zero": False}, axis=None)


def head_row() -> Channel:
    """The middle of the head above the rows."""
    return place(-0.24, axis=None)


def rows_height_px(count: int, width: Width) -> int:
    """How high a picture of ``count`` rows is, without its axis."""
    return count * ROW_SHAPE[width].row_px + HEAD_PX


def row_words(count: int, left_edge: float, width: Width) -> list[Spec]:
    """Title and numbers of every row, from the left edge of the horizontal scale."""
    shape, y, text_px = ROW_SHAPE[width], row_scale(count, width), theme.TEXT_PX[width]
    at_left = place(left_edge)
    line: dict[str, Any] = {"align": "left", "baseline": "middle", "fontSize": text_px}
    titles = [
        layer(
            "cases", "text", {"x": at_left, "y": y, "text": name("title")}, f"datum.weight == '{weight}'",
            yOffset=shape.title_px, fontWeight=weight, **line,
        )
        for weight in ("bold", "normal")
    ]  # fmt: skip
    numbers = layer(
        "cases", "text", {"x": at_left, "y": y, "text": name("case_words")},
        yOffset=shape.words_px, color=theme.QUIET_INK, **line,
    )  # fmt: skip
    return [*titles, numbers]


def verdict_channels() -> dict[str, Channel]:
    """Colour and mark of a verdict."""
    looks = {"color": theme.VERDICT_COLOUR, "shape": theme.VERDICT_SHAPE}
    return {
        channel: name("verdict", scale={"domain": list(look), "range": list(look.values())}, legend=None)
        for channel, look in looks.items()
    }


def verdict_keys(outcomes: Iterable[Outcome]) -> list[Key]:
    """The key of the verdicts that occur."""
    there = {outcome.verdict for outcome in outcomes}
    return [
        Key(f"verdict-{verdict.replace(' ', '-')}", theme.VERDICT_WORDS[verdict])
        for verdict in theme.VERDICTS
        if verdict in there
    ]
