"""Where the audit's own numbers begin to count, to the fourth digit."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from handline.line.audit import CASE_STOPS_HOLD, audit
from handline.line.friction import ROCKS
from handline.line.geometry import Line, build_line
from handline.line.tethers import TETHERS


def _steep_below_gentle(anchor_m: float) -> Line:
    return build_line(
        state="raised",
        section_length_m=(10.0, 10.0),
        section_angle_rad=(float(np.radians(60.0)), float(np.radians(30.0))),
        anchor_m=(anchor_m,),
        stanchion_spacing_m=None,
        cables=1,
        cable_diameter_m=0.012,
    )


@pytest.mark.parametrize(("above_the_bend_m", "steep_counts"), [(2.4995, True), (2.5005, False)])
def test_the_slope_counts_to_two_and_a_half_metres_below_where_a_tether_comes_taut(
    above_the_bend_m: float, steep_counts: bool
) -> None:
    # Ours: an absorber that gives 2.2 m and 0.3 m of stretch. The slides themselves are on 30 degrees in both.
    tether = replace(TETHERS["one sling"], reach_m=1.0)
    line = _steep_below_gentle(10.0 + above_the_bend_m + tether.reach_m)
    held = next(one for one in audit(line, tether, ROCKS["iced"], 85.0, 6000.0) if one.case == CASE_STOPS_HOLD)
    steepest = np.radians(60.0 if steep_counts else 30.0)
    pull_N, slid_N = (85.0 * 9.80665 * (np.sin(on) - 0.05 * np.cos(on)) for on in (steepest, np.radians(30.0)))
    # Only the bay above the anchor is held; its longest slide starts a reach above the end of the line.
    slide_m = 20.0 + tether.reach_m - (10.0 + above_the_bend_m)
    peak_N = pull_N + np.sqrt(pull_N**2 + 2.0 * slid_N * slide_m * tether.stiffness_N / tether.reach_m)
    assert held.force_N[1] == pytest.approx(peak_N, rel=1e-9)
