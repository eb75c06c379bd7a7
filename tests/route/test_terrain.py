"""Heights from terrain models. The real one is matplotlib's sample DEM; the referee is scipy's interpolator."""

from __future__ import annotations

import builtins
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import rasterio
from matplotlib import cbook
from rasterio import Affine
from scipy.interpolate import RegularGridInterpolator

from handline.errors import TerrainError, TrackError
from handline.route.gpx import read_gpx
from handline.route.terrain import drape, sample_terrain_m
from handline.route.track import track_of

EXAMPLE = Path(__file__).parents[2] / "examples" / "tamsin-dome"


def written(path: Path, cells: np.ndarray, west: float, north: float, cell: tuple[float, float], **extra: Any) -> Path:
    profile = {
        "driver": "GTiff",
        "width": cells.shape[1],
        "height": cells.shape[0],
        "count": 1,
        "dtype": cells.dtype,
        "crs": "EPSG:4326",
        "transform": Affine(cell[0], 0.0, west, 0.0, -cell[1], north),
    } | extra
    with rasterio.open(path, "w", **profile) as raster:
        for band in range(profile["count"]):
            raster.write(cells, band + 1)
    return path


@pytest.fixture
def real_dem(tmp_path: Path) -> tuple[Path, RegularGridInterpolator, np.ndarray, np.ndarray]:
    """The sample DEM as a GeoTIFF, and scipy's own interpolation between the middles of its cells."""
    with cbook.get_sample_data("jacksboro_fault_dem.npz") as sample:
        heights = sample["elevation"].astype(np.int16)
        west, east = float(sample["xmin"]), float(sample["xmax"])
        south, north = sorted((float(sample["ymin"]), float(sample["ymax"])))  # the file has the two exchanged
    rows, columns = heights.shape
    cell = ((east - west) / columns, (north - south) / rows)
    latitude = north - (np.arange(rows) + 0.5) * cell[1]
    longitude = west + (np.arange(columns) + 0.5) * cell[0]
    referee = RegularGridInterpolator((latitude[::-1], longitude), heights[::-1].astype(float))
    return written(tmp_path / "dem.tif", heights, west, north, cell), referee, latitude, longitude


def test_a_real_terrain_is_sampled_as_scipy_does(
    real_dem: tuple[Path, RegularGridInterpolator, np.ndarray, np.ndarray],
) -> None:
    """Open data: matplotlib's jacksboro_fault_dem. A millimetre."""
    path, referee, latitude, longitude = real_dem
    rng = np.random.default_rng(7)
    at_latitude = rng.uniform(latitude[-1], latitude[0], 2000)
    at_longitude = rng.uniform(longitude[0], longitude[-1], 2000)
    ours = sample_terrain_m(path, at_latitude, at_longitude)
    assert ours == pytest.approx(referee(np.column_stack((at_latitude, at_longitude))), abs=1e-3)
    assert np.ptp(ours) > 300.0


def test_the_same_terrain_in_a_projected_system(tmp_path: Path) -> None:
    """A plane tilted in UTM coordinates: bilinear is exact on it. Coordinates by pyproj. A millimetre."""
    from pyproj import Transformer

    east, north = 500_000.0, 5_165_000.0
    rows, columns = np.mgrid[0:80, 0:90]
    plane = (1000.0 + 3.0 * columns - 2.0 * rows).astype(np.float64)
    path = written(tmp_path / "utm.tif", plane, east, north, (30.0, 30.0), crs="EPSG:32612")
    x, y = np.array([500_500.0, 501_700.5]), np.array([5_164_000.0, 5_163_333.3])
    longitude, latitude = Transformer.from_crs("EPSG:32612", "EPSG:4326", always_xy=True).transform(x, y)
    expected = 1000.0 + 3.0 * ((x - east) / 30.0 - 0.5) - 2.0 * ((north - y) / 30.0 - 0.5)
    assert sample_terrain_m(path, latitude, longitude) == pytest.approx(expected, abs=1e-3)


def test_an_hgt_tile_is_read(tmp_path: Path) -> None:
    """1201 x 1201 big-endian heights; the first sample is the north-west corner itself."""
    heights = np.fromfunction(lambda row, column: 500 + row // 4 + column // 3, (1201, 1201)).astype(">i2")
    path = tmp_path / "N46W114.hgt"
    path.write_bytes(heights.tobytes())
    at = sample_terrain_m(path, np.array([47.0, 46.5]), np.array([-114.0, -113.5]))
    assert at == pytest.approx([500.0, 500.0 + 150.0 + 200.0], abs=1e-6)


def test_no_data_and_outside_are_nan(tmp_path: Path) -> None:
    cells = np.full((10, 10), 700, dtype=np.int16)
    cells[4, 4] = -9999
    path = written(tmp_path / "hole.tif", cells, 7.0, 47.0, (0.1, 0.1), nodata=-9999)
    latitude, longitude = np.array([46.75, 46.55, 46.52, 46.97, 30.0]), np.array([7.25, 7.45, 7.48, 7.25, 7.25])
    assert np.isnan(sample_terrain_m(path, latitude, longitude)).tolist() == [False, True, True, True, True]
    assert np.isnan(sample_terrain_m(path, latitude[-1:], longitude[-1:])).all()
    with pytest.raises(TerrainError, match="no height for part of the track"):
        drape(track_of([46.75, 46.55], [7.25, 7.45]), path)


def test_scaled_heights_are_metres(tmp_path: Path) -> None:
    path = tmp_path / "scaled.tif"
    written(path, np.full((4, 4), 7000, dtype=np.int16), 7.0, 47.0, (0.1, 0.1))
    with rasterio.open(path, "r+") as raster:
        raster.scales, raster.offsets = (0.1,), (50.0,)
    assert sample_terrain_m(path, np.array([46.8]), np.array([7.2])) == pytest.approx([750.0])


def test_the_example_terrain_lies_under_its_track() -> None:
    """Made together: draped and recorded heights differ by the recorder's error and the cells' coarseness."""
    track = read_gpx(EXAMPLE / "track.gpx")
    draped = drape(track, EXAMPLE / "terrain.tif")
    own = np.isin(draped.line, track.line) & (draped.line > 0)
    off = draped.elevation_m[own] - track.elevation_m
    assert np.abs(np.median(off)) < 3.0
    assert np.quantile(np.abs(off), 0.95) < 15.0


def test_draping_adds_points_where_they_are_far_apart() -> None:
    sparse = track_of([46.57, 46.58], [-113.45, -113.45], time_s=[0.0, 100.0], notes=("drawn",))
    draped = drape(sparse, EXAMPLE / "terrain.tif")
    assert draped.size == 46  # 1,112 m in steps of at most 25 m
    assert np.diff(draped.latitude_deg) == pytest.approx(0.01 / 45)
    assert draped.time_s[[0, -1]].tolist() == [0.0, 100.0]
    assert draped.notes == (
        "drawn",
        "heights taken from terrain.tif, with 44 points added so that none are over 25 m (82 ft) apart",
    )


def test_pieces_stay_pieces_when_points_are_added() -> None:
    joined = track_of([46.57, 46.575, 46.58], [-113.45] * 3, piece_starts=(0, 1))
    draped = drape(joined, EXAMPLE / "terrain.tif")
    assert draped.latitude_deg[draped.piece_starts[1]] == 46.575


def test_an_unusable_track_is_refused_before_the_terrain_is_opened(tmp_path: Path) -> None:
    with pytest.raises(TrackError, match="not on the Earth"):
        drape(track_of([46.5, 95.0], [7.0, 7.0]), tmp_path / "none.tif")


HERE = np.array([46.8]), np.array([7.2])


def test_files_that_are_no_terrain_say_why(tmp_path: Path) -> None:
    with pytest.raises(TerrainError, match="there is no such terrain model"):
        sample_terrain_m(tmp_path / "none.tif", *HERE)
    (tmp_path / "text.tif").write_text("not a raster", encoding="utf-8")
    with pytest.raises(TerrainError, match="cannot be read as a terrain model"):
        sample_terrain_m(tmp_path / "text.tif", *HERE)
    cells = np.zeros((4, 4), dtype=np.uint8)
    picture = written(tmp_path / "picture.tif", cells, 7.0, 47.0, (0.1, 0.1), count=3)
    with pytest.raises(TerrainError, match="looks like a picture"):
        sample_terrain_m(picture, *HERE)
    nowhere = written(tmp_path / "nowhere.tif", cells, 7.0, 47.0, (0.1, 0.1), crs=None)
    with pytest.raises(TerrainError, match="where on Earth"):
        sample_terrain_m(nowhere, *HERE)


def test_without_rasterio_it_says_how_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    real_import = builtins.__import__

    def no_rasterio(name: str, *args: Any, **more: Any) -> Any:
        if name.startswith("rasterio"):
            raise ImportError(name)
        return real_import(name, *args, **more)

    monkeypatch.setattr(builtins, "__import__", no_rasterio)
    with pytest.raises(TerrainError, match=r'pip install "handline\[dem\]"'):
        sample_terrain_m(EXAMPLE / "terrain.tif", *HERE)
