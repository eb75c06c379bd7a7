"""The sketch map: places where they are, one scale both ways, names that keep off each other."""

from __future__ import annotations

import base64
import io
import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from handline.brief.figures import sketch_map_pictures
from handline.brief.figures.grey_image import grey_uri
from handline.brief.figures.picture import WIDTH_PX, Picture
from handline.brief.figures.placed_words import RIGHT_FIRST, Words, place_words, words_width_px
from handline.brief.figures.sketch_map import KINDS, compass_words, map_places, sketch_map
from handline.brief.figures.sketch_map_scale import scale_bar
from handline.brief.figures.sketch_map_sheet import MapSheet
from handline.brief.figures.theme import TEXT_PX
from handline.brief.html import brief_html
from handline.day.plan import Plan
from tests.brief.checked_picture import assert_obeys_the_schema, assert_reads_its_data
from tests.brief.sample_map import sample_map
from tests.brief.sample_plan import sample_plan

PLAN = sample_plan()
MAP = sample_map()
PICTURE = sketch_map(PLAN, MAP)
MILE_M, FOOT_M = 1609.344, 0.3048


def with_map(plan: Plan, **changes: object) -> Picture:
    return sketch_map(plan, replace(MAP, **changes))  # type: ignore[arg-type]


@pytest.mark.parametrize("width", WIDTH_PX)
@pytest.mark.parametrize("picture", [PICTURE, with_map(PLAN, shade=None)], ids=["shaded", "plain"])
def test_every_spec_obeys_the_published_schema_and_reads_its_data(picture: Picture, width: str) -> None:
    assert_obeys_the_schema(picture, width)  # type: ignore[arg-type]
    assert_reads_its_data(picture, width)  # type: ignore[index]


def test_places_are_where_their_coordinates_are_each_once() -> None:
    rows = PICTURE.datasets["places"]
    first = {passing.name: passing for passing in reversed(PLAN.timetable)}
    assert [row["name"] for row in rows] == list(dict.fromkeys(passing.name for passing in PLAN.timetable))
    for row in rows:
        passing = first[row["name"]]
        assert row["x"] == pytest.approx((passing.longitude_deg + 113.436) * MAP.m_per_longitude_deg, abs=0.06)
        assert row["y"] == pytest.approx((passing.latitude_deg - 46.5885) * MAP.m_per_latitude_deg, abs=0.06)


def test_the_way_is_the_track_in_its_order() -> None:
    rows = PICTURE.datasets["track"]
    track = zip(PLAN.route.track_latitude_deg, PLAN.route.track_longitude_deg, strict=True)
    expected = [MAP.at_m(*at) for at in track]
    assert [row["order"] for row in rows] == list(range(len(expected)))
    assert [(row["x"], row["y"]) for row in rows] == [pytest.approx(at, abs=0.5) for at in expected]


@pytest.mark.parametrize("width", WIDTH_PX)
@pytest.mark.parametrize("size_m", [(6000.0, 8400.0), (9000.0, 5400.0), (300.0, 300.0)])
def test_one_scale_holds_both_ways_and_the_whole_sheet_is_seen(width: str, size_m: tuple[float, float]) -> None:
    spec = with_map(PLAN, width_m=size_m[0], height_m=size_m[1]).specs[width]  # type: ignore[index]
    encoding = next(layer for layer in spec["layer"] if layer["data"]["name"] == "track")["encoding"]
    across, up = (encoding[channel]["scale"]["domain"] for channel in ("x", "y"))
    assert spec["width"] / (across[1] - across[0]) == pytest.approx(spec["height"] / (up[1] - up[0]), rel=1e-6)
    assert across[1] - across[0] >= 0.999 * size_m[0]
    assert up[1] - up[0] >= 0.995 * size_m[1], "to the nearest pixel"
    assert spec["height"] <= 520


def test_every_kind_of_place_has_a_look_of_its_own() -> None:
    looks = {(str(look["shape"]), look["fill"]) for _, look, _ in KINDS.values()}
    words = {words for _, _, words in KINDS.values()}
    assert len(looks) == len(words) == len(KINDS) - 1, "only foot and head of the line look alike"


def test_water_that_is_not_counted_on_looks_otherwise_and_a_place_with_water_is_water() -> None:
    bridge, camp = PLAN.timetable[1], PLAN.timetable[2]
    stop = PLAN.load.water[0]
    water = (
        replace(stop, name=bridge.name, source=False, dry_says="may be dry in August"),
        replace(stop, name=camp.name, source=True, dry_says=""),
    )
    timetable = tuple(replace(one, kind="place") if one.name == camp.name else one for one in PLAN.timetable)
    plan = replace(PLAN, timetable=timetable, load=replace(PLAN.load, water=water))
    kinds = {place.name: place.kind for place in map_places(plan, MAP)}
    assert kinds[bridge.name] == "unsure water"
    assert kinds[camp.name] == "water"
    assert "water not counted on" in [key.words for key in sketch_map(plan, MAP).keys]


def test_keys_are_of_the_kinds_that_are_there() -> None:
    told = {key.words for key in PICTURE.keys}
    assert told == {"the way", *(KINDS[row["kind"]][2] for row in PICTURE.datasets["places"])}


# --- names -----------------------------------------------------------------------------------------------------------


def boxes_px(picture: Picture, width: str) -> list[tuple[float, float, float, float]]:
    sheet, text_px = MapSheet(MAP, width), TEXT_PX[width]  # type: ignore[arg-type, index]
    rows = [row for row in picture.datasets["names"] if row["width"] == width]
    rows += [row for row in picture.datasets["scale"] if row["width"] == width and row["kind"] == "words"]
    found = []
    for row in rows:
        x, y = sheet.at_px(row["x"], row["y"])
        half = words_width_px(row["words"], text_px) / 2.0
        found.append((x - half, y - text_px / 2.0, x + half, y + text_px / 2.0))
    return found


def apart(boxes: list[tuple[float, float, float, float]]) -> bool:
    return not any(
        one[0] + 0.5 < two[2] and two[0] + 0.5 < one[2] and one[1] + 0.5 < two[3] and two[1] + 0.5 < one[3]
        for i, one in enumerate(boxes)
        for two in boxes[i + 1 :]
    )


@pytest.mark.parametrize("width", WIDTH_PX)
def test_every_place_is_named_and_no_name_runs_into_another(width: str) -> None:
    names = [row["words"] for row in PICTURE.datasets["names"] if row["width"] == width]
    assert sorted(names) == sorted({passing.name for passing in PLAN.timetable})
    assert apart(boxes_px(PICTURE, width))


@pytest.mark.parametrize("width", WIDTH_PX)
def test_places_close_together_are_named_by_lines_that_lead_to_them(width: str) -> None:
    timetable = tuple(
        replace(one, latitude_deg=46.59 + 0.0001 * i, longitude_deg=-113.43, name=f"Place number {i}")
        for i, one in enumerate(PLAN.timetable)
    )
    picture = sketch_map(replace(PLAN, timetable=timetable), MAP)
    names = [row for row in picture.datasets["names"] if row["width"] == width]
    assert len(names) == len(timetable)
    assert apart(boxes_px(picture, width))
    assert [row for row in picture.datasets["leads"] if row["width"] == width]


def test_names_without_any_room_are_told_under_the_picture() -> None:
    timetable = tuple(
        replace(PLAN.timetable[i % 7], latitude_deg=46.59, longitude_deg=-113.43, name=f"A long name {i:02d}")
        for i in range(60)
    )
    picture = sketch_map(replace(PLAN, timetable=timetable), MAP)
    named = {row["words"] for row in picture.datasets["names"] if row["width"] == "narrow"}
    told = [place for place in timetable if place.name in picture.caption]
    assert len(named) + len(told) == 60
    assert told
    assert "On a phone there is no room for the names of " in picture.caption


@given(
    st.lists(st.tuples(st.floats(0.0, 320.0), st.floats(0.0, 400.0)), min_size=1, max_size=20),
    st.integers(0, 6),
)
def test_words_never_overlap_nor_leave_the_sheet_nor_stand_on_what_is_taken(
    marks: list[tuple[float, float]], rings: int
) -> None:
    taken = [(0.0, 360.0, 90.0, 400.0)]
    wanted = [Words("Foot of it", mark, RIGHT_FIRST, needed=True, rings=rings) for mark in marks]
    found = place_words(
        wanted, 11.0, marks, [], lambda box: box[0] >= 0 and box[2] <= 320 and box[1] >= 0 and box[3] <= 400, taken
    )
    boxes = [box for box in found if box is not None]
    assert len(found) == len(marks)
    for box in boxes:
        assert box[0] >= 0.0
        assert box[2] <= 320.0
    for one, two in ((one, two) for i, one in enumerate([*boxes, *taken]) for two in [*boxes, *taken][i + 1 :]):
        assert one[2] <= two[0] or two[2] <= one[0] or one[3] <= two[1] or two[3] <= one[1]


# --- scale, arrow, words ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("width", WIDTH_PX)
@pytest.mark.parametrize(("units", "unit_m"), [("us", {"mi": MILE_M, "ft": FOOT_M}), ("si", {"km": 1000.0, "m": 1.0})])
@pytest.mark.parametrize("width_m", [400.0, 2500.0, 6000.0, 42_000.0])
def test_the_scale_bar_is_as_long_as_it_says(width: str, units: str, unit_m: dict[str, float], width_m: float) -> None:
    sheet = MapSheet(replace(MAP, width_m=width_m, height_m=width_m), width)  # type: ignore[arg-type]
    length_m, words = scale_bar(sheet, units)  # type: ignore[arg-type]
    number, unit = words.split(" ")
    assert length_m == pytest.approx(float(number) * unit_m[unit])
    assert 0.05 * width_m <= length_m <= 0.3 * width_m
    assert number.strip("0.")[:1] in {"1", "2", "5"}


@pytest.mark.parametrize("width", WIDTH_PX)
def test_the_bar_is_drawn_as_long_as_it_says_and_the_arrow_points_up(width: str) -> None:
    rules = [row for row in PICTURE.datasets["scale"] if row["width"] == width and row["kind"] == "rule"]
    length_m, _ = scale_bar(MapSheet(MAP, width), "us")  # type: ignore[arg-type]
    assert rules[0]["x2"] - rules[0]["x"] == pytest.approx(length_m, abs=0.2)
    assert rules[0]["y2"] == rules[0]["y"]
    arrow = rules[-1]
    assert arrow["x"] == arrow["x2"]
    assert arrow["y"] > arrow["y2"], "drawn from its point, which is to the north, down"


@pytest.mark.parametrize(
    ("east_m", "north_m", "words"),
    [(0.0, 1.0, "north"), (1.0, 1.0, "north-east"), (1.0, 0.0, "east"), (0.3, -1.0, "south"), (-1.0, 0.1, "west"),
     (-1.0, -1.0, "south-west"), (-0.3, 1.0, "north")],
)  # fmt: skip
def test_directions_are_those_of_the_compass(east_m: float, north_m: float, words: str) -> None:
    assert compass_words(east_m, north_m) == words


def test_the_alternative_text_leads_from_place_to_place() -> None:
    places = map_places(PLAN, MAP)
    assert places[0].name in PICTURE.alt
    for here, there in pairwise(places):
        away_mi = math.dist(here.at_m, there.at_m) / MILE_M
        assert f"to the north-east of {here.name}." in PICTURE.alt
        assert there.name in PICTURE.alt
        if away_mi > 0.1:
            assert f"lies {away_mi:.1f} mi " in PICTURE.alt


def test_a_way_without_coordinates_has_no_map_and_one_sentence_why() -> None:
    plan = replace(PLAN, map=None)
    assert sketch_map_pictures(plan) == ()
    page = brief_html(plan)
    section = page[page.index('<section aria-labelledby="map">') :]
    section = section[: section.index("</section>")]
    assert "<figure" not in section
    assert section.count("<p>") == 1
    assert "There is no map: the trip file types the legs of the way" in section


# --- the ground as an image ------------------------------------------------------------------------------------------


def read(uri: str) -> list[list[tuple[int, int]]]:
    """Referee: another library reads it; grey and how opaque, 0 to 255."""
    kind, _, content = uri.partition(",")
    assert kind == "data:image/png;base64"
    image = Image.open(io.BytesIO(base64.b64decode(content))).convert("RGBA")
    return [[(int(red), int(opaque)) for red, _, _, opaque in row] for row in np.asarray(image)]


@given(
    st.integers(1, 9).flatmap(
        lambda width: st.lists(
            st.lists(st.one_of(st.none(), st.integers(0, 254)), min_size=width, max_size=width), min_size=1, max_size=9
        )
    )
)
def test_another_library_reads_the_same_greys(rows: list[list[int | None]]) -> None:
    for told, drawn in zip(rows, read(grey_uri(rows)), strict=True):
        for grey, (seen, opaque) in zip(told, drawn, strict=True):
            assert opaque == (0 if grey is None else 255)
            if grey is not None:
                assert seen == grey


@pytest.mark.parametrize("rows", [[], [[]], [[1, 2], [3]], [[255]], [[-1]]])
def test_what_is_no_image_is_refused(rows: list[list[int]]) -> None:
    with pytest.raises(ValueError, match=r"row|grey"):
        grey_uri(rows)


def test_brighter_ground_is_paler() -> None:
    (row,) = PICTURE.datasets["ground"]
    greys = [grey for grey, opaque in read(row["url"])[0] if opaque]
    assert greys == sorted(greys)
    assert len(set(greys)) > 10
    assert all(not opaque for _, opaque in read(row["url"])[-1]), "the row that is not known is clear"


@pytest.mark.parametrize("width", WIDTH_PX)
def test_the_ground_lies_under_the_way_at_its_own_size(width: str) -> None:
    spec = PICTURE.specs[width]  # type: ignore[index]
    ground = spec["layer"][0]
    (row,) = PICTURE.datasets["ground"]
    assert ground["data"]["name"] == "ground"
    assert MAP.shade is not None
    px_per_m = MapSheet(MAP, width).px_per_m  # type: ignore[arg-type]
    assert ground["mark"]["width"] == pytest.approx(px_per_m * 5400.0)
    assert ground["mark"]["height"] == pytest.approx(px_per_m * 8100.0)
    assert (row["x"], row["y"]) == (MAP.shade.west_m, MAP.shade.north_m)
    assert len(row["url"]) < 9000
