"""What the page draws its live pictures from: nothing of a spec is lost where the narrow one is told as changes."""

from __future__ import annotations

import copy
import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.brief.figures import all_pictures
from handline.brief.picture_data import changes, picture_data
from tests.brief.sample_plan import sample_plan

TREES = st.recursive(
    st.none() | st.booleans() | st.integers(-3, 3) | st.text("ab", max_size=2),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from("xyz"), inner, max_size=3),
    max_leaves=12,
)


def _changed(one: Any, told: list[Any]) -> Any:
    """As the script of the page does it."""
    whole = {"spec": copy.deepcopy(one)}
    for way, value in told:
        steps = ["spec", *way]
        inner: Any = whole
        for step in steps[:-1]:
            inner = inner[step]
        inner[steps[-1]] = value
    return whole["spec"]


@given(TREES, TREES)
def test_changes_make_one_of_the_other(one: Any, other: Any) -> None:
    made = _changed(one, list(changes(one, other)))
    assert json.dumps(made, sort_keys=True) == json.dumps(other, sort_keys=True)


@given(TREES)
def test_what_is_alike_has_no_changes(one: Any) -> None:
    assert list(changes(one, copy.deepcopy(one))) == []


@pytest.mark.parametrize("key", list(all_pictures(sample_plan())))
def test_both_specs_of_every_picture_come_back(key: str) -> None:
    picture = all_pictures(sample_plan())[key]
    told = json.loads(picture_data({key: picture}))[key]
    for width, spec in (("wide", told["wide"]), ("narrow", _changed(told["wide"], told["narrow"]))):
        expected = json.loads(json.dumps(picture.specs[width]), parse_float=lambda text: round(float(text), 4))
        assert spec == expected, width
    assert told["datasets"].keys() == picture.datasets.keys()


def test_the_narrow_spec_takes_little_room() -> None:
    """The two are alike but for sizes and places of words."""
    for told in json.loads(picture_data(all_pictures(sample_plan()))).values():
        assert len(json.dumps(told["narrow"])) < 0.7 * len(json.dumps(told["wide"]))
