"""The load curve draws the packs of the plan, on one scale, with marks and names that keep off each other."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import pytest

from handline.brief.figures.load_curve import LOOKS, drawn_members, load_curve_picture, load_pictures, looks_of
from handline.brief.figures.load_marks import marked_places, marks_of
from handline.brief.figures.load_sheet import curve_width_px, panels
from handline.brief.figures.picture import WIDTH_PX
from handline.brief.load_words import load_ways
from handline.day.plan_load import LoadPlan
from tests.brief.checked_picture import assert_obeys_the_schema, assert_reads_its_data
from tests.brief.sample_load import BRIDGE, CAMP, PASSINGS, TRICKLE, push_alone, sample_load_report, sample_way

BOTH = load_ways(sample_load_report())
# International mile and pound, by definition.
MILE_M, POUND_KG = 1609.344, 0.45359237


def many(count: int) -> LoadPlan:
    """A push of many members, each a little heavier than the one before; the lightest body has the greatest share."""
    way = sample_way(night=False)
    first = way.members[0]
    members = [
        replace(
            first, names=f"member {i}", pack_kg=tuple(kg + 0.1 * i for kg in first.pack_kg),
            most_kg=first.most_kg + 0.1 * i, share=0.4 if i == 0 else 0.1 + 0.001 * i,
        )
        for i in range(count)
    ]  # fmt: skip
    return replace(way, members=tuple(members))


def with_packs(way: LoadPlan, pack_kg: tuple[float, ...]) -> LoadPlan:
    return replace(way, members=tuple(replace(member, pack_kg=pack_kg) for member in way.members))


@pytest.mark.parametrize("ways", [BOTH, load_ways(push_alone()), (many(9),)], ids=["both", "alone", "many"])
@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_spec_obeys_the_published_schema_and_reads_its_data(ways: tuple[LoadPlan, ...], width: str) -> None:
    picture = load_curve_picture(ways, "us")
    assert_obeys_the_schema(picture, width)
    assert_reads_its_data(picture, width)


@pytest.mark.parametrize(("units", "mile_m", "pound_kg"), [("us", MILE_M, POUND_KG), ("si", 1000.0, 1.0)])
def test_curves_are_the_packs_of_the_plan(units: str, mile_m: float, pound_kg: float) -> None:
    picture = load_curve_picture(BOTH, units)
    for number, way in enumerate(BOTH):
        for member in way.members:
            rows = [r for r in picture.datasets["curves"] if (r["panel"], r["member"]) == (number, member.names)]
            assert [row["order"] for row in rows] == list(range(len(way.distance_m)))
            assert [row["mass"] for row in rows] == pytest.approx([kg / pound_kg for kg in member.pack_kg])
            assert [row["distance"] for row in rows] == pytest.approx([m / mile_m for m in way.distance_m])
            assert [row["place"] for row in rows[::2]] == list(PASSINGS)


@pytest.mark.parametrize("width", WIDTH_PX)
def test_both_panels_have_the_same_scales_from_nothing(width: str) -> None:
    spec = load_curve_picture(BOTH, "us").specs[width]
    scales = {
        channel: [
            layer["encoding"][channel]["scale"]
            for layer in spec["layer"]
            if layer["data"]["name"] == "curves" and layer["encoding"][channel].get("axis")
        ]
        for channel in ("x", "y")
    }
    for of_panel in scales.values():
        assert len(of_panel) == 2
        assert of_panel[0]["domain"] == of_panel[1]["domain"]
        assert of_panel[0]["domain"][0] == 0.0
        lengths = [abs(scale["range"][1] - scale["range"][0]) for scale in of_panel]
        assert lengths[0] == pytest.approx(lengths[1])
    heaviest_lb = max(kg for way in BOTH for member in way.members for kg in member.pack_kg) / POUND_KG
    assert scales["y"][0]["domain"][1] > heaviest_lb
    assert scales["x"][0]["domain"][1] == pytest.approx(BOTH[0].distance_m[-1] / MILE_M)


def test_panels_stand_beside_each_other_on_a_desktop_and_over_each_other_on_a_phone() -> None:
    wide, narrow = (panels((1, 2), 70.0, 14.0, 30.0, width) for width in ("wide", "narrow"))
    assert wide[0].right_px + 70.0 < wide[1].left_px
    assert (wide[0].top_px, wide[0].bottom_px) == (wide[1].top_px, wide[1].bottom_px)
    assert narrow[0].left_px == narrow[1].left_px == 0.0
    assert narrow[0].bottom_px < narrow[1].title_px < narrow[1].top_px
    for of_width, width in ((wide, "wide"), (narrow, "narrow")):
        assert of_width[-1].right_px + 70.0 <= WIDTH_PX[width]
        assert of_width[0].right_px - of_width[0].left_px == pytest.approx(curve_width_px(2, 70.0, width))
    assert wide[1].x_px(14.0) == pytest.approx(wide[1].right_px)
    assert (wide[1].y_px(0.0), wide[1].y_px(30.0)) == pytest.approx((wide[1].bottom_px, wide[1].top_px))


def test_sources_have_one_number_each_and_a_mark_each_way() -> None:
    picture = load_curve_picture(BOTH, "us")
    numbered = {key.swatch: key.words for key in picture.keys if key.swatch.startswith("number")}
    assert numbered == {
        "number 1": f"{BRIDGE}: water",
        "number 2": f"{TRICKLE}: water not counted on",
        "number 3": f"{CAMP}: water",
    }
    wide = [row for row in picture.datasets["marks"] if row["width"] == "wide"]
    # The push passes two places both ways; the night out the camp too.
    assert [row["words"] for row in wide] == ["1", "2", "2", "1", "1", "2", "3", "3", "2", "1"]


def test_marks_keep_off_each_other() -> None:
    places = marked_places(BOTH)
    most_m = BOTH[1].distance_m[-1]
    for width_px in (60.0, 234.0, 600.0):
        marks = marks_of(BOTH[1], places, most_m, width_px)
        for row in range(max(mark.row for mark in marks) + 1):
            across_px = [width_px * mark.at_m / most_m for mark in marks if mark.row == row]
            assert all(after - before >= 19.0 for before, after in pairwise(across_px))
    assert max(mark.row for mark in marks_of(BOTH[1], places, most_m, 1e6)) == 0


def test_a_place_where_packs_change_without_water_is_marked() -> None:
    way = sample_way(night=False)
    step = way.passings.index("Lower Step")
    for change_kg, says in ((-2.0, "packs change"), (0.01, "")):
        pack = [kg + change_kg if i > 2 * step else kg for i, kg in enumerate(way.members[0].pack_kg)]
        told = {place.name: place.says for place in marked_places((with_packs(way, tuple(pack)),))}
        assert told.get("Lower Step", "") == says


def test_sure_water_on_either_way_counts_as_water() -> None:
    dry_camp = replace(
        BOTH[0], water=tuple(replace(s, dry_says="frozen") if s.name == CAMP else s for s in BOTH[0].water)
    )
    for ways in ((dry_camp, BOTH[1]), (BOTH[1], dry_camp)):
        assert {place.name: place.says for place in marked_places(ways)}[CAMP] == "water"
    assert {place.name: place.says for place in marked_places((dry_camp,))}[CAMP] == "water not counted on"


def test_names_stand_at_the_ends_in_the_order_of_the_lines_and_a_line_apart() -> None:
    picture = load_curve_picture(BOTH, "us")
    for width in WIDTH_PX:
        rows = [row for row in picture.datasets["names"] if row["width"] == width]
        assert [row["words"] for row in rows] == ["Ada", "Bo", "Cyr", "Ada", "Cyr", "Bo"]
        for panel in (rows[:3], rows[3:]):
            assert all(after["at_px"] - before["at_px"] >= 14.0 for before, after in pairwise(panel))
    looks = {(row["words"], row["look"]) for row in picture.datasets["names"]}
    assert looks == {("Ada", "0"), ("Bo", "1"), ("Cyr", "2")}
    assert [key.words for key in picture.keys[:3]] == ["Ada", "Bo", "Cyr"]


def test_names_of_empty_packs_stay_on_the_sheet() -> None:
    picture = load_curve_picture((with_packs(sample_way(night=False), (5.0,) * 29 + (0.0,)),), "si")
    for width in WIDTH_PX:
        rows = [row["at_px"] for row in picture.datasets["names"] if row["width"] == width]
        assert len(rows) == 3
        assert max(rows) <= picture.specs[width]["height"]
        assert all(after - before == pytest.approx(14.0) for before, after in pairwise(rows))


def test_a_long_name_is_cut_beside_its_line_and_whole_in_the_key() -> None:
    long = "Bartholomew of the north"
    way = sample_way(night=False)
    picture = load_curve_picture((replace(way, members=(replace(way.members[0], names=long), *way.members[1:])),), "si")
    assert picture.keys[0].words == long
    assert {row["words"] for row in picture.datasets["names"]} == {"Bartholomew o…", "Bo", "Cyr"}


def test_members_of_one_name_have_a_line_each() -> None:
    way = sample_way(night=False)
    alike = replace(way, members=tuple(replace(member, names="1 of the 6") for member in way.members))
    picture = load_curve_picture((alike,), "si")
    labels = [f"1 of the 6 ({letter})" for letter in "abc"]
    assert [key.words for key in picture.keys[:3]] == labels
    for label, member in zip(labels, alike.members, strict=True):
        rows = [row for row in picture.datasets["curves"] if row["member"] == label]
        assert [row["mass"] for row in rows] == pytest.approx(list(member.pack_kg))


def test_of_many_the_heaviest_are_drawn_by_name_and_nobody_is_lost() -> None:
    way = many(9)
    named = drawn_members(way)
    # The heaviest pack, the greatest share of a body, then the next of each.
    assert named[:3] == ("member 8", "member 0", "member 7")
    assert len(named) == len(LOOKS) == 5
    picture = load_curve_picture((way,), "si")
    assert {row["member"] for row in picture.datasets["curves"]} == {member.names for member in way.members}
    assert {row["member"] for row in picture.datasets["curves"] if row["look"] == "others"} == {
        member.names for member in way.members if member.names not in named
    }
    assert "the others" in [key.words for key in picture.keys]
    assert "By name: the heaviest packs" in picture.caption
    assert "By name" not in load_curve_picture(BOTH, "si").caption


def test_who_is_called_alike_on_both_ways_looks_alike() -> None:
    push, night = BOTH
    fewer = replace(night, members=(night.members[2], replace(night.members[0], names="Dot")))
    assert looks_of((push, fewer)) == ({"Ada": 0, "Bo": 1, "Cyr": 2}, {"Cyr": 2, "Dot": 0})
    assert [key.words for key in load_curve_picture((push, fewer), "si").keys[:3]] == ["Ada / Dot", "Bo", "Cyr"]
    for of_way in looks_of((many(9), many(3), many(7))):
        assert len(set(of_way.values())) == len(of_way)


def test_no_two_lines_look_alike_without_colour() -> None:
    assert len({str(look.get("strokeDash")) for _, look in LOOKS}) == len(LOOKS)


def test_the_words_say_start_line_most_and_where_water_is_filled_in() -> None:
    alt = load_curve_picture(BOTH, "us").alt
    for words in (
        "One push: Ada sets out with 18 lb, 18 lb at the foot of the line, 13 lb at the end, at most 23 lb at Quill",
        "Cyr sets out with 14 lb",
        "Water is filled in at Quill River bridge going up, Quill River bridge going down.",
        "A night out at Aldermere Camp: Ada sets out with 29 lb",
        "Aldermere Camp going up",
    ):
        assert words in alt
    dry = replace(BOTH[0], water=tuple(replace(stop, refill_L=0.0) for stop in BOTH[0].water))
    assert "No water is filled in on the way." in load_curve_picture((dry,), "us").alt


def test_what_is_not_known_breaks_the_line_and_is_said() -> None:
    way = sample_way(night=False)
    pack = (*way.members[0].pack_kg[:10], *(math.nan,) * 20)
    gone = replace(way.members[0], pack_kg=pack, line_kg=math.nan)
    picture = load_curve_picture((replace(way, members=(gone, *way.members[1:])),), "si")
    rows = [row for row in picture.datasets["curves"] if row["member"] == "Ada"]
    assert [row["mass"] is None for row in rows] == [math.isnan(kg) for kg in pack]
    assert "nan" not in picture.alt
    unknown = with_packs(way, (math.nan,) * 30)
    assert load_pictures((unknown,), "si") == ()
    assert len(load_pictures(BOTH, "si")) == 1
