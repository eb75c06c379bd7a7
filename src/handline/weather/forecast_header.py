"""Which column of a forecast CSV holds what."""

from __future__ import annotations

from collections import Counter

from handline.errors import Problem, near_miss
from handline.weather.forecast_columns import COLUMNS, QUANTITIES, REQUIRED, Column, named
from handline.weather.forecast_sheet import Faults, Sheet

ALL_NAMES = ", ".join(COLUMNS)
_LOWERED = {name.lower(): name for name in COLUMNS}


def columns_of(sheet: Sheet, faults: Faults) -> dict[int, Column]:
    """The columns to read, by their place in a row: known ones, the first of each quantity. Faults go to ``faults``."""
    found: dict[int, Column] = {}
    for place, cell in enumerate(sheet.header):
        name = _LOWERED.get(cell.lower())
        if name is None:
            faults.add(_unknown(cell, place).at(key=cell[:40] or None, line=sheet.header_line))
        else:
            found[place] = COLUMNS[name]
    for problem in _at_odds(found, bool(len(found) < len(sheet.header))):
        faults.add(problem.at(line=sheet.header_line))
    first = {column.quantity: place for place, column in reversed(found.items())}
    return {place: column for place, column in found.items() if first[column.quantity] == place}


def _unknown(cell: str, place: int) -> Problem:
    if not cell:
        return Problem(f"column {place + 1} has no name", mend="name it, or take it out", allowed=ALL_NAMES)
    word = cell.lower().replace(" ", "_")
    choices = named(word)
    if word in QUANTITIES and choices:
        return Problem("no unit in the name of this column", mend=f"write {' or '.join(choices)}")
    of_one = [name for name in QUANTITIES if word.startswith(f"{name}_")]
    if of_one:
        quantity = max(of_one, key=len)  # "rain_chance" also begins with "rain_"
        return Problem(
            f"unknown column, or unknown unit of {quantity.replace('_', ' ')}",
            allowed=", ".join(named(quantity)),
            mend="take it out if it is something else",
        )
    guess = near_miss(word, tuple(COLUMNS))
    return Problem("unknown column", allowed=ALL_NAMES, mend=f'did you mean "{guess}"?' if guess else "take it out")


def _at_odds(found: dict[int, Column], some_unknown: bool) -> list[Problem]:
    """Columns that are there twice, in two units, or missing."""
    names = Counter(column.name for column in found.values())
    problems = [
        Problem("this column is there twice", mend="keep one of them", key=name)
        for name, count in names.items()
        if count > 1
    ]
    for quantity in dict.fromkeys(column.quantity for column in found.values()):
        units = [name for name in named(quantity) if name in names]
        if len(units) > 1:
            problems.append(
                Problem("the same in two units", read=" and ".join(units), mend="keep one of them", key=units[-1])
            )
    there = {column.quantity for column in found.values()}
    for quantity in REQUIRED:
        if quantity not in there:
            hint = "; or mend its name, above" if some_unknown else ""
            problems.append(
                Problem(f"there is no column of {quantity}", mend=f"add {' or '.join(named(quantity))}{hint}")
            )
    return problems
