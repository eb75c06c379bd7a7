"""Shaded ground against another library's light, another one's slopes, and slopes known in closed form."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.cbook import get_sample_data
from matplotlib.colors import LightSource
from scipy.ndimage import sobel

from handline.route.hillshade import (
    LIGHT_FROM_DEG,
    LIGHT_HEIGHT_DEG,
    block_means,
    grades,
    hillshade,
)
from handline.route.track import Array


def plane(to_east: float, to_north: float, cell_m: float) -> Array:
    row, column = np.mgrid[0:5, 0:6]
    return cell_m * (to_east * column + to_north * row)


@pytest.fixture(scope="module")
def ground() -> tuple[Array, float]:
    """matplotlib's sample terrain model: hills of some hundred metres in cells of 83 m, here from the south up."""
    with get_sample_data("jacksboro_fault_dem.npz") as dem:
        return np.asarray(dem["elevation"], dtype=float)[::-1], 83.0


def test_grades_are_those_of_sobel(ground: tuple[Array, float]) -> None:
    """scipy.ndimage.sobel has the same weights, eight times: rows rise to the north."""
    height_m, cell_m = ground
    to_east, to_north = grades(height_m, cell_m)
    inside = (slice(1, -1), slice(1, -1))
    assert to_east == pytest.approx(sobel(height_m, axis=1)[inside] / (8.0 * cell_m), abs=1e-9)
    assert to_north == pytest.approx(sobel(height_m, axis=0)[inside] / (8.0 * cell_m), abs=1e-9)


def test_shade_is_that_of_another_librarys_light(ground: tuple[Array, float]) -> None:
    """matplotlib's LightSource over scipy's slopes; it stretches its answer from the least to the most, so ours too."""
    height_m, cell_m = ground
    inside = (slice(1, -1), slice(1, -1))
    east, north = (sobel(height_m, axis=axis)[inside] / (8.0 * cell_m) for axis in (1, 0))
    normals = np.dstack((-east, -north, np.ones_like(east)))
    normals /= np.linalg.norm(normals, axis=2)[..., None]
    expected = LightSource(azdeg=LIGHT_FROM_DEG, altdeg=LIGHT_HEIGHT_DEG).shade_normals(normals)
    shade = hillshade(height_m, cell_m)
    assert shade.min() > 0.0, "nothing here is turned away from the light"
    stretched = (shade - shade.min()) / (shade.max() - shade.min())
    assert stretched == pytest.approx(np.asarray(expected), abs=1e-9)


@given(st.floats(-2.0, 2.0), st.floats(-2.0, 2.0), st.floats(1.0, 500.0))
def test_a_plane_has_its_own_grades(to_east: float, to_north: float, cell_m: float) -> None:
    found = grades(plane(to_east, to_north, cell_m), cell_m)
    assert found[0] == pytest.approx(np.full((3, 4), to_east), abs=1e-9)
    assert found[1] == pytest.approx(np.full((3, 4), to_north), abs=1e-9)


def test_ground_that_faces_the_light_is_brightest_and_level_ground_has_the_sine_of_its_height() -> None:
    """A plane at right angles to the light has 1, by the angle between light and normal; turned away it is dark."""
    steep = np.sqrt(0.5)  # down to the north-west at 45 degrees
    assert hillshade(plane(0.0, 0.0, 10.0), 10.0) == pytest.approx(np.full((3, 4), np.sqrt(0.5)))
    assert hillshade(plane(steep, -steep, 10.0), 10.0) == pytest.approx(np.ones((3, 4)))
    assert hillshade(plane(-3.0, 3.0, 10.0), 10.0) == pytest.approx(np.zeros((3, 4)))
    lit_from_east = hillshade(plane(-0.5, 0.0, 10.0), 10.0, light_from_deg=90.0, light_height_deg=30.0)
    # cos of 60 - 26.57 degrees: the light stands 30 degrees high, the ground falls towards it by arctan 0.5.
    assert lit_from_east == pytest.approx(np.full((3, 4), np.cos(np.radians(60.0) - np.arctan(0.5))))


def test_a_cell_beside_a_gap_is_not_known() -> None:
    height_m = plane(0.1, 0.2, 10.0)
    height_m[0, 0] = np.nan
    shade = hillshade(height_m, 10.0)
    assert np.isnan(shade[0, 0])
    assert np.count_nonzero(np.isnan(shade)) == 1


def test_blocks_are_means_and_what_is_over_is_left_out() -> None:
    values = np.arange(35.0).reshape(5, 7)
    assert block_means(values, 2).tolist() == [[4.0, 6.0, 8.0], [18.0, 20.0, 22.0]]
    values[0, 0] = np.nan
    assert np.isnan(block_means(values, 2)).tolist() == [[True, False, False], [False, False, False]]
