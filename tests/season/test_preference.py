"""Days somebody would rather have, in words."""

from __future__ import annotations

from datetime import date

import pytest

from handline.season.preference import parse_preference
from handline.season.rules import MissingDayError, SeasonRuleError


@pytest.mark.parametrize(
    ("words", "day", "holds"),
    [
        ("Saturday", date(2027, 7, 17), True),
        ("saturday ", date(2027, 7, 18), False),
        ("1 July to 20 August", date(2027, 8, 20), True),
        ("1 July to 20 August", date(2027, 8, 21), False),
        ("20 December to 6 January", date(2028, 1, 6), True),
        ("Saturday before 4 July to 4 July", date(2027, 7, 3), True),
    ],
)
def test_a_day_is_held_or_not(words, day, holds):
    assert parse_preference(words).holds(day) is holds


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("Saterday", 'did you mean "Saturday"?'),
        ("weekend", "write one of Monday, Tuesday"),
        ("1 July to 40 August", "has no day 40"),
        ("July and August", "is not a period"),
    ],
)
def test_other_words_are_refused_with_what_is_meant(words, says):
    with pytest.raises(SeasonRuleError, match=says.replace("?", r"\?")):
        parse_preference(words)


def test_a_period_that_hangs_on_a_missing_day_says_so():
    with pytest.raises(MissingDayError, match="2027"):
        parse_preference("29 February to 10 March").holds(date(2027, 3, 1))
