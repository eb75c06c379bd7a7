"""The page of a review shows what the Review holds, in words and pictures, and needs no script."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from handline.brief.figures.picture import WIDTH_PX
from handline.brief.figures.recorded_day import recorded_day_picture
from handline.brief.figures.recorded_legs import recorded_legs_picture
from handline.brief.review_page import more_words, review_sheet, write_review
from handline.brief.still_page import still_page
from handline.quantity import show_clock, show_duration
from tests.brief.checked_picture import assert_obeys_the_schema, assert_reads_its_data
from tests.brief.closed_page import assert_closed
from tests.brief.read_page import text_of
from tests.brief.sample_review import partial_review, sample_review

PICTURES = {"recorded-day": recorded_day_picture, "recorded-legs": recorded_legs_picture}
REVIEWS = {"whole": sample_review, "partial": partial_review}


@pytest.mark.parametrize("key", PICTURES)
@pytest.mark.parametrize("which", REVIEWS)
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_spec_obeys_the_published_schema(key, which, width):
    assert_obeys_the_schema(PICTURES[key](REVIEWS[which]()), width)


@pytest.mark.parametrize("key", PICTURES)
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_layer_reads_data_that_is_there(key, width):
    picture = PICTURES[key](sample_review())
    assert_reads_its_data(picture, width)


def test_the_fan_is_the_planned_range_of_arriving_and_leaving():
    reviewed = sample_review()
    rows = recorded_day_picture(reviewed).datasets["fan"]
    top = next(i for i, passing in enumerate(reviewed.passings) if passing.name == "Tamsin summit")
    for part, passings in (("up", reviewed.passings[: top + 1]), ("down", reviewed.passings[top:])):
        drawn = [row["clock_h"] * 3600.0 for row in rows if row["part"] == part]
        early = [t for p in passings for t in (p.clock.planned_s[0], p.clock.planned_s[0] + p.planned_stop_s)]
        late = [t for p in passings for t in (p.clock.planned_s[2], p.clock.planned_s[2] + p.planned_stop_s)]
        assert drawn == pytest.approx(early + late[::-1])


def test_the_recorded_line_goes_through_the_recorded_passings():
    reviewed = sample_review()
    datasets = recorded_day_picture(reviewed).datasets
    course = [(row["clock_h"], row["height"]) for row in datasets["course"]]
    assert [clock for clock, _ in course] == sorted(clock for clock, _ in course)
    for row in datasets["found"]:
        before = max(i for i, (clock, _) in enumerate(course) if clock <= row["clock_h"] + 1e-9)
        low, high = sorted((course[before][1], course[min(before + 1, len(course) - 1)][1]))
        assert low - 0.05 <= row["height"] <= high + 0.05, row["place"]


def test_the_day_climbs_and_comes_down():
    heights = [row["height"] for row in recorded_day_picture(sample_review()).datasets["course"]]
    top = heights.index(max(heights))
    assert heights[:top] == sorted(heights[:top])
    assert heights[top:] == sorted(heights[top:], reverse=True)
    assert (heights[0], heights[top], heights[-1]) == pytest.approx((0.0, 1.0, 0.0), abs=0.01)


def test_legs_are_drawn_in_times_of_their_planned_middle():
    reviewed = sample_review()
    rows = recorded_legs_picture(reviewed).datasets["cases"]
    assert len(rows) == len(reviewed.legs)
    for row, leg in zip(rows, reviewed.legs, strict=True):
        low_s, middle_s, high_s = leg.time.planned_s
        expected = (low_s / middle_s, high_s / middle_s, leg.time.recorded_s / middle_s)
        assert (row["low"], row["high"], row["recorded"]) == pytest.approx(expected)
        assert (row["where"] == "within") == (low_s <= leg.time.recorded_s <= high_s)
        assert show_duration(leg.time.recorded_s) in row["case_words"]


def test_what_was_not_recorded_is_not_drawn():
    reviewed = partial_review()
    assert len(recorded_legs_picture(reviewed).datasets["cases"]) == 4
    assert len(recorded_day_picture(reviewed).datasets["found"]) == 5


def test_every_passing_and_leg_stands_on_the_page():
    reviewed = sample_review()
    text = text_of(still_page(review_sheet(reviewed)))
    assert reviewed.headline in text
    for passing in reviewed.passings:
        assert f"{passing.name} {passing.way}" in text
        assert show_clock(passing.clock.recorded_s) in text
        assert show_clock(passing.clock.planned_s[1]) in text
    for leg in reviewed.legs:
        assert f"{leg.start} to {leg.end}" in text
    for part in (*reviewed.notes, *reviewed.cautions, *(stop.where for stop in reviewed.stops)):
        assert part in text
    assert f"{reviewed.pace.factor:.2f} times as long as the planned middle" in text
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)


def test_a_part_is_said_to_be_one():
    text = text_of(still_page(review_sheet(partial_review())))
    assert "covers only part of the way" in text
    assert "after it ended" in text
    assert "not recorded" in text
    assert "No walked leg was recorded whole" in text


def test_the_page_runs_nothing_and_asks_for_nothing():
    page = still_page(review_sheet(sample_review()))
    assert_closed(page)
    assert len(page) < 400_000


def test_names_from_the_file_are_words_and_nothing_else():
    bad = '<img src=x onerror=alert(1)> & "quoted"'
    reviewed = sample_review()
    passings = tuple(replace(passing, name=bad) if i == 1 else passing for i, passing in enumerate(reviewed.passings))
    page = still_page(review_sheet(replace(reviewed, name=bad, passings=passings)))
    assert "<img src=x" not in page
    assert "&lt;img src=x" in page


def test_differences_have_their_sign():
    assert [more_words(s) for s in (600.0, -600.0, 10.0)] == ["+10 min", "−10 min", "as planned"]


def test_it_is_written_whole(tmp_path):
    path = write_review(sample_review(), tmp_path / "new")
    assert path.name == "review.html"
    assert path.read_text(encoding="utf-8") == still_page(review_sheet(sample_review()))
