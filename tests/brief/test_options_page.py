"""The page of ways side by side shows what the report holds, in words, tables and one picture, without any script."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import combinations

import pytest

from handline.brief.figures import theme
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.option_map import LOOKS, option_map
from handline.brief.figures.picture import WIDTH_PX
from handline.brief.options_page import options_sheet, write_options
from handline.brief.options_shown import COLUMNS, option_name, reasons_shown, stop_words, table_shown
from handline.brief.still_page import still_page
from handline.choose.options import options_report
from handline.choose.options_asked import Asked
from handline.quantity import show_clock
from tests.brief.checked_picture import assert_obeys_the_schema, assert_reads_its_data
from tests.brief.closed_page import assert_closed, assert_in_order
from tests.brief.read_page import plain, text_of
from tests.choose.option_trips import an_option, camp_trip

ALL = ("none", "one sling", "two slings", "rope lanyard", "friction hitch", "absorbing lanyard")


@pytest.fixture(scope="module")
def report():
    return options_report(camp_trip(storm=True, limits='home_by = "14:00"'), Asked("planned", ALL, 300))


@pytest.fixture(scope="module")
def none_left():
    return options_report(camp_trip(date="2027-05-17", storm=True), Asked("planned", ("two slings",), 300))


# --- what is said --------------------------------------------------------------------------------------------------


def test_every_option_has_every_column_once(report):
    shown = table_shown(report)
    told = [option for group in shown.groups for option in group.options]
    assert told == list(report.options)
    keys = [column.key for column in (*shown.columns, *shown.by_group)]
    assert len(keys) + len(shown.once) == len(COLUMNS)
    for column in COLUMNS:
        values = {column.show(option, report.units) for option in report.options}
        assert (column.key in keys) == (len(values) > 1), "what is the same for all has no column"
    for group in shown.groups:
        for column in shown.by_group:
            (value,) = {column.show(option, report.units) for option in group.options}
            assert (column.words, value) in group.once
    assert [group.title for group in shown.groups] == [
        "Push, raised", "Push, lowered", "Night out, raised", "Night out, lowered",
    ]  # fmt: skip


def test_a_number_without_its_unit_is_the_same_number(report):
    for column in COLUMNS:
        for option in report.options[:3]:
            whole, bare = column.show(option, "us"), column.bare(option, "us")
            assert whole in (bare, f"{bare} {column.unit('us')}")
        assert "{" not in column.title("us")


def test_reasons_that_all_share_are_told_once(report):
    lowered = next(group for group in table_shown(report).groups if group.title == "Push, lowered")
    shared, each = reasons_shown(lowered)
    assert shared == ("the line is not lowered on 17 July 2027",)
    assert {name for name, _ in each} == {option_name(option) for option in lowered.options}
    for option in lowered.options:
        words = dict(each)[option_name(option)]
        assert (*shared, *words) == option.against


def test_words_of_a_stop():
    assert stop_words(an_option(force_N=(4000.0, 5500.0))) == "stopped at up to 5.5 kN"
    assert stop_words(an_option(force_N=(float("nan"),) * 2)) == "nothing stops it"
    assert stop_words(an_option(slide_m=(0.0, 0.0))) == "friction alone keeps a body from sliding"


# --- the page ------------------------------------------------------------------------------------------------------


def test_everything_stands_on_the_page(report, none_left):
    for one in (report, none_left):
        text = text_of(still_page(options_sheet(one)))
        said = [one.headline, one.dates_say, *one.why, *one.notes, *one.cautions, one.sides_say]
        assert bool(one.sides_say) == bool(one.sides)
        said += [change.says for change in one.changes] + [finding.sentence for finding in one.findings]
        for side in one.sides:
            said.append(f"{side.what} {side.raised} {side.lowered} {side.speaks_for or 'neither'}")
        for option in one.options:
            said += list(option.against)
        for words in said:
            assert plain(words) in text, words
        assert not re.search(r"\bsafe\b", text, re.IGNORECASE)


def test_the_recommendation_comes_first_and_changes_lead_to_their_option(report):
    page = still_page(options_sheet(report))
    assert page.index(report.headline) < page.index("What would change it") < page.index("Every way, side by side")
    best = next(option for option in report.options if option.key == report.recommended)
    assert f"Leave the camp {show_clock(best.start_clock_s)} latest" in text_of(page)
    ids = re.findall(r' id="([^"]+)"', page)
    assert len(ids) == len(set(ids))
    assert {option.key for option in report.options} <= set(ids)
    assert set(re.findall(r'href="#([^"]+)"', page)) <= set(ids)


def test_without_a_recommendation_nothing_is_praised(none_left):
    text = text_of(still_page(options_sheet(none_left)))
    assert "Stop: do not go like this" in text
    assert "Recommended under your own limits" not in text
    assert "absorbing lanyard recommended" not in text


def test_the_page_asks_for_nothing_and_runs_nothing(report, tmp_path):
    page = still_page(options_sheet(report))
    assert_closed(page)
    assert page.count("<img") == 2
    assert_in_order(page)
    assert len(page) < 400_000
    assert write_options(report, tmp_path / "new").read_text(encoding="utf-8") == page


def test_a_single_way_has_no_table_of_what_differs(report):
    last = replace(report.options[-1], beaten_by="")
    lone = replace(report, options=(last,), recommended="", sides=(), changes=())
    text = text_of(still_page(options_sheet(lone)))
    assert "Nothing that was turned over." in text
    assert "The same for all: on 17 July 2027" in text


# --- the picture ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", WIDTH_PX)
def test_the_spec_obeys_the_published_schema_and_reads_its_data(report, width):
    picture = option_map(report)
    assert_obeys_the_schema(picture, width)
    assert_reads_its_data(picture, width)


@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_option_is_at_a_mark_of_its_way_and_state(report, width):
    picture = option_map(report)
    marks = [row for row in picture.datasets["marks"] if row["width"] == width]
    told = [title for row in marks for title in row["words"].split("; ")]
    assert sorted(told) == sorted(option.title for option in report.options)
    spec = picture.specs[width]
    height_px = spec["height"]
    (across, down) = (spec["layer"][1]["encoding"][axis]["scale"] for axis in ("x", "y"))
    for option in report.options:
        row = next(row for row in marks if option.title in row["words"].split("; "))
        assert row["looks"] == f"{option.way} {option.state}"
        assert (row["can"], row["best"]) == (option.state_on_date, option.best)
        # Drawn together where they lie within a few pixels: never far from where it is.
        low, high = across["domain"]
        assert abs(row["chance"] - 100.0 * option.chance) <= 8.0 / 260.0 * (high - low)
        longest = down["domain"][1]
        drawn, own = ((slide / longest) ** 0.5 * height_px for slide in (row["slide"], option.slide_m[1]))
        assert abs(drawn - own) <= 8.0
        assert low <= row["chance"] <= high
        assert 0.0 <= row["slide"] <= longest
    assert down["range"] == [0, height_px], "a longer slide is farther down"
    assert across["domain"][0] < 100.0 * report.wanted_chance < across["domain"][1]


@pytest.mark.parametrize("width", WIDTH_PX)
def test_numbers_do_not_lie_over_each_other(report, width):
    rows = [row for row in option_map(report).datasets["words"] if row["width"] == width]
    assert rows
    boxes = [
        (row["x_px"], row["y_px"], words_width_px(row["words"], theme.TEXT_PX[width]), theme.TEXT_PX[width])
        for row in rows
    ]
    for (x1, y1, w1, h), (x2, y2, w2, _) in combinations(boxes, 2):
        assert abs(x1 - x2) >= (w1 + w2) / 2.0 - 1e-6 or abs(y1 - y2) >= h - 1e-6
    assert sum(row["weight"] == "bold" for row in rows) == 1, "the recommended one"
    tethers = {number for row in rows for number in re.findall(r"\d+", row["words"])}
    assert tethers == {str(number) for number in range(1, len(ALL) + 1)}


def test_shape_colour_and_key_say_the_same(report):
    picture = option_map(report)
    shapes = [shape for shape, _ in LOOKS.values()]
    assert len(set(shapes)) == len(LOOKS), "no two ways differ by colour alone"
    words = [key.words for key in picture.keys]
    assert "push, line raised" in words
    assert "night out, line lowered" in words
    assert words[-len(ALL) :] == ["nothing attached", *ALL[1:]]
    assert "you want 90 %" in words
    for option in report.options:
        assert f"{option.title}" in picture.alt
    assert picture.alt.count("(recommended") == 1


def test_all_alike_and_no_slide_still_draw(report):
    alike = tuple(
        replace(option, chance=1.0, slide_m=(0.0, 0.0), force_N=(float("nan"),) * 2) for option in report.options
    )
    picture = option_map(replace(report, options=alike, wanted_chance=0.5))
    (low, high) = picture.specs["narrow"]["layer"][1]["encoding"]["x"]["scale"]["domain"]
    assert (low < 50.0, high) == (True, 100.0)
    assert {row["slide"] for row in picture.datasets["marks"]} == {0.0}
