"""Kinds of ground and their time factors."""

from __future__ import annotations

import pytest

from handline.errors import InputError
from handline.sources import source
from handline.walking.surface import SURFACES, surface
from tests.tables.published import read_table

ROWS = read_table("surfaces")


@pytest.mark.parametrize("row", ROWS, ids=lambda r: r["surface"])
def test_time_factor_agrees_with_the_table(row: dict[str, str]) -> None:
    found = surface(row["surface"])
    assert found.time_factor == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)
    assert source(found.source).key == row["source"]
    assert found.words


def test_every_kind_of_ground_is_in_the_table() -> None:
    assert list(SURFACES) == [row["surface"] for row in ROWS]


def test_a_near_miss_is_suggested() -> None:
    with pytest.raises(InputError, match='did you mean "stony trail"'):
        surface("stoney trail")
