"""What the plan says about permits, and about days on which more people come."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date
from types import SimpleNamespace

import pytest

from handline.day import permit_findings
from handline.day.permit_findings import chance_words
from handline.day.permit_planning import plan_permits
from handline.day.plan import Finding
from handline.day.plan_permits import PermitChance
from handline.day.planning import make_plan
from handline.trip.model import Trip
from tests.day.permit_trips import CAMP, LINE, WALK_UP, permit_trip


def _all(trip: Trip, today: date | None = None) -> Iterator[Finding]:
    computed = SimpleNamespace(setting=SimpleNamespace(trip=trip), permits=plan_permits(trip, "raised", today))
    for rule in permit_findings.RULES:
        yield from rule(computed)  # type: ignore[arg-type]


def _found(more: str = LINE + WALK_UP, today: date | None = None) -> dict[str, Finding]:
    found = list(_all(permit_trip(more), today))
    assert len({finding.key for finding in found}) == len(found), "a finding twice"
    return {finding.key: finding for finding in found}


def test_not_held_is_to_be_acted_on() -> None:
    finding = _found()["permit:Line permit"]
    assert finding.level == "heed"
    assert finding.sentence == "Permit not yet held: Line permit, checked at Foot."
    assert finding.detail.startswith("Apply from 1 March 2027 to 31 March 2027 at 16:00. Failing that, stand in line")
    assert "Chance of getting it: " in finding.detail
    plain = _found('\n[[permits]]\nname = "P"\n')["permit:P"]
    assert plain.sentence == "Permit not yet held: P."
    assert plain.detail == "The file does not say how to get it: ask the land manager."


@pytest.mark.parametrize(
    ("more", "today", "level"),
    [
        (LINE + WALK_UP, date(2027, 7, 16), "heed"),
        (LINE + WALK_UP, date(2027, 7, 17), "stop"),
        (LINE, date(2027, 4, 22), "heed"),
        (LINE, date(2027, 4, 23), "stop"),
        (LINE.replace('pay_by = "10 days after the result"', ""), date(2027, 4, 12), "heed"),
        (LINE.replace('pay_by = "10 days after the result"', ""), date(2027, 4, 13), "stop"),
        ('\n[[permits]]\nname = "Line permit"\n', date(2027, 7, 17), "heed"),
    ],
)
def test_when_the_last_deadline_is_past_it_stops(more: str, today: date, level: str) -> None:
    finding = _found(more, today)["permit:Line permit"]
    assert finding.level == level
    if level == "stop":
        assert "no way to get it is left" in finding.sentence
        assert "another date" in finding.detail


def test_what_is_past_and_still_matters() -> None:
    closed = _found(today=date(2027, 4, 1))["permit_past:Line permit"]
    assert closed.level == "heed"
    assert closed.sentence == (
        "Line permit: applications closed on 31 March 2027 at 16:00 (1 day ago). Who did not apply needs another way, "
        "or another date."
    )
    unpaid = _found(today=date(2027, 4, 23))["permit_past:Line permit"]
    assert "the last day to pay was 22 April 2027 (1 day ago). Unless you paid, it went to others." in unpaid.sentence
    early = LINE.replace('"the day before"', '"30 days before"') + WALK_UP
    late = _found(early, date(2027, 7, 1))["permit_past:Line permit"]
    assert "the last day to pick it up was 17 June 2027 (14 days ago). Ask at once" in late.sentence
    two = LINE + WALK_UP.replace("days_before = 1", "days_before = 9") + WALK_UP
    gone = _found(two.replace('"the day before"', '"40 days after the result"'), date(2027, 7, 10))
    assert "the day to stand in line was 8 July 2027 at 07:00 (2 days ago)." in gone["permit_past:Line permit"].sentence
    for today in (None, date(2027, 3, 31), date(2027, 7, 17)):
        assert "permit_past:Line permit" not in _found(today=today)


def test_a_permit_that_is_held_is_carried_and_picked_up() -> None:
    held = _found(LINE.replace("largest_party = 6", "held = true"), date(2027, 7, 1))
    assert "permit:Line permit" not in held
    assert held["permit_checked:Line permit"].sentence == (
        "Line permit is checked at Foot: carry it, with list of names."
    )
    assert held["permit_pick_up:Line permit"].level == "note"
    assert "16 July 2027 (in 15 days): Pick up" in held["permit_pick_up:Line permit"].sentence
    late = _found(LINE.replace("largest_party = 6", "held = true"), date(2027, 7, 17))["permit_pick_up:Line permit"]
    assert late.level == "heed"
    assert late.detail
    plain = _found('\n[[permits]]\nname = "P"\nheld = true\n')["permit_checked:P"]
    assert plain.sentence == "Carry your permit, P."


def test_a_party_too_large_and_permits_that_exclude_each_other_stop() -> None:
    small = _found(LINE.replace("largest_party = 6", "largest_party = 2"))["permit_against:Line permit:0"]
    assert small.level == "stop"
    assert small.sentence.startswith('A party of 3 does not fit "Line permit", which has 2 places on one permit')
    other = '\n[[permits]]\nname = "Group permit"\nexcludes = ["Line permit"]\n'
    both = _found(LINE + other)["permit_against:Line permit:0"]
    assert both.level == "stop"
    assert "they exclude each other" in both.sentence
    assert both.source


def test_what_it_costs() -> None:
    cost = _found()["permit_cost:Line permit"]
    assert cost.level == "note"
    assert cost.sentence.startswith("Line permit costs 12.00 USD per person and 6.00 USD per application: 42.00 USD")
    assert cost.sentence.endswith("Have ready: list of names.")
    papers = _found('\n[[permits]]\nname = "P"\ndocuments = ["card", "list"]\n')["permit_cost:P"]
    assert papers.sentence == "P: Have ready: card, list."
    assert "permit_cost:Line permit" not in _found(LINE.replace("largest_party = 6", "held = true"))
    assert "permit_cost:Line permit" not in _found(today=date(2027, 7, 17))


def test_a_permit_that_is_not_needed_says_nothing() -> None:
    assert {key for key in _found(CAMP) if key.startswith("permit")} == set()


@pytest.mark.parametrize(
    ("day", "code", "said"),
    [
        (date(2027, 7, 17), None, "on a weekend"),
        (date(2027, 7, 19), None, None),
        (date(2027, 9, 6), None, None),
        (date(2027, 9, 6), "US", "a public holiday, Labor Day: expect more people"),
        (date(2027, 7, 16), "SA", "on a weekend"),
        (date(2027, 7, 18), "SA", None),
    ],
)
def test_days_on_which_more_people_come(day: date, code: str | None, said: str | None) -> None:
    trip = permit_trip("" if code is None else f'\n[season]\nholidays = "{code}"\n')
    trip = trip.model_copy(update={"about": trip.about.model_copy(update={"date": day})})
    found = {finding.key: finding for finding in _all(trip)}
    assert ("many_people" in found) is (said is not None)
    if said is not None:
        assert said in found["many_people"].sentence
        assert found["many_people"].level == "note"
        assert "common practice" in found["many_people"].source


def test_a_chance_in_words() -> None:
    assert chance_words(PermitChance(0.28, None, None, None, "By draw")) == "28 %. By draw."
    assert chance_words(PermitChance(0.28, 0.007, None, None, "By draw")) == "28 % ± 0.7. By draw."
    assert chance_words(PermitChance(0.28, None, 0.2, 0.4, "By draw")) == "28 % (20 % to 40 %). By draw."


def test_the_plan_has_them_in_their_order() -> None:
    trip = permit_trip(LINE)
    plan = make_plan(trip, today=date(2027, 5, 1))
    assert plan.decision.level == "stop"
    assert "no way to get it is left" in plan.decision.why
    assert next(finding for finding in plan.findings if finding.key == "permit:Line permit").level == "stop"
    assert make_plan(trip).decision.level == "heed"


def test_no_verdict_of_safety() -> None:
    words = " ".join(
        finding.sentence + finding.detail
        for today in (None, date(2027, 4, 1), date(2027, 7, 17))
        for finding in _found(LINE + WALK_UP + CAMP, today).values()
    )
    assert not re.search(r"\bsafe(ly|ty)?\b", words, re.IGNORECASE)
