"""An answer read into a Forecast: every value in its place, nothing guessed, what is missing said."""

from __future__ import annotations

import contextlib
import copy
import json
import math
from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.errors import InputError
from handline.weather.forecast import Forecast
from handline.weather.live.asking import NoAnswerError
from handline.weather.live.met_norway_answer import AMOUNTS, read_answer
from tests.weather.live.replaying import answer_body

LATITUDE, LONGITUDE, HEIGHT = 12.3457, -34.5679, 1850.0
WHOLE: dict[str, Any] = json.loads(answer_body("hours_then_six"))
UNITS = WHOLE["properties"]["meta"]["units"]


def read(body: bytes | dict[str, Any], height_m: float = HEIGHT) -> Forecast:
    sent = body if isinstance(body, bytes) else json.dumps(body).encode()
    return read_answer(sent, latitude_deg=LATITUDE, longitude_deg=LONGITUDE, elevation_m=height_m, said_by="words")


def changed(change: Callable[[dict[str, Any]], object]) -> dict[str, Any]:
    document = copy.deepcopy(WHOLE)
    change(document)
    return document


def steps(document: dict[str, Any]) -> Any:
    return document["properties"]["timeseries"]


def problems(document: Any) -> list[str]:
    with pytest.raises(InputError) as caught:
        read(json.dumps(document).encode())
    assert all(problem.mend and problem.file for problem in caught.value.problems)
    return [str(problem) for problem in caught.value.problems]


def same(found: np.ndarray, expected: list[float]) -> bool:
    return bool(np.allclose(found, expected, rtol=1e-14, atol=0.0, equal_nan=True))


NO = math.nan


def test_every_value() -> None:
    forecast = read(answer_body("hours_then_six"))
    (place,) = forecast.places
    assert (place.name, place.elevation_m, forecast.said_by) == ("", 1850.0, "words")
    assert forecast.issued_s == datetime(2031, 6, 14, 8, 24, 51, tzinfo=UTC).timestamp()
    nine_s = datetime(2031, 6, 14, 9, tzinfo=UTC).timestamp()
    assert ((place.time_s - nine_s) / 3600.0).tolist() == [0, 1, 2, 3, 9, 15]
    assert place.temperature_C.tolist() == [4.3, 6.0, 7.2, 7.9, 5.1, 2.4]
    assert same(place.humidity_share, [0.714, 0.662, 0.639, 0.648, 0.88, 0.913])
    assert place.wind_m_s.tolist() == [3.1, 3.4, 4.0, 4.6, 5.5, 2.0]
    assert place.gust_m_s.tolist() == [6.2, 6.9, 8.4, 9.7, 12.1, 4.8]
    assert same(place.cloud_share, [0.125, 0.406, 0.781, 0.969, 1.0, 0.55])
    assert same(place.rain_mm, [0.0, 0.1, 0.9, 4.2, 0.7, NO])
    assert same(place.rain_chance, [0.017, 0.083, 0.274, 0.583, 0.222, NO])
    assert same(place.thunder_chance, [0.001, 0.007, 0.042, NO, NO, NO])
    assert forecast.notes == ("the forecast leaves out the chance of thunder at 2 of 5 times",)


def test_what_is_missing_is_said() -> None:
    forecast = read(answer_body("newer_hours"))
    (place,) = forecast.places
    assert same(place.gust_m_s, [6.0, NO, 6.4])
    assert np.isnan(place.thunder_chance).all()
    assert forecast.notes == (
        "the forecast leaves out gusts at 1 of 3 times",
        "the forecast says nothing of the chance of thunder",
    )


@pytest.mark.parametrize("name", [name for name, amount in AMOUNTS.items() if "chance" not in amount.column])
def test_any_amount_may_be_missing(name: str) -> None:
    def drop(document: dict[str, Any]) -> None:
        del document["properties"]["meta"]["units"][name]
        for step in steps(document):
            for span in step["data"].values():
                span["details"].pop(name, None)

    forecast = read(changed(drop))
    assert f"the forecast says nothing of {AMOUNTS[name].words}" in forecast.notes


def test_null_and_missing_blocks_are_missing() -> None:
    def empty(document: dict[str, Any]) -> None:
        steps(document)[0]["data"]["instant"]["details"]["air_temperature"] = None
        del steps(document)[1]["data"]["instant"]
        steps(document)[2]["data"]["next_1_hours"] = {"summary": {}}

    forecast = read(changed(empty))
    (place,) = forecast.places
    assert np.isnan(place.temperature_C).tolist() == [True, True, False, False, False, False]
    # The hour's own rain is gone: its six hours hold 2.9, and none of the other five is known by itself.
    assert place.rain_mm[2] == pytest.approx(2.9 / 6.0)
    assert place.rain_mm[3] == pytest.approx(4.2)
    assert place.rain_chance[2] == pytest.approx(0.419)
    assert "rain at 1 times is an even part of six hours' rain" in forecast.notes
    assert "1 chances are those of six hours, for fewer: the careful side" in forecast.notes


@pytest.mark.parametrize("name", list(AMOUNTS))
@pytest.mark.parametrize("unit", ["fahrenheit", "", 1, None])
def test_another_unit_is_refused(name: str, unit: Any) -> None:
    (problem,) = problems(changed(lambda document: document["properties"]["meta"]["units"].update({name: unit})))
    assert f"properties.meta.units.{name}" in problem
    assert "unit" in problem


def test_every_wrong_unit_at_once() -> None:
    found = problems(changed(lambda document: document["properties"]["meta"].pop("units")))
    assert len(found) == len(AMOUNTS)


@pytest.mark.parametrize(
    ("name", "value"),
    [("air_temperature", -81.0), ("air_temperature", 56.0), ("relative_humidity", 100.5), ("wind_speed", -0.1)],
)
def test_values_past_belief_are_left_out_and_said(name: str, value: float) -> None:
    def put(document: dict[str, Any]) -> None:
        steps(document)[0]["data"]["instant"]["details"][name] = value

    forecast = read(changed(put))
    assert any("1 values outside" in note for note in forecast.notes)
    (place,) = forecast.places
    held = {"air_temperature": place.temperature_C, "relative_humidity": place.humidity_share}.get(name, place.wind_m_s)
    assert np.isnan(held).tolist() == [True] + [False] * 5


def test_gusts_may_be_stronger_than_wind() -> None:
    def put(document: dict[str, Any]) -> None:
        steps(document)[0]["data"]["instant"]["details"].update(wind_speed=100.0, wind_speed_of_gust=100.0)

    (place,) = read(changed(put)).places
    assert np.isnan(place.wind_m_s[0])
    assert place.gust_m_s[0] == 100.0


@pytest.mark.parametrize("value", ["4.3", True, [4.3], {}, 10**400])
def test_what_is_no_number_is_refused(value: Any) -> None:
    def put(document: dict[str, Any]) -> None:
        steps(document)[1]["data"]["instant"]["details"]["air_temperature"] = value

    (problem,) = problems(changed(put))
    assert "timeseries[1].data.instant.details.air_temperature" in problem


def test_times_must_rise_and_have_a_zone() -> None:
    assert "do not rise" in problems(changed(lambda document: steps(document).reverse()))[0]
    assert "do not rise" in problems(changed(lambda document: steps(document).insert(0, steps(document)[0])))[0]
    for bad in ("2031-06-14T09:00:00", "at nine", None, 9):
        found = problems(changed(lambda document, bad=bad: steps(document)[2].update(time=bad)))
        assert len(found) == 1
        assert "timeseries[2].time" in found[0]
    many = problems(changed(lambda document: [step.update(time="") for step in steps(document)]))
    assert len(many) == 4
    assert "3 more" in many[3]


@pytest.mark.parametrize("other", [[], {}, 7, None, "words", {"properties": []}, {"properties": {"timeseries": {}}}])
def test_json_of_another_form(other: Any) -> None:
    found = problems(other)
    assert any("holds no times" in problem for problem in found)
    assert any("which place" in problem for problem in found)


@pytest.mark.parametrize(
    "body", [b"", b"<html></html>", b"\xff\xfe", b'{"type": NaN}', b'{"type": -Infinity}', b"[" * 100_000]
)
def test_no_json(body: bytes) -> None:
    with pytest.raises(NoAnswerError, match="no whole JSON"):
        read(body)


@given(st.integers(0, len(answer_body("newer_hours").rstrip()) - 1))
def test_cut_off_anywhere(length: int) -> None:
    with pytest.raises(NoAnswerError, match="no whole JSON"):
        read(answer_body("newer_hours")[:length])


def test_the_answer_is_for_the_place_asked() -> None:
    (problem,) = problems(changed(lambda document: document["geometry"].update(coordinates=[-34.5679, 12.5, 1850])))
    assert "another place" in problem
    (problem,) = problems(changed(lambda document: document["geometry"].update(coordinates=[34.5679, 12.3457, 1850])))
    assert "another place" in problem
    # The date line is no distance.
    sent = json.dumps(changed(lambda document: document["geometry"].update(coordinates=[-180.0, 12.3457, 1]))).encode()
    across = read_answer(sent, latitude_deg=12.3457, longitude_deg=179.99, elevation_m=1.0, said_by="")
    assert across.places[0].elevation_m == 1.0


def test_heights() -> None:
    assert "the forecast is for 1850 m, asked for 2100 m" in read(WHOLE, height_m=2100.0).notes
    unasked = read(WHOLE, height_m=NO)
    assert unasked.places[0].elevation_m == 1850.0
    assert not any("asked for" in note for note in unasked.notes)
    flat = changed(lambda document: document["geometry"]["coordinates"].pop())
    assert read(flat).places[0].elevation_m == HEIGHT
    assert math.isnan(read(flat, height_m=NO).places[0].elevation_m)


@pytest.mark.parametrize("height_m", [-501, 9001])
def test_a_height_past_belief(height_m: int) -> None:
    odd = read(changed(lambda document: document["geometry"]["coordinates"].__setitem__(2, height_m)))
    assert odd.places[0].elevation_m == HEIGHT
    assert any("not believed" in note for note in odd.notes)


def test_not_said_when_made() -> None:
    forecast = read(changed(lambda document: document["properties"]["meta"].pop("updated_at")))
    assert math.isnan(forecast.issued_s)
    assert "the service does not say when the forecast was made" in forecast.notes


@given(
    st.recursive(
        st.none() | st.booleans() | st.floats(allow_nan=False, allow_infinity=False) | st.text(), st.lists, max_leaves=8
    )
)
def test_whatever_stands_somewhere_is_read_or_refused(value: Any) -> None:
    """No other error than the two that are promised, wherever something odd stands."""
    for key in ("geometry", "properties"):
        with pytest.raises(InputError):
            read(changed(lambda document, key=key: document.update({key: value})))
    for put in (
        lambda document: steps(document).append(value),
        lambda document: document["properties"].update(meta=value),
        lambda document: steps(document)[0].update(data=value),
        lambda document: document["geometry"].update(coordinates=value),
    ):
        with contextlib.suppress(InputError):
            assert len(read(changed(put)).places) == 1
