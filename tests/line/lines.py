"""Lines the tests of this room share. Invented."""

from __future__ import annotations

import numpy as np

from handline.line.geometry import Line, build_line

SECTIONS_M = (18.0, 24.0, 30.0, 24.0)
ANGLES_DEG = (34.0, 41.0, 49.0, 43.0)


def twin_line(state: str = "raised") -> Line:
    """A line of 96 m with stanchions every 2.7 m and five anchors."""
    return build_line(
        state=state,
        section_length_m=SECTIONS_M,
        section_angle_rad=tuple(np.radians(ANGLES_DEG)),
        anchor_m=(0.0, 24.0, 48.0, 72.0, 96.0),
        stanchion_spacing_m=2.7,
        cables=2,
        cable_diameter_m=0.016,
    )


def even_line(
    length_m: float, angle_deg: float, anchor_m: tuple[float, ...] = (), spacing_m: float | None = None
) -> Line:
    """A line of one slope."""
    return build_line(
        state="raised",
        section_length_m=(length_m,),
        section_angle_rad=(float(np.radians(angle_deg)),),
        anchor_m=anchor_m,
        stanchion_spacing_m=spacing_m,
        cables=1,
        cable_diameter_m=0.012,
    )
