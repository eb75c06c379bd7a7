"""Reading GeoJSON lines (source: geojson_rfc_7946)."""

from __future__ import annotations

import contextlib
import json
import math
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handline.errors import TrackError
from handline.route.geojson import read_geojson

LINE = {"type": "LineString", "coordinates": [[-113.5, 46.5, 1200], [-113.5, 46.6], [-113.4, 46.6, None]]}
FEATURE = {"type": "Feature", "properties": {}, "geometry": LINE}
POINT = {"type": "Feature", "properties": None, "geometry": {"type": "Point", "coordinates": [1, 2]}}


def written(folder: Path, content: Any) -> Path:
    path = folder / "track.geojson"
    path.write_text(json.dumps(content), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    "content",
    [
        LINE,
        FEATURE,
        {"type": "FeatureCollection", "features": [POINT, FEATURE]},
        {"type": "GeometryCollection", "geometries": [LINE]},
    ],
    ids=["line", "feature", "features", "geometries"],
)
def test_the_one_line_is_found(tmp_path: Path, content: Any) -> None:
    track = read_geojson(written(tmp_path, content))
    assert track.longitude_deg.tolist() == [-113.5, -113.5, -113.4]
    assert track.latitude_deg.tolist() == [46.5, 46.6, 46.6]
    assert track.elevation_m == pytest.approx([1200.0, math.nan, math.nan], nan_ok=True)
    assert track.notes == ()


def test_parts_of_a_multi_line_are_joined_and_said(tmp_path: Path) -> None:
    parts = [[[0, 46], [0, 46.1]], [[0, 46.2], [0, 46.3]]]
    track = read_geojson(written(tmp_path, {"type": "MultiLineString", "coordinates": parts}))
    assert track.piece_starts == (0, 2)
    assert track.notes == (
        "2 pieces joined in the order of the file; straight across between them: 11,115 m (36,468 ft)",
    )


@pytest.mark.parametrize(
    ("content", "what"),
    [
        ({"type": "FeatureCollection", "features": [FEATURE, FEATURE]}, "the file has several lines"),
        ({"type": "FeatureCollection", "features": [POINT]}, "the file has no line"),
        ({"type": "FeatureCollection", "features": 7}, "the file has no line"),
        ([1, 2], "the file has no line"),
        ("LineString", "the file has no line"),
        ({"type": "LineString"}, "the line has no list of coordinates"),
        ({"type": "MultiLineString", "coordinates": [1]}, "the line has no list of coordinates"),
        ({"type": "LineString", "coordinates": []}, "the line has no points"),
        ({"type": "LineString", "coordinates": [[1]]}, "position 1 is not a position"),
        ({"type": "LineString", "coordinates": [[1, 2], ["1", 2]]}, "position 2 is not a position"),
        ({"type": "LineString", "coordinates": [[1, True]]}, "position 1 is not a position"),
        ({"type": "LineString", "coordinates": [[1, math.nan]]}, "position 1 is not a position"),
        ({"type": "LineString", "coordinates": [[1, 2, "high"]]}, "position 1 is not a position"),
        ({"type": "LineString", "coordinates": [[1, 10**400]]}, "position 1 is not a position"),
    ],
)
def test_what_is_refused_says_why(tmp_path: Path, content: Any, what: str) -> None:
    path = written(tmp_path, content)
    with pytest.raises(TrackError) as refused:
        read_geojson(path)
    assert refused.value.problems[0].what == what
    assert refused.value.problems[0].file == str(path)


@pytest.mark.parametrize(
    ("content", "what", "line"),
    [
        (b"{\n,", "the file is not JSON", 2),
        (b"\xff\xfe\x00", "the file is not UTF-8 text", None),
        (b"[" * 100_000, "the file is not sensible JSON", None),
    ],
)
def test_what_is_not_json_says_so(tmp_path: Path, content: bytes, what: str, line: int | None) -> None:
    path = tmp_path / "track.geojson"
    path.write_bytes(content)
    with pytest.raises(TrackError) as refused:
        read_geojson(path)
    assert (refused.value.problems[0].what, refused.value.problems[0].line) == (what, line)


json_values = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.sampled_from(["LineString", "Feature", "x"]),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["type", "coordinates", "geometry", "features"]), inner, max_size=3)
    ),
    max_leaves=12,
)


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(json_values)
def test_any_json_is_a_track_or_a_track_error(tmp_path: Path, content: Any) -> None:
    with contextlib.suppress(TrackError):
        assert read_geojson(written(tmp_path, content)).size > 0
