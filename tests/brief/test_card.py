"""The card as paper: two pages that hold everything, or say what they left out."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from handline.brief.card import card_pdf, strip_spec
from handline.brief.stills import draw_here
from handline.brief.typesetting import picture_pdf
from handline.day.plan import Plan
from handline.day.plan_chances import TurnedAt, TurningBack
from handline.quantity import show_clock
from tests.brief.pdf_read import fonts_of, info_of, pixels_of, text_of, word_boxes_of
from tests.brief.sample_cards import (
    LONG_LINE,
    ODD_NAME,
    heavy_plan,
    long_plan,
    night_plan,
    timeless_plan,
    wide_plan,
)
from tests.brief.sample_plan import sample_plan

SIZES = {"letter": "612 x 792 pts (letter)", "a4": "595.276 x 841.89 pts (A4)"}
PLANS = {
    "sample": sample_plan,
    "night": night_plan,
    "timeless": timeless_plan,
    "long": long_plan,
    "heavy": heavy_plan,
    "wide": wide_plan,
}


@cache
def _strip() -> str:
    return next(draw_here([strip_spec(sample_plan())]))


@cache
def _card(name: str, paper: str | None = None) -> bytes:
    return card_pdf(PLANS[name](), paper, _strip())


def _words(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("paper", SIZES)
def test_it_is_two_pages_and_no_word_leaves_them(name: str, paper: str) -> None:
    pdf = _card(name, paper)
    info = info_of(pdf)
    assert (info["Pages"], info["Page size"]) == ("2", SIZES[paper])
    boxes = np.array(word_boxes_of(pdf))
    assert len(boxes) > 100
    assert boxes.min() > 0.01
    assert boxes.max() < 0.99


def test_the_paper_is_that_of_the_plan() -> None:
    assert info_of(_card("sample"))["Page size"] == SIZES["letter"]
    assert info_of(_card("night"))["Page size"] == SIZES["a4"]


@pytest.mark.parametrize("name", ["sample", "night", "long"])
def test_the_first_page_has_every_passing_with_its_latest_time(name: str) -> None:
    plan, text = PLANS[name](), text_of(_card(name, "letter"), 1)
    assert "No room here" not in text
    after = text.index("Latest passing times")
    for row in plan.timetable:
        assert row.latest_clock_s is not None
        # In the order of the way, so that each time stands in the row of its place.
        after = text.index(row.name, after)
        found = re.compile(r"\d\d:\d\d(?: \([+-]\d\))? (\d\d:\d\d(?: ?\([+-]\d\))?)").search(text, after)
        assert found is not None
        assert found[1].replace(" ", "") == show_clock(row.latest_clock_s).replace(" ", "")


@pytest.mark.parametrize("name", ["sample", "night", "long", "heavy"])
def test_it_has_decision_contacts_overdue_and_cautions(name: str) -> None:
    plan, text = PLANS[name](), text_of(_card(name, "letter"))
    contacts = plan.contacts
    wanted = [plan.decision.headline, plan.decision.why, contacts.leader, contacts.waiting, *contacts.call]
    wanted += [contacts.car, contacts.overdue_says, "Overdue from 23:30, Saturday 17 July 2027", *plan.cautions]
    assert [words for words in wanted if _words(words) not in text] == []
    chosen = next(row for row in plan.line.tethers if row.chosen)
    assert _words(f"{chosen.title}. {chosen.sentence}") in text
    assert not re.search(r"\bsafe(ly|ty)?\b", text, re.IGNORECASE)


def test_the_decision_is_the_first_thing_and_big_times_follow() -> None:
    text = text_of(_card("sample"), 1)
    order = ["STOP", "Do not go like this", "02:50", "planned 04:00", "11:18", "if not yet at Foot of the cables",
             "12:42", "Overdue from", "23:30", "Latest passing times", "Water", "If you are not back", "Permits",
             "This page is not"]  # fmt: skip
    places = [text.index(words) for words in order]
    assert places == sorted(places)


def test_what_a_permit_water_and_the_sky_ask_for() -> None:
    text = text_of(_card("sample"))
    assert "Tamsin line permit. Held: carry it; checked at Lower Step. With it: the list of names." in text
    assert "Valley permit. NOT HELD." in text
    assert "Aldermere camp permit" not in text
    assert "Quill River bridge, up. Fill 3.2 qt each, so that each leaves with 3.7 qt." in text
    assert "Not counted on: it may be dry from July on" in text
    assert _words(sample_plan().load.overdrinking) in text
    assert "Light. First light 04:52, sunrise 05:27" in text
    assert "A storm at some time: on 30 % of such days." in text


def test_units_are_those_of_the_plan() -> None:
    us, si = text_of(_card("sample")), text_of(_card("night"))
    assert re.search(r"\d qt", us)
    assert not re.search(r"\d L\b", us)
    assert re.search(r"\d L\b", si)
    assert not re.search(r"\d qt", si)


def test_a_night_out_says_when_to_leave_the_camp() -> None:
    text = text_of(_card("night"), 1)
    assert "Leave Aldermere Camp by 02:50" in text
    assert "planned 04:00; set out 13:00 the day before" in text
    assert "sleep, leave 04:00, by 04:30 at the latest" in text
    assert "(-1) is the day before" in text


def test_where_no_time_meets_the_limits_it_says_so() -> None:
    text = text_of(_card("timeless"), 1)
    assert "no start meets the limits" in text
    assert "no time at Foot of the cables meets the limits" in text
    assert "if not yet at" not in text
    assert text.count("no time meets the limits") == len(sample_plan().timetable)


def test_own_rules_of_turning_back_are_there() -> None:
    plan = sample_plan()
    rules = (TurnedAt("Aldermere Camp", 8.0 * 3600.0, 0.1), TurnedAt("Lower Step", 10.5 * 3600.0, 0.2))
    turning = TurningBack(rules, 0.7, 0.95, 0.002, 0.66, (60000.0, 64000.0, 68000.0))
    ruled = replace(plan, turned=replace(plan.turned, turning_back=turning))
    text = text_of(card_pdf(ruled, None, _strip()), 1)
    assert "You turn back at Aldermere Camp after 08:00: on 10 % of days; at Lower Step after 10:30" in text
    assert "You turn back at" not in text_of(_card("sample"), 1)


def test_missing_contacts_are_left_to_write_in() -> None:
    plan = sample_plan()
    nobody = replace(plan, contacts=replace(plan.contacts, leader="", waiting="", call=(), car=""))
    text = text_of(card_pdf(nobody, None, _strip()))
    for title in ("Waiting at home:", "To call:", "Leader:", "Car:"):
        assert f"{title} not typed: write it here" in text


def test_a_heavy_plan_counts_what_it_leaves_out() -> None:
    plan, pdf = heavy_plan(), _card("heavy", "letter")
    front, back = text_of(pdf, 1), text_of(pdf, 2)
    left = re.search(r"No room here for (\d+) more passings", front)
    shown = sum(front.count(row.name) > 0 for row in plan.timetable)
    assert shown + (int(left[1]) if left else 0) >= len(plan.timetable)
    more = re.search(r"(\d+) more in the brief: read them before you go", back)
    told = len(re.findall(r"(?:STOP|HEED)\. Finding \d+:", back))
    assert more is not None
    assert told + int(more[1]) == 20
    assert "STOP. Finding 0" in back
    assert "STOP. Finding 1" in back
    for row in plan.line.tethers:
        assert _words(row.title) in back
    for i in range(8):
        assert f"Permit of valley {i}" in front


def test_the_widest_names_are_whole() -> None:
    plan, text = wide_plan(), text_of(_card("wide", "letter")).replace(" ", "")
    assert plan.name in text
    assert text.count(LONG_LINE) == 3
    for call in plan.contacts.call:
        assert call in text
    assert plan.timetable[0].name in text
    assert plan.timetable[-1].name in text


def test_names_are_shown_and_never_read_as_commands() -> None:
    plan = sample_plan()
    contacts = replace(plan.contacts, leader=ODD_NAME, waiting=ODD_NAME, call=(ODD_NAME,), car=ODD_NAME)
    places = tuple(replace(row, name=ODD_NAME) if row.kind == "camp" else row for row in plan.timetable)
    findings = (replace(plan.findings[0], sentence=ODD_NAME),)
    odd = replace(plan, name=ODD_NAME, contacts=contacts, timetable=places, findings=findings, cautions=(ODD_NAME,))
    pdf = card_pdf(odd, None, _strip())
    assert info_of(pdf)["Pages"] == "2"
    assert info_of(pdf)["Title"] == f"{ODD_NAME}, Saturday 17 July 2027: card"
    # Name, four contacts, two passings, a finding, a caution.
    assert text_of(pdf).count(_words(ODD_NAME)) == 9


def test_the_same_plan_gives_the_same_bytes_and_no_clock() -> None:
    first = _card("sample")
    again = [card_pdf(sample_plan(), None, _strip()) for _ in range(3)]
    assert set(again) == {first}
    assert not {"CreationDate", "ModDate"} & set(info_of(first))
    assert b"CreationDate" not in first
    assert b"ModDate" not in first


def test_every_font_is_in_the_file_and_the_picture_is_in_sans() -> None:
    fonts = fonts_of(_card("sample"))
    assert all(inside for _, inside in fonts)
    families = {name.partition("-")[0] for name, _ in fonts}
    assert families == {"LibertinusSerif", "DejaVuSansMono", "LiberationSans"}
    assert {name.partition("-")[0] for name, _ in fonts_of(picture_pdf(_strip()))} == {"LiberationSans"}


def test_words_of_the_picture_are_in_the_card() -> None:
    text = text_of(_card("sample"), 2)
    for words in ("storm begun", "sun on slab", "Larch", "12:42"):
        assert words in text


def test_nothing_vanishes_in_black_and_white(tmp_path: Path) -> None:
    pdf = _card("sample")
    for page in (1, 2):
        colour, grey = (pixels_of(pdf, page, tmp_path, grey=is_grey) for is_grey in (False, True))
        # Paler tints lie behind words that say the same.
        seen = colour.min(axis=2) < 150
        assert seen.sum() > 5_000
        assert grey[seen].max() < 230
        dark = colour.max(axis=2) < 90
        assert grey[dark].max() < 90


def test_beside_the_picture_there_is_no_colour(tmp_path: Path) -> None:
    front = pixels_of(_card("sample"), 1, tmp_path, grey=False)
    assert np.ptp(front, axis=2).max() < 12
    back = pixels_of(_card("sample"), 2, tmp_path, grey=False)
    # The picture stands in the left column.
    assert np.ptp(back[:, int(0.64 * back.shape[1]) :], axis=2).max() < 12
    assert np.ptp(back, axis=2).max() > 100


def test_without_a_drawn_strip_it_draws_its_own() -> None:
    plan: Plan = sample_plan()
    assert card_pdf(plan) == _card("sample")
