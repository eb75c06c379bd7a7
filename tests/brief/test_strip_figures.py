"""The strips of sky, weather and rock in the picture of the day show what the Plan holds, and leave out the rest."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.brief.figures import all_pictures, day_strip, weather_pictures
from handline.brief.figures.day_strip_rock import icicles, rock_keys, rock_sentence, rock_spans, rock_strip_words
from handline.brief.figures.day_strip_sheet import Sheet
from handline.brief.figures.day_strip_sky import moon_spans, strip_words, sun_sentence, sun_spans
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import WIDTH_PX
from handline.brief.figures.rock_hours import rock_hours_picture
from handline.brief.figures.rock_shares import NOT_KNOWN, not_dry_share, rock_shares
from handline.brief.figures.theme import TEXT_PX
from handline.brief.figures.weather_hours import weather_hours_picture
from handline.day.sky_setting import FACING_NOT_TYPED
from tests.brief.checked_picture import assert_obeys_the_schema, assert_reads_its_data
from tests.brief.sample_plan import sample_plan
from tests.brief.sample_weather import (
    FIRST_H,
    GAP_H,
    LAST_H,
    ROCK_FROM_H,
    no_weather,
    polar_sky,
    sample_sky,
    sample_weather,
    typed_weather,
)

PLAN = sample_plan()
WEATHER = PLAN.weather
HOURS = WEATHER.hours
WHOLE_DAY = (0, 24)
PLANS = {
    "as sampled": PLAN,
    "typed": replace(PLAN, weather=typed_weather()),
    "nothing": replace(PLAN, weather=no_weather()),
    "polar day": replace(PLAN, sky=polar_sky(True)),
    "polar night": replace(PLAN, sky=polar_sky(False)),
    "si": replace(PLAN, units="si"),
    "no places": replace(PLAN, sky=replace(PLAN.sky, places=())),
}


@pytest.mark.parametrize(("which", "width"), [("as sampled", "narrow"), ("as sampled", "wide"), ("nothing", "narrow")])
def test_every_spec_obeys_the_published_schema(which, width):
    # Referee: the Vega-Lite 6 JSON Schema, as Altair carries it. It takes seconds, so it looks at specs that differ in
    # more than their data.
    for picture in (day_strip(PLANS[which]), *weather_pictures(PLANS[which])):
        assert_obeys_the_schema(picture, width)


@pytest.mark.parametrize("which", PLANS)
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_layer_reads_data_that_is_there_and_none_is_nan(which, width):
    for picture in all_pictures(PLANS[which]).values():
        assert_reads_its_data(picture, width)


@pytest.mark.parametrize("which", PLANS)
@pytest.mark.parametrize("width", WIDTH_PX)
def test_the_day_strip_keeps_its_layout_whatever_is_known(which, width):
    spec, usual = (day_strip(plan).specs[width] for plan in (PLANS[which], PLAN))
    assert (spec["height"], spec["padding"]) == (usual["height"], usual["padding"])
    assert len(spec["layer"]) == len(usual["layer"])
    assert spec["params"][1] == usual["params"][1]


# --- sun and moon in the day strip -----------------------------------------------------------------------------------


def words_of(rows, strip):
    return [row["words"] for row in rows if row["strip"] == strip]


def strip(plan, width="wide", clock_range_h=WHOLE_DAY):
    return strip_words(plan.light, plan.storm, plan.sky, Sheet(clock_range_h, width))


def test_sun_spans_are_those_of_the_slab():
    rows = sun_spans(PLAN.sky, WHOLE_DAY)
    drawn = [row[edge] * 3600.0 for row in rows for edge in ("from_h", "to_h")]
    assert drawn == pytest.approx([clock_s for span in PLAN.sky.places[0].spans_clock_s for clock_s in span])
    assert words_of(strip(PLAN, clock_range_h=(2, 24)), "sun") == ["07:36 to 11:06", "sun 12:12 to 18:24"]
    assert sun_sentence(PLAN.sky) == "Sun on the slab: 07:36 to 11:06, 12:12 to 18:24."


@pytest.mark.parametrize("width", WIDTH_PX)
@pytest.mark.parametrize(("sun", "words"), [(True, "sun all day"), (False, "no sun on this day")])
def test_a_sun_that_neither_comes_nor_goes_is_told_in_words(width, sun, words):
    plan = replace(PLAN, sky=polar_sky(sun))
    assert words_of(strip(plan, width), "sun") == [words]
    assert len(sun_spans(plan.sky, WHOLE_DAY)) == sun


def test_a_sun_that_comes_and_does_not_go_has_one_edge():
    place = replace(PLAN.sky.places[0], spans_clock_s=((36000.0, 90000.0),), last_clock_s=math.nan)
    plan = replace(PLAN, sky=replace(PLAN.sky, places=(place,)))
    assert words_of(strip(plan), "sun") == ["sun from 10:00"]


def test_the_dark_tells_where_the_moon_is():
    rows = moon_spans(PLAN.sky, WHOLE_DAY)
    assert [row["from_h"] for row in rows] == pytest.approx([0.0, 22.47])
    assert [row["to_h"] for row in rows] == pytest.approx([3.4, 24.0])
    light = [row for row in strip(PLAN) if row["strip"] == "light"]
    moon = next(row for row in light if row["words"] == "dark, moon")
    assert 0.0 < moon["clock_h"] < 3.4
    dark = next(row for row in light if row["words"] == "dark")
    assert 3.4 < dark["clock_h"] < 4.87


def test_without_a_moon_there_is_neither_mark_nor_key():
    plan = replace(PLAN, sky=replace(PLAN.sky, moonlit_spans_clock_s=()))
    picture = day_strip(plan)
    assert picture.datasets["moon"] == []
    assert "moon" not in {key.swatch for key in picture.keys}
    assert "moon" in {key.swatch for key in day_strip(PLAN).keys}


# --- the rock in the day strip ---------------------------------------------------------------------------------------


def test_the_rock_strip_is_the_chance_that_it_is_not_dry():
    by_hour = {row["from_h"]: row["share"] for row in rock_spans(WEATHER, WHOLE_DAY)}
    assert by_hour[2.0] == pytest.approx(1.0 - ROCK_FROM_H[2][0])
    assert by_hour[9.0] == pytest.approx(1.0 - ROCK_FROM_H[9][0])
    assert set(by_hour) == {hour for hour in range(FIRST_H, LAST_H) if hour not in GAP_H}


def test_what_is_not_known_counts_as_not_dry():
    # The careless error would be to call rock dry of which nothing is known.
    assert not_dry_share((0.3, 0.2, 0.0, 0.0), WEATHER.rocks) == pytest.approx(0.7)
    assert not_dry_share((math.nan,) * 4, WEATHER.rocks) == 1.0


@given(st.lists(st.one_of(st.floats(0.0, 0.25), st.just(math.nan)), min_size=4, max_size=4))
def test_shares_make_a_whole_and_none_is_negative(share):
    told = rock_shares(share, WEATHER.rocks)
    assert sum(told.values()) == pytest.approx(1.0)
    assert min(told.values()) >= 0.0
    assert list(told) == [*WEATHER.rocks, NOT_KNOWN]


def test_icicles_hang_where_it_may_be_iced_and_close_where_that_is_likely():
    at_h = [row["at_h"] for row in icicles(WEATHER, WHOLE_DAY)]
    assert {math.floor(hour) for hour in at_h} == {2, 3, 4, 5, 6, 22, 23}
    iced = replace(WEATHER, hours=(replace(HOURS[0], rock_share=(0.2, 0.1, 0.1, 0.6)),))
    assert len(icicles(iced, WHOLE_DAY)) == 2 * len([hour for hour in at_h if hour < 3.0])


@pytest.mark.parametrize("width", WIDTH_PX)
def test_numbers_of_the_rock_stand_in_their_hour_and_gaps_say_so(width):
    rows = rock_strip_words(WEATHER, Sheet((2, 24), width))
    numbers = {row["clock_h"]: row["words"] for row in rows if row["words"].endswith("%")}
    assert numbers[8.5] == "20%"
    assert not any(hour <= clock_h < hour + 1 for clock_h in numbers for hour in GAP_H)
    assert [row["clock_h"] for row in rows if row["words"] in (NOT_KNOWN, "?")] == [21.0]


@pytest.mark.parametrize("width", WIDTH_PX)
@pytest.mark.parametrize(
    ("weather", "words", "sentence"),
    [
        (typed_weather(), "wet all day, as typed", "Rock taken as wet, as typed."),
        (no_weather(), "taken as dry: no weather is known", "Rock taken as dry."),
    ],
)
def test_typed_rock_and_no_weather_are_words_without_shade(width, weather, words, sentence):
    assert rock_spans(weather, WHOLE_DAY) == icicles(weather, WHOLE_DAY) == []
    assert [row["words"] for row in rock_strip_words(weather, Sheet(WHOLE_DAY, width))] == [words]
    assert rock_sentence(weather, WHOLE_DAY) == sentence
    keys = {key.swatch for key in day_strip(replace(PLAN, weather=weather)).keys}
    assert not keys & {"rock", "ice"}


def test_typed_rock_stays_typed_where_the_hours_have_weather():
    weather = replace(WEATHER, rock="iced", rock_typed=True)
    assert rock_spans(weather, WHOLE_DAY) == []
    assert rock_hours_picture(replace(PLAN, weather=weather)) is None
    assert weather_hours_picture(replace(PLAN, weather=weather)) is not None


def test_rock_of_which_no_hour_is_known_says_so():
    hours = tuple(replace(hour, rock_share=(math.nan,) * 4) for hour in HOURS)
    weather = replace(WEATHER, hours=hours)
    assert rock_sentence(weather, WHOLE_DAY) == "How the rock is by the hour is not known."
    assert [row["words"] for row in rock_strip_words(weather, Sheet(WHOLE_DAY, "wide"))] == [NOT_KNOWN]
    assert rock_hours_picture(replace(PLAN, weather=weather)) is None


def test_the_strip_says_sun_and_rock_in_words_too():
    alt = day_strip(PLAN).alt
    assert "Sun on the slab: 07:36 to 11:06, 12:12 to 18:24." in alt
    assert "least often dry from 17:00: not dry on 70 % of days" in alt


@pytest.mark.parametrize("which", PLANS)
@pytest.mark.parametrize("width", WIDTH_PX)
def test_words_of_one_strip_never_overlap(which, width):
    picture = day_strip(PLANS[which])
    hour_px = picture.specs[width]["width"] / _hours_across(picture.specs[width])
    rows = [row for row in picture.datasets["strip_words"] if row["width"] == width]
    for name in ("light", "sun", "rock", "storm"):
        told = sorted((row["clock_h"] * hour_px, row["words"]) for row in rows if row["strip"] == name)
        for (x_px, one), (next_px, two) in pairwise(told):
            half_px = sum(words_width_px(words, TEXT_PX[width] - 1) for words in (one, two)) / 2.0
            assert next_px - x_px >= half_px - 1e-6, (name, one, two)


def _hours_across(spec):
    first_h, last_h = spec["layer"][0]["encoding"]["x"]["scale"]["domain"]
    return last_h - first_h


def test_the_samples_are_what_the_tests_think():
    assert sample_sky() == PLAN.sky
    assert sample_weather() == WEATHER
    assert len(HOURS) == LAST_H - FIRST_H


def test_the_rock_in_words_is_that_of_the_drawn_day():
    """The plan knows the day after too, where the rock may be worse than anything the strip shows."""
    day = (4, 20)
    after = replace(HOURS[0], clock_s=39 * 3600.0, rock_share=(0.0, 0.0, 0.0, 1.0))
    weather = replace(WEATHER, hours=(*HOURS, after))
    shown = [row["share"] for row in rock_spans(weather, day)]
    assert f"not dry on {max(shown):.0%}".replace("%", " %") in rock_sentence(weather, day)
    assert "(+1)" not in rock_sentence(weather, day)
    assert "(+1)" in rock_sentence(weather, (4, 48))
    only_after = replace(WEATHER, hours=(after,))
    assert rock_sentence(only_after, day) == "How the rock is by the hour is not known."
    assert rock_keys(only_after, day) == ()


def test_a_slab_whose_facing_nobody_typed_has_the_sun_over_its_horizon_and_says_so():
    free = replace(PLAN.sky.places[0], notes=(FACING_NOT_TYPED,))
    sky = replace(PLAN.sky, places=(free, *PLAN.sky.places[1:]))
    assert sun_sentence(PLAN.sky).startswith("Sun on the slab: ")
    assert sun_sentence(sky).startswith("Sun over the slab's horizon, which way it faces is not typed: ")
    words = {key.swatch: key.words for key in day_strip(replace(PLAN, sky=sky)).keys}
    assert words["sun"] == "sun over the slab's horizon; which way it faces is not typed"
    words = {key.swatch: key.words for key in day_strip(PLAN).keys}
    assert words["sun"] == "sun on the slab, over its own horizon and slope"
