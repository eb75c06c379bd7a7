"""The pictures of README.md: there, small, told in words, and of the plans the examples give today."""

from __future__ import annotations

import html
import re
import struct
from pathlib import Path
from xml.etree import ElementTree

import pytest

from handline.brief.figures import day_strip
from handline.day.planning import make_plan
from handline.trip.reading import read_trip

ROOT = Path(__file__).parents[2]
PICTURES = ROOT / "docs" / "pictures"
README = (ROOT / "README.md").read_text(encoding="utf-8")
SHOWN = {source: html.unescape(alt) for source, alt in re.findall(r'<img src="([^"]+)" [^>]*alt="([^"]*)"', README)}
MOST_BYTES = 1_500_000


def test_every_picture_is_shown_and_every_one_shown_is_there() -> None:
    assert len(SHOWN) >= 8
    assert {ROOT / source for source in SHOWN} == set(PICTURES.iterdir())


def test_they_are_small() -> None:
    assert sum(file.stat().st_size for file in PICTURES.iterdir()) < MOST_BYTES


@pytest.mark.parametrize("source", SHOWN)
def test_each_can_be_read_and_is_told_in_words(source: str) -> None:
    content = (ROOT / source).read_bytes()
    assert len(SHOWN[source]) > 80
    if source.endswith(".svg"):
        svg = ElementTree.fromstring(content)
        assert len(list(svg.iter("{http://www.w3.org/2000/svg}text"))) > 5
        assert not re.search(rb"href=.https?:", content)
    else:
        # A PNG has its width and height at bytes 16 to 24 (ISO/IEC 15948, 11.2.2).
        assert content.startswith(b"\x89PNG\r\n\x1a\n")
        width, height = struct.unpack(">II", content[16:24])
        assert width >= 700
        assert height >= 700


@pytest.mark.parametrize("trip", ["tamsin-dome", "petrel-slab"])
def test_the_times_told_are_those_of_today(trip: str) -> None:
    """Where this fails, numbers of an example moved: run `make pictures`."""
    plan = make_plan(read_trip(ROOT / "examples" / trip / "trip.toml"))
    assert SHOWN[f"docs/pictures/{trip}-day-strip.svg"].endswith(day_strip(plan).alt)
