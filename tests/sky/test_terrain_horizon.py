"""Horizons of terrain: by hand, by brute force on a real terrain model, and by what must hold of any."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib import cbook

from handline.sky.curve import FloatArray
from handline.sky.terrain_horizon import horizon_of_grid
from tests.referees.ray_march import height_at_m, ray_horizon_deg, sea_deg
from tests.tables.published import read_table

ROWS = read_table("horizon")


def expected(what: str, distance_m: float, eye_m: float) -> tuple[float, float]:
    (row,) = (
        row for row in ROWS if (row["what"], float(row["distance_m"]), float(row["eye_m"])) == (what, distance_m, eye_m)
    )
    return float(row["expected"]), float(row["tolerance"])


@pytest.mark.parametrize("eye_m", [2.0, 1000.0])
def test_a_plain_has_the_dip_of_the_sea(eye_m: float) -> None:
    """Closed form; the plain is wide enough for its own horizon at 2 m, and ends before it at 1,000 m."""
    axis_m = np.arange(-120, 121) * 50.0
    altitude_deg, tolerance = expected("dip", 0.0, eye_m)
    found = horizon_of_grid(np.zeros((241, 241)), axis_m, axis_m, eye_height_m=eye_m)
    assert found.altitude_deg == pytest.approx(np.full(360, altitude_deg), abs=tolerance)


def test_a_high_plain_is_its_own_horizon() -> None:
    """Eyes are by default 2 m up. It is its own horizon, 5.4 km off: the sea far under it does not count."""
    axis_m = np.arange(-140, 141) * 50.0
    altitude_deg, _ = expected("dip", 0.0, 2.0)
    found = horizon_of_grid(np.full((281, 281), 1500.0), axis_m, axis_m)
    assert found.altitude_deg == pytest.approx(np.full(360, altitude_deg), abs=1e-8)


@pytest.mark.parametrize(("distance_m", "height_m", "eye_m"), [(60_000.0, 3000.0, 2.0), (600.0, 300.0, 0.0)])
def test_a_wall(distance_m: float, height_m: float, eye_m: float) -> None:
    """A north-south wall: atan of its height less the eye and the drop of the Earth, over its distance."""
    cell_m = distance_m / 20.0
    axis_m = np.arange(-22, 23) * cell_m
    heights_m = np.zeros((45, 45))
    heights_m[:, 42] = height_m
    altitude_deg, tolerance = expected("wall", distance_m, eye_m)
    found = horizon_of_grid(heights_m, axis_m, axis_m, eye_height_m=eye_m, azimuths=8)
    assert found.altitude_deg[2] == pytest.approx(altitude_deg, abs=tolerance)
    farther_m = distance_m * np.sqrt(2.0)
    drop_m = farther_m**2 * 0.87 / (2.0 * 6_371_008.8)
    slant_deg = np.degrees(np.arctan((height_m - eye_m - drop_m) / farther_m))
    assert found.altitude_deg[[1, 3]] == pytest.approx([slant_deg, slant_deg], abs=1e-9)
    assert -0.1 < found.altitude_deg[6] <= 0.0


@pytest.mark.parametrize("away_m", [400.0, 1000.0, 2500.0])
def test_a_cone(away_m: float) -> None:
    """Exact: the tangent from a point of the plain touches a cone at its top, if that is steep enough."""
    axis_m = np.arange(-400, 401) * 10.0
    east_m, north_m = np.meshgrid(axis_m, axis_m)
    heights_m = np.maximum(500.0 - np.hypot(east_m, north_m - away_m), 0.0)
    found = horizon_of_grid(heights_m, axis_m, axis_m, eye_height_m=0.0, azimuths=4, ground_m=0.0)
    if away_m == 400.0:
        own_m = 100.0  # on its side: 45 degrees up to the top, whatever the step
        found = horizon_of_grid(heights_m, axis_m, axis_m, eye_height_m=0.0, azimuths=4)
        assert found.altitude_deg[0] == pytest.approx(np.degrees(np.arctan((500.0 - own_m) / away_m)), abs=0.01)
    else:
        assert found.altitude_deg[0] == pytest.approx(np.degrees(np.arctan(500.0 / away_m)), abs=0.01)
        assert found.altitude_deg[2] == pytest.approx(0.0, abs=0.01)


def test_a_top_between_the_lines_of_the_grid_is_seen() -> None:
    """A saddle of one cell, zero at two corners: on its diagonal the height is 2 x 50 x share x (1 - share)."""
    axis_m = np.arange(-5, 6) * 100.0
    heights_m = np.zeros((11, 11))
    heights_m[7, 8] = heights_m[8, 7] = 50.0
    found = horizon_of_grid(heights_m, axis_m, axis_m, eye_height_m=0.0, azimuths=8)
    away_m = np.linspace(200.0, 300.0, 100_001)
    share = (away_m - 200.0) / 100.0
    along_m = away_m * np.sqrt(2.0)
    tangent = 2.0 * 50.0 * share * (1.0 - share) / along_m - along_m * 0.87 / (2.0 * 6_371_008.8)
    assert found.altitude_deg[1] == pytest.approx(np.degrees(np.arctan(tangent.max())), abs=1e-6)


@pytest.fixture(scope="module")
def real_heights() -> FloatArray:
    """Open data: matplotlib's jacksboro_fault_dem, first row the southernmost; cells of about 74 by 92 m."""
    with cbook.get_sample_data("jacksboro_fault_dem.npz") as sample:
        return np.asarray(sample["elevation"][::-1], dtype=float)


def test_a_real_terrain_has_the_horizon_of_brute_force(real_heights: FloatArray) -> None:
    """Referee: a plain loop of small steps; 0.05 degrees at the worst, at places on and between the nodes."""
    rng = np.random.default_rng(11)
    rows, columns = real_heights.shape
    worst_deg, highest_deg = 0.0, -90.0
    for _ in range(60):
        row, column = rng.integers(10, rows - 10), rng.integers(10, columns - 10)
        window = real_heights[max(row - 80, 0) : row + 80, max(column - 80, 0) : column + 80]
        east_m = (np.arange(window.shape[1]) - min(column, 80) - rng.uniform(0.0, 1.0)) * 74.4
        north_m = (np.arange(window.shape[0]) - min(row, 80) - rng.uniform(0.0, 1.0)) * 92.5
        found = horizon_of_grid(window, east_m, north_m)
        as_lists = window.tolist(), east_m.tolist(), north_m.tolist()
        for ray in rng.integers(0, 360, 5):
            brute_deg = ray_horizon_deg(*as_lists, float(ray), eye_m=2.0)
            eye_over_sea_m = 2.0 + (height_at_m(*as_lists, 0.0, 0.0) or 0.0)
            seen_deg = max(brute_deg, sea_deg(eye_over_sea_m))  # the open sea beyond the grid may stand higher
            worst_deg = max(worst_deg, abs(float(found.altitude_deg[ray]) - seen_deg))
            highest_deg = max(highest_deg, brute_deg)
    assert worst_deg < 0.05
    assert highest_deg > 15.0


def test_rough_ground_has_the_horizon_of_brute_force() -> None:
    """As above on invented heights, rougher than any ground: the bends within a cell are what counts here."""
    rng = np.random.default_rng(3)
    axis_m = (np.arange(41) - 20.3) * 30.0
    for _ in range(5):
        heights_m = rng.uniform(0.0, 60.0, (41, 41))
        found = horizon_of_grid(heights_m, axis_m, axis_m)
        for ray in rng.integers(0, 360, 4):
            as_lists = heights_m.tolist(), axis_m.tolist(), axis_m.tolist()
            brute_deg = ray_horizon_deg(*as_lists, float(ray), eye_m=2.0, finer=8.0)
            assert found.altitude_deg[ray] == pytest.approx(brute_deg, abs=0.02)


def grid_of(seed: int) -> tuple[FloatArray, FloatArray]:
    rng = np.random.default_rng(seed)
    heights_m = np.cumsum(np.cumsum(rng.normal(0.0, 8.0, (25, 25)), axis=0), axis=1)
    return heights_m, (np.arange(25) - 12.0) * 50.0


@given(seed=st.integers(0, 10_000), raised=st.integers(0, 624), by_m=st.floats(0.0, 500.0))
@settings(deadline=None, max_examples=60)
def test_raising_the_ground_never_lowers_the_horizon(seed: int, raised: int, by_m: float) -> None:
    heights_m, axis_m = grid_of(seed)
    higher_m = heights_m.copy()
    higher_m.flat[raised] += by_m
    own_m = float(heights_m[12, 12])
    before = horizon_of_grid(heights_m, axis_m, axis_m, azimuths=72, ground_m=own_m).altitude_deg
    after = horizon_of_grid(higher_m, axis_m, axis_m, azimuths=72, ground_m=own_m).altitude_deg
    assert np.all(after >= before - 1e-9)


@given(seed=st.integers(0, 10_000), eye_m=st.floats(0.0, 50.0), more_m=st.floats(0.0, 50.0))
@settings(deadline=None, max_examples=40)
def test_a_higher_eye_never_sees_a_higher_horizon(seed: int, eye_m: float, more_m: float) -> None:
    heights_m, axis_m = grid_of(seed)
    low = horizon_of_grid(heights_m, axis_m, axis_m, eye_height_m=eye_m, azimuths=36).altitude_deg
    high = horizon_of_grid(heights_m, axis_m, axis_m, eye_height_m=eye_m + more_m, azimuths=36).altitude_deg
    assert np.all(high <= low + 1e-9)


@given(seed=st.integers(0, 10_000), quarters=st.integers(1, 3))
@settings(deadline=None, max_examples=40)
def test_turning_the_grid_turns_the_horizon(seed: int, quarters: int) -> None:
    heights_m, axis_m = grid_of(seed)
    before = horizon_of_grid(heights_m, axis_m, axis_m, azimuths=72)
    after = horizon_of_grid(np.rot90(heights_m, quarters), axis_m, axis_m, azimuths=72)  # with north up, to the right
    assert after.altitude_at(before.azimuth_deg + 90.0 * quarters) == pytest.approx(before.altitude_deg, abs=1e-6)


def test_rows_from_the_north_and_columns_from_the_east_are_the_same_ground() -> None:
    heights_m, axis_m = grid_of(5)
    plain = horizon_of_grid(heights_m, axis_m + 10.0, axis_m - 20.0)
    turned = horizon_of_grid(heights_m[::-1, ::-1], axis_m[::-1] + 10.0, axis_m[::-1] - 20.0)
    assert turned.altitude_deg == pytest.approx(plain.altitude_deg, abs=1e-9)


def test_a_place_on_the_edge_sees_the_ground_it_has() -> None:
    axis_m = np.arange(-10, 1) * 100.0
    heights_m = np.zeros((11, 11))
    heights_m[:, 5] = 300.0
    heights_m[5, :] = 200.0
    found = horizon_of_grid(heights_m, axis_m, axis_m, eye_height_m=0.0, azimuths=4)
    assert found.altitude_deg[[2, 3]] == pytest.approx(np.degrees(np.arctan([200.0 / 500.0, 300.0 / 500.0])), abs=0.01)
    assert found.altitude_deg[:2] == pytest.approx([0.0, 0.0], abs=0.001)


def test_ground_within_a_cell_and_a_place_lower_than_the_grid() -> None:
    """A slab cut into a plain of 100 m: the grid cannot know how near its rim is, and shows it a cell away."""
    axis_m = np.arange(-10, 11) * 50.0
    found = horizon_of_grid(np.full((21, 21), 100.0), axis_m, axis_m, eye_height_m=2.0, ground_m=90.0)
    assert found.altitude_deg == pytest.approx(np.full(360, np.degrees(np.arctan(8.0 / 50.0))), abs=0.001)


def test_holes_are_said_and_do_not_hide_what_is_known() -> None:
    heights_m, axis_m = np.zeros((21, 21)), np.arange(-10, 11) * 50.0
    heights_m[:, 18] = 400.0
    whole = horizon_of_grid(heights_m, axis_m, axis_m, notes=("it ends",))
    heights_m[:, 14:16] = np.nan
    holed = horizon_of_grid(heights_m, axis_m, axis_m)
    assert whole.notes == ("it ends",)
    assert holed.notes == ("9.5% of the grid has no height; what stands there is not seen",)
    assert horizon_of_grid(heights_m, axis_m, axis_m, notes=("it has a gap",)).notes == ("it has a gap",)
    assert holed.altitude_deg[90] == pytest.approx(whole.altitude_deg[90])
    heights_m[10, 10] = np.nan
    with pytest.raises(ValueError, match="no height at the place"):
        horizon_of_grid(heights_m, axis_m, axis_m)
    assert horizon_of_grid(heights_m, axis_m, axis_m, ground_m=0.0).altitude_deg[90] == holed.altitude_deg[90]


AXIS_M = np.arange(-5, 6) * 10.0
FLAT_M = np.zeros((11, 11))


@pytest.mark.parametrize(
    ("heights_m", "east_m", "north_m", "more", "words"),
    [
        (FLAT_M, AXIS_M[:-1], AXIS_M, {}, "do not fit"),
        (FLAT_M[:1], AXIS_M, AXIS_M[:1], {}, "two at least"),
        (FLAT_M, AXIS_M**3, AXIS_M, {}, "evenly"),
        (FLAT_M, AXIS_M, np.zeros(11), {}, "evenly"),
        (FLAT_M, AXIS_M + 51.0, AXIS_M, {}, "not on the grid"),
        (FLAT_M, AXIS_M, AXIS_M - 51.0, {}, "not on the grid"),
        (FLAT_M, AXIS_M, AXIS_M, {"azimuths": 0}, "one ray"),
        (FLAT_M, AXIS_M, AXIS_M, {"eye_height_m": -0.1}, "under the ground"),
        (FLAT_M, AXIS_M, AXIS_M, {"eye_height_m": np.nan}, "under the ground"),
    ],
)
def test_grids_that_do_not_fit_are_refused(
    heights_m: FloatArray, east_m: FloatArray, north_m: FloatArray, more: dict[str, float], words: str
) -> None:
    with pytest.raises(ValueError, match=words):
        horizon_of_grid(heights_m, east_m, north_m, **more)  # type: ignore[arg-type]
