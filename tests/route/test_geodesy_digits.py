"""The plane over the 180th meridian, against geographiclib."""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from handline.route.geodesy import plane_m


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_the_plane_goes_on_over_the_180th_meridian(side: float) -> None:
    apart_m = Geodesic.WGS84.Inverse(-42.0, 179.9995, -42.0, -179.9995)["s12"]
    east_m, _ = plane_m(np.array([-42.0]), np.array([-179.9995 * side]), -42.0, 179.9995 * side)
    assert east_m == pytest.approx([side * apart_m], rel=1e-5)
