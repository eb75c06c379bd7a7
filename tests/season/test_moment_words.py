"""Moments of a permit in words: every form, and what is refused with how to mend it."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.season.moment_words import parse_later, parse_moment
from handline.season.permit_rules import DaysAfterResult, DaysBefore, OnDay, moment
from handline.season.rules import SeasonRuleError

JULY = date(2027, 7, 17)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("1 March", date(2027, 3, 1)),
        ("second Monday of April", date(2027, 4, 12)),
        ("1 October of the year before", date(2026, 10, 1)),
        ("The Last Day of February of the Year Before", date(2026, 2, 28)),
        ("Friday before the last Monday of May", date(2027, 5, 28)),
        ("168 days before", date(2027, 1, 30)),
        ("24 weeks before", date(2027, 1, 30)),
        ("1 day before", date(2027, 7, 16)),
        ("the day before", date(2027, 7, 16)),
        ("on the day", JULY),
        ("0 days before", JULY),
        ("day before 1 March", date(2027, 2, 28)),
    ],
)
def test_every_form(words: str, expected: date) -> None:
    for parse in (parse_moment, parse_later):
        assert moment(parse(words), JULY, JULY.year) == expected


@pytest.mark.parametrize("words", ["14 days after the result", "2 weeks after the draw", "14  days AFTER result"])
def test_after_the_result_only_to_pay_and_pick_up(words: str) -> None:
    assert parse_later(words) == DaysAfterResult(14)
    with pytest.raises(SeasonRuleError, match="only paying and picking up"):
        parse_moment(words)


@given(st.integers(0, 999), st.sampled_from([("day", 1), ("days", 1), ("week", 7), ("weeks", 7)]))
def test_counts_are_kept(count: int, unit: tuple[str, int]) -> None:
    assert parse_moment(f"{count} {unit[0]} before") == DaysBefore(count * unit[1])
    assert parse_later(f"{count} {unit[0]} after the result") == DaysAfterResult(count * unit[1])


def test_the_year_before_is_a_year_before() -> None:
    found = parse_moment("15 November of the year before")
    assert isinstance(found, OnDay)
    assert found.years_before == 1
    assert found.rule.words == "15 November"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("14 days after the window", "not counted from a day that is known here"),
        ("14 days before 1 March", "not counted from a day that is known here"),
        ("1000 days before", "not counted"),
        ("soon", "write"),
        ("Mondy before 1 May", 'did you mean "Monday"'),
        ("fifth Monday of the year before", "write"),
        ("", "write"),
    ],
)
def test_what_is_no_moment_is_refused(words: str, said: str) -> None:
    with pytest.raises(SeasonRuleError, match=said):
        parse_later(words)
