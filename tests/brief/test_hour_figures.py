"""The weather and the rock by the hour: the pictures show what the Plan holds, and leave out what it does not know."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from handline.brief.figures import weather_pictures
from handline.brief.figures.picture import WIDTH_PX
from handline.brief.figures.rock_hours import rock_hours_picture
from handline.brief.figures.rock_shares import NOT_KNOWN, rock_shares
from handline.brief.figures.slab_clock import party_hours, slab_clock, tie_on_rows
from handline.brief.figures.weather_hours import weather_hours_picture
from tests.brief.sample_plan import sample_plan
from tests.brief.sample_weather import GAP_H, no_weather

PLAN = sample_plan()
WEATHER = PLAN.weather
HOURS = WEATHER.hours
SHOWN = party_hours(WEATHER)
ROCKS = WEATHER.rocks


# --- the weather by the hour -----------------------------------------------------------------------------------------


def test_hours_are_those_of_the_plan_in_its_units():
    us, si = (weather_hours_picture(replace(PLAN, units=units)).datasets["hours"] for units in ("us", "si"))
    assert [row["from_h"] * 3600.0 for row in si] == [hour.clock_s for hour in SHOWN]
    for hour, row, us_row in zip(SHOWN, si, us, strict=True):
        if math.isnan(hour.rain_share):
            assert {row[key] for key in row if key.split("_")[-1] in ("low", "middle", "high", "rain")} == {None}
            assert row["temperature_says"] == "not known"
            continue
        shown = [row[f"temperature_{part}"] for part in ("low", "middle", "high")]
        assert shown == pytest.approx(list(hour.temperature_C))
        assert us_row["temperature_middle"] == pytest.approx(32.0 + 1.8 * hour.temperature_C[1])
        assert row["wind_high"] == pytest.approx(3.6 * hour.wind_m_s[2])
        assert us_row["wind_high"] == pytest.approx(hour.wind_m_s[2] / 0.44704)
        assert row["rain"] == us_row["rain"] == pytest.approx(100.0 * hour.rain_share)


def test_panels_hold_all_their_values():
    picture = weather_hours_picture(PLAN)
    for width in WIDTH_PX:
        for part, field in (("temperature", "temperature_high"), ("wind", "wind_high"), ("rain", "rain")):
            scales = [
                layer["encoding"]["y"]["scale"]
                for layer in picture.specs[width]["layer"]
                if layer["encoding"].get("y", {}).get("field", "").startswith(part)
            ]
            assert scales
            values = [row[field] for row in picture.datasets["hours"] if row[field] is not None]
            assert all(scale["domain"][0] <= min(values) <= max(values) <= scale["domain"][1] for scale in scales)


@pytest.mark.parametrize(("width", "words"), [("wide", "not known"), ("narrow", "?")])
def test_a_gap_is_named(width, words):
    gaps = [row for row in weather_hours_picture(PLAN).datasets["gaps"] if row["width"] == width]
    assert [(row["clock_h"], row["words"]) for row in gaps] == [(21.0, words)]


def test_an_hour_of_which_only_the_wind_is_known_is_no_gap():
    nan = math.nan
    hours = tuple(replace(hour, temperature_C=(nan, nan, nan), rain_share=nan) for hour in HOURS)
    picture = weather_hours_picture(replace(PLAN, weather=replace(WEATHER, hours=hours)))
    assert [row["panel"] for row in picture.datasets["panels"]] == ["wind"]
    assert "Coldest" not in picture.alt
    assert "Rain" not in picture.alt


def test_no_hour_no_picture():
    assert weather_pictures(replace(PLAN, weather=no_weather())) == ()
    gap = tuple(hour for hour in HOURS if hour.clock_s / 3600.0 in GAP_H)
    assert weather_pictures(replace(PLAN, weather=replace(WEATHER, hours=gap))) == ()


def test_the_picture_in_words_says_when_and_how_much():
    us, si = (weather_hours_picture(replace(PLAN, units=units)).alt for units in ("us", "si"))
    assert "Rain likeliest from 15:00, 43 %, 0.04 in." in us
    assert "Rain likeliest from 15:00, 43 %, 0.9 mm." in si
    assert "going up at 10:30 on half of the days, on eight in ten between 09:54 and 11:17" in us
    assert "Nothing is known of 2 hours." in us


def test_the_hours_are_those_of_the_party_with_a_little_before_and_after():
    # The first passing is at 04:00, the last on one day in ten after 20:42.
    assert [hour.clock_s / 3600.0 for hour in SHOWN] == list(range(2, 23))
    assert party_hours(replace(WEATHER, there=WEATHER.there[1:2])) == HOURS[6:12]
    assert party_hours(replace(WEATHER, there=())) == HOURS


# --- the rock by the hour --------------------------------------------------------------------------------------------


def test_columns_are_the_shares_and_reach_the_top():
    cells = rock_hours_picture(PLAN).datasets["cells"]
    assert {cell["from_h"] * 3600.0 for cell in cells} == {hour.clock_s for hour in SHOWN}
    for hour in SHOWN:
        of_hour = [cell for cell in cells if cell["from_h"] * 3600.0 == hour.clock_s]
        told = rock_shares(hour.rock_share, WEATHER.rocks)
        drawn = {cell["state"]: (cell["high"] - cell["low"]) / 100.0 for cell in of_hour}
        assert drawn == pytest.approx({state: share for state, share in told.items() if share >= 0.005})
        assert of_hour[0]["low"] == 0.0
        assert of_hour[-1]["high"] == pytest.approx(100.0)


def test_every_state_but_dry_has_a_pattern_of_its_own():
    data = rock_hours_picture(PLAN).datasets
    first = [row for row in data["strokes"] if math.floor(row["from_h"]) == 2 or row["state"] == "iced"]
    counts = {state: sum(row["state"] == state and 2.0 <= row["from_h"] < 3.0 for row in first) for state in ROCKS}
    assert counts == {"dry": 0, "damp": 1, "wet": 3, "iced": 1}
    crosses = [row for row in data["strokes"] if row["state"] == "iced"]
    assert all(abs(row["to_h"] - row["from_h"]) == 1.0 for row in crosses)
    dashed = [layer for layer in rock_hours_picture(PLAN).specs["wide"]["layer"] if "strokeDash" in layer["mark"]]
    assert any(NOT_KNOWN in layer["transform"][0]["filter"] for layer in dashed if layer["mark"]["type"] == "rect")


@pytest.mark.parametrize("width", WIDTH_PX)
def test_words_on_the_rock_stand_on_their_own_state(width):
    data = rock_hours_picture(PLAN).datasets
    told = [row for row in data["words"] if row["width"] == width]
    assert {row["words"] for row in told} == {*ROCKS, NOT_KNOWN}
    for row in told:
        under = [
            cell["state"]
            for cell in data["cells"]
            if cell["from_h"] <= row["clock_h"] <= cell["to_h"] and cell["low"] <= row["share"] <= cell["high"]
        ]
        assert set(under) == {row["words"]}


def test_the_rock_in_words_says_how_it_is_when_the_party_ties_on():
    alt = rock_hours_picture(PLAN).alt
    assert "The rock then, going up: dry 90 %, damp 6 %, wet 4 %." in alt
    assert "going down: dry 66 %, damp 12 %, wet 18 %, not known 4 %." in alt
    assert "Most often dry from 09:00: dry 93 %, damp 4 %, wet 3 %." in alt


def test_a_state_this_program_does_not_name_is_drawn_all_the_same():
    rocks = ("dry", "damp", "wet", "mossy")
    picture = rock_hours_picture(replace(PLAN, weather=replace(WEATHER, rocks=rocks)))
    assert "mossy" in {cell["state"] for cell in picture.datasets["cells"]}


# --- when the party ties on ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("picture", [weather_hours_picture, rock_hours_picture])
@pytest.mark.parametrize("width", WIDTH_PX)
def test_tying_on_is_marked_up_and_down(picture, width):
    rows = [row for row in picture(PLAN).datasets["tie_on"] if row["width"] == width]
    assert [row["way"] for row in rows] == ["up", "down"]
    for row, met in zip(rows, WEATHER.met, strict=True):
        drawn = [row[key] * 3600.0 for key in ("from_h", "clock_h", "to_h")]
        assert drawn == pytest.approx(list(met.clock_s))
    assert [row["words"] for row in rows] == ["tie on up 10:30", "tie on down 13:06"]
    assert all((row["side"], row["words_h"]) == ("right", row["to_h"]) for row in rows)


def test_tying_on_at_the_end_of_the_day_has_its_words_to_the_left():
    late = replace(WEATHER.met[1], clock_s=(80000.0, 82000.0, 84000.0))
    (row,) = tie_on_rows((late,), slab_clock(HOURS, "narrow"))
    assert (row["side"], row["words_h"]) == ("left", row["from_h"])


@pytest.mark.parametrize("clock_s", [(math.nan,) * 3, (200000.0, 210000.0, 220000.0)])
def test_tying_on_at_no_known_time_or_off_the_clock_is_not_drawn(clock_s):
    met = (replace(WEATHER.met[0], clock_s=clock_s),)
    assert tie_on_rows(met, slab_clock(HOURS, "wide")) == []
    picture = rock_hours_picture(replace(PLAN, weather=replace(WEATHER, met=met)))
    assert picture.datasets["tie_on"] == []
