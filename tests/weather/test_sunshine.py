from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.weather.sunshine import clear_beam_W_m2, clear_level_W_m2, sky_view_share, sun_on_plane_W_m2
from tests.tables.published import read_table


@pytest.mark.parametrize("row", read_table("sunshine"), ids=lambda row: f"{row['what']} {row['altitude_deg']}")
def test_against_its_table(row: dict[str, str]) -> None:
    altitude_deg = float(row["altitude_deg"])
    if row["what"] == "plane":
        cosine, shines, slope, cloud = (
            float(row[key]) for key in ("incidence_cos", "shines_share", "slope_deg", "cloud_share")
        )
        found = sun_on_plane_W_m2(altitude_deg, cosine, shines, slope, cloud)
    else:
        found = {"beam": clear_beam_W_m2, "level": clear_level_W_m2}[row["what"]](altitude_deg)
    assert float(found) == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_beam_never_brings_more_than_falls_on_level_ground() -> None:
    altitude_deg = np.linspace(2.0, 90.0, 2_000)
    assert (clear_beam_W_m2(altitude_deg) * np.sin(np.radians(altitude_deg)) <= clear_level_W_m2(altitude_deg)).all()


@given(st.floats(0.1, 90.0), st.floats(0.0, 1.0))
def test_on_level_ground_it_is_the_level_formula_under_cloud(altitude_deg: float, cloud: float) -> None:
    found = float(sun_on_plane_W_m2(altitude_deg, np.sin(np.radians(altitude_deg)), 1.0, 0.0, cloud))
    assert found == pytest.approx(float(clear_level_W_m2(altitude_deg)) * (1.0 - 0.75 * cloud**3.4))


@given(st.floats(-90, 90), st.floats(-1, 1), st.floats(0, 1), st.floats(0, 90), st.floats(0, 1))
def test_never_below_nothing_and_less_behind_the_ridge(a: float, c: float, q: float, slope: float, n: float) -> None:
    open_sky, hidden = (float(sun_on_plane_W_m2(a, c, share, slope, n)) for share in (1.0, q))
    assert 0.0 <= hidden <= open_sky
    # Under two degrees a plane edge-on to the sun has nothing: all that shines is taken as beam.
    assert open_sky > 0.0 if a > 2.0 else a > 0.0 or open_sky == 0.0


def test_shapes_night_and_unknown() -> None:
    altitude = np.array([-5.0, 0.0, 40.0, np.nan])
    found = sun_on_plane_W_m2(altitude, np.full(4, 0.5), np.ones(4), 50.0, np.full((3, 4), 0.2))
    assert found.shape == (3, 4)
    assert (found[:, :2] == 0.0).all()
    assert (found[:, 2] > 100.0).all()
    assert np.isnan(found[:, 3]).all()
    for bad in ((91.0, 0.5, 1.0, 0.2), (40.0, 1.5, 1.0, 0.2), (40.0, 0.5, 1.1, 0.2), (40.0, 0.5, 1.0, -0.1)):
        assert np.isnan(sun_on_plane_W_m2(*bad[:3], 50.0, bad[3]))


def test_limits_are_where_they_are_said() -> None:
    assert np.isfinite(clear_beam_W_m2(np.array([-90.0, 90.0]))).all()
    assert np.isnan(clear_beam_W_m2(np.array([-90.001, 90.001]))).all()
    assert np.isnan(sky_view_share(np.array([-0.001, 90.001]))).all()


def test_sky_view() -> None:
    assert sky_view_share(np.array([0.0, 60.0, 90.0])) == pytest.approx(np.array([1.0, 0.75, 0.5]))
    assert np.isnan(sky_view_share(100.0))
