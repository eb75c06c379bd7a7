"""A real mountain recording, test_files/korita-zbevnica.gpx of gpxpy's archive, fetched by tests/fetch_real_track.py.

Published facts (reference pages of this project, computed with a plain 5 m filter): segments 2 and 3 hold 513 timed
points, 2.28 km with 206 m up, and 3.98 km with 65 m up and 257 m down.
"""

from __future__ import annotations

import gpxpy
import numpy as np
import pytest

from handline.route.elevation import counted_climb_m, summed_climb_m
from handline.route.geodesy import distance_m
from handline.route.gpx import read_gpx
from handline.route.place import PlaceWish
from handline.route.route import route_from_track
from handline.route.track import Track
from tests.real_track import real_track_path
from tests.tables.published import read_table


@pytest.fixture(scope="module")
def track() -> Track:
    return read_gpx(real_track_path())


def segment(track: Track, number: int) -> Track:
    bounds = [*track.piece_starts, track.size]
    return track.take(np.arange(bounds[number], bounds[number + 1]))


def plain_filter_m(height_m: np.ndarray, band_m: float) -> tuple[float, float]:
    """The filter of the published facts: a height counts once it is the band or more from the last that counted."""
    up = down = 0.0
    last = float(height_m[0])
    for height in height_m[1:].tolist():
        if abs(height - last) >= band_m:
            up, down = up + max(height - last, 0.0), down + max(last - height, 0.0)
            last = height
    return up, down


def test_it_is_read_as_gpxpy_reads_it(track: Track) -> None:
    with real_track_path().open(encoding="utf-8") as file:
        referee = gpxpy.parse(file)
    points = [point for part in referee.tracks for piece in part.segments for point in piece.points]
    assert track.latitude_deg.tolist() == [point.latitude for point in points]
    assert track.elevation_m.tolist() == [point.elevation for point in points]
    assert np.isfinite(track.time_s).sum() == 513
    assert track.notes[0] == "the file is GPX 1.0, not 1.1: read all the same"
    assert track.notes[1].startswith("3 pieces joined in the order of the file; straight across between them: 12,7")


@pytest.mark.parametrize("row", read_table("real_track"), ids=lambda row: f"{row['segment']} {row['what']}")
def test_published_facts(track: Track, row: dict[str, str]) -> None:
    piece = segment(track, int(row["segment"]) - 1)
    up, down = plain_filter_m(piece.elevation_m, 5.0)
    length = float(distance_m(piece.latitude_deg, piece.longitude_deg)[-1])
    found = {"points": piece.size, "length": length / 1000.0, "up": up, "down": down}
    assert found[row["what"]] == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize("number", [0, 1, 2])
def test_our_count_lies_between_the_plain_filter_and_the_raw_sum(track: Track, number: int) -> None:
    """The plain filter loses up to a band at each turn, the raw sum counts all noise: 3 to 71 % above the filter."""
    height = segment(track, number).elevation_m
    counted, _ = counted_climb_m(height, 5.0)
    plain, raw = plain_filter_m(height, 5.0)[0], summed_climb_m(height)[0]
    assert plain <= counted[-1] <= raw
    assert 1.03 <= raw / plain <= 1.71
    assert 1.03 <= raw / counted[-1] <= 1.71


def test_length_against_gpxpy(track: Track) -> None:
    with real_track_path().open(encoding="utf-8") as file:
        referee = gpxpy.parse(file)
    pieces = [piece for part in referee.tracks for piece in part.segments if piece.points]
    for number, piece in enumerate(pieces):
        ours = segment(track, number)
        length = float(distance_m(ours.latitude_deg, ours.longitude_deg)[-1])
        assert length == pytest.approx(piece.length_2d(), rel=5e-3)


def test_a_day_is_planned_on_it(track: Track) -> None:
    """The last segment, a hill and back down, as a whole day with a place named on the way."""
    piece = segment(track, 2)
    middle = int(piece.size // 2)
    wish = PlaceWish("Spring", "water", float(piece.latitude_deg[middle]), float(piece.longitude_deg[middle]))
    route = route_from_track(piece, [wish], out_and_back=False)
    assert [point.name for point in route.points] == ["Start", "Spring", "End"]
    assert route.length_m == pytest.approx(3980.0, rel=0.02)
    assert route.up_m == pytest.approx(76.0, abs=5.0)
    assert route.down_m == pytest.approx(266.0, abs=5.0)
