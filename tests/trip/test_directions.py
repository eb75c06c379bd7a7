"""Bearings and heights of a horizon as typed."""

from __future__ import annotations

import pytest
from pydantic_core import PydanticCustomError

from handline.trip.directions import Bearing, HeightAngle


@pytest.mark.parametrize(
    ("typed", "degrees"),
    [
        ("0 deg", 0.0),
        ("135 deg", 135.0),
        ("360 deg", 0.0),
        ("22.5°", 22.5),
        ("SE", 135.0),
        (" nnw ", 337.5),
        ("W", 270.0),
    ],
)
def test_a_bearing_in_degrees_or_by_the_compass(typed: str, degrees: float) -> None:
    assert Bearing().read(typed) == degrees


@pytest.mark.parametrize("typed", ["361 deg", "-1 deg", "north", "SES", 135, 135.0, True, "", "90", None])
def test_what_is_no_bearing(typed: object) -> None:
    with pytest.raises(PydanticCustomError):
        Bearing().read(typed)


def test_a_bare_number_is_told_how_to_be_written() -> None:
    with pytest.raises(PydanticCustomError) as refused:
        Bearing().read(135)
    assert (refused.value.context or {})["problem"].mend == 'write "135 deg", in quotes'


@pytest.mark.parametrize("typed", [10**400, -(10**400), float("inf"), float("nan"), 400])
@pytest.mark.parametrize("kind", [Bearing(), HeightAngle()])
def test_no_advice_where_quotes_would_not_help(typed: float, kind: Bearing | HeightAngle) -> None:
    with pytest.raises(PydanticCustomError) as refused:
        kind.read(typed)
    assert (refused.value.context or {})["problem"].mend is None


@pytest.mark.parametrize(("typed", "degrees"), [("12 deg", 12.0), ("-5 deg", -5.0), ("90 deg", 90.0), ("0.5°", 0.5)])
def test_a_height_above_level(typed: str, degrees: float) -> None:
    assert HeightAngle().read(typed) == degrees


@pytest.mark.parametrize("typed", ["-5.1 deg", "90.1 deg", "SE", 12])
def test_what_is_no_height(typed: object) -> None:
    with pytest.raises(PydanticCustomError):
        HeightAngle().read(typed)
