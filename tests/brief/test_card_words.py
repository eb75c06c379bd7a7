"""What the card says and what it leaves out, before it is set."""

from __future__ import annotations

from dataclasses import replace

import pytest

from handline.brief import card_words
from handline.brief.card_places import kept_passings, left_out_words, place_choices
from handline.brief.card_tries import back_tries, front_tries
from handline.brief.dated_words import day_and_clock
from handline.day.tether_words import LOOKS_LIKE
from tests.brief.sample_cards import heavy_plan, long_plan, night_plan
from tests.brief.sample_plan import sample_plan


def test_places_of_no_kind_go_first_and_what_a_party_needs_never() -> None:
    plan = long_plan()
    every, looked_for, needed = (kept_passings(plan, most) for most in (2, 1, 0))
    assert every == plan.timetable
    assert [row.kind for row in looked_for] == [row.kind for row in sample_plan().timetable]
    kinds = {"trailhead", "line_foot", "line_head", "summit"}
    assert {row.kind for row in needed} == kinds
    assert needed[0] is plan.timetable[0]
    assert needed[-1] is plan.timetable[-1]


def test_where_a_party_turns_or_sleeps_is_never_left_out() -> None:
    plan = night_plan()
    assert "Aldermere Camp" in {row.name for row in kept_passings(plan, 0)}
    assert "Aldermere Camp" not in {row.name for row in kept_passings(sample_plan(), 0)}


def test_what_is_left_out_is_counted() -> None:
    plan = long_plan()
    shown = kept_passings(plan, 1)
    count = len(plan.timetable) - len(shown)
    assert left_out_words(plan, shown) == f"No room here for {count} more passings: their times are in the brief."
    assert left_out_words(plan, plan.timetable) == ""
    assert left_out_words(plan, plan.timetable[1:]).startswith("No room here for 1 more passing:")


def test_a_way_without_return_stands_in_two_halves() -> None:
    plan = sample_plan()
    only_up = replace(plan, timetable=tuple(row for row in plan.timetable if row.way == "up"))
    (first, second) = place_choices(only_up, 2)[0].columns
    names = [row.name for row in (*first.rows, *second.rows)]
    assert names == [row.name for row in only_up.timetable]
    assert len(first.rows) - len(second.rows) == 1


def test_the_tries_of_a_page_grow_shorter_and_no_place_goes_before_the_type_is_small() -> None:
    tries = front_tries(heavy_plan())
    left_out = [bool(one["words"]["places"]["left_out"]) for one in tries]
    first_less = left_out.index(True)
    assert all(left_out[first_less:])
    assert tries[0]["scale"] > 1.2
    assert min(one["scale"] for one in tries[:first_less]) == 0.85
    assert tries[-1]["scale"] < 0.4
    first, last = tries[0]["words"], tries[-1]["words"]
    assert not first["water"]["more"]
    assert len(last["water"]["rows"]) <= len(first["water"]["rows"])
    assert len(last["permits"]["rows"]) == len(first["permits"]["rows"]) == 8


def test_overdue_is_for_the_planned_start_where_the_latest_time_home_is_later() -> None:
    plan = sample_plan()
    plan = replace(plan, decision=replace(plan.decision, leave_by_clock_s=plan.decision.start_clock_s + 600.0))
    assert card_words.facts(plan)[-1].small == "whoever waits then calls"
    late = replace(plan, contacts=replace(plan.contacts, later_home_clock_s=24 * 3600.0))
    assert card_words.facts(late)[-1].small == "if you leave at 04:00; whoever waits then calls"


def test_overdue_is_for_the_planned_start_where_the_card_says_to_leave_before() -> None:
    plan = sample_plan()
    assert plan.decision.leave_by_clock_s < plan.decision.start_clock_s
    assert card_words.facts(plan)[-1].small == "if you leave at 04:00; whoever waits then calls"


def test_a_place_whose_time_is_passed_is_named_beside_why() -> None:
    plan = sample_plan()
    foot = plan.decision.turn_back_at
    timetable = tuple(
        replace(row, latest_clock_s=None, latest_says="not from this start") if row.name == foot else row
        for row in plan.timetable
    )
    facts = card_words.facts(
        replace(plan, timetable=timetable, decision=replace(plan.decision, turn_back_clock_s=None))
    )
    fact, after = facts[1:3]
    assert (fact.clock, fact.why, fact.small) == ("", f"leaving at 04:00 you are too late at {foot}", "")
    # Who is too late at the foot has no time at the top.
    assert after.title == "Overdue from"


def test_findings_are_left_out_from_the_mildest_and_counted() -> None:
    plan = heavy_plan()
    tries = back_tries(plan)
    for one in tries:
        findings = one["words"]["findings"]
        levels = [level for level, _ in findings["rows"]]
        assert levels[:2] == ["STOP", "STOP"]
        left = 20 - len(levels)
        assert findings["more"] == ("" if not left else f"{left} more in the brief: read them before you go.")
    assert len(tries[-1]["words"]["findings"]["rows"]) == 3


def test_findings_at_stop_that_are_left_out_are_told() -> None:
    plan = sample_plan()
    stops = replace(plan, findings=(plan.findings[0],) * 5)
    assert card_words.findings_said(stops, 3).more == (
        "2 more in the brief, 2 of them at STOP: read them before you go."
    )


def test_notes_are_not_among_what_to_act_on() -> None:
    plan = sample_plan()
    rows = card_words.findings_said(plan, 99).rows
    assert [words for _, words in rows] == [f.sentence for f in plan.findings if f.level != "note"]


def test_what_only_looks_like_protection_stands_apart_even_without_its_sentences() -> None:
    plan = heavy_plan()
    titles = [row.title for row in plan.line.tethers if not row.chosen and row.sentence.startswith(LOOKS_LIKE)]
    assert titles
    whole, short = (card_words.tethers_said(plan, is_whole) for is_whole in (True, False))
    assert "; ".join(title for title, _ in whole.looks_like.rows) == "; ".join(titles)
    assert all(sentence and LOOKS_LIKE not in sentence for _, sentence in whole.looks_like.rows)
    assert short.looks_like.rows == (("; ".join(titles), ""),)
    assert short.looks_like.more == "What each does is in the brief."
    assert short.others == whole.others


def test_ways_that_do_the_same_stand_together() -> None:
    plan = sample_plan()
    same = tuple(replace(row, sentence=f"{LOOKS_LIKE}: it breaks.", chosen=i == 0) for i, row in
                 enumerate(plan.line.tethers))  # fmt: skip
    said = card_words.tethers_said(replace(plan, line=replace(plan.line, tethers=same)), True)
    assert said.looks_like.rows == (("; ".join(row.title for row in same[1:]), "It breaks."),)
    assert said.chosen_says.startswith(LOOKS_LIKE)


def test_water_keeps_the_places_that_fill_most_in_the_order_of_the_way() -> None:
    plan = sample_plan()
    everything, two = card_words.water_said(plan, 99), card_words.water_said(plan, 2)
    assert everything.more == ""
    assert [row for row in everything.rows if row in two.rows] == list(two.rows)
    fills = sorted((stop.refill_L for stop in plan.load.water), reverse=True)[:2]
    kept = [stop.name for stop in plan.load.water if stop.refill_L in fills]
    assert [title.partition(",")[0] for title, _ in two.rows] == kept
    left = len(everything.rows) - 2
    assert two.more == f"{left} more places with water in the brief."


def test_permits_say_held_or_not_and_what_goes_with_them() -> None:
    plan = sample_plan()
    (_, held), (_, missing) = card_words.permits_said(plan, True).rows
    assert held == "Held: carry it; checked at Lower Step. With it: the list of names."
    assert missing.startswith("NOT HELD.")
    (_, short), _ = card_words.permits_said(plan, False).rows
    assert short.endswith("With it 1 more, named in the brief.")
    none = replace(plan, permits=plan.permits[-1:])
    assert card_words.permits_said(none, True).rows == (("", "None that this day needs."),)
    nothing = replace(plan, permits=())
    assert card_words.permits_said(nothing, True).rows == (("", "The trip file names none: ask the land manager."),)


def test_light_of_a_day_without_dark_is_told_in_words() -> None:
    plan = sample_plan()
    nan = float("nan")
    polar = replace(plan.light, says="the sun does not set", sunrise_clock_s=nan, sunset_clock_s=nan)
    (title, words), *_ = card_words.sky_said(replace(plan, light=polar)).rows
    assert title == "Light"
    assert words.startswith("The sun does not set.")
    no_dusk = replace(plan.light, civil_dusk_clock_s=nan)
    (_, told), *_ = card_words.sky_said(replace(plan, light=no_dusk)).rows
    assert "last light" not in told
    assert "sunset" in told


@pytest.mark.parametrize(
    ("clock_s", "day", "clock"),
    [
        (0.0, "Saturday 17 July 2027", "00:00"),
        (78300.0, "Saturday 17 July 2027", "21:45"),
        (86400.0 - 31.0, "Saturday 17 July 2027", "23:59"),
        (86400.0 - 29.0, "Sunday 18 July 2027", "00:00"),
        (90900.0, "Sunday 18 July 2027", "01:15"),
        (-39600.0, "Friday 16 July 2027", "13:00"),
    ],
)
def test_a_clock_time_falls_on_its_day(clock_s: float, day: str, clock: str) -> None:
    assert day_and_clock("2027-07-17", clock_s) == (day, clock)


def test_the_year_turns() -> None:
    assert day_and_clock("2027-12-31", 86400.0) == ("Saturday 1 January 2028", "00:00")
