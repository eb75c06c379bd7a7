"""Ranges and short distances in words."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from handline.brief import words
from handline.quantity import show_length
from tests.brief.sample_plan import sample_plan

OUTCOME = sample_plan().line.tethers[0].outcomes[0]


@pytest.mark.parametrize(
    ("values", "told"),
    [
        ((3.0, 5.0), "usually 3.0 m, at worst 5.0 m"),
        ((3.0, 3.01), "3.0 m"),
        ((math.nan, 5.0), "5.0 m"),
        ((math.nan, math.nan), "not known"),
    ],
)
def test_usual_and_worst(values, told):
    assert words.usual_words(values, show_length, "si") == told


def test_marks_of_other_days_are_told_where_there_are_any():
    row = replace(sample_plan().timetable[0], arrive_clock_s=(3600.0,) * 3, latest_clock_s=7200.0)
    early, late = replace(row, latest_clock_s=-60.0), replace(row, latest_clock_s=90_000.0)
    assert words.other_days([row, replace(row, latest_clock_s=None)]) == ""
    assert words.other_days([row, late]) == " (+1) is the day after."
    assert words.other_days([late, early]) == " (-1) is the day before, (+1) is the day after."


def test_forces_in_a_sentence():
    assert words.usual_force_words(OUTCOME, "si") == "usually 4.4 kN, at worst 5.6 kN"
    assert words.usual_force_words(replace(OUTCOME, slide_m=(0.0, 0.0)), "si") == "no slide to stop"
    assert words.usual_force_words(replace(OUTCOME, force_N=(math.nan, math.nan)), "si") == "nothing stops the slide"


@pytest.mark.parametrize(
    ("length_m", "units", "told"),
    [
        (64.0, "us", "210 ft"),
        (160.9, "us", "528 ft"),
        (161.0, "us", "0.1 mi"),
        (99.0, "si", "99 m"),
        (100.0, "si", "0.1 km"),
        (5400.0, "si", "5.4 km"),
    ],
)
def test_a_short_walk_is_told_in_metres_or_feet(length_m, units, told):
    assert words.walk_words(length_m, units) == told
