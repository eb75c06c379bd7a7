"""Sweat and drinking against the published values."""

from __future__ import annotations

import math

import pytest

from handline.quantity import QUART_L
from handline.walking.sweat import (
    MOST_QT_DAY,
    MOST_QT_H,
    TB_MED_507,
    drink_L_h,
    gonzalez_2009_curved_g_m2_h,
    gonzalez_2009_g_m2_h,
)
from tests.tables.published import read_table

FORMS = {"linear": gonzalez_2009_g_m2_h, "curved": gonzalez_2009_curved_g_m2_h}


@pytest.mark.parametrize("row", read_table("sweat"), ids=lambda row: f"{row['form']} {row['required_W_m2']}")
def test_sweat(row: dict[str, str]) -> None:
    found = FORMS[row["form"]](float(row["required_W_m2"]), float(row["most_W_m2"]))
    assert float(found) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("row", read_table("tb_med_507"), ids=lambda row: f"{row['wbgt_F']} {row['work']}")
def test_drinking(row: dict[str, str]) -> None:
    found = drink_L_h(float(row["wbgt_F"]), row["work"]) / QUART_L
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_below_the_table_it_says_nothing_and_never_over_the_cap() -> None:
    assert math.isnan(drink_L_h(77.9, "hard"))
    assert max(max(row) for row in TB_MED_507.values()) <= MOST_QT_H
    assert (MOST_QT_H, MOST_QT_DAY) == (1.5, 12.0)
    # A US quart is 57.75 cubic inches of 2.54 cm.
    assert pytest.approx(57.75 * 2.54**3 / 1000.0, rel=1e-9) == QUART_L
