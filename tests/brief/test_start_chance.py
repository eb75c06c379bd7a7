"""The chance over the start, drawn: the Plan's own numbers, the starts worth knowing, words that never touch."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import WIDTH_PX
from handline.brief.figures.start_chance import shown_starts, start_chance_picture, start_chance_pictures
from handline.brief.figures.theme import TEXT_PX
from tests.brief.checked_picture import assert_obeys_the_schema
from tests.brief.sample_chances import HOUR_S, PLANNED_S, sample_chances, sample_starts

STARTS = sample_starts()
PICTURE = start_chance_picture(STARTS)
FIRST_S, LAST_S = STARTS.clock_s[0], STARTS.clock_s[-1]
NO_WINDOW = replace(STARTS, window_clock_s=None)


def _marked(starts, width="narrow"):
    rows = start_chance_picture(starts).datasets["marks"]
    return [row["words"] for row in rows if row["width"] == width]


def test_the_curve_is_the_plans_with_its_band():
    told = zip(STARTS.clock_s, STARTS.share, STARTS.error, strict=True)
    expected = [
        (at_s / HOUR_S, 100.0 * share, 100.0 * (share - 1.96 * error), min(100.0, 100.0 * (share + 1.96 * error)))
        for at_s, share, error in told
        if abs(at_s - PLANNED_S) <= 6.0 * HOUR_S
    ]
    rows = PICTURE.datasets["curve"]
    assert len(rows) == 73, "six hours on both sides, every ten minutes"
    for row, values in zip(rows, expected, strict=True):
        assert (row["clock_h"], row["share"], row["low"], row["high"]) == pytest.approx(values)


def test_what_is_wanted_lies_across_the_whole_picture():
    for row in PICTURE.datasets["wanted"]:
        assert (row["from_h"] * HOUR_S, row["to_h"] * HOUR_S) == pytest.approx(shown_starts(STARTS))
        assert row["at"] == pytest.approx(100.0 * STARTS.wanted)


@pytest.mark.parametrize(
    ("starts", "expected"),
    [
        (STARTS, (PLANNED_S - 6 * HOUR_S, PLANNED_S + 6 * HOUR_S)),
        # A last start eight hours before the planned one, and an hour of room.
        (
            replace(STARTS, window_clock_s=(FIRST_S, PLANNED_S - 8 * HOUR_S)),
            (PLANNED_S - 9 * HOUR_S, PLANNED_S + 6 * HOUR_S),
        ),
        # The same for a first start long after it.
        (
            replace(STARTS, window_clock_s=(PLANNED_S + 7 * HOUR_S, PLANNED_S + 9 * HOUR_S)),
            (PLANNED_S - 6 * HOUR_S, PLANNED_S + 10 * HOUR_S),
        ),
        # Without a window the best start is worth seeing; never more than was looked at.
        (
            replace(NO_WINDOW, best_clock_s=LAST_S - 600.0),
            (PLANNED_S - 6 * HOUR_S, LAST_S),
        ),
    ],
)
def test_what_is_shown(starts, expected):
    assert shown_starts(starts) == pytest.approx(expected)


def test_the_planned_and_the_last_start_are_named_and_a_run_without_end_has_no_end():
    # 1 / (1 + exp((t - 5.3 h) / 1.1 h)) is 90 % at 5.3 h - 1.1 h ln 9 = 2.88 h: 02:50 is the last on the grid.
    for width in WIDTH_PX:
        assert _marked(STARTS, width) == ["last 02:50", "planned 04:00"]


def test_first_and_best_are_named_where_they_are_seen():
    starts = replace(STARTS, window_clock_s=(2 * HOUR_S, 3 * HOUR_S), best_clock_s=2.5 * HOUR_S)
    assert _marked(starts) == ["first 02:00", "best 02:30", "last 03:00", "planned 04:00"]
    assert "best 02:30" in _marked(replace(starts, window_clock_s=None))


def test_a_start_that_is_two_things_is_marked_once():
    starts = replace(STARTS, window_clock_s=(FIRST_S, PLANNED_S), best_clock_s=PLANNED_S)
    assert _marked(starts) == ["planned and last and best 04:00"]


def test_every_mark_lies_on_the_curve():
    curve = {round(row["clock_h"], 6): row["share"] for row in PICTURE.datasets["curve"]}
    for row in PICTURE.datasets["marks"]:
        assert row["share"] == curve[round(row["clock_h"], 6)]


def test_a_last_start_between_two_that_were_tried_lies_on_the_line_between_them():
    last_s = STARTS.clock_s[STARTS.clock_s.index(2.5 * HOUR_S)] + 120.0
    picture = start_chance_picture(replace(STARTS, window_clock_s=(FIRST_S, last_s)))
    (mark,) = [row for row in picture.datasets["marks"] if row["width"] == "wide" and row["words"] == "last 02:32"]
    before, after = (100.0 * STARTS.share[STARTS.clock_s.index(2.5 * HOUR_S) + i] for i in (0, 1))
    assert mark["share"] == pytest.approx(before + 0.2 * (after - before))


@given(st.lists(st.integers(-60, 60), min_size=3, max_size=3), st.sampled_from(list(WIDTH_PX)))
def test_words_of_one_row_never_touch_and_stay_in_the_picture(steps, width):
    first, last = sorted(steps[:2])
    starts = replace(
        STARTS,
        window_clock_s=(PLANNED_S + 600.0 * first, PLANNED_S + 600.0 * last),
        best_clock_s=PLANNED_S + 600.0 * steps[2],
    )
    picture = start_chance_picture(starts)
    from_h, to_h = (at_s / HOUR_S for at_s in shown_starts(starts))
    room_px = picture.specs[width]["width"]
    rows = [row for row in picture.datasets["marks"] if row["width"] == width]
    assert any("planned" in row["words"] for row in rows)
    for number in {row["row"] for row in rows}:
        spans = sorted(
            ((row["words_h"] - from_h) / (to_h - from_h) * room_px, words_width_px(row["words"], TEXT_PX[width]) / 2.0)
            for row in rows
            if row["row"] == number
        )
        assert all(middle - half >= -1e-6 and middle + half <= room_px + 1e-6 for middle, half in spans)
        assert all(left + a < right - b for (left, a), (right, b) in pairwise(spans))


@pytest.mark.parametrize("width", WIDTH_PX)
@pytest.mark.parametrize("starts", [STARTS, NO_WINDOW, replace(STARTS, share=(0.2,) * 145, window_clock_s=None)])
def test_every_spec_obeys_the_published_schema(starts, width):
    assert_obeys_the_schema(start_chance_picture(starts), width)


@pytest.mark.parametrize(("share", "baseline"), [(0.2, "bottom"), (0.97, "top")])
def test_the_words_of_what_is_wanted_stand_where_the_curve_is_not(share, baseline):
    picture = start_chance_picture(replace(STARTS, share=(share,) * 145))
    words = [
        layer for layer in picture.specs["wide"]["layer"] if layer["encoding"].get("text") == {"value": "you want 90 %"}
    ]
    assert {layer["mark"]["baseline"] for layer in words} == {baseline}


def test_the_same_in_words():
    for told in ("Starting at 04:00 as planned", "77 %", STARTS.says, "02:00 95 %", "22:00 the day before"):
        assert told in PICTURE.alt


def test_without_a_limit_there_is_no_picture():
    assert start_chance_pictures(replace(sample_chances(), fails_first=())) == ()
    assert [picture.key for picture in start_chance_pictures(sample_chances())] == ["start-chance"]
