"""What is out of its range by a thousandth is no number."""

from __future__ import annotations

import numpy as np
import pytest

from handline.weather.sunshine import sun_on_plane_W_m2

USUAL = {"sun_altitude_deg": 40.0, "incidence_cos": 0.8, "shines_share": 1.0, "slope_deg": 30.0, "cloud_share": 0.5}


@pytest.mark.parametrize(
    ("name", "at", "past"),
    [("incidence_cos", 1.0, 1.0005), ("incidence_cos", -1.0, -1.0005), ("shines_share", 1.0, 1.0005),
     ("cloud_share", 1.0, 1.0005), ("sun_altitude_deg", 90.0, 90.02), ("sun_altitude_deg", -90.0, -90.02),
     ("slope_deg", 90.0, 90.02)],
)  # fmt: skip
def test_past_its_range_there_is_no_sun(name: str, at: float, past: float) -> None:
    one = {key: np.array([value]) if key != "slope_deg" else value for key, value in USUAL.items()}
    for value, known in ((at, True), (past, False)):
        asked = one | {name: value if name == "slope_deg" else np.array([value])}
        assert np.isfinite(sun_on_plane_W_m2(**asked)).all() == known  # type: ignore[arg-type]
