"""Speed by grade against published values and a second calculation."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking.grade_models import irmischer_2018_m_s, irmischer_2018_off_path_m_s
from handline.walking.registry import PACE_MODELS, GradeModel
from tests.tables.published import read_table

UNIT_M_S = {"m/s": 1.0, "km/h": 1000.0 / 3600.0}
GRADE_OF = {"1": float, "deg": lambda slope: math.tan(math.radians(float(slope)))}
IRMISCHER = {"irmischer_2018": irmischer_2018_m_s, "irmischer_2018_off_path": irmischer_2018_off_path_m_s}
GRADE_MODELS = [model for model in PACE_MODELS.values() if isinstance(model, GradeModel)]

ROWS = [
    row
    for table in ("tobler_1993", "rees_2004", "marquez_2017", "sullivan_2020", "campbell_2019")
    for row in read_table(table)
]


def named(row: dict[str, str]) -> str:
    return f"{row['model']} at {row['slope']} {row['slope_unit']}, {row['kind']}"


@pytest.mark.parametrize("row", ROWS, ids=named)
def test_speed_agrees_with_the_table(row: dict[str, str]) -> None:
    model = PACE_MODELS[row["model"]]
    assert isinstance(model, GradeModel)
    grade = GRADE_OF[row["slope_unit"]](row["slope"])
    expected_m_s = float(row["expected"]) * UNIT_M_S[row["unit"]]
    tolerance_m_s = float(row["tolerance"]) * UNIT_M_S[row["unit"]]
    assert model.speed_m_s(np.array(grade)) == pytest.approx(expected_m_s, abs=tolerance_m_s, rel=0)


@pytest.mark.parametrize("row", read_table("irmischer_2018"), ids=lambda row: f"{named(row)}, women {row['women']}")
def test_map_readers_agree_with_the_table(row: dict[str, str]) -> None:
    speed_m_s = IRMISCHER[row["model"]](float(row["slope"]), women=row["women"] == "yes")
    assert speed_m_s == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


def test_map_readers_come_down_faster_than_they_go_up() -> None:
    """A copy with abs(grade) would make the two equal."""
    down_m_s, up_m_s = irmischer_2018_m_s(np.array([-0.2, 0.2]))
    assert down_m_s > 1.05 * up_m_s


@pytest.mark.parametrize("model", GRADE_MODELS, ids=lambda model: model.key)
def test_shape_in_is_shape_out(model: GradeModel) -> None:
    assert np.shape(model.speed_m_s(np.array(0.1))) == ()
    assert np.shape(model.speed_m_s(np.full((3, 2), 0.1))) == (3, 2)


@pytest.mark.parametrize("model", GRADE_MODELS, ids=lambda model: model.key)
@given(share=st.floats(0.0, 1.0))
@settings(max_examples=25, deadline=None)
def test_speed_is_that_of_a_walker_everywhere_inside_the_limits(model: GradeModel, share: float) -> None:
    grade = model.limits.lowest + share * (model.limits.highest - model.limits.lowest)
    assert 0.05 < float(model.speed_m_s(np.array(grade))) < 2.2


@pytest.mark.parametrize("model", GRADE_MODELS, ids=lambda model: model.key)
def test_steeper_up_is_slower(model: GradeModel) -> None:
    speed_m_s = model.speed_m_s(np.linspace(0.0, model.limits.highest, 200))
    assert np.all(np.diff(speed_m_s) < 0.0)
