"""The page of a crowd report shows what the report holds, in words and three pictures, and needs no script."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest

from handline.brief.crowd_page import crowd_sheet, write_crowd
from handline.brief.crowd_words import clears_words, pair_words, people_words, windows_words
from handline.brief.figures import theme
from handline.brief.figures.crowd_day import crowd_day_picture
from handline.brief.figures.crowd_heat import LONG, MEDIAN, crowd_heat_picture
from handline.brief.figures.crowd_shades import SHADES, shade_edges_min, shade_ink, shade_keys, shade_of
from handline.brief.figures.picture import WIDTH_PX
from handline.brief.still_page import still_page
from handline.quantity import show_clock
from tests.brief.checked_picture import assert_obeys_the_schema, assert_reads_its_data
from tests.brief.closed_page import assert_closed, assert_in_order
from tests.brief.read_page import plain, text_of
from tests.day.crowd_reports import crowded, tamsin_crowd

PICTURES = {
    MEDIAN: lambda report: crowd_heat_picture(report, MEDIAN),
    LONG: lambda report: crowd_heat_picture(report, LONG),
    "crowd-day": crowd_day_picture,
}


@pytest.mark.parametrize("key", PICTURES)
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_spec_obeys_the_published_schema_and_reads_its_data(key, width):
    picture = PICTURES[key](crowded())
    assert_obeys_the_schema(picture, width)
    assert_reads_its_data(picture, width)
    assert picture.key == key


@pytest.mark.parametrize(("which", "field"), [(MEDIAN, "median_s"), (LONG, "long_s")])
def test_each_known_cell_has_its_number_and_its_shade(which, field):
    report = crowded()
    picture = crowd_heat_picture(report, which)
    known = [cell for cell in report.heat if math.isfinite(getattr(cell, field))]
    rows = picture.datasets["cells"]
    assert len(rows) == len(known) < len(report.heat)
    numbers = sorted({cell.people for cell in report.heat})
    for cell, row in zip(known, rows, strict=True):
        minutes = getattr(cell, field) / 60.0
        assert row["words"] == f"{minutes:.0f}"
        assert (row["from_h"], row["to_h"]) == (cell.from_clock_s / 3600.0, cell.to_clock_s / 3600.0)
        assert (row["low"], row["high"]) == (numbers.index(cell.people), numbers.index(cell.people) + 1)
        assert row["weight"] == ("bold" if cell.people == report.people else "normal")
        low, high = _bounds(picture.keys[int(row["shade"])].words)
        assert low <= minutes < high
        assert f"{show_clock(cell.from_clock_s)} {minutes:.0f} min" in picture.alt


def _bounds(words: str) -> tuple[float, float]:
    """What a key says: "under 20 min", "20 to 40 min", "160 min and more"."""
    numbers = [float(number) for number in re.findall(r"\d+", words)]
    if words.startswith("under"):
        return 0.0, numbers[0]
    return (numbers[0], math.inf) if words.endswith("more") else (numbers[0], numbers[1])


def test_shades_go_up_evenly_or_double():
    assert shade_edges_min([1200.0, 2400.0]) == (25, 30, 35, 40)
    assert shade_edges_min([1500.0, 30_000.0]) == (30, 60, 120, 240)
    assert [shade_of(60.0 * value, (25, 30, 35, 40)) for value in (24.9, 25.0, 34.9, 40.0)] == [0, 1, 2, 4]
    assert [key.words for key in shade_keys((5, 10, 20, 40))] == [
        "under 5 min", "5 to 10 min", "10 to 20 min", "20 to 40 min", "40 min and more",
    ]  # fmt: skip
    assert len(SHADES) == 5


def _light(colour: str) -> float:
    """Relative luminance, WCAG 2.1."""
    channels = [int(colour[i : i + 2], 16) / 255.0 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_numbers_stand_out_from_their_shade_and_shades_darken():
    for shade, colour in enumerate(SHADES):
        light, dark = sorted((_light(colour), _light(shade_ink(shade))), reverse=True)
        # WCAG 2.1: at least 3 for large or short text; 4.5 for reading.
        assert (light + 0.05) / (dark + 0.05) >= 3.0
    assert [_light(colour) for colour in SHADES] == sorted(map(_light, SHADES), reverse=True)


def test_bars_of_the_day_stand_at_their_edge():
    report = crowded()
    picture = crowd_day_picture(report)
    for row in picture.datasets["bars"]:
        cell = next(
            c
            for c in report.example
            if (c.from_clock_s / 3600.0 == row["from_h"])
            and c.from_m - 1e-9 <= row["low"]
            and row["high"] <= c.to_m + 1e-9
        )
        part = (row["high"] - row["low"]) / (cell.to_m - cell.from_m)
        assert part == pytest.approx(0.46 * getattr(cell, row["way"]))
        edge = (row["low"], cell.from_m) if row["way"] == "up" else (row["high"], cell.to_m)
        assert edge[0] == pytest.approx(edge[1])
    up, down = (layer["mark"]["color"] for layer in picture.specs["wide"]["layer"][1:])
    assert (up, down) == (theme.BLUE, theme.ORANGE)


def test_everything_stands_on_the_page():
    for report in (crowded(), tamsin_crowd()):
        text = text_of(still_page(crowd_sheet(report)))
        said = [report.headline, report.why, report.comes_says, report.people_says, clears_words(report)]
        said += [finding.sentence for finding in report.findings] + list(report.cautions) + list(report.rules)
        said += [part for a in report.assumptions for part in (a.what, a.value, a.source)]
        for row in (*report.up, *report.down):
            said.append(f"{show_clock(row.from_clock_s)} to {show_clock(row.to_clock_s)} {pair_words(row.wait_s)}")
        said += [pair_words(way.added_s) for way in report.party]
        said += [windows_words(report.windows, report.most_delay_s)]
        for words in said:
            assert plain(words) in text, words
        assert not re.search(r"\bsafe\b", text, re.IGNORECASE)


def test_without_pictures_the_page_still_says_all_in_tables():
    page = still_page(crowd_sheet(replace(crowded(), heat=(), example=())))
    assert "<img" not in page
    assert plain(crowded().headline) in text_of(page)


def test_the_page_asks_for_nothing_and_runs_nothing(tmp_path):
    page = still_page(crowd_sheet(tamsin_crowd()))
    assert_closed(page)
    assert page.count("<img") == 6
    assert_in_order(page)
    assert len(page) < 1_000_000
    assert write_crowd(tamsin_crowd(), tmp_path / "new").read_text(encoding="utf-8") == page


def test_words():
    assert pair_words((60.0, 600.0)) == "1 min; 10 min"
    assert pair_words((61.0, 62.0)) == "1 min"
    assert people_words((3.0, 11.0)) == "3; 11"
    assert windows_words((), 900.0) == "no half hour in which nine in ten lose less than 15 min"
