"""A forecast written as CSV and read back: the same one, digit for digit."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.weather.forecast import FloatArray, Forecast, ForecastPlace
from handline.weather.forecast_columns import COLUMNS
from handline.weather.forecast_csv import read_forecast_csv
from handline.weather.forecast_writing import forecast_csv_text
from handline.weather.live.met_norway_answer import read_answer

NO = math.nan
VALUES = ("temperature_C", "humidity_share", "wind_m_s", "gust_m_s", "cloud_share", "rain_mm", "rain_chance")
ANSWER = Path(__file__).with_name("live") / "answers" / "hours_then_six.json"


def place_of(name: str = "", elevation_m: float = NO, **values: list[float]) -> ForecastPlace:
    count = len(next(iter(values.values())))
    held = {key: np.full(count, NO) for key in (*VALUES, "thunder_chance")}
    held |= {key: np.array(value, float) for key, value in values.items()}
    held.setdefault("time_s", 1_938_600_000.0 + 3600.0 * np.arange(count))
    return ForecastPlace(name=name, elevation_m=elevation_m, **held)


def back(forecast: Forecast, folder: Path) -> Forecast:
    path = folder / "forecast.csv"
    path.write_text(forecast_csv_text(forecast), encoding="utf-8")
    return read_forecast_csv(path, "UTC")


def same(found: FloatArray, wanted: FloatArray) -> bool:
    """Equal but for the last bit, which a per cent may not be able to hold."""
    return bool(np.allclose(found, wanted, rtol=3e-16, atol=0.0, equal_nan=True))


def assert_same(found: Forecast, wanted: Forecast) -> None:
    assert found.said_by == wanted.said_by
    assert found.issued_s == pytest.approx(wanted.issued_s, abs=0.0, nan_ok=True)
    assert [place.name for place in found.places] == [place.name for place in wanted.places]
    for one, other in zip(found.places, wanted.places, strict=True):
        assert one.elevation_m == pytest.approx(other.elevation_m, abs=0.0, nan_ok=True)
        assert one.time_s.tolist() == other.time_s.tolist()
        for key in (*VALUES, "thunder_chance"):
            assert same(getattr(one, key), getattr(other, key)), key


def test_the_text() -> None:
    forecast = Forecast(
        (
            place_of(
                "Fen, hut", 1234.5, temperature_C=[-0.5, 10.0], rain_mm=[0.0, 12.25], humidity_share=[0.07, 57 * 0.01]
            ),
            place_of("Slab", temperature_C=[3.0], cloud_share=[1.0], thunder_chance=[0.125]),
        ),
        1_938_599_999.0,
        "our own\neyes",
        ("one thing",),
    )
    assert forecast_csv_text(forecast).splitlines() == [
        "# issued: 2031-06-07T11:59:59Z",
        "# source: our own eyes",
        "# note: one thing",
        "time,place,elevation_m,temperature_C,humidity_pct,wind_m_s,gust_m_s,cloud_pct,rain_mm,rain_chance_pct,"
        "thunder_chance_pct",
        '2031-06-07T12:00:00Z,"Fen, hut",1234.5,-0.5,7,,,,0,,',
        '2031-06-07T13:00:00Z,"Fen, hut",1234.5,10,57,,,,12.25,,',
        "2031-06-07T12:00:00Z,Slab,,3,,,,100,,,12.5",
    ]


def test_nothing_known_is_left_out() -> None:
    text = forecast_csv_text(Forecast((place_of(temperature_C=[NO, -0.0]),), NO, ""))
    assert "#" not in text
    assert text.splitlines()[1:] == ["2031-06-07T12:00:00Z,,,,,,,,,,", "2031-06-07T13:00:00Z,,,0,,,,,,,"]


def test_every_column_is_one_that_is_read() -> None:
    header = forecast_csv_text(Forecast((place_of(temperature_C=[1.0]),), NO, "")).splitlines()[0].split(",")
    assert set(header) <= set(COLUMNS)
    assert {COLUMNS[name].quantity for name in header} == {column.quantity for column in COLUMNS.values()} - {
        "dew_point"
    }


def test_a_live_forecast_comes_back(tmp_path: Path) -> None:
    forecast = read_answer(
        ANSWER.read_bytes(), latitude_deg=12.3457, longitude_deg=-34.5679, elevation_m=1850.0, said_by="the service"
    )
    assert_same(back(forecast, tmp_path), forecast)


def test_tenths_of_a_per_cent_stay_short() -> None:
    shares = [tenth / 10.0 * 0.01 for tenth in range(1001)]
    text = forecast_csv_text(Forecast((place_of(temperature_C=[1.0] * 1001, cloud_share=shares),), NO, ""))
    assert [line.split(",")[7] for line in text.splitlines()[1:]] == [f"{tenth / 10.0:g}" for tenth in range(1001)]


@pytest.mark.parametrize(
    ("written", "thunder"), [(["0", "1", "1", ""], [0.0, 0.004, 0.01, NO]), (["0.4"], [0.004, 0.5])]
)
def test_chances_below_one_per_cent(written: list[str], thunder: list[float], tmp_path: Path) -> None:
    """Alone they would be taken for shares, and are written as one per cent; beside greater ones they stay."""
    forecast = Forecast((place_of(temperature_C=[1.0] * len(thunder), thunder_chance=thunder),), NO, "")
    text = forecast_csv_text(forecast)
    rows = [line for line in text.splitlines() if not line.startswith("#")][1:]
    assert [row.split(",")[10] for row in rows][: len(written)] == written
    assert ("# note: thunder_chance_pct: less than one per cent is written as 1" in text) == (len(written) > 1)
    found = back(forecast, tmp_path).places[0].thunder_chance
    wanted = [0.0, 0.01, 0.01, NO] if len(written) > 1 else thunder
    assert same(found, np.array(wanted))


def numbers(lowest: float, highest: float) -> st.SearchStrategy[float]:
    return st.one_of(st.just(NO), st.floats(lowest, highest), st.integers(int(lowest), int(highest)).map(float))


rows = st.tuples(
    numbers(-80, 55), numbers(0, 1), numbers(0, 90), numbers(0, 120), numbers(0, 1), numbers(0, 500), numbers(0, 1)
)


@given(st.lists(rows, min_size=1, max_size=6), numbers(-500, 9000), st.integers(0, 2**31), st.integers(0, 999_999))
def test_any_forecast_comes_back(
    tmp_path_factory: pytest.TempPathFactory,
    held: list[tuple[float, ...]],
    elevation_m: float,
    issued_s: int,
    part: int,
) -> None:
    values = {key: [row[i] for row in held] for i, key in enumerate(VALUES)}
    # The reader needs one temperature, and per cents that are not all below one.
    values["temperature_C"][0] = 1.0 / 3.0
    for key in ("humidity_share", "cloud_share", "rain_chance"):
        values[key][0] = 0.5
    # To the second as a forecast has it, and to a part of one.
    time_s = [float(issued_s + 3600 * i) for i in range(len(held))]
    place = place_of("Somewhere", elevation_m, **values, time_s=time_s)
    forecast = Forecast((place,), float(f"{issued_s}.{part:06d}"), "words")
    assert_same(back(forecast, tmp_path_factory.mktemp("csv")), forecast)
