"""Bytes of forecast files: cells, columns, rows, marks between them and encodings as spreadsheets get them wrong."""

from __future__ import annotations

from hypothesis import strategies as st

from handline.weather.forecast_columns import COLUMNS
from tests.fuzz.bases import forecast
from tests.fuzz.mutations import broken_bytes, lists_of_mutations, mutated
from tests.fuzz.nasty import DATES, LETTERS, NUMBERS, WORDS

_CELLS = (*NUMBERS, *(word for word in WORDS if len(word) < 1000), "-999", "9999", "12,5", '"12,5"', '"', "58 F",
          "58", "2027-07-17T00:00", "2027-07-17T25:00-06:00", "2027-07-17T00:00-06:00", "2027-11-07T01:30",
          "2027-03-14T02:30", *DATES)  # fmt: skip
_ALLOWED_CELLS = ("", "", "0", "1", "50", "100", "0.0", "5e-324", "-0")
_HEADERS = (*COLUMNS, "Time", "temperature", "temperature_K", "", "x", "time ", "\ufefftime")
_ENCODINGS = ("utf-8", "utf-8-sig", "utf-16", "latin-1", "utf-32")


@st.composite
def forecast_files(draw: st.DrawFn) -> bytes:
    """A forecast with up to five things wrong or odd about it."""
    lines = forecast().splitlines()
    for _ in range(draw(st.sampled_from((1, 1, 1, 2, 5)))):
        _one_change(draw, lines)
    text = "\n".join(lines) + "\n"
    if draw(st.integers(1, 6)) == 6:
        text = mutated(text, draw(lists_of_mutations(3)))
    content = text.encode(draw(st.sampled_from((*["utf-8"] * 8, *_ENCODINGS))), "replace")
    if draw(st.integers(1, 10)) == 10:
        return broken_bytes(content, draw(st.integers(0, 10_000)), draw(st.integers(1, 10)))
    return content


def _one_change(draw: st.DrawFn, lines: list[str]) -> None:
    at = draw(st.integers(0, max(len(lines) - 1, 0)))
    cells = (lines[at] if lines else "").split(",")
    column = draw(st.integers(0, len(cells) - 1))
    match draw(st.integers(1, 16)):
        case 11 | 12 | 13 | 14 if lines:
            cells[column] = draw(st.sampled_from(_ALLOWED_CELLS))
            lines[at] = ",".join(cells)
        case 15 | 16:
            _change_column(lines, column, draw(st.sampled_from(_ALLOWED_CELLS)))
        case 1 | 2 | 3 if lines:
            cells[column] = draw(st.sampled_from(_CELLS))
            lines[at] = ",".join(cells)
        case 4:
            _change_column(lines, column, draw(st.sampled_from(_CELLS)))
        case 5 if len(lines) > 3:
            header = lines[3].split(",")
            header[column % len(header)] = draw(st.sampled_from(_HEADERS))
            lines[3] = ",".join(header)
        case 6 if lines:
            lines.insert(draw(st.integers(0, len(lines))), lines[at])
        case 7:
            del lines[at : at + draw(st.integers(1, 60))]
        case 8:
            mark = draw(st.sampled_from((";", "\t", "|", ",,")))
            lines[:] = [line.replace(",", mark) for line in lines]
        case 9:
            shift = draw(st.sampled_from(("", "Z", "+00:00", "-06:30", "+99:00")))
            lines[:] = [line.replace("-06:00", shift) for line in lines]
        case _:
            lines.insert(at, draw(st.sampled_from(("", "#", "# issued: nan", "# source: \x00", "x" * 5000, *LETTERS))))


def _change_column(lines: list[str], column: int, cell: str) -> None:
    """The same cell in every row below the header."""
    for i in range(4, len(lines)):
        if len(parts := lines[i].split(",")) > column:
            lines[i] = ",".join([*parts[:column], cell, *parts[column + 1 :]])
