"""Metric grids around a place, from terrain models in several coordinate systems."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import rasterio
from pyproj import Geod, Transformer

from handline.errors import TerrainError
from handline.quantity import in_units
from handline.route import terrain_grid
from handline.route.terrain import sample_terrain_m
from handline.route.terrain_grid import TerrainGrid, read_terrain_grid
from handline.sky.terrain_horizon import horizon_of_grid
from tests.route.test_terrain import written

EXAMPLE = Path(__file__).parents[2] / "examples" / "tamsin-dome" / "terrain.tif"
LATITUDE, LONGITUDE = 46.58, -113.45
GEOD = Geod(ellps="WGS84")


EACH = 7
SOME = (slice(None, None, EACH), slice(None, None, EACH))


def positions(grid: TerrainGrid) -> tuple[np.ndarray, np.ndarray]:
    """Referee: geodesics in the direction and over the distance of every seventh node both ways."""
    east_m, north_m = np.meshgrid(grid.east_m[::EACH], grid.north_m[::EACH])
    start = np.full(east_m.shape, grid.longitude_deg), np.full(east_m.shape, grid.latitude_deg)
    azimuth_deg = np.degrees(np.arctan2(east_m, north_m))
    longitude, latitude, _ = GEOD.fwd(*start, azimuth_deg, np.hypot(east_m, north_m))
    return np.asarray(latitude), np.asarray(longitude)


def at_place(grid: TerrainGrid) -> float:
    return float(grid.height_m[np.argmin(np.abs(grid.north_m)), np.argmin(np.abs(grid.east_m))])


def hilly(rows: int, columns: int) -> np.ndarray:
    row, column = np.mgrid[0:rows, 0:columns]
    return (1000.0 + 200.0 * np.sin(column / 9.0) + 150.0 * np.cos(row / 7.0)).astype(np.float32)


def test_heights_lie_where_geodesics_lead() -> None:
    """The example in degrees: nodes against a sample at the place where a geodesic ends; 3 cm."""
    grid = read_terrain_grid(EXAMPLE, LATITUDE, LONGITUDE)
    expected_m = sample_terrain_m(EXAMPLE, *(part.ravel() for part in positions(grid))).reshape(
        grid.height_m[SOME].shape
    )
    known = np.isfinite(expected_m) & np.isfinite(grid.height_m[SOME])
    assert np.mean(known) > 0.98
    assert grid.height_m[SOME][known] == pytest.approx(expected_m[known], abs=0.03)
    assert at_place(grid) == pytest.approx(sample_terrain_m(EXAMPLE, np.array([LATITUDE]), np.array([LONGITUDE]))[0])
    assert np.diff(grid.east_m) == pytest.approx(np.diff(grid.north_m)[0])
    assert 0.0 in grid.east_m
    assert 0.0 in grid.north_m
    assert (grid.latitude_deg, grid.longitude_deg, grid.file) == (LATITUDE, LONGITUDE, str(EXAMPLE))


@pytest.mark.parametrize(
    ("latitude", "longitude", "corner", "cell", "crs"),
    [
        (46.58, -113.45, (-114.0, 47.0), (0.002, 0.002), "EPSG:4326"),
        (84.0, 20.0, (15.0, 84.5), (0.02, 0.002), "EPSG:4326"),
        (-42.0, 146.3, (146.0, -41.5), (0.0015, 0.002), "EPSG:4326"),
        (46.58, -113.45, (None, None), (100.0, 100.0), "EPSG:32612"),
        (46.58, -113.45, (None, None), (120.0, 80.0), "EPSG:32610"),  # two zones away: north is 7 degrees off
    ],
)
def test_any_coordinate_system(
    tmp_path: Path,
    latitude: float,
    longitude: float,
    corner: tuple[float | None, float | None],
    cell: tuple[float, float],
    crs: str,
) -> None:
    west, north = corner
    if west is None or north is None:
        x, y = Transformer.from_crs("EPSG:4326", crs, always_xy=True).transform(longitude, latitude)
        west, north = x - 250.0 * cell[0], y + 250.0 * cell[1]
    path = written(tmp_path / "dem.tif", hilly(500, 500), west, north, cell, crs=crs)
    grid = read_terrain_grid(path, latitude, longitude, reach_m=15_000.0)
    expected_m = sample_terrain_m(path, *(part.ravel() for part in positions(grid))).reshape(grid.height_m[SOME].shape)
    known = np.isfinite(expected_m) & np.isfinite(grid.height_m[SOME])
    assert np.mean(known) > 0.75
    assert grid.height_m[SOME][known] == pytest.approx(expected_m[known], abs=0.2)  # slopes of 0.2 to 0.8


def test_spacing_is_the_shorter_side_of_a_cell(tmp_path: Path) -> None:
    """At 60 degrees a degree of longitude is half as long as one of latitude: 55.8 km on WGS84, from a geodesic."""
    path = written(tmp_path / "dem.tif", hilly(100, 100), 10.0, 60.05, (0.001, 0.001))
    grid = read_terrain_grid(path, 60.0, 10.05, reach_m=2000.0)
    _, _, degree_m = GEOD.inv(10.0, 60.0, 10.001, 60.0)
    assert np.diff(grid.east_m)[0] == pytest.approx(degree_m, rel=1e-5)
    assert grid.notes == ()
    assert grid.east_m[[0, -1]] == pytest.approx([-35 * degree_m, 35 * degree_m], rel=1e-4)


def test_where_it_ends_is_said(tmp_path: Path) -> None:
    path = written(tmp_path / "dem.tif", hilly(100, 100), 10.0, 60.05, (0.001, 0.001))
    grid = read_terrain_grid(path, 60.03, 10.05, reach_m=5000.0)
    ends_km = [
        GEOD.inv(10.05, 60.03, *end)[2] / 1000.0 for end in ((10.05, 60.0495), (10.0995, 60.03), (10.05, 59.9505))
    ]
    assert ends_km == pytest.approx([2.173, 2.760, 8.858], abs=0.002)  # middles of the outermost cells
    assert grid.notes == (
        "the terrain model ends 2.1 km (1.3 mi) to the north, 2.7 km (1.7 mi) to the east, 2.7 km (1.7 mi) to the "
        "west; what lies beyond is not seen, and may stand higher",
    )
    told = "the terrain model ends {} to the north, {} to the east, {} to the west; what lies beyond is not seen, and"
    (note,) = grid.notes
    assert in_units(note, "si").startswith(told.format("2.1 km", "2.7 km", "2.7 km"))
    assert in_units(note, "us").startswith(told.format("1.3 mi", "1.7 mi", "1.7 mi"))
    assert read_terrain_grid(path, 60.03, 10.05, reach_m=2000.0).notes == ()


def test_gaps_are_said_and_one_at_the_place_is_refused(tmp_path: Path) -> None:
    cells = hilly(100, 100)
    cells[:10] = -9999.0
    path = written(tmp_path / "dem.tif", cells, 10.0, 60.05, (0.001, 0.001), nodata=-9999.0)
    (note,) = read_terrain_grid(path, 60.03, 10.05, reach_m=2000.0).notes
    assert note.endswith("of the terrain model around the place has no height; what stands there is not seen")
    assert float(note.split("%")[0]) == pytest.approx(23.4, abs=1.0)  # 60.0395 to 60.0476 of 60.0124 to 60.0476
    with pytest.raises(TerrainError, match=r"no height at the place[\s\S]*60.0450") as caught:
        read_terrain_grid(path, 60.045, 10.05)
    assert caught.value.problems[0].file == str(path)


def test_a_place_that_it_does_not_hold_is_refused() -> None:
    for latitude, longitude in ((46.58, -113.0), (-46.58, -113.45), (46.70, -113.45)):
        with pytest.raises(TerrainError, match="does not hold the place") as caught:
            read_terrain_grid(EXAMPLE, latitude, longitude)
        problem = caught.value.problems[0]
        assert problem.allowed == "latitudes 46.5420 to 46.6350, longitudes -113.4770 to -113.3950"
        assert problem.file == str(EXAMPLE)


@pytest.mark.parametrize(("latitude", "longitude"), [(85.01, 0.0), (-85.01, 0.0), (np.nan, 0.0), (46.58, 180.1)])
def test_places_near_a_pole_or_off_the_earth_are_refused(latitude: float, longitude: float) -> None:
    with pytest.raises(TerrainError, match="no terrain is read around such a place"):
        read_terrain_grid(EXAMPLE, latitude, longitude)


def test_files_that_are_no_terrain_say_why(tmp_path: Path) -> None:
    with pytest.raises(TerrainError, match="there is no such terrain model"):
        read_terrain_grid(tmp_path / "none.tif", LATITUDE, LONGITUDE)
    (tmp_path / "text.tif").write_text("not a raster", encoding="utf-8")
    with pytest.raises(TerrainError, match="cannot be read as a terrain model"):
        read_terrain_grid(tmp_path / "text.tif", LATITUDE, LONGITUDE)
    nowhere = written(tmp_path / "nowhere.tif", hilly(9, 9), -113.5, 46.6, (0.1, 0.1), crs=None)
    with pytest.raises(TerrainError, match="where on Earth"):
        read_terrain_grid(nowhere, LATITUDE, LONGITUDE)
    for reach_m in (0.0, -1.0, np.nan, np.inf):
        with pytest.raises(ValueError, match="reach"):
            read_terrain_grid(EXAMPLE, LATITUDE, LONGITUDE, reach_m=reach_m)


@pytest.mark.parametrize("west", [179.5, -180.5])
def test_both_sides_of_the_date_line_are_one_country(tmp_path: Path, west: float) -> None:
    """A raster across the 180th meridian, told either way, around places on either side of it."""
    path = written(tmp_path / "dem.tif", hilly(500, 500), west, -16.5, (0.002, 0.002))
    for longitude in (179.98, -179.98):
        grid = read_terrain_grid(path, -17.0, longitude, reach_m=10_000.0)
        assert grid.notes == ()
        assert np.all(np.isfinite(grid.height_m))
        latitude, at_longitude = positions(grid)
        column = (at_longitude % 360.0 - west % 360.0) / 0.002 - 0.5
        row = (-16.5 - latitude) / 0.002 - 0.5
        smooth_m = 1000.0 + 200.0 * np.sin(column / 9.0) + 150.0 * np.cos(row / 7.0)
        assert grid.height_m[SOME] == pytest.approx(smooth_m, abs=1.0)


def test_an_hgt_tile_is_read(tmp_path: Path) -> None:
    heights = np.fromfunction(lambda row, column: 500 + row // 4 + column // 3, (1201, 1201)).astype(">i2")
    path = tmp_path / "N46W114.hgt"
    path.write_bytes(heights.tobytes())
    grid = read_terrain_grid(path, 46.5, -113.5, reach_m=5000.0)
    assert at_place(grid) == pytest.approx(850.0, abs=1e-6)


def test_limits_are_the_stated_ones() -> None:
    assert (terrain_grid.REACH_M, terrain_grid.MOST_NODES) == (30_000.0, 2001)


def test_a_finer_model_is_read_wider_and_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(terrain_grid, "MOST_NODES", 101)
    grid = read_terrain_grid(EXAMPLE, LATITUDE, LONGITUDE)
    assert max(grid.height_m.shape) <= 101
    assert grid.notes[-1].startswith("the terrain model, of 31 m (103 ft), is read every 10")


def test_grid_and_horizon_fit_together(tmp_path: Path) -> None:
    """A ridge along a meridian 4 km to the east, in degrees: its height and distance give the horizon by hand."""
    _, _, cell_m = GEOD.inv(10.0, 60.0, 10.001, 60.0)
    cells = np.zeros((300, 200), dtype=np.float32)
    cells[:, 150] = 800.0
    path = written(tmp_path / "dem.tif", cells, 10.0, 60.15, (0.001, 0.001))
    grid = read_terrain_grid(path, 60.0, 10.0605, reach_m=7000.0)
    horizon = horizon_of_grid(grid.height_m, grid.east_m, grid.north_m, notes=grid.notes)
    away_m = 90.0 * cell_m
    by_hand_deg = np.degrees(np.arctan((800.0 - 2.0 - away_m**2 * 0.87 / (2.0 * 6_371_008.8)) / away_m))
    assert horizon.altitude_at(90.0) == pytest.approx(by_hand_deg, abs=0.2)  # a node may lie beside the crest
    assert horizon.altitude_at(90.0) <= by_hand_deg + 1e-6
    assert horizon.notes == grid.notes


def test_scaled_heights_are_metres(tmp_path: Path) -> None:
    path = written(tmp_path / "scaled.tif", np.full((40, 40), 7000, dtype=np.int16), 7.0, 47.0, (0.01, 0.01))
    with rasterio.open(path, "r+") as raster:
        raster.scales, raster.offsets = (0.1,), (50.0,)
    assert at_place(read_terrain_grid(path, 46.8, 7.2, reach_m=3000.0)) == pytest.approx(750.0)
