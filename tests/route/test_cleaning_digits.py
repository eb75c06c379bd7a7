"""Points laid out by geodesics (geographiclib), just inside and just outside of what is left out."""

from __future__ import annotations

import math

import pytest
from geographiclib.geodesic import Geodesic

from handline.route.cleaning import without_spikes, without_standing
from handline.route.track import track_of

AT = (46.5, 7.0)


def _from(place: tuple[float, float], east_m: float, north_m: float) -> tuple[float, float]:
    away = Geodesic.WGS84.Direct(*place, math.degrees(math.atan2(east_m, north_m)), math.hypot(east_m, north_m))
    return away["lat2"], away["lon2"]


@pytest.mark.parametrize(("apart_m", "points"), [(4.999, 2), (5.001, 3)])
def test_five_metres_are_those_of_the_straight_line(apart_m: float, points: int) -> None:
    # East by three fifths of it and north by four fifths; the last point always stays.
    places = [AT, _from(AT, 0.6 * apart_m, 0.8 * apart_m), _from(AT, 60.0, 80.0)]
    assert without_standing(track_of(*zip(*places, strict=True))).size == points


@pytest.mark.parametrize(("more", "left_out"), [(1.00015, 1), (0.99985, 0)])
def test_a_spike_has_its_neighbours_nearer_than_half_of_its_steps(more: float, left_out: int) -> None:
    # Neighbours 2 a apart and the point h off between them: 2 a = sqrt(a^2 + h^2) / 2 where h = a sqrt 15.
    half_m = 52.0
    before = [_from(AT, 0.0, -10.0 * step) for step in range(20, 0, -1)]
    after = [_from(AT, 0.0, 2.0 * half_m + 10.0 * step) for step in range(20)]
    spike = _from(AT, half_m * math.sqrt(15.0) * more, half_m)
    places = [*before, AT, spike, *after]
    assert len(places) - without_spikes(track_of(*zip(*places, strict=True))).size == left_out
