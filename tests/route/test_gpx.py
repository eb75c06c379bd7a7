"""Reading GPX: what is read, what is said, what is refused. gpxpy is the referee (source: gpx_1_1)."""

from __future__ import annotations

import contextlib
import math
from pathlib import Path

import gpxpy
import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from handline.errors import TrackError
from handline.quantity import in_units
from handline.route.geodesy import steps_m
from handline.route.gpx import read_gpx
from tests.route.tracks import gpx_file

EXAMPLES = Path(__file__).parents[2] / "examples"
TWO_POINTS = '<trkpt lat="46.5" lon="-113.5"><ele>1200</ele></trkpt>\n<trkpt lat="46.6" lon="-113.5"/>'


@pytest.mark.parametrize("trip", ["tamsin-dome", "petrel-slab"])
def test_reads_what_gpxpy_reads(trip: str) -> None:
    path = EXAMPLES / trip / "track.gpx"
    track = read_gpx(path)
    with path.open(encoding="utf-8") as file:
        referee = gpxpy.parse(file)
    points = referee.tracks[0].segments[0].points
    assert track.latitude_deg.tolist() == [point.latitude for point in points]
    assert track.longitude_deg.tolist() == [point.longitude for point in points]
    assert track.elevation_m.tolist() == [point.elevation for point in points]
    assert track.time_s.tolist() == [point.time.timestamp() for point in points]


@pytest.mark.parametrize("trip", ["tamsin-dome", "petrel-slab"])
def test_lengths_as_gpxpy_within_what_its_formula_allows(trip: str) -> None:
    """gpxpy takes a sphere and a plane for short steps: 0.5 % of length, for the flattening of the Earth and more."""
    path = EXAMPLES / trip / "track.gpx"
    track = read_gpx(path)
    with path.open(encoding="utf-8") as file:
        referee = gpxpy.parse(file)
    steps = steps_m(track.latitude_deg, track.longitude_deg)
    assert steps.sum() == pytest.approx(referee.length_2d(), rel=5e-3)
    assert np.hypot(steps, np.diff(track.elevation_m)).sum() == pytest.approx(referee.length_3d(), rel=5e-3)


def test_elevation_and_time_are_nan_where_missing_or_odd(tmp_path: Path) -> None:
    path = gpx_file(
        tmp_path,
        "<trk><trkseg>"
        '<trkpt lat="1" lon="2"><ele> 1200.5 </ele><time>2026-07-11T10:00:00Z</time></trkpt>'
        '<trkpt lat="1" lon="3"><time>2026-07-11T12:00:00+02:00</time></trkpt>'
        '<trkpt lat="1" lon="4"><ele>high</ele><time>2026-07-11T10:00:00</time></trkpt>'
        '<trkpt lat="1" lon="5"><ele>inf</ele><time>noon</time><extensions><ele>7</ele></extensions></trkpt>'
        "</trkseg></trk>",
    )
    track = read_gpx(path)
    assert track.elevation_m == pytest.approx([1200.5, math.nan, math.nan, math.nan], nan_ok=True)
    assert track.time_s == pytest.approx([1783764000.0] * 3 + [math.nan], nan_ok=True)
    assert track.notes == ("times that could not be read: 1; a plan does not need them",)


def test_points_know_their_lines(tmp_path: Path) -> None:
    track = read_gpx(gpx_file(tmp_path, f"<trk><trkseg>\n{TWO_POINTS}\n</trkseg></trk>"))
    assert track.line.tolist() == [4, 5]


def test_a_route_is_read_where_there_is_no_track(tmp_path: Path) -> None:
    points = TWO_POINTS.replace("trkpt", "rtept")
    track = read_gpx(gpx_file(tmp_path, f"<rte>{points}</rte>"))
    assert track.size == 2
    assert "no track in the file: its route was read" in track.notes[0]
    both = read_gpx(
        gpx_file(tmp_path, f'<rte>{points}</rte><trk><trkseg>{TWO_POINTS}<trkpt lat="47" lon="-113"/></trkseg></trk>')
    )
    assert both.size == 3


def test_segments_and_tracks_are_joined_and_said(tmp_path: Path) -> None:
    far = '<trkpt lat="46.61" lon="-113.5"/>'
    track = read_gpx(
        gpx_file(
            tmp_path,
            f"<trk><trkseg>{TWO_POINTS}</trkseg><trkseg></trkseg><trkseg>{far}</trkseg></trk>"
            f"<trk><trkseg>{far}</trkseg></trk>",
        )
    )
    assert track.size == 4
    assert track.piece_starts == (0, 2, 3)
    (note,) = track.notes
    assert in_units(note, "si") == (
        "3 pieces joined in the order of the file; straight across between them: 1,112 m, 0 m"
    )


@pytest.mark.parametrize(
    ("root", "said"),
    [
        ('version="1.0" xmlns="http://www.topografix.com/GPX/1/0"', "the file is GPX 1.0, not 1.1: read all the same"),
        ('version="1.1"', "the file does not name the GPX 1.1 namespace: read all the same"),
    ],
)
def test_other_namespaces_are_read_and_said(tmp_path: Path, root: str, said: str) -> None:
    track = read_gpx(gpx_file(tmp_path, f"<trk><trkseg>{TWO_POINTS}</trkseg></trk>", root=root))
    assert track.size == 2
    assert track.notes == (said,)


BOMB = """<?xml version="1.0"?>
<!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;"><!ENTITY c "&b;&b;&b;&b;&b;&b;">]>
<gpx><trk><name>&c;</name></trk></gpx>"""
OUTSIDE = """<?xml version="1.0"?>
<!DOCTYPE gpx [<!ENTITY a SYSTEM "file:///etc/hostname">]><gpx><trk><name>&a;</name></trk></gpx>"""


@pytest.mark.parametrize(
    ("content", "what", "line"),
    [
        (BOMB, "a document type or entities", 2),
        (OUTSIDE, "a document type or entities", 2),
        ('<!DOCTYPE gpx SYSTEM "x.dtd"><gpx/>', "a document type or entities", 1),
        ("<gpx>\n<trk>\n</gpx>", "not well-formed XML", 3),
        ("<gpx>\n<trk><trkseg><trkpt lat='1'", "not well-formed XML", 2),
        ("no XML at all", "not well-formed XML", 1),
        ("<kml><trkpt/></kml>", "not a GPX file", None),
        ("<kml></kml>", "not a GPX file", None),
        ("<gpx></gpx>", "has no points", None),
        ("<gpx><wpt lat='1' lon='1'/></gpx>", "no track and no route", None),
        ("<gpx><trk><trkseg/></trk></gpx>", "has no points", None),
        ("<gpx><trk><trkseg>\n<trkpt lat='1'/>\n</trkseg></trk></gpx>", "point 1 has no position", 2),
        ("<gpx><trk><trkseg>\n<trkpt lat='a' lon='1'/>\n</trkseg></trk></gpx>", "point 1 has no position", 2),
        ("<gpx><trk><trkseg>\n<trkpt lat='nan' lon='1'/>\n</trkseg></trk></gpx>", "point 1 has no position", 2),
    ],
)
def test_what_is_refused_says_why_and_where(tmp_path: Path, content: str, what: str, line: int | None) -> None:
    path = tmp_path / "track.gpx"
    path.write_text(content, encoding="utf-8")
    with pytest.raises(TrackError) as refused:
        read_gpx(path)
    problem = refused.value.problems[0]
    assert what in problem.what
    assert problem.line == line
    assert problem.file == str(path)


def test_many_bad_points_are_counted_not_listed(tmp_path: Path) -> None:
    path = gpx_file(tmp_path, "<trk><trkseg>" + "<trkpt lon='1'/>" * 50 + TWO_POINTS + "</trkseg></trk>")
    with pytest.raises(TrackError) as refused:
        read_gpx(path)
    assert len(refused.value.problems) == 4
    assert refused.value.problems[-1].what == "and 47 more points like that"


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    st.one_of(st.binary(min_size=1), st.text(alphabet="<>/gpxtrkslaonewm=\"' 0123.&;!-", min_size=1).map(str.encode))
)
def test_random_bytes_are_a_track_error_and_nothing_else(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "random.gpx"
    path.write_bytes(content)
    with pytest.raises(TrackError):
        read_gpx(path)


@settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_a_damaged_recording_is_read_or_refused(tmp_path: Path, data: st.DataObject) -> None:
    whole = (EXAMPLES / "petrel-slab" / "track.gpx").read_bytes()[:3000] + b"</trkseg></trk></gpx>"
    at = data.draw(st.integers(0, len(whole) - 1))
    path = tmp_path / "damaged.gpx"
    path.write_bytes(whole[:at] + data.draw(st.binary(max_size=4)) + whole[at + 1 :])
    with contextlib.suppress(TrackError):
        assert read_gpx(path).size > 0
