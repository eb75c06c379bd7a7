"""The key numbers of both example plans against an earlier run, under whatever numpy and numba stand here."""

from __future__ import annotations

from functools import cache

import pytest

from tests.repeat.key_numbers import TABLE, TRIPS, key_numbers, plan_of
from tests.tables.published import read_table

ROWS = read_table(TABLE)
AGAIN = "if the number moved for a reason that CHANGELOG tells: python -m tests.repeat.write_fingerprint"


@cache
def numbers(trip: str) -> dict[str, float]:
    return {one.name: one.value for one in key_numbers(plan_of(trip))}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['trip']} {row['number']}")
def test_a_plan_is_as_it_was(row: dict[str, str]) -> None:
    value, expected, tolerance = numbers(row["trip"])[row["number"]], float(row["expected"]), float(row["tolerance"])
    assert value == pytest.approx(expected, abs=tolerance, rel=0.0), f"made with {row['locator']}; {AGAIN}"


@pytest.mark.parametrize("trip", TRIPS)
def test_every_key_number_has_its_row(trip: str) -> None:
    assert [row["number"] for row in ROWS if row["trip"] == trip] == list(numbers(trip)), AGAIN


def test_the_table_says_what_it_was_made_with() -> None:
    assert len(ROWS) >= 30
    assert all("numpy " in row["locator"] and "numba " in row["locator"] for row in ROWS)
    assert {row["kind"] for row in ROWS} == {"regression"}
