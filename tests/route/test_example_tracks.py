"""The committed example files are what their script makes, to the byte, and say that they are invented."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import numpy as np
import pytest
import rasterio

EXAMPLES = Path(__file__).parents[2] / "examples"


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    spec = importlib.util.spec_from_file_location("make_examples", EXAMPLES / "make_examples.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules["make_examples"] = module
    sys.path.insert(0, str(EXAMPLES))  # where the script finds its neighbour
    try:
        spec.loader.exec_module(module)
    finally:
        sys.path.remove(str(EXAMPLES))
    return module


def test_the_script_makes_the_committed_bytes(maker: ModuleType, tmp_path: Path) -> None:
    made = maker.make_all(tmp_path)
    assert [path.relative_to(tmp_path).as_posix() for path in made] == [
        "tamsin-dome/track.gpx",
        "tamsin-dome/recorded.gpx",
        "tamsin-dome/terrain.tif",
        "tamsin-dome/forecast.csv",
        "petrel-slab/track.gpx",
    ]
    for path in made:
        assert path.read_bytes() == (EXAMPLES / path.relative_to(tmp_path)).read_bytes(), path.name


def test_they_are_small_and_say_they_are_invented() -> None:
    for trip in ("tamsin-dome", "petrel-slab"):
        track = (EXAMPLES / trip / "track.gpx").read_bytes()
        assert len(track) < 400_000
        assert b"<desc>INVENTED: " in track[:400]
    recorded = (EXAMPLES / "tamsin-dome" / "recorded.gpx").read_bytes()
    assert len(recorded) < 300_000
    assert b"<desc>INVENTED: " in recorded[:400]
    terrain = (EXAMPLES / "tamsin-dome" / "terrain.tif").read_bytes()
    assert len(terrain) < 200_000
    assert b"INVENTED: " in terrain[:1000]
    forecast = (EXAMPLES / "tamsin-dome" / "forecast.csv").read_bytes()
    assert len(forecast) < 20_000
    assert b"# INVENTED: " in forecast[:100]


def test_the_hand_written_geotiff_is_one(maker: ModuleType, tmp_path: Path) -> None:
    """Read back by GDAL: size, place on Earth, heights."""
    heights = np.arange(12, dtype=np.int16).reshape(3, 4) * 100
    path = tmp_path / "small.tif"
    path.write_bytes(sys.modules[maker.terrain_tif.__module__].geotiff_bytes(heights, -113.0, 47.0, (0.25, 0.5)))
    with rasterio.open(path) as raster:
        assert raster.read(1).tolist() == heights.tolist()
        assert tuple(raster.bounds) == (-113.0, 45.5, -112.0, 47.0)
        assert raster.crs.to_epsg() == 4326
        assert raster.nodata == -32768


def test_the_ground_has_the_chosen_heights_at_the_chosen_places(maker: ModuleType) -> None:
    for trip in (maker.TAMSIN, maker.PETREL):
        _, path = maker.lay_out(trip, np.random.default_rng(trip.seed))
        for distance, height in trip.heights_m[:-1]:
            assert float(np.interp(distance, path.distance_m, path.height_m)) == pytest.approx(height, abs=0.5)
        foot, head = maker.slab_profile(trip)[0][[0, -1]]
        rise = np.diff(np.interp([foot, head], path.distance_m, path.height_m))[0]
        sections = np.array(trip.slab, dtype=float)
        assert rise == pytest.approx(float((sections[:, 0] * np.sin(np.radians(sections[:, 1]))).sum()), abs=0.7)
