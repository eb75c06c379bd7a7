"""Spacing where rows lie closer than columns, against a geodesic."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from handline.route.terrain_grid import read_terrain_grid
from tests.route.test_terrain_grid import GEOD, hilly, written


def test_spacing_is_the_north_side_of_a_cell_where_that_is_the_shorter(tmp_path: Path) -> None:
    path = written(tmp_path / "dem.tif", hilly(100, 100), 10.0, 60.02, (0.002, 0.0005))
    grid = read_terrain_grid(path, 60.0, 10.1, reach_m=1000.0)
    _, _, degree_m = GEOD.inv(10.1, 60.0, 10.1, 60.0005)
    assert np.diff(grid.north_m)[0] == pytest.approx(degree_m, rel=1e-5)
