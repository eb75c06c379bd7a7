"""The sheet of the sketch map against geodesics, and its shaded ground from the example's terrain model."""

from __future__ import annotations

import math
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest
from geographiclib.geodesic import Geodesic

from handline.cache_folder import CACHE_VARIABLE
from handline.day import map_planning, shade_kept
from handline.day.map_planning import plan_map
from handline.day.plan import RouteSummary
from handline.day.plan_map import GroundShade
from handline.day.shade_kept import MOST_CELLS, kept_shade, shade_of
from handline.errors import TerrainError
from handline.route.hillshade import hillshade
from handline.route.terrain import sample_terrain_m
from handline.trip.model import Trip
from handline.trip.reading import read_trip
from tests.day.trips import typed_trip

EXAMPLE = Path(__file__).parents[2] / "examples" / "tamsin-dome"
TERRAIN = EXAMPLE / "terrain.tif"
MIDDLE_DEG = (46.5885, -113.436)


@lru_cache(maxsize=1)
def example() -> Trip:
    return read_trip(EXAMPLE / "trip.toml")


def way(latitude: tuple[float, ...], longitude: tuple[float, ...]) -> RouteSummary:
    return RouteSummary(
        0.0, 0.0, 0.0, 0.0, 5.0, 0.0, 0.0, 0.0, 0.0, (), (), (), latitude, longitude, (0.0,) * len(latitude), 5.0
    )


def without_terrain(trip: Trip) -> Trip:
    return trip.model_copy(update={"route": trip.route.model_copy(update={"terrain": None})})


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))
    monkeypatch.setattr(shade_kept, "program_stamp", lambda: "this one")


def test_legs_that_are_typed_have_no_map() -> None:
    assert plan_map(typed_trip(), way((), ())) is None


@pytest.mark.parametrize("latitude", [46.6, -42.0, 70.0])
@pytest.mark.parametrize("longitude", [-113.4, 179.99])
def test_distances_and_directions_on_the_sheet_are_those_of_geodesics(latitude: float, longitude: float) -> None:
    """Karney's own library, from the middle of the sheet to places within 5 km of it: a part in a thousand."""
    east_deg = 0.04 / math.cos(math.radians(latitude))
    ends = ((latitude - 0.04, longitude - east_deg), (latitude + 0.04, longitude + east_deg))
    wrapped = [(one, (other + 180.0) % 360.0 - 180.0) for one, other in ends]
    found = plan_map(without_terrain(example()), way(*zip(*wrapped, strict=True)))  # type: ignore[arg-type]
    assert found is not None
    for place in wrapped:
        line = Geodesic.WGS84.Inverse(found.latitude_deg, found.longitude_deg, *place)
        east_m, north_m = found.at_m(*place)
        azimuth = math.radians(line["azi1"])
        expected_m = line["s12"] * math.sin(azimuth), line["s12"] * math.cos(azimuth)
        # At 70 degrees meridians run together: what that does over 5 km is some metres.
        assert (east_m, north_m) == pytest.approx(expected_m, abs=0.003 * line["s12"])


def test_the_whole_way_is_on_the_sheet_with_room_round_it_and_the_sheet_is_neither_flat_nor_narrow() -> None:
    trip = without_terrain(example())
    for latitude, longitude in (((46.5, 46.6), (-113.4, -113.4)), ((46.5, 46.5), (-113.4, -113.2))):
        found = plan_map(trip, way(latitude, longitude))
        assert found is not None
        assert found.shade is None
        for place in zip(latitude, longitude, strict=True):
            east_m, north_m = found.at_m(*place)
            assert abs(east_m) < 0.47 * found.width_m
            assert abs(north_m) < 0.47 * found.height_m
        assert 0.59 < found.height_m / found.width_m < 1.41
        assert found.shade_says == "The ground is not shaded: no terrain model is given."


def test_a_way_of_a_few_steps_has_a_sheet_all_the_same() -> None:
    found = plan_map(without_terrain(example()), way((46.5, 46.5), (-113.4, -113.4)))
    assert found is not None
    assert found.width_m >= 300.0


# --- shaded ground ---------------------------------------------------------------------------------------------------


def shade_of_example(width_m: float = 5000.0, height_m: float = 7000.0) -> GroundShade:
    return shade_of(TERRAIN, *MIDDLE_DEG, width_m, height_m)


def test_cells_are_few_and_cover_the_sheet_as_far_as_the_terrain_model_goes() -> None:
    shade = shade_of_example()
    assert len(shade.rows) <= MOST_CELLS
    assert {len(row) for row in shade.rows} == {round((shade.east_m - shade.west_m) / shade.cell_m)}
    assert len(shade.rows) == round((shade.north_m - shade.south_m) / shade.cell_m)
    assert (shade.west_m, shade.east_m) == pytest.approx((-2500.0, 2500.0), abs=shade.cell_m)
    assert (shade.south_m, shade.north_m) == pytest.approx((-3500.0, 3500.0), abs=shade.cell_m)
    assert shade.cell_m <= 1.5 * 7000.0 / MOST_CELLS


def test_shade_is_that_of_the_ground_sampled_where_geodesics_lead() -> None:
    """Referee for where cells lie: heights sampled at the places of their corners, by Karney's own library.

    The mean of a cell is near the mean of its middle and eight places round it; then the same light. In steps of 255.
    """
    shade = shade_of_example(2000.0, 2000.0)
    drawn = np.array(shade.rows, dtype=float)[::-1]
    middles_m = shade.west_m + shade.cell_m * (np.arange(drawn.shape[1]) + 0.5)
    norths_m = shade.south_m + shade.cell_m * (np.arange(drawn.shape[0]) + 0.5)
    some = slice(10, 22)
    offsets = shade.cell_m * np.array([-1.0, 0.0, 1.0]) / 3.0
    places = [
        Geodesic.WGS84.Direct(*MIDDLE_DEG, math.degrees(math.atan2(east_m + dx, north_m + dy)),
                              math.hypot(east_m + dx, north_m + dy))
        for north_m in norths_m[some] for east_m in middles_m[some] for dy in offsets for dx in offsets
    ]  # fmt: skip
    latitude, longitude = (np.array([place[key] for place in places]) for key in ("lat2", "lon2"))
    height_m = sample_terrain_m(TERRAIN, latitude, longitude).reshape(12, 12, 9).mean(axis=2)
    expected = 255.0 * hillshade(height_m, shade.cell_m)
    assert drawn[some, some][1:-1, 1:-1] == pytest.approx(expected, abs=4.0)
    assert np.std(expected) > 4.0, "the ground here is not all alike"


def test_ground_is_kept_and_not_shaded_twice(monkeypatch: pytest.MonkeyPatch) -> None:
    first = kept_shade(TERRAIN, *MIDDLE_DEG, 2000.0, 2000.0)
    monkeypatch.setattr(shade_kept, "shade_of", lambda *_: pytest.fail("it is kept"))
    assert kept_shade(TERRAIN, *MIDDLE_DEG, 2000.0, 2000.0) == first


@pytest.mark.parametrize("changed", [(46.59, -113.436, 2000.0, 2000.0), (*MIDDLE_DEG, 2400.0, 2000.0)])
def test_another_sheet_is_shaded_anew(changed: tuple[float, float, float, float]) -> None:
    assert kept_shade(TERRAIN, *MIDDLE_DEG, 2000.0, 2000.0) != kept_shade(TERRAIN, *changed)


def test_a_kept_file_that_was_cut_short_is_made_again(tmp_path: Path) -> None:
    first = kept_shade(TERRAIN, *MIDDLE_DEG, 2000.0, 2000.0)
    (file,) = (tmp_path / "cache" / "shades").iterdir()
    file.write_text(file.read_text()[:100])
    assert kept_shade(TERRAIN, *MIDDLE_DEG, 2000.0, 2000.0) == first


def test_cells_beyond_the_terrain_model_are_left_out_or_not_known() -> None:
    """The model ends some 3 km to the east and to the west; a wider sheet has no ground there."""
    shade = shade_of_example(9000.0, 7000.0)
    assert -3400.0 < shade.west_m < -2500.0
    assert 2500.0 < shade.east_m < 3400.0


def test_a_terrain_model_of_another_country_is_no_error_of_the_map() -> None:
    found = plan_map(example(), way((10.0, 10.05), (20.0, 20.0)))
    assert found is not None
    assert found.shade is None
    assert found.shade_says == "The ground is not shaded: terrain.tif does not hold the middle of the way."
    with pytest.raises(TerrainError):
        shade_of(TERRAIN, 10.0, 20.0, 2000.0, 2000.0)


def test_where_nothing_reads_a_terrain_model_it_is_said(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(map_planning, "terrain_unread", lambda trip: True)
    found = plan_map(example(), way((46.58, 46.60), (-113.45, -113.43)))
    assert found is not None
    assert (found.shade, found.shade_says) == (None, "The ground is not shaded: nothing here reads terrain.tif.")
