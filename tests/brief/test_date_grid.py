"""The date grid: every cell in the report's shade, the edge of the wanted chance, and words that never touch."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from handline.brief.figures import theme
from handline.brief.figures.date_axis import date_ticks, short_date
from handline.brief.figures.date_cells import chance_edges, shade_cells, state_runs, wanted_edge
from handline.brief.figures.date_grid import _state_words, date_grid_picture, date_grid_pictures
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import WIDTH_PX
from handline.brief.figures.theme import TEXT_PX
from handline.brief.stills import draw_here
from tests.brief.checked_picture import assert_obeys_the_schema
from tests.brief.test_crowd_page import _light
from tests.choose.season_trips import push_report, season_report

REPORT = season_report()
PICTURE = date_grid_picture(REPORT, "push")
VIEW_PX = {width: spec["width"] for width, spec in PICTURE.specs.items()}
CHANCES = arrays(
    float, st.tuples(st.integers(1, 9), st.integers(1, 7)), elements=st.sampled_from([0.1, 0.6, 0.75, 0.95])
)


@pytest.mark.parametrize("report", [REPORT, push_report()])
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_spec_obeys_the_published_schema_and_reads_its_data(report, width):
    for picture in date_grid_pictures(report):
        assert_obeys_the_schema(picture, width)
        assert {layer["data"]["name"] for layer in picture.specs[width]["layer"]} <= set(picture.datasets)
        json.dumps(picture.datasets, allow_nan=False)
        assert len(json.dumps(picture.datasets)) < 60_000, "few rectangles, not a cell each"


def test_every_picture_can_be_drawn():
    svgs = list(draw_here([picture.complete(width) for picture in date_grid_pictures(REPORT) for width in WIDTH_PX]))
    assert len(svgs) == 4
    for svg in svgs:
        assert svg.startswith("<svg")
        assert len(svg) < 120_000
    assert "the cables stand" in svgs[0]


# --- cells ---------------------------------------------------------------------------------------------------------


def _painted(rows, shape):
    """Referee: the grid as the rectangles paint it, each cell once."""
    grid = np.full(shape, -1)
    for row in rows:
        part = grid[row["left"] : row["right"], row["top"] : row["bottom"]]
        assert (part == -1).all(), "no cell is painted twice"
        part[:] = row["shade"]
    return grid


@settings(deadline=None)
@given(CHANCES, st.data())
def test_the_rectangles_paint_each_cell_in_its_own_shade(chance, data):
    closed = data.draw(arrays(bool, chance.shape[0]))
    chance = np.where(closed[:, None], np.nan, chance)
    edges = (0.5, 0.75, 0.9)
    expected = np.where(np.isnan(chance), -1, (chance[..., None] >= np.array(edges)).sum(axis=-1))
    assert (_painted(shade_cells(chance, edges), chance.shape) == expected).all()


@settings(deadline=None)
@given(CHANCES)
def test_the_edge_parts_what_meets_from_what_does_not(chance):
    """Referee: cell by cell, is there a piece of the edge between it and its neighbour."""
    levels, uprights = set(), set()
    for row in wanted_edge(chance, 0.75):
        if row["top"] == row["bottom"]:
            levels |= {(date, row["top"]) for date in range(row["left"], row["right"])}
        else:
            uprights |= {(row["left"], start) for start in range(row["top"], row["bottom"])}
    meets = chance >= 0.75
    dates, starts = chance.shape
    assert levels == {(d, s + 1) for d in range(dates) for s in range(starts - 1) if meets[d, s] != meets[d, s + 1]}
    assert uprights == {(d + 1, s) for d in range(dates - 1) for s in range(starts) if meets[d, s] != meets[d + 1, s]}


def test_the_shades_are_those_of_the_report():
    chance = np.array([row.ways[0].chance for row in REPORT.rows])
    edges = chance_edges(REPORT.wanted_chance)
    painted = _painted([{**row, "shade": int(row["shade"])} for row in PICTURE.datasets["cells"]], chance.shape)
    assert (painted == (chance[..., None] >= np.array(edges)).sum(axis=-1)).all()
    assert len(set(painted.ravel().tolist())) >= 3
    assert painted.max() == len(edges)
    closed = date_grid_picture(push_report(), "push").datasets["cells"]
    assert max(row["right"] for row in closed) == sum(not row.closed for row in push_report().rows)


@pytest.mark.parametrize(
    ("wanted", "edges"),
    [
        (0.9, (0.25, 0.5, 0.75, 0.9)), (0.5, (0.25, 0.5)), (0.6, (0.25, 0.5, 0.6)), (0.52, (0.25, 0.52)),
        (0.8, (0.25, 0.5, 0.75, 0.8)), (0.99, (0.5, 0.75, 0.9, 0.99)), (0.95, (0.5, 0.75, 0.9, 0.95)),
    ],
)  # fmt: skip
def test_shades_end_at_round_chances_and_at_the_wanted_one(wanted, edges):
    assert chance_edges(wanted) == edges
    assert len(edges) < len(theme.CHANCE_SCALE)


def test_shades_darken_and_the_key_has_each_of_them():
    assert [_light(colour) for colour in theme.CHANCE_SCALE] == sorted(map(_light, theme.CHANCE_SCALE), reverse=True)
    shades = [key for key in PICTURE.keys if key.swatch.startswith("chance-")]
    assert [key.swatch for key in shades] == [f"chance-{number}" for number in range(5)]
    assert [key.words for key in shades] == [
        "under 25 %", "25 % to 50 %", "50 % to 75 %", "75 % to 90 %", "90 % and more: what you want",
    ]  # fmt: skip
    few = date_grid_picture(replace(REPORT, wanted_chance=0.5), "push")
    assert [key.swatch for key in few.keys if key.swatch.startswith("chance-")] == ["chance-2", "chance-3", "chance-4"]
    cells = next(layer for layer in few.specs["wide"]["layer"] if layer["data"]["name"] == "cells")
    assert cells["encoding"]["fill"]["scale"]["range"] == list(theme.CHANCE_SCALE[2:])


# --- line, best dates and axis -------------------------------------------------------------------------------------


def test_the_band_tells_how_the_line_stands():
    assert state_runs(REPORT.rows) == [
        {"left": 0, "right": 5, "state": "lowered"}, {"left": 5, "right": 14, "state": "raised"},
    ]  # fmt: skip
    assert [(run["state"], run["right"]) for run in state_runs(push_report().rows)] == [("raised", 15), ("closed", 21)]
    wide = [row for row in PICTURE.datasets["line"] if row["width"] == "wide"]
    assert [row["words"] for row in wide] == ["the cables lie on the rock", "the cables stand"]
    words = [key.words for key in PICTURE.keys]
    assert "the cables stand" in words
    assert "the cables lie on the rock" in words
    for width in WIDTH_PX:
        for row in PICTURE.datasets["line"]:
            if row["width"] == width:
                room_px = (row["right"] - row["left"]) * VIEW_PX[width] / len(REPORT.rows)
                assert words_width_px(row["words"], TEXT_PX[width]) <= room_px
        posts = [row["at"] for row in PICTURE.datasets["posts"] if row["width"] == width]
        assert min(posts) == 5.0
        assert max(posts) == 14.0


@settings(deadline=None, max_examples=60)
@given(st.integers(20, 200), st.lists(st.floats(0.0, 270.0), max_size=6))
def test_words_of_the_band_keep_off_the_lines_where_there_is_room(dates, crossed_px):
    date_px = 270.0 / dates
    run = {"left": 0, "right": dates, "state": "raised"}
    told = _state_words(run, date_px, 11.0, crossed_px)
    half_px, middle_px = words_width_px(told["words"], 11.0) / 2.0, told["middle"] * date_px
    assert told["words"] == "the cables stand"
    assert half_px <= middle_px <= 270.0 - half_px
    # Referee: every place a quarter of a pixel apart.
    places = np.arange(half_px + 4.0, 270.0 - half_px - 4.0, 0.25)
    free = [at for at in places if all(abs(at - line) > half_px + 4.5 for line in crossed_px)]
    if free:
        assert all(abs(middle_px - line) >= half_px for line in crossed_px)
    if not crossed_px:
        assert middle_px == pytest.approx(135.0)


def _marks(report, width):
    return [row for row in date_grid_picture(report, "push").datasets["best"] if row["width"] == width]


@pytest.mark.parametrize("report", [REPORT, push_report()])
@pytest.mark.parametrize("width", WIDTH_PX)
def test_the_best_dates_are_marked_at_their_start_and_no_two_names_touch(report, width):
    marks = _marks(report, width)
    places = {row.date: number for number, row in enumerate(report.rows)}
    best = {one.rank: one for one in report.best if one.way == "push"}
    assert len(marks) == min(5, len(best))
    date_px, boxes = VIEW_PX[width] / len(report.rows), []
    for row in marks:
        rank, date = row["words"].split(": ")
        one = best[int(rank)]
        assert date == short_date(dt.date.fromisoformat(one.date))
        assert row["at"] == places[one.date] + 0.5
        assert report.starts_clock_s[int(row["start"])] == one.start_clock_s
        left_px = row["words_at"] * date_px
        boxes.append((row["row"], left_px, left_px + words_width_px(row["words"], TEXT_PX[width])))
        assert 0.0 <= left_px <= VIEW_PX[width] - words_width_px(row["words"], TEXT_PX[width]) + 1e-6
    for number, (row, left, right) in enumerate(boxes):
        for other_row, other_left, other_right in boxes[number + 1 :]:
            assert row != other_row or right <= other_left or other_right <= left
    for mark, (row, _, _) in zip(marks, boxes, strict=True):
        for other_row, left, right in boxes:
            crossed = other_row > row and left < mark["at"] * date_px < right
            assert not crossed, "the line down from a name runs through another"


@settings(deadline=None, max_examples=60)
@given(
    st.dates(dt.date(2026, 1, 1), dt.date(2028, 12, 31)),
    st.integers(1, 400),
    st.sampled_from([(270, 11), (644, 12)]),
)
def test_dates_under_the_axis_never_touch_and_stay_inside(first, count, size):
    room_px, text_px = size
    dates = [first + dt.timedelta(days=day) for day in range(count)]
    ticks = date_ticks(dates, room_px / count, text_px)
    assert ticks
    boxes = []
    for tick in ticks:
        assert tick["words"] == short_date(dates[int(tick["at"])])
        middle_px, half_px = tick["at"] * room_px / count, words_width_px(tick["words"], text_px) / 2.0
        assert middle_px >= half_px / 2.0 - 1e-6 or len(ticks) == 1
        boxes.append((middle_px - half_px, middle_px + half_px))
    assert all(right < left for (_, right), (left, _) in pairwise(boxes))


def test_a_season_of_one_date_and_of_one_start():
    alone = replace(REPORT, rows=REPORT.rows[5:6], best=REPORT.best[:0])
    assert date_grid_picture(alone, "push").datasets["best"] == []
    row = replace(REPORT.rows[5], ways=tuple(replace(way, chance=way.chance[:1]) for way in REPORT.rows[5].ways))
    narrow = date_grid_picture(replace(alone, rows=(row,), starts_clock_s=REPORT.starts_clock_s[:1]), "night")
    assert len(narrow.datasets["cells"]) == 1
    assert next(draw_here([narrow.complete("narrow")])).startswith("<svg")
    closed = replace(REPORT, rows=tuple(replace(row, closed=True, ways=()) for row in REPORT.rows), best=())
    assert date_grid_pictures(closed) == ()


def test_the_words_say_the_main_numbers():
    assert PICTURE.alt.startswith("On 14 of 14 open dates some start keeps all limits in 90 % of days.")
    for words in (
        "May 10:00; June 10:00", "From 24 May 2027 to 28 May 2027 the cables lie on the rock.",
        "From 29 May 2027 to 6 June 2027 the cables stand.", "31 May 2027, rank 1, up to 10:00",
    ):  # fmt: skip
        assert words in PICTURE.alt
    none = date_grid_picture(push_report(), "push")
    assert "On 0 of 15 open dates" in none.alt
    assert "June none on most" in none.alt
    assert "From 5 July 2027 to 10 July 2027 the way is closed." in none.alt
    assert "the start from the camp" in date_grid_picture(REPORT, "night").caption
