"""How near two stops are one, to the fourth digit. Ours: half a metre."""

from __future__ import annotations

import numpy as np
import pytest

from handline.line.geometry import Line, build_line, stops_to_pass


def _line(anchor_m: tuple[float, ...], spacing_m: float | None = None) -> Line:
    return build_line(
        state="raised",
        section_length_m=(20.0,),
        section_angle_rad=(float(np.radians(45.0)),),
        anchor_m=anchor_m,
        stanchion_spacing_m=spacing_m,
        cables=1,
        cable_diameter_m=0.012,
    )


@pytest.mark.parametrize(("apart_m", "stops"), [(0.4999, 1), (0.5001, 2)])
def test_a_stanchion_within_half_a_metre_of_an_anchor_is_the_anchor(apart_m: float, stops: int) -> None:
    # Stanchions at 0, 10 and 20 m: that at 10 m is the only one between foot and head.
    assert len(stops_to_pass(_line((10.0 + apart_m,), 10.0))) == stops


@pytest.mark.parametrize(("from_the_end_m", "stops"), [(0.4999, 0), (0.5001, 1)])
def test_a_stop_within_half_a_metre_of_an_end_is_the_end(from_the_end_m: float, stops: int) -> None:
    assert len(stops_to_pass(_line((from_the_end_m,)))) == stops
    assert len(stops_to_pass(_line((20.0 - from_the_end_m,)))) == stops
