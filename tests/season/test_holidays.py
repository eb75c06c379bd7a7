"""Public holidays: the library against rules and Easter reckoned elsewhere, and codes that nobody knows."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from dateutil.easter import easter

from handline.season.holidays import (
    HolidayCodeError,
    HolidayPlace,
    holiday_name,
    is_weekend,
    parse_place,
)
from handline.season.rules import parse_date_rule

YEARS = range(2022, 2036)


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("third Monday of January", "Martin Luther King"),
        ("last Monday of May", "Memorial Day"),
        ("first Monday of September", "Labor Day"),
        ("fourth Thursday of November", "Thanksgiving"),
        ("4 July", "Independence Day"),
    ],
)
def test_days_that_law_sets_by_rule_are_our_rules(words: str, name: str) -> None:
    """5 U.S.C. 6103 sets them in these words."""
    rule = parse_date_rule(words)
    for year in YEARS:
        assert name in (holiday_name(rule.on(year), "US") or "")


def test_days_that_follow_easter_are_those_of_dateutil() -> None:
    for year in YEARS:
        assert holiday_name(easter(year) - timedelta(days=2), "AU", "TAS") == "Good Friday"
        assert holiday_name(easter(year) + timedelta(days=1), "DE", "BY") == "Easter Monday"
        assert holiday_name(easter(year) + timedelta(days=60), "DE", "BY") is not None
        assert holiday_name(easter(year) + timedelta(days=60), "DE", "HH") is None


def test_most_days_are_none() -> None:
    assert holiday_name(date(2027, 7, 17), "US") is None
    days = [date(2027, 1, 1) + timedelta(days=days) for days in range(365)]
    assert 9 <= sum(holiday_name(day, "US") is not None for day in days) <= 16


def test_a_weekend_is_that_of_the_country() -> None:
    saturday = date(2027, 7, 17)
    assert [is_weekend(saturday + timedelta(days=days)) for days in range(-1, 3)] == [False, True, True, False]
    assert [is_weekend(saturday + timedelta(days=days), "US") for days in range(-1, 3)] == [False, True, True, False]
    assert [is_weekend(saturday + timedelta(days=days), "SA") for days in range(-1, 3)] == [True, True, False, False]


def test_codes() -> None:
    assert parse_place("US") == HolidayPlace("US")
    assert parse_place(" AU-TAS ") == HolidayPlace("AU", "TAS")


@pytest.mark.parametrize(
    ("code", "said"),
    [
        ("us", 'did you mean "US"'),
        ("au_tas", 'did you mean "AU-TAS"'),
        ("Montana", "write a code of ISO 3166"),
        ("XX", 'no holidays are known of a country "XX"'),
        ("AU-TASS", "write a code of ISO 3166"),
        ("AU-TS", 'did you mean "AU-TAS"'),
        ("AU-ZZ", "one of ACT, NSW, NT"),
        ("MC-AA", 'write "MC"'),
    ],
)
def test_codes_that_nobody_knows(code: str, said: str) -> None:
    with pytest.raises(HolidayCodeError, match=said):
        parse_place(code)


def test_what_is_asked_of_an_unknown_place_is_refused() -> None:
    for ask in (holiday_name, is_weekend):
        with pytest.raises(HolidayCodeError, match="no holidays are known"):
            ask(date(2027, 7, 17), "XX")
