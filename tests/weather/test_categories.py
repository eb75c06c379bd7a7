"""Cold and heat in words: their edges, their order, and what is not known."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.errors import InputError
from handline.sources import source
from handline.walking.sweat import TB_MED_507
from handline.weather.categories import NOT_KNOWN, SCALES, WORK_HEAT, category, ranks
from handline.weather.index_registry import INDICES, index
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("weather_categories"), ids=lambda r: f"{r['scale']} {r['value']}")
def test_a_step_agrees_with_the_table(row: dict[str, str]) -> None:
    value = float(row["value"])
    found = category(row["scale"], value if row["value_unit"] == "C" else (value - 32.0) / 1.8)
    assert found is not None
    assert (found.key, found.source) == (row["expected"], row["source"])


@pytest.mark.parametrize("scale", SCALES.values(), ids=lambda scale: scale.name)
def test_every_step_is_worse_than_the_one_before_and_has_words_and_a_source(scale) -> None:
    edges = np.array([step.edge_C for step in scale.steps]) * scale.sign
    assert edges[0] == -math.inf
    assert (np.diff(edges) > 0.0).all()
    assert len({step.key for step in scale.steps}) == len({step.words for step in scale.steps}) == len(scale.steps)
    assert scale.index in INDICES
    for step in scale.steps:
        assert source(step.source).title
        assert "safe" not in step.words
        assert len(step.words) <= 90


@given(st.sampled_from(sorted(SCALES)), st.floats(-90.0, 90.0), st.floats(0.0, 30.0))
def test_colder_or_hotter_is_never_milder(name: str, value: float, more: float) -> None:
    first, second = ranks(name, [value, value + SCALES[name].sign * more])
    assert first <= second


@pytest.mark.parametrize("name", sorted(SCALES))
def test_arrays_and_scalars(name: str) -> None:
    values = np.array([[-60.0, -30.0, 0.0], [30.0, 45.0, math.nan]])
    found = ranks(name, values)
    assert found.shape == values.shape
    assert ranks(name, 20.0).shape == ()
    for value, rank in zip(values.ravel(), found.ravel(), strict=True):
        step = category(name, float(value))
        assert step == (None if rank == NOT_KNOWN else SCALES[name].steps[rank])
    assert found[1, 2] == NOT_KNOWN


def test_an_unknown_scale_is_refused() -> None:
    with pytest.raises(InputError, match='did you mean "frostbite"'):
        ranks("frost_bite", 0.0)


def test_limits_agree_where_two_rooms_state_them() -> None:
    edges_F = [step.edge_C * 1.8 + 32.0 for step in WORK_HEAT.steps[1:]]
    assert edges_F == pytest.approx(list(TB_MED_507))


def test_an_hour_beyond_the_index_is_not_called_mild() -> None:
    beyond = index("heat_index", temperature_C=50.0, humidity_share=0.3)
    assert category("heat", float(beyond.value)) is None
