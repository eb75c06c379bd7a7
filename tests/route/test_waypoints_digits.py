"""Where a slanting step of a track passes a place, laid out by geodesics (geographiclib)."""

from __future__ import annotations

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from handline.route.track import track_of
from handline.route.waypoints import _nearest_on_steps

AT = (46.5, 7.0)


@pytest.mark.parametrize("azimuth_deg", [30.0, 60.0, 140.0])
def test_a_place_beside_a_slanting_step(azimuth_deg: float) -> None:
    def away(place: tuple[float, float], to_deg: float, far_m: float) -> tuple[float, float]:
        found = Geodesic.WGS84.Direct(*place, to_deg, far_m)
        return found["lat2"], found["lon2"]

    end, foot = away(AT, azimuth_deg, 400.0), away(AT, azimuth_deg, 250.0)
    place = away(foot, azimuth_deg + 90.0, 30.0)
    track = track_of([AT[0], end[0]], [AT[1], end[1]])
    nearest_m, at_m = _nearest_on_steps(track, np.array([0.0, 400.0]), *place)
    assert (nearest_m[0], at_m[0]) == pytest.approx((30.0, 250.0), rel=2e-4)
