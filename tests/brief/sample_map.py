"""An invented sheet of the sketch map for the sample Plan, and where along a straight way its places lie."""

from __future__ import annotations

from handline.day.plan_map import GroundShade, MapPlan

START_DEG, END_DEG = (46.557, -113.462), (46.620, -113.410)
LENGTH_M = 11000.0


def along_deg(distance_m: float) -> tuple[float, float]:
    """Latitude and longitude so far along the way."""
    share = distance_m / LENGTH_M
    latitude, longitude = (start + share * (end - start) for start, end in zip(START_DEG, END_DEG, strict=True))
    return latitude, longitude


def sample_map() -> MapPlan:
    """The sheet with ground that gets brighter to the east, its last row not known."""
    rows = (*(tuple(range(60, 240, 6)) for _ in range(44)), (None,) * 30)
    return MapPlan(
        latitude_deg=46.5885,
        longitude_deg=-113.436,
        m_per_latitude_deg=111_163.0,
        m_per_longitude_deg=76_637.0,
        width_m=6000.0,
        height_m=8400.0,
        shade=GroundShade(rows, 180.0, -2700.0, -4050.0, 2700.0, 4050.0),
        shade_says="The ground is shaded from terrain.tif, as if lit from the north-west.",
    )
