"""The page of a pace: whole, closed to the outside, escaped, and a picture that shows what the report holds."""

from __future__ import annotations

import json
import math
import re
from dataclasses import replace
from pathlib import Path

import pytest

from handline.brief.figures.own_pace import MOST_POINTS, own_pace_picture, slope_words
from handline.brief.figures.picture import WIDTH_PX
from handline.brief.pace_page import climb_words, error_words, pace_sheet, signed_minutes, slope_name, write_pace
from handline.brief.still_page import still_page
from handline.day.pace_fitting import fit_tracks
from handline.day.pace_report import PaceReport, SlopeSpeed
from handline.quantity import show_duration
from tests.brief.checked_picture import assert_obeys_the_schema
from tests.brief.closed_page import assert_closed
from tests.brief.read_page import visible
from tests.day.pace_tracks import gpx, walk

HOSTILE = '<script>alert("x")</script>\'"&</style>{{ 7 * 7 }}'


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> PaceReport:
    folder = tmp_path_factory.mktemp("walks")
    return fit_tracks([gpx(folder / "one.gpx", walk(1)), gpx(folder / "two.gpx", walk(2, day=1))])


@pytest.fixture(scope="module")
def page(report: PaceReport) -> str:
    return still_page(pace_sheet(report))


@pytest.mark.parametrize("width", WIDTH_PX)
def test_the_spec_obeys_the_published_schema(report: PaceReport, width: str) -> None:
    assert_obeys_the_schema(own_pace_picture(report), width)


def test_every_layer_reads_data_that_is_there(report: PaceReport) -> None:
    picture = own_pace_picture(report)
    for spec in picture.specs.values():
        assert {layer["data"]["name"] for layer in spec["layer"]} == set(picture.datasets)
    json.dumps(picture.datasets, allow_nan=False)


def test_points_curve_and_bands_are_those_of_the_report(report: PaceReport) -> None:
    data, drawn = own_pace_picture(report).datasets, report.drawn
    inside = [i for i, grade in enumerate(drawn.piece_grade) if abs(grade) <= 0.45]
    assert [row["speed"] for row in data["pieces"]] == pytest.approx([3.6 * drawn.piece_m_s[i] for i in inside])
    assert [row["middle"] for row in data["curve"]] == pytest.approx([3.6 * speed for speed in drawn.middle_m_s])
    for row in data["curve"]:
        assert row["least"] < row["low"] < row["middle"] < row["high"] < row["most"]
        assert row["seen"] == (min(drawn.piece_grade) <= row["grade"] / 100.0 <= max(drawn.piece_grade))


def test_published_models_are_all_there_and_none_runs(report: PaceReport) -> None:
    data = own_pace_picture(report).datasets["published"]
    assert {row["model"] for row in data} == {model.title for model in report.models}
    speeds = [row["speed"] for row in data if row["speed"] is not None]
    assert max(speeds) <= 7.2
    # Langmuir's rule runs on gentle descents, 12 km/h at 12 degrees: there it is not drawn. (source: langmuir_1984)
    gone = [row["grade"] for row in data if row["model"] == "Langmuir 1984" and row["speed"] is None]
    assert gone
    assert all(-21.3 < grade < -8.7 for grade in gone)
    assert not [row for row in data if row["model"] != "Langmuir 1984" and row["speed"] is None]


def test_us_units(report: PaceReport) -> None:
    us = own_pace_picture(replace(report, units="us"))
    assert us.datasets["curve"][30]["middle"] == pytest.approx(report.drawn.middle_m_s[30] / 0.44704)
    assert "mph" in us.alt
    assert "mph" in visible(still_page(pace_sheet(replace(report, units="us"))))


def test_many_points_are_thinned_and_said(report: PaceReport) -> None:
    drawn = report.drawn
    often = math.ceil(2.5 * MOST_POINTS / len(drawn.piece_grade))
    many = replace(drawn, piece_grade=drawn.piece_grade * often, piece_m_s=drawn.piece_m_s * often)
    picture = own_pace_picture(replace(report, drawn=many))
    assert len(picture.datasets["pieces"]) <= MOST_POINTS
    assert f"{len(picture.datasets['pieces'])} are drawn, evenly chosen" in picture.caption
    assert "evenly chosen" not in own_pace_picture(report).caption


def test_steeper_pieces_are_said(report: PaceReport) -> None:
    drawn = report.drawn
    steep = replace(drawn, piece_grade=(0.8, *drawn.piece_grade[1:]))
    assert f"because steeper: 1 of {report.pieces} pieces" in own_pace_picture(replace(report, drawn=steep)).caption


def test_words() -> None:
    assert slope_words(SlopeSpeed(0.2, 0.5, 0.75, 1.0, True), "si") == "20 % up: 2.7 km/h (1.8 to 3.6)."
    assert slope_words(SlopeSpeed(0.0, 0.5, 0.75, 1.0, True), "si").startswith("Level: ")
    assert [signed_minutes(time_s) for time_s in (109.0, -31.0, 1.0, -1.0)] == [
        "+1.8 min",
        "−0.5 min",
        "0.0 min",
        "0.0 min",
    ]
    assert (slope_name(-0.3), slope_name(0.0), slope_name(0.1)) == ("30 % down", "level", "10 % up")
    assert error_words(0.0704) == "7.0 %"


def test_same_report_same_bytes(report: PaceReport, page: str) -> None:
    assert still_page(pace_sheet(report)) == page
    assert len(page.encode()) < 1_600_000


def test_closed_to_the_outside(page: str) -> None:
    assert_closed(page)


def test_honest_words(page: str) -> None:
    words = visible(page)
    assert not re.search(r"\b(un)?safe(ly|ty|r)?\b", words, re.IGNORECASE)
    assert not re.search(r"\b(nan|None|inf|undefined)\b", words)


def test_everything_of_the_report_is_said(report: PaceReport, page: str) -> None:
    words = visible(page)
    day = report.walks[-1]
    for sentence in (
        *report.cautions,
        *report.sources,
        *report.thrown_out,
        *report.notes,
        *(model.title for model in report.models),
        *(left.title for left in report.left_out),
        *(track.sha256 for track in report.tracks),
        *(note for track in report.tracks for note in track.notes),
        f"{report.time_factor:.2f} times as long as {report.model_title}",
        f"{report.time_factor_band[0]:.2f} to {report.time_factor_band[1]:.2f}",
        climb_words(report),
        f"{show_duration(day.low_s)} to {show_duration(day.high_s)}",
        error_words(report.spread),
        "common practice, no source",
        "from memory",
    ):
        assert sentence in words, sentence


def test_hostile_names_stay_text(report: PaceReport) -> None:
    track = replace(report.tracks[0], file=HOSTILE, notes=(HOSTILE,))
    page = still_page(pace_sheet(replace(report, tracks=(track,), notes=(HOSTILE,), thrown_out=(HOSTILE,))))
    assert "<script" not in page
    assert visible(page).count(HOSTILE) >= 4


def test_written_into_a_folder(report: PaceReport, page: str, tmp_path: Path) -> None:
    path = write_pace(report, tmp_path / "new")
    assert path == tmp_path / "new" / "pace.html"
    assert path.read_text(encoding="utf-8") == page
