"""The pictures show what the Plan holds, to the last digit, and say it in words as well."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.brief.figures import all_pictures, day_strip, slab_section, slip_lengths, stopping_forces
from handline.brief.figures.day_strip import spread_out
from handline.brief.figures.day_strip_sheet import Sheet
from handline.brief.figures.day_strip_sky import storm_spans, strip_words
from handline.brief.figures.day_strip_words import LEFT_FIRST, RIGHT_FIRST, Label, place_labels, words_width_px
from handline.brief.figures.picture import WIDTH_PX
from handline.brief.figures.theme import TEXT_PX
from handline.day.plan import PROBABILITIES
from handline.quantity import parse, show_clock, show_force
from tests.brief.checked_picture import assert_obeys_the_schema
from tests.brief.sample_plan import sample_plan

PLAN = sample_plan()
PICTURES = all_pictures(PLAN)
FOOT_m = parse("1 ft", "length")


@pytest.mark.parametrize("key", PICTURES)
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_spec_obeys_the_published_schema(key, width):
    assert_obeys_the_schema(PICTURES[key], width)


@pytest.mark.parametrize("key", PICTURES)
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_layer_reads_data_that_is_there(key, width):
    picture = PICTURES[key]
    read = {layer["data"]["name"] for layer in picture.specs[width]["layer"]}
    assert read == set(picture.datasets)


@pytest.mark.parametrize("key", PICTURES)
def test_data_hold_no_nan(key):
    json.dumps(PICTURES[key].datasets, allow_nan=False)


def test_median_is_the_timetable():
    median = PROBABILITIES.index(0.5)
    drawn = [row["clock_h"] * 3600.0 for row in PICTURES["day-strip"].datasets["passings"]]
    assert drawn == pytest.approx([passing.arrive_clock_s[median] for passing in PLAN.timetable])


@pytest.mark.parametrize(("band", "low", "high"), [("fan_outer", 0.10, 0.90), ("fan_inner", 0.25, 0.75)])
def test_fan_edges_are_the_quantiles_of_arriving_and_leaving(band, low, high):
    turn = next(index for index, passing in enumerate(PLAN.timetable) if passing.name == "Tamsin summit")
    for part, passings in (("up", PLAN.timetable[: turn + 1]), ("down", PLAN.timetable[turn:])):
        rows = [row for row in PICTURES["day-strip"].datasets[band] if row["part"] == part]
        drawn = [row["clock_h"] * 3600.0 for row in sorted(rows, key=lambda row: row["order"])]
        edges = []
        for probability in (low, high):
            index = PROBABILITIES.index(probability)
            arrive = [(passing.arrive_clock_s[index], passing.stop_s) for passing in passings]
            edges.append([clock for arrive_s, stop_s in arrive for clock in (arrive_s, arrive_s + stop_s)])
        assert drawn == pytest.approx(edges[0] + edges[1][::-1])


def test_the_band_is_that_of_the_timetable_and_is_called_eight_in_ten():
    """The table, the overdue time and the copy at home have one day in ten on either side; so has the strip."""
    picture, end = PICTURES["day-strip"], PLAN.timetable[-1]
    early_s, late_s = (end.arrive_clock_s[PROBABILITIES.index(edge)] for edge in (0.10, 0.90))
    assert f"eight days in ten between {show_clock(early_s)} and {show_clock(late_s)}." in picture.alt
    assert {key.swatch: key.words for key in picture.keys}["fan-outer"] == "eight days in ten"
    assert "nine days in ten" not in picture.alt


def test_latest_marks_are_the_latest_times():
    drawn = [(row["place"], row["way"], row["clock_h"] * 3600.0) for row in PICTURES["day-strip"].datasets["latest"]]
    expected = [(passing.name, passing.way, passing.latest_clock_s) for passing in PLAN.timetable]
    assert [row[:2] for row in drawn] == [row[:2] for row in expected]
    assert [row[2] for row in drawn] == pytest.approx([row[2] for row in expected])


def test_a_place_without_a_latest_time_has_no_mark_and_says_so():
    gone = replace(PLAN.timetable[3], latest_clock_s=None)
    plan = replace(PLAN, timetable=(*PLAN.timetable[:3], gone, *PLAN.timetable[4:]))
    datasets = day_strip(plan).datasets
    assert len(datasets["latest"]) == len(PLAN.timetable) - 1
    assert datasets["passings"][3]["latest"] == "no time meets the limits"


def test_waiting_and_line_are_drawn_both_ways():
    rows = PICTURES["day-strip"].datasets["line"]
    foot_up, head_up = PLAN.timetable[4], PLAN.timetable[5]
    assert {row["way"] for row in rows} == {"up", "down"}
    assert rows[0]["clock_h"] * 3600.0 == pytest.approx(foot_up.arrive_clock_s[3] + foot_up.stop_s)
    assert rows[1]["clock_h"] * 3600.0 == pytest.approx(head_up.arrive_clock_s[3])


def test_storm_shade_is_the_chance_at_the_start_of_each_hour():
    # The careless error would be to shade an hour with a chance the plan does not give for it.
    by_hour = dict(zip((clock_s / 3600.0 for clock_s in PLAN.storm.clock_s), PLAN.storm.begun_share, strict=True))
    rows = PICTURES["day-strip"].datasets["storm"]
    assert rows
    assert all(row["share"] == by_hour[row["from_h"]] for row in rows)


def test_unrolled_distances_fold_back_to_the_same_places():
    length_m = PLAN.route.length_m
    unrolled = tuple(
        replace(passing, distance_m=2.0 * length_m - passing.distance_m) if passing.way == "down" else passing
        for passing in PLAN.timetable
    )
    plan = replace(PLAN, timetable=unrolled)
    assert day_strip(plan).datasets["median"] == PICTURES["day-strip"].datasets["median"]


@given(st.lists(st.floats(0.0, 5000.0), min_size=1, max_size=14), st.floats(0.01, 0.2))
def test_spread_out_keeps_the_order_and_the_gap(gaps_m, least_gap):
    distance_m = [sum(gaps_m[:count]) for count in range(len(gaps_m) + 1)]
    heights = spread_out(distance_m, least_gap)
    steps = [after - before for before, after in pairwise(heights)]
    assert heights[0] == 0.0
    assert heights[-1] == pytest.approx(1.0)
    assert min(steps) >= min(least_gap, 1.0 / len(steps)) - 1e-9


def test_spread_out_is_to_scale_where_there_is_room():
    assert spread_out([0.0, 1000.0, 4000.0], 0.1) == pytest.approx([0.0, 0.25, 1.0])


# --- words of the day strip --------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_latest_time_on_the_way_up_is_written(width):
    words = PICTURES["day-strip"].datasets["words"]
    written = [row["words"] for row in words if row["width"] == width and row["kind"] == "up"]
    expected = [show_clock(passing.latest_clock_s) for passing in PLAN.timetable if passing.way == "up"]
    assert sorted(written) == sorted(expected)


def test_latest_marks_up_and_down_differ_in_shape_and_have_a_key_each():
    layers = [layer for layer in PICTURES["day-strip"].specs["wide"]["layer"] if layer["data"]["name"] == "latest"]
    assert [layer["mark"]["shape"] for layer in layers] == ["triangle-up", "triangle-down"]
    assert {"latest-up", "latest-down"} <= {key.swatch for key in PICTURES["day-strip"].keys}


@given(
    st.lists(st.tuples(st.floats(0.0, 24.0), st.floats(0.0, 1.0), st.booleans()), min_size=1, max_size=25),
    st.sampled_from(list(WIDTH_PX)),
)
def test_placed_words_never_overlap_and_stay_on_the_sheet(marks, width):
    sheet = Sheet((0, 24), width)
    labels = [Label("up", "10:47", clock_h, height, LEFT_FIRST, needed) for clock_h, height, needed in marks]
    rows = place_labels(sheet, labels, [mark[:2] for mark in marks], [])
    assert rows, "the first label always finds a place"
    text_px = TEXT_PX[width]
    half_px = words_width_px("10:47", text_px) / 2.0
    middles = [sheet.at_px(row["clock_h"], row["height"]) for row in rows]
    assert all(x >= half_px - 1e-6 and x + half_px <= sheet.width_px + sheet.margins.right + 1e-6 for x, _ in middles)
    for index, (x, y) in enumerate(middles):
        for other_x, other_y in middles[index + 1 :]:
            assert abs(x - other_x) >= 2.0 * half_px - 1e-6 or abs(y - other_y) >= text_px - 1e-6


def test_words_that_may_be_left_out_never_stand_on_a_mark():
    sheet = Sheet((0, 24), "wide")
    crowd = [(10.0 + across / 10.0, 0.5 + down / 50.0) for across in range(-20, 21) for down in range(-8, 9)]
    spared, needed = (Label("down", "10:47", 10.0, 0.5, RIGHT_FIRST, needed) for needed in (False, True))
    assert place_labels(sheet, [spared], crowd, []) == []
    assert len(place_labels(sheet, [needed], crowd, [])) == 1


def test_the_sheet_goes_both_ways():
    sheet = Sheet((-2, 30), "narrow")
    assert sheet.from_px(*sheet.at_px(7.25, 0.4)) == pytest.approx((7.25, 0.4))


# --- light and storm in the day strip ----------------------------------------------------------------------------


def _strip(light, clock_range_h, width="wide"):
    rows = strip_words(light, PLAN.storm, replace(PLAN.sky, moonlit_spans_clock_s=()), Sheet(clock_range_h, width))
    return [(row["clock_h"], row["words"]) for row in rows if row["strip"] == "light"]


def test_the_suns_hours_stand_in_the_middle_of_the_day_seen():
    middle_h = (PLAN.light.sunrise_clock_s + PLAN.light.sunset_clock_s) / 7200.0
    assert (pytest.approx(middle_h), "sun 05:27 to 21:54") in _strip(PLAN.light, (2, 24))


def test_a_night_start_shows_the_next_days_light_and_no_word_left_of_the_sheet():
    # From 20:00 on: of the plan's own day only the last of the sun is seen; the next dark is not known.
    told = _strip(PLAN.light, (20, 44))
    assert all(20.0 <= clock_h <= 44.0 for clock_h, _ in told)
    assert "light from 04:54 (+1)" in [words for _, words in told]


@pytest.mark.parametrize("width", WIDTH_PX)
@pytest.mark.parametrize(("says", "words"), [("the sun does not set", "the sun does not set"), ("", "light all day")])
def test_a_day_without_dark_says_so_in_the_strip(says, words, width):
    nan = math.nan
    light = replace(
        PLAN.light, civil_dawn_clock_s=nan, sunrise_clock_s=nan, sunset_clock_s=nan, civil_dusk_clock_s=nan,
        dark_spans_clock_s=(), says=says,
    )  # fmt: skip
    assert _strip(light, (2, 26), width) == [(14.0, words)]


def test_a_polar_night_is_dark_from_end_to_end():
    light = replace(PLAN.light, sunrise_clock_s=math.nan, dark_spans_clock_s=((-43200.0, 302400.0),))
    assert "dark" in [words for _, words in _strip(light, (2, 26))]
    assert not [words for _, words in _strip(light, (2, 26)) if "light" in words.replace("twilight", "")]


def test_the_next_days_storm_is_drawn():
    rows = storm_spans(PLAN.storm, (20, 44))
    assert rows[0]["from_h"] == 20
    assert rows[-1]["to_h"] == 44


# --- the line --------------------------------------------------------------------------------------------------------


def test_section_reaches_the_length_and_height_of_the_line_at_one_scale():
    slab = PICTURES["slab-section"].datasets["slab"]
    rise = sum(
        length * math.sin(angle)
        for length, angle in zip(PLAN.line.section_length_m, PLAN.line.section_angle_rad, strict=True)
    )
    steps = pairwise(slab)
    along = sum(math.hypot(after["x"] - before["x"], after["z"] - before["z"]) for before, after in steps)
    assert slab[-1]["z"] * FOOT_m == pytest.approx(rise)
    assert along * FOOT_m == pytest.approx(PLAN.line.length_m)


@pytest.mark.parametrize("width", WIDTH_PX)
def test_section_has_the_same_scale_across_and_up(width):
    spec = PICTURES["slab-section"].specs[width]
    encoding = spec["layer"][0]["encoding"]
    across, up = (encoding[channel]["scale"]["domain"] for channel in ("x", "y"))
    assert spec["width"] / (across[1] - across[0]) == pytest.approx(spec["height"] / (up[1] - up[0]), rel=0.01)


def test_section_bars_lie_beside_the_rock_as_long_as_the_slide():
    # A straight slab, where a bar beside the rock is exactly as long as the slide.
    line = replace(PLAN.line, section_length_m=(96.0,), section_angle_rad=(math.radians(40.0),))
    datasets = slab_section(replace(PLAN, line=line)).datasets
    for number, tether in enumerate(sorted(line.tethers, key=lambda row: not row.chosen), start=1):
        slide_m = max(outcome.start_m - outcome.end_m for outcome in tether.outcomes)
        points = [row for row in datasets["slips"] if row["tether"] == str(number)]
        length = math.hypot(points[-1]["x"] - points[0]["x"], points[-1]["z"] - points[0]["z"])
        assert length * FOOT_m == pytest.approx(slide_m)


def test_slip_bars_are_the_outcomes_with_the_chosen_tether_first():
    rows = PICTURES["slip-lengths"].datasets["cases"]
    chosen_first = sorted(PLAN.line.tethers, key=lambda row: not row.chosen)
    outcomes = [outcome for row in chosen_first for outcome in row.outcomes]
    assert [row["start"] * FOOT_m for row in rows] == pytest.approx([outcome.start_m for outcome in outcomes])
    assert [row["end"] * FOOT_m for row in rows] == pytest.approx([outcome.end_m for outcome in outcomes])
    assert [row["verdict"] for row in rows] == [outcome.verdict for outcome in outcomes]
    assert rows[0]["weight"] == "bold"


def test_only_the_rock_of_the_day_is_drawn():
    tether = PLAN.line.tethers[0]
    iced = replace(tether, outcomes=(*tether.outcomes, replace(tether.outcomes[0], rock="iced")))
    plan = replace(PLAN, line=replace(PLAN.line, tethers=(iced, *PLAN.line.tethers[1:])))
    assert slip_lengths(plan).datasets["cases"] == PICTURES["slip-lengths"].datasets["cases"]


def test_force_bars_are_the_outcomes_and_nothing_is_drawn_for_no_stop():
    rows = PICTURES["stopping-forces"].datasets["cases"]
    for row, (tether, outcome) in zip(rows, _chosen_first(), strict=True):
        if outcome.verdict == "no stop":
            assert row["worst"] is None
            assert row["words"] == "nothing stops the slide"
        else:
            assert (row["typical"] * 1000.0, row["worst"] * 1000.0) == pytest.approx(outcome.force_N)
            assert row["part"] * 1000.0 == pytest.approx(tether.part_N)
            assert show_force(tether.part_N, "si") in row["words"]


def test_body_limits_are_drawn_and_part_limits_are_not():
    limits = stopping_forces(PLAN).datasets["limits"]
    assert [limit["at"] for limit in limits] == [4.0, 6.0, 8.0, 12.0]
    assert [limit["at"] for limit in limits if limit["own"]] == [6.0]


def test_a_limit_of_the_partys_own_gets_its_mark():
    plan = replace(PLAN, line=replace(PLAN.line, body_force_N=5000.0))
    limits = stopping_forces(plan).datasets["limits"]
    assert [limit["at"] for limit in limits] == [4.0, 5.0, 6.0, 8.0, 12.0]
    assert [limit["at"] for limit in limits if limit["own"]] == [5.0]


def test_alternative_texts_say_the_main_numbers():
    median = PROBABILITIES.index(0.5)
    strip = PICTURES["day-strip"].alt
    for passing in (PLAN.timetable[0], PLAN.timetable[6], PLAN.timetable[-1]):
        assert show_clock(passing.arrive_clock_s[median]) in strip
    assert "Foot of the cables 11:18" in strip
    assert "Tamsin summit 12:42" in strip
    forces = PICTURES["stopping-forces"].alt
    assert "usually 4.4, at worst 5.6, part 15.0 kN" in forces
    assert "nothing stops the slide" in forces
    assert "slides usually 46 ft, at worst 88 ft" in PICTURES["slab-section"].alt
    assert "100 % to foot" in PICTURES["slip-lengths"].alt


def test_metric_plans_are_drawn_in_metres():
    plan = replace(PLAN, units="si")
    rows = slip_lengths(plan).datasets["cases"]
    assert [row["start"] for row in rows] == [outcome.start_m for _, outcome in _chosen_first()]
    assert "slides usually 14 m, at worst 27 m" in slab_section(plan).alt


def _chosen_first():
    ordered = sorted(PLAN.line.tethers, key=lambda row: not row.chosen)
    return [(tether, outcome) for tether in ordered for outcome in tether.outcomes]
