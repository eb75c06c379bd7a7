"""The copy for home as paper: one page that whoever waits can act on."""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from handline.brief.home_copy import home_pdf
from handline.day.plan import PROBABILITIES, Plan
from handline.quantity import show_clock
from tests.brief.pdf_read import fonts_of, info_of, pixels_of, text_of, word_boxes_of
from tests.brief.sample_cards import LONG_LINE, ODD_NAME, heavy_plan, night_plan, timeless_plan, wide_plan
from tests.brief.sample_plan import sample_plan

SIZES = {"letter": "612 x 792 pts (letter)", "a4": "595.276 x 841.89 pts (A4)"}
PLANS = {
    "sample": sample_plan,
    "night": night_plan,
    "timeless": timeless_plan,
    "heavy": heavy_plan,
    "wide": wide_plan,
}
HALF, NINE = PROBABILITIES.index(0.50), PROBABILITIES.index(0.90)


@cache
def _home(name: str, paper: str | None = None) -> bytes:
    return home_pdf(PLANS[name](), paper)


@pytest.mark.parametrize("name", PLANS)
@pytest.mark.parametrize("paper", SIZES)
def test_it_is_one_page_and_no_word_leaves_it(name: str, paper: str) -> None:
    pdf = _home(name, paper)
    info = info_of(pdf)
    assert (info["Pages"], info["Page size"]) == ("1", SIZES[paper])
    boxes = np.array(word_boxes_of(pdf))
    assert boxes.min() > 0.01
    assert boxes.max() < 0.99


def test_the_paper_is_that_of_the_plan() -> None:
    assert info_of(_home("sample"))["Page size"] == SIZES["letter"]
    assert info_of(_home("night"))["Page size"] == SIZES["a4"]


def test_it_says_when_to_worry_whom_to_call_and_what_to_say() -> None:
    plan, text = sample_plan(), text_of(_home("sample"))
    order = [
        plan.name,
        f"For whoever waits at home: {plan.contacts.waiting}",
        "They start 04:00 Saturday 17 July 2027",
        "Home on half of such days by 19:24",
        "on nine in ten by 20:47",
        "Not heard from them by 23:30 on Saturday 17 July 2027?",
        plan.contacts.overdue_says,
        f"1. Call the leader: {plan.contacts.leader}",
        f"2. No answer: call, in this order, (1) {plan.contacts.call[0]}",
        "3. Say: “A party of 6 is overdue. They set out from Larch Landing on Saturday 17 July 2027 at 04:00 for "
        "Tamsin summit, over a slab with fixed cables, the Tamsin line.",
        "Party: 6 people",
        f"Car: {plan.contacts.car}",
        "The highest place is near 46.62000 N, 113.41000 W.",
        "The Tamsin line: 315 ft along two cables, raised.",
        "No night is planned.",
        plan.cautions[0],
        plan.cautions[-1],
    ]
    places = [text.index(words) for words in order]
    assert places == sorted(places)
    assert not re.search(r"\bsafe(ly|ty)?\b", text, re.IGNORECASE)


def test_whom_to_call_stays_in_order() -> None:
    plan = sample_plan()
    call = ("first, 555 0001", "second, 555 0002", "third, 555 0003")
    text = text_of(home_pdf(replace(plan, contacts=replace(plan.contacts, call=call))))
    assert "(1) first, 555 0001; (2) second, 555 0002; (3) third, 555 0003" in text


@pytest.mark.parametrize("name", ["sample", "night"])
def test_every_passing_has_its_times(name: str) -> None:
    plan, text = PLANS[name](), text_of(_home(name))
    for row in plan.timetable:
        half, nine = (show_clock(row.arrive_clock_s[index]) for index in (HALF, NINE))
        assert f"{row.name}, {row.way} {half} {nine}" in text


def test_names_and_gear_are_told() -> None:
    plan = sample_plan()
    named = replace(plan, contacts=replace(plan.contacts, names=("Tove", "Bram", "Ilse")))
    assert "Names: Tove, Bram, Ilse" in text_of(home_pdf(named))
    gear = {item.name for item in plan.load.gear}
    assert gear
    text = text_of(_home("sample"))
    assert all(name in text for name in gear)
    carried = replace(plan, load=replace(plan.load, gear=(), carried=("light", "map")))
    assert "In the packs: light; map" in text_of(home_pdf(carried))


def test_a_night_out_tells_both_days_and_what_is_for_the_night() -> None:
    plan, text = night_plan(), text_of(_home("night"))
    assert "Set out for Aldermere Camp 13:00 Friday 16 July 2027" in text
    assert "Leave Aldermere Camp 04:00 Saturday 17 July 2027" in text
    assert "on Friday 16 July 2027 at 13:00 for Tamsin summit, with a night at Aldermere Camp" in text
    assert "A night at Aldermere Camp is planned." in text
    assert "(-1) is the day before" in text
    for_night = text[text.index("For the night:") : text.index("In the packs:")]
    wanted = [item.name for item in plan.load.gear if item.night]
    assert wanted
    assert all(name in for_night for name in wanted)


def test_home_after_midnight_has_the_date_of_the_next_day() -> None:
    plan = sample_plan()
    late = replace(plan, contacts=replace(plan.contacts, overdue_clock_s=25.25 * 3600.0))
    assert "Not heard from them by 01:15 on Sunday 18 July 2027?" in text_of(home_pdf(late))


def test_what_is_not_typed_is_left_to_write_in() -> None:
    plan = sample_plan()
    empty = replace(plan.contacts, leader="", waiting="", call=(), car="", names=())
    nowhere = replace(plan.route, latitude_deg=float("nan"), longitude_deg=float("nan"))
    bare = replace(plan, contacts=empty, route=nowhere, load=replace(plan.load, gear=(), carried=()))
    text = text_of(home_pdf(bare))
    for title in ("For whoever waits at home:", "Call the leader:", "call, in this order,", "Leader:", "Names:", "Car:",
                  "The trip file has no list of gear:"):  # fmt: skip
        assert f"{title} not typed: write it here" in text
    assert "Where that is on the map is not in the plan." in text
    assert "nan" not in text.lower().split()


def test_one_alone_is_told_as_one() -> None:
    text = text_of(home_pdf(replace(sample_plan(), party_size=1)))
    assert "A party of one is overdue" in text
    assert "Party: 1 person" in text


def test_names_are_shown_and_never_read_as_commands() -> None:
    plan = sample_plan()
    contacts = replace(
        plan.contacts, leader=ODD_NAME, waiting=ODD_NAME, call=(ODD_NAME,), car=ODD_NAME, names=(ODD_NAME,)
    )
    pdf = home_pdf(replace(plan, name=ODD_NAME, contacts=contacts))
    assert info_of(pdf)["Title"] == f"{ODD_NAME}, Saturday 17 July 2027: copy for home"
    # Name, waiting, leader twice, call, car, names.
    assert text_of(pdf).count(" ".join(ODD_NAME.split())) == 7


def test_the_widest_names_are_whole() -> None:
    plan: Plan = wide_plan()
    text = text_of(_home("wide", "letter")).replace(" ", "")
    assert text.count(LONG_LINE) == 4
    assert text.count(plan.contacts.names[0]) == 13
    for call in plan.contacts.call:
        assert call in text


def test_the_same_plan_gives_the_same_bytes_and_no_clock() -> None:
    pdf = _home("sample")
    assert home_pdf(sample_plan()) == pdf
    assert b"CreationDate" not in pdf
    assert not {"CreationDate", "ModDate"} & set(info_of(pdf))
    assert all(inside for _, inside in fonts_of(pdf))


def test_it_has_no_colour(tmp_path: Path) -> None:
    assert np.ptp(pixels_of(_home("sample"), 1, tmp_path, grey=False), axis=2).max() < 12


def test_they_meant_to_be_home_by_their_own_limit_where_they_typed_one() -> None:
    plan = sample_plan()
    assert "They meant to be home by 20:47 on Saturday 17 July 2027." in text_of(_home("sample"))
    typed = replace(plan, contacts=replace(plan.contacts, home_by_clock_s=21.5 * 3600.0))
    assert "They meant to be home by 21:30 on Saturday 17 July 2027." in text_of(home_pdf(typed))
