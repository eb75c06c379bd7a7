"""What the size of a party does to its walking time."""

from __future__ import annotations

import math

import pytest

from handline.walking.group import group_factor
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("group"), ids=lambda r: f"{r['size']} people {r['per_person']}")
def test_factor_agrees_with_the_table(row: dict[str, str]) -> None:
    per_person = (float(row["per_person"]),) if row["per_person"] else ()
    found = group_factor(int(row["size"]), *per_person)
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


@pytest.mark.parametrize(("size", "per_person"), [(0, 0.01), (5, -0.01), (5, math.nan), (5, math.inf)])
def test_what_cannot_be_is_refused(size: int, per_person: float) -> None:
    with pytest.raises(ValueError, match=r"party has|must be"):
        group_factor(size, per_person)
