"""The cells of a date grid as few rectangles: shades of a chance, the edge of what is wanted, runs of the line's state.

A place across is a date's number from 0, a place down a start's; a cell goes from its number to the next.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from handline.brief.figures.picture import Row
from handline.choose.dates_report import DateRow

_NOTHING = -1
_ROUND_CHANCES = (0.25, 0.5, 0.75, 0.9)
# Two edges closer than this are one, and so many shades of what is not wanted are told apart.
_APART, _MOST_BELOW = 0.04, 3


def chance_edges(wanted: float) -> tuple[float, ...]:
    """Where one shade ends and the next begins: round chances, and the wanted one as the last."""
    below = [edge for edge in _ROUND_CHANCES if edge <= wanted - _APART]
    return (*below[-_MOST_BELOW:], wanted)


def shade_cells(chance: NDArray[np.float64], edges: Sequence[float]) -> list[Row]:
    """Rectangles of one shade each that fill the grid together; none where a chance is NaN.

    Parameters
    ----------
    chance : array, shape (dates, starts)
    edges : sequence of float, rising

    Returns
    -------
    list of rows
        ``left``, ``right``, ``top``, ``bottom`` and ``shade``, the number of edges the chance has reached.
    """
    shade = np.where(np.isnan(chance), _NOTHING, np.searchsorted(edges, chance, side="right"))
    open_runs: dict[tuple[int, int, int], int] = {}
    rows: list[Row] = []
    for date in range(len(shade) + 1):
        here = set(_runs_down(shade[date])) if date < len(shade) else set()
        for run in [run for run in open_runs if run not in here]:
            rows.append(_rectangle(run, open_runs.pop(run), date))
        for run in here:
            open_runs.setdefault(run, date)
    return sorted(rows, key=lambda row: (row["left"], row["top"]))


def _runs_down(shade: NDArray[np.int64]) -> Iterator[tuple[int, int, int]]:
    """First start, the one after the last, and shade of each run on one date."""
    at = 0
    for number, run in groupby(shade.tolist()):
        length = len(list(run))
        if number != _NOTHING:
            yield at, at + length, number
        at += length


def _rectangle(run: tuple[int, int, int], left: int, right: int) -> Row:
    top, bottom, shade = run
    return {"left": left, "right": right, "top": top, "bottom": bottom, "shade": shade}


def wanted_edge(chance: NDArray[np.float64], wanted: float) -> list[Row]:
    """The line round all cells that meet the wanted chance, where it lies inside the grid, as straight pieces.

    Parameters
    ----------
    chance : array, shape (dates, starts)
    wanted : float

    Returns
    -------
    list of rows
        ``left``, ``right``, ``top``, ``bottom``: of a level piece the last two are the same, of an upright the first.
    """
    meets, known = chance >= wanted, ~np.isnan(chance)
    level = (meets[:, 1:] != meets[:, :-1]) & known[:, 1:] & known[:, :-1]
    upright = (meets[1:] != meets[:-1]) & known[1:] & known[:-1]
    rows = [
        {"left": first, "right": last, "top": start + 1, "bottom": start + 1}
        for start in range(level.shape[1])
        for first, last in _runs_of_true(level[:, start])
    ]
    rows += [
        {"left": date + 1, "right": date + 1, "top": first, "bottom": last}
        for date in range(len(upright))
        for first, last in _runs_of_true(upright[date])
    ]
    return rows


def _runs_of_true(flags: NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], flags, [False]]).astype(int)))
    yield from zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)


def state_runs(rows: Sequence[DateRow]) -> list[Row]:
    """Runs of dates on which the line stands alike: "raised", "lowered", or "closed" where the way is not open."""
    found: list[Row] = []
    at = 0
    for state, run in groupby(rows, key=lambda row: "closed" if row.closed else "raised" if row.raised else "lowered"):
        length = len(list(run))
        found.append({"left": at, "right": at + length, "state": state})
        at += length
    return found
