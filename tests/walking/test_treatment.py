"""Ways of treating water."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.errors import InputError
from handline.sources import source
from handline.walking.treatment import TREATMENTS, treatment_time
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("treatment"), ids=lambda row: f"{row['key']} {row['which']}")
def test_times_are_those_of_the_table(row: dict[str, str]) -> None:
    way = TREATMENTS[row["key"]]
    found_s = {"hands": way.hands_s_per_L, "wait": way.wait_s}[row["which"]]
    assert found_s / 60.0 == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_hands_go_by_the_litre_and_the_wait_once() -> None:
    found = treatment_time("chlorine", [0.0, 1.0, 4.0])
    assert np.array_equal(found.hands_s, [0.0, 30.0, 120.0])
    assert np.array_equal(found.wait_s, [0.0, 1800.0, 1800.0])


def test_every_way_says_what_it_leaves_in_and_has_a_source() -> None:
    assert set(TREATMENTS) == {row["key"] for row in read_table("treatment")}
    for key, way in TREATMENTS.items():
        assert way.key == key
        assert way.leaves_in
        assert source(way.source).kind == "from memory"


def test_a_near_miss_is_suggested() -> None:
    with pytest.raises(InputError, match='did you mean "filter"'):
        treatment_time("filtr", 1.0)


@pytest.mark.parametrize("litres", [-1.0, math.nan])
def test_impossible_litres_are_refused(litres: float) -> None:
    with pytest.raises(ValueError, match="litres must be"):
        treatment_time("filter", litres)
