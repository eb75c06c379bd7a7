"""The page of a quota report: two pictures, every curve in a table, how it was found."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from handline.brief.figures.picture import WIDTH_PX
from handline.brief.figures.quota_curve import CHANCE, PASSAGE, quota_picture
from handline.brief.quota_page import quota_sheet, write_quota
from handline.brief.quota_words import chance_words, knee_words, time_words, within_words
from handline.brief.still_page import still_page
from tests.brief.checked_picture import assert_obeys_the_schema, assert_reads_its_data
from tests.brief.read_page import plain, text_of
from tests.day.crowd_reports import quota


@pytest.mark.parametrize("which", [CHANCE, PASSAGE])
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_spec_obeys_the_published_schema_and_reads_its_data(which, width):
    picture = quota_picture(quota(), which)
    assert_obeys_the_schema(picture, width)
    assert_reads_its_data(picture, width)


@pytest.mark.parametrize(("which", "field", "unit"), [(CHANCE, "over", 0.01), (PASSAGE, "on_line_s", 60.0)])
def test_curves_bands_and_knee_are_those_of_the_report(which, field, unit):
    report = quota()
    data = quota_picture(report, which).datasets
    for number, curve in enumerate(report.curves):
        rows = [row for row in data["curves"] if row["curve"] == number]
        for row, point in zip(rows, curve.points, strict=True):
            assert row["people"] == point.people
            band = tuple(value / unit for value in getattr(point, field))
            assert (row["low"], row["value"], row["high"]) == pytest.approx(band)
    (knee,) = data["knees"]
    assert knee["people"] == report.curves[0].knee
    assert data["accepted"] == ([{"at": 5.0}] if which == CHANCE else [])


def test_lines_differ_by_more_than_colour():
    lines = [layer["mark"] for layer in quota_picture(quota(), CHANCE).specs["wide"]["layer"]]
    dashes = [tuple(mark.get("strokeDash", ())) for mark in lines if mark["type"] == "line"]
    assert len(set(dashes)) == len(quota().curves)


def test_without_a_knee_none_is_drawn():
    report = quota()
    flat = replace(report, curves=(replace(report.curves[0], knee=None, knee_range=None), *report.curves[1:]))
    picture = quota_picture(flat, CHANCE)
    assert picture.datasets["knees"] == []
    assert "knee" not in [key.swatch for key in picture.keys]
    assert "knee" in [key.swatch for key in quota_picture(report, CHANCE).keys]


def test_everything_stands_on_the_page(tmp_path):
    report = quota()
    page = still_page(quota_sheet(report))
    text = text_of(page)
    said = [report.headline, report.why, *report.methods, *report.rules, *report.cautions]
    said += [finding.sentence for finding in report.findings]
    said += [part for a in report.assumptions for part in (a.what, a.value, a.source)]
    for curve in report.curves:
        said += [knee_words(curve), within_words(curve, report)]
        said += [f"{point.people} {chance_words(point.over)}" for point in curve.points]
        said += [time_words(point.on_line_s) for point in curve.points]
    for words in said:
        assert plain(words) in text, words
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert "<script" not in page
    assert not re.findall(r"(?:src|href)=\"(?!data:|#)", page)
    assert page.count("<img") == 4
    assert write_quota(report, tmp_path / "new").read_text(encoding="utf-8") == page


def test_words():
    assert chance_words((0.01, 0.04, 0.06)) == "4 % (1 to 6 %)"
    assert chance_words((0.5, 0.5, 0.5)) == "50 %"
    assert time_words((60.0, 120.0, 180.0)) == "2 min (1 min to 3 min)"
    assert time_words((60.0, 61.0, 62.0)) == "1 min"
    curve = quota().curves[0]
    assert within_words(replace(curve, within=None), quota()) == "under 15"
    assert within_words(replace(curve, within=180), quota()) == "180, the most tried"
    assert knee_words(replace(curve, knee=90, knee_range=(75, 105))) == "90 (75 to 105)"
    assert knee_words(replace(curve, knee=90, knee_range=(90, 90))) == "90"
    assert knee_words(replace(curve, knee=None, knee_range=None)) == "none"
