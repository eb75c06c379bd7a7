"""[crowd]: people a day and how they come, or arrivals as counted; what does not fit together is told."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from typing import get_args

import pytest
from jsonschema import Draft202012Validator

from handline.crowd.rules import YIELDS
from handline.errors import Problem
from handline.trip.day_model import Yields
from handline.trip.model import Trip
from handline.trip.schema import trip_schema
from tests.trip.test_schema import as_json

Problems = Callable[[str], dict[str | None, Problem]]
Read = Callable[[str], Trip]
COUNTED = 'arrivals = [{ from = "06:00", to = "08:00", people = 40 }, { from = "07:30", to = "09:15", people = 25 }]'


def test_the_words_are_those_of_the_rules() -> None:
    assert get_args(Yields) == tuple(YIELDS)


def test_what_is_left_out_is_as_is_usual(read: Read, short: str) -> None:
    crowd = read(short).crowd
    assert crowd.people_per_day is None
    assert crowd.arrivals == ()
    assert (crowd.share_who_come, crowd.starts_clock_s, crowd.starts_spread_s) == (0.9, 21600.0, 3600.0)
    assert (crowd.parties_of, crowd.yields, crowd.pass_time_s) == (3, "pass", 15.0)
    assert (crowd.freeze_chance, crowd.freeze_time_s, crowd.stance_places) == (0.02, 300.0, 2)


def test_everything_typed(read: Read, short: str) -> None:
    text = """[crowd]
people_per_day = 120
share_who_come = "75 %"
starts = "05:30"
starts_spread = "40 min"
parties_of = 2
yields = "up waits"
pass_time = "20 s"
freeze_chance = 0.05
freeze_time = "8 min"
stance_places = 3
"""
    crowd = read(short + text).crowd
    assert (crowd.people_per_day, crowd.share_who_come, crowd.starts_clock_s) == (120, 0.75, 19800.0)
    assert (crowd.starts_spread_s, crowd.parties_of, crowd.yields) == (2400.0, 2, "up waits")
    assert (crowd.pass_time_s, crowd.freeze_chance, crowd.freeze_time_s, crowd.stance_places) == (20.0, 0.05, 480.0, 3)


def test_arrivals_as_counted(read: Read, short: str) -> None:
    spans = read(f"{short}[crowd]\n{COUNTED}\n").crowd.arrivals
    assert [(span.from_clock_s, span.to_clock_s, span.people) for span in spans] == [
        (21600.0, 28800.0, 40),
        (27000.0, 33300.0, 25),
    ]


def test_only_one_form(problems: Problems, short: str) -> None:
    found = problems(f'{short}[crowd]\npeople_per_day = 80\nstarts = "05:00"\nshare_who_come = 0.5\n{COUNTED}\n')
    assert "given twice" in found["crowd.people_per_day"].what
    assert found["crowd.starts"].mend == "leave starts away"
    assert set(found) == {"crowd.people_per_day", "crowd.starts", "crowd.share_who_come"}


def test_arrivals_go_forward(problems: Problems, short: str) -> None:
    spans = '{ from = "08:00", to = "06:00", people = 40 }, { from = "09:00", to = "09:00", people = 4 }'
    found = problems(f"{short}[crowd]\narrivals = [{spans}]\n")
    assert found["crowd.arrivals[0].to"].what == "these arrivals end before they begin"
    assert found["crowd.arrivals[0].to"].allowed == "later than 08:00"
    assert found["crowd.arrivals[1].to"].what == "these arrivals last no time"
    assert "empty" in problems(f"{short}[crowd]\narrivals = []\n")["crowd.arrivals"].what


PERMITS = '[[permits]]\nname = "Entry"\n[[permits]]\nname = "Line permit"\nplaces_per_day = 60\n'


def test_not_more_people_than_permits(problems: Problems, read: Read, short: str) -> None:
    found = problems(f"{short}{PERMITS}[crowd]\npeople_per_day = 61\n")["crowd.people_per_day"]
    assert found.what == "61 people a day are more than there are permits for"
    assert found.allowed == "at most 60, the places of Line permit"
    assert found.read == "61"
    assert "65 people" in problems(f"{short}{PERMITS}[crowd]\n{COUNTED}\n")["crowd.arrivals"].what
    assert read(f"{short}{PERMITS}[crowd]\npeople_per_day = 60\n").crowd.people_per_day == 60


def test_not_fewer_people_than_the_party(problems: Problems, read: Read, short: str) -> None:
    found = problems(f"{short}[crowd]\npeople_per_day = 3\n")["crowd.people_per_day"]
    assert found.allowed == "at least 4: your party counts in"
    assert read(f"{short}[crowd]\npeople_per_day = 4\n").crowd.people_per_day == 4


def test_not_more_than_a_line_can_ever_take(problems: Problems, short: str) -> None:
    span = '{ from = "06:00", to = "08:00", people = 2501 }'
    found = problems(f"{short}[crowd]\narrivals = [{span}, {span}]\n")["crowd.arrivals"]
    assert found.what == "all arrivals together are 5,002 people"


@pytest.mark.parametrize(
    ("typed", "key", "words"),
    [
        ("people_per_day = 0", "people_per_day", "too small"),
        ("people_per_day = 12.5", "people_per_day", "whole"),
        ("people_per_day = 6000", "people_per_day", "too large"),
        ('people_per_day = "80"', "people_per_day", "not a number"),
        ('share_who_come = "0 %"', "share_who_come", "outside its limits"),
        ('starts = "25:00"', "starts", "no such time"),
        ("starts_spread = 40", "starts_spread", "no unit"),
        ('pass_time = "-1 s"', "pass_time", "too small"),
        ('yields = "up wait"', "yields", "unknown rule of yielding"),
        ("freeze_chance = 0.7", "freeze_chance", "outside its limits"),
        ("stance_places = 0", "stance_places", "too small"),
        ("parties_of = 0", "parties_of", "too small"),
        ('arrivals = [{ from = "06:00", people = 3 }]', "arrivals[0].to", "is needed"),
        ('arrivals = [{ from = "06:00", to = "07:00", people = -3 }]', "arrivals[0].people", "too small"),
        (
            'arrivals = [{ from = "06:00", to = "07:00", persons = 5, people = 9 }]',
            "arrivals[0].persons",
            "unknown key",
        ),
    ],
)
def test_bad_values_are_told(problems: Problems, short: str, typed: str, key: str, words: str) -> None:
    assert words in problems(f"{short}[crowd]\n{typed}\n")[f"crowd.{key}"].what


@pytest.mark.parametrize(
    ("typed", "fine"),
    [(COUNTED, True), ("people_per_day = 80", True), ("people_per_day = 0", False), ("people = 3", False)],
)
def test_schema(short: str, typed: str, fine: bool) -> None:
    document = as_json(tomllib.loads(f"{short}[crowd]\n{typed}\n"))
    assert Draft202012Validator(trip_schema()).is_valid(document) is fine
