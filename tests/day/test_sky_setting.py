"""The sky over a trip's places: typed horizons, the terrain model, level ground."""

from __future__ import annotations

import datetime as dt
import math
import re
import shutil
from pathlib import Path

import numpy as np
import pytest

from handline.cache_folder import CACHE_VARIABLE
from handline.day import horizon_kept
from handline.day.setting import set_up
from handline.day.sky_setting import FACING_NOT_TYPED, SLAB, sky_again
from handline.errors import TripError
from handline.sky.horizon import LEVEL
from handline.trip.reading import read_trip
from tests.day.line_reports import EXAMPLES
from tests.day.trips import typed_trip

WALL = 'horizon = [{ bearing = "N", height = "30 deg" }]'


def test_without_terrain_the_horizon_is_level_and_says_so() -> None:
    sky = set_up(typed_trip()).sky
    assert [(place.kind, place.horizon is LEVEL) for place in sky] == [
        (SLAB, True),
        ("trailhead", True),
        ("summit", True),
    ]
    assert sky[0].horizon_says == "level: no terrain model is given and nothing is typed"


def test_a_typed_horizon_keeps_the_sun_away() -> None:
    """All around at 30 degrees: less sun than on level ground, at both ends of the day; only at the slab."""
    free, walled = set_up(typed_trip()).sky, set_up(typed_trip(line=WALL)).sky
    assert walled[0].horizon_says == "as typed"
    assert walled[0].sun.first_clock_s > free[0].sun.first_clock_s + 3600.0
    assert walled[0].sun.last_clock_s < free[0].sun.last_clock_s - 3600.0
    assert walled[1].sun.first_clock_s == free[1].sun.first_clock_s


def test_level_sun_is_the_days_own_sunrise() -> None:
    setting = set_up(typed_trip())
    assert setting.sky[0].sun.first_clock_s == pytest.approx(setting.light.sunrise_clock_s, abs=30.0)
    assert setting.sky[0].sun.last_clock_s == pytest.approx(setting.light.sunset_clock_s, abs=30.0)


def test_the_slabs_own_plane_takes_sun_away_where_its_facing_is_typed() -> None:
    """Its steepest piece, as for the rock; on another date as well."""
    free = set_up(typed_trip())
    north = set_up(typed_trip(line='facing = "N"'))
    plane = north.sky[0].plane
    assert plane is not None
    assert (math.degrees(plane.slope_rad), plane.facing_deg) == (pytest.approx(44.0), 0.0)
    assert free.sky[0].plane is None
    assert free.sky[0].notes == (FACING_NOT_TYPED,)
    assert FACING_NOT_TYPED not in north.sky[0].notes
    assert [place.plane for place in north.sky[1:]] == [None, None]
    assert north.sky[0].horizon_says == (
        "its own slope, 44 deg facing 0 deg; level: no terrain model is given and nothing is typed"
    )
    east = set_up(typed_trip(line='facing = "E"')).sky[0].sun
    assert east.first_clock_s == pytest.approx(free.sky[0].sun.first_clock_s, abs=1.0)
    assert east.last_clock_s < free.sky[0].sun.last_clock_s - 3600.0
    in_winter = sky_again(north.sky, dt.date(2027, 12, 21), north.timezone)
    assert in_winter[0].sun.spans_clock_s.shape == (0, 2)
    assert len(in_winter[1].sun.spans_clock_s) == 1


def test_a_slab_in_its_own_shade_all_day_says_so() -> None:
    from handline.day.planning import make_plan

    trip = typed_trip(line='facing = "N"')
    winter = trip.model_copy(update={"about": trip.about.model_copy(update={"date": dt.date(2027, 12, 21)})})
    slab, gate = make_plan(winter).sky.places[:2]
    assert slab.spans_clock_s == ()
    assert slab.notes == ("no sun falls on it on this day",)
    assert len(gate.spans_clock_s) == 1


@pytest.fixture
def tamsin(tmp_path: Path) -> Path:
    """A copy of the example that types no horizon."""
    for name in ("trip.toml", "track.gpx", "terrain.tif", "forecast.csv"):
        shutil.copy(EXAMPLES / "tamsin-dome" / name, tmp_path / name)
    return tmp_path / "trip.toml"


def test_the_terrain_model_gives_horizons_and_is_looked_at_once(
    tamsin: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))
    first = set_up(read_trip(tamsin)).sky
    assert {place.horizon_says for place in first[1:]} == {"from terrain.tif"}
    assert first[0].horizon_says == "its own slope, 49 deg facing 208 deg; from terrain.tif"
    assert len(list((tmp_path / "cache" / "horizons").iterdir())) == len(first)

    def unreadable(*place: object) -> None:
        raise AssertionError("the terrain model is read again")

    monkeypatch.setattr(horizon_kept, "_made", unreadable)
    again = set_up(read_trip(tamsin)).sky
    for one, other in zip(first, again, strict=True):
        assert np.array_equal(one.horizon.altitude_deg, other.horizon.altitude_deg)
        assert one.horizon.notes == other.horizon.notes


def test_the_notes_of_a_terrain_model_are_in_the_units_of_the_trip(tamsin: Path) -> None:
    told = {}
    for units in ("si", "us"):
        text = re.sub(r"^units = .*$", f'units = "{units}"', tamsin.read_text(encoding="utf-8"), flags=re.MULTILINE)
        tamsin.write_text(text, encoding="utf-8")
        told[units] = " ".join(note for place in set_up(read_trip(tamsin)).sky for note in place.notes)
    assert (" km " in told["si"], " mi " in told["si"]) == (True, False)
    assert (" km " in told["us"], " mi " in told["us"]) == (False, True)


def test_a_broken_kept_horizon_is_made_again(tamsin: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))
    first = set_up(read_trip(tamsin)).sky
    for file in (tmp_path / "cache" / "horizons").iterdir():
        file.write_text('{"azimuth_deg": [0, 0]', encoding="utf-8")
    again = set_up(read_trip(tamsin)).sky
    assert np.array_equal(first[0].horizon.altitude_deg, again[0].horizon.altitude_deg)


def test_a_terrain_model_that_misses_the_slab_is_told(tamsin: Path) -> None:
    from rasterio import Affine
    from rasterio import open as open_raster

    path = tamsin.parent / "terrain.tif"
    profile = {"driver": "GTiff", "width": 4, "height": 4, "count": 1, "dtype": "float32", "crs": "EPSG:4326"}
    with open_raster(path, "w", transform=Affine(0.01, 0.0, 10.0, 0.0, -0.01, 50.0), **profile) as raster:
        raster.write(np.ones((4, 4), "float32"), 1)
    with pytest.raises(TripError) as refused:
        set_up(read_trip(tamsin))
    assert refused.value.problems[0].key == "route.terrain"
    assert "terrain.tif" in str(refused.value)


def test_without_the_extra_the_horizon_is_level_and_a_finding_says_so(
    tamsin: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from handline.day import sky_setting
    from handline.day.planning import make_plan

    monkeypatch.setattr(sky_setting, "find_spec", lambda name: None)
    plan = make_plan(read_trip(tamsin))
    assert plan.sky.places[0].horizon_says.endswith("; level: nothing here reads terrain.tif")
    assert "terrain_unread" in {finding.key for finding in plan.findings}
