"""Bytes of track files: GPX and GeoJSON with places, heights and times that are none, broken tags and odd encodings."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import strategies as st

from tests.fuzz.bases import POINT, short_track
from tests.fuzz.mutations import broken_bytes, lists_of_mutations, mutated
from tests.fuzz.nasty import LETTERS, NUMBERS

_PLACES = (*NUMBERS, "", "46.5", "-113.4", "89.9999999", "90.0000001", "-90", "179.9999999", "-180", "181", "46,5",
           "46.5 N", "1e-7", "0.000001")  # fmt: skip
_HEIGHTS = (*NUMBERS, "", "2648", "-430", "8850", "9000", "-11000", "100000", "2,648", "2648 m")
_TIMES = ("", "2026-01-23T20:02:40Z", "2026-01-23", "0001-01-01T00:00:00Z", "9999-12-31T23:59:60Z", "yesterday",
          "2026-01-23T20:02:40+99:00", "1769198560", "-2026-01-23T20:02:40Z")  # fmt: skip
_HEADS = (
    '<?xml version="1.0" encoding="UTF-16"?>', '<?xml version="1.0" encoding="latin-1"?>',
    '<?xml version="1.0" encoding="x-none"?>', '<?xml version="9.9"?>', "", "\ufeff", " ",
    '<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;&a;">]>',
    '<?xml version="1.0"?><!DOCTYPE gpx SYSTEM "file:///etc/hostname">', '<?xml-stylesheet href="x"?>',
)  # fmt: skip
_ENCODINGS = ("utf-8", "utf-16", "utf-16-le", "utf-32", "utf-8-sig", "cp037", "latin-1")
_POINT_TAGS = ("trkpt", "rtept", "wpt", "TRKPT", "x:trkpt", "trkpt ")

_POINTS = st.builds(
    '<trkpt lat="{}" lon="{}"><ele>{}</ele><time>{}</time></trkpt>'.format,
    st.sampled_from(_PLACES), st.sampled_from(_PLACES), st.sampled_from(_HEIGHTS), st.sampled_from(_TIMES),
)  # fmt: skip
_FINE_POINTS = st.builds(
    '<trkpt lat="{:.6f}" lon="{:.6f}"><ele>{:.1f}</ele></trkpt>'.format,
    st.floats(-42.09, -42.04), st.floats(146.27, 146.31), st.one_of(st.floats(0.0, 1500.0), st.floats(-430.0, 9000.0)),
)  # fmt: skip
_BARE_POINTS = st.builds('<trkpt lat="{:.6f}" lon="{:.6f}"/>'.format, st.floats(-91, 91), st.floats(-181, 181))


@st.composite
def gpx_files(draw: st.DrawFn) -> bytes:
    """A GPX file with up to five things wrong or odd about it."""
    text = short_track()
    for _ in range(draw(st.sampled_from((1, 1, 1, 2, 5)))):
        text = _one_change(draw, text)
    if draw(st.integers(1, 12)) == 12:
        return text.encode(draw(st.sampled_from(_ENCODINGS)), "replace")
    content = text.encode("utf-8", "replace")
    if draw(st.integers(1, 8)) == 8:
        return broken_bytes(content, draw(st.integers(0, 10_000)), draw(st.integers(1, 30)))
    return content


def _one_change(draw: st.DrawFn, text: str) -> str:
    points = list(POINT.finditer(text))
    match draw(st.integers(1, 18)):
        case 14 | 15 | 16 if points:
            at = draw(st.sampled_from(points))
            return text[: at.start()] + draw(_FINE_POINTS) + text[at.end() :]
        case 17:
            return text.replace("<ele>6", draw(st.sampled_from(("<ele>0", "<ele>-", "<ele>8", "<ele>66", "<ele>"))))
        case 1 | 2 | 3 if points:
            at = draw(st.sampled_from(points))
            return text[: at.start()] + draw(st.one_of(_POINTS, _BARE_POINTS)) + text[at.end() :]
        case 4 if points:
            first, last = sorted((draw(st.sampled_from(points)).start(), draw(st.sampled_from(points)).end()))
            return text[:first] + text[last:]
        case 5:
            return text.replace("trkpt", draw(st.sampled_from(_POINT_TAGS)))
        case 6:
            return draw(st.sampled_from(_HEADS)) + text.partition("?>")[2]
        case 7 if points:
            at = draw(st.sampled_from(points))
            parts = ("</trkseg><trkseg>", "</trkseg></trk><trk><trkseg>", "<extensions>" * 400, "<trkpt", "<!-- -- -->")
            return text[: at.start()] + draw(st.sampled_from(parts)) + text[at.start() :]
        case 8 if points:
            times = draw(st.sampled_from((2, 40, 2000)))
            at = draw(st.sampled_from(points))
            return text[: at.start()] + at[0] * times + text[at.start() :]
        case 9:
            return text.replace("<ele>", draw(st.sampled_from(("<Ele>", "<ele><ele>", "", "<ele>1", "<ele>-"))))
        case 10:
            return text.replace("GPX/1/1", draw(st.sampled_from(("GPX/1/0", "GPX/2/0", "", "&"))))
        case 11:
            return text.replace("-42.0", draw(st.sampled_from(("42.0", "-0.0", "1e3", "89.9", "-89.9", "x"))))
        case 12:
            return text.replace("146.2", draw(st.sampled_from(("-179.9", "180.0", "0.0", "1462", "", "146.2 "))))
    return mutated(text, draw(lists_of_mutations(2)))


_JSON_NUMBERS = st.one_of(
    st.floats(-200.0, 200.0), st.floats(), st.integers(-(10**20), 10**20), st.sampled_from((None, True, "46", [], {}))
)
_LINES = st.lists(st.lists(_JSON_NUMBERS, max_size=4), max_size=3)


_FINE_POSITIONS = st.lists(
    st.tuples(st.floats(-180.0, 180.0), st.floats(-90.0, 90.0), st.floats(-430.0, 9000.0)), max_size=3
)
_LETTERS_MORE = st.one_of(
    st.just([]), st.just([]), st.lists(st.tuples(st.sampled_from(LETTERS), st.integers(0, 10_000)), max_size=2)
)


@st.composite
def geojson_files(draw: st.DrawFn) -> bytes:
    """A GeoJSON file with a line of good positions among which others stand, inside what may hold a line."""
    good = [[146.2750 + i * 1e-4, -42.0819 + i * 1e-4, 642.0 + i] for i in range(draw(st.integers(0, 40)))]
    odd = draw(st.one_of(st.just([]), _FINE_POSITIONS, _LINES))
    line: list[Any] = [*good, *odd]
    kind = draw(st.sampled_from((*["LineString"] * 4, *["MultiLineString"] * 4, "Point", "Nothing")))
    geometry: Any = {"type": kind, "coordinates": [line, line] if kind == "MultiLineString" else line}
    for around in draw(st.lists(st.sampled_from(("Feature", "FeatureCollection", "GeometryCollection")), max_size=3)):
        inside = {"Feature": "geometry", "FeatureCollection": "features", "GeometryCollection": "geometries"}[around]
        geometry = {"type": around, inside: geometry if around == "Feature" else [geometry]}
    text = json.dumps(geometry)
    for letter, at in draw(_LETTERS_MORE):
        text = text[: at % len(text)] + letter + text[at % len(text) :]
    return text.encode("utf-8", "replace")
