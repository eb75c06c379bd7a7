"""Recurrences against python-dateutil's own reading of RFC 5545, over 40 years."""

from __future__ import annotations

from datetime import date, datetime, time

import pytest
from dateutil.rrule import rruleset, rrulestr
from hypothesis import example, given, settings
from hypothesis import strategies as st

from handline.season.recurrence import recurrence, rrule_text
from handline.season.rules import (
    MONTHS,
    ORDINALS,
    SIDES,
    WEEKDAYS,
    DateRule,
    MissingDayError,
    SeasonRuleError,
    parse_date_rule,
)

YEARS = range(2010, 2051)


def read_back(text: str, first: date, last: date) -> tuple[date, ...]:
    """The days of an RFC 5545 rule from a first to a last day."""
    start, end = (datetime.combine(day, time()) for day in (first, last))
    rule = rrulestr(text, dtstart=datetime(first.year - 1, 1, 1))
    return tuple(found.date() for found in rule.between(start, end, inc=True))


def on_each(rule: DateRule, years: range) -> tuple[date, ...]:
    days = []
    for year in years:
        try:
            days.append(rule.on(year))
        except MissingDayError:
            continue
    return tuple(days)


_FIRST = st.one_of(
    st.tuples(st.integers(1, 28), st.sampled_from(MONTHS)).map(lambda d: f"{d[0]} {d[1]}"),
    st.sampled_from(["29 January", "30 March", "31 May", "31 December", "29 February"]),
    st.sampled_from(MONTHS).map(lambda month: f"last day of {month}"),
    st.tuples(st.sampled_from(list(ORDINALS)), st.sampled_from(WEEKDAYS), st.sampled_from(MONTHS)).map(
        lambda d: f"{d[0]} {d[1]} of {d[2]}"
    ),
)
_STEP = st.tuples(st.sampled_from([*WEEKDAYS, "day"]), st.sampled_from(list(SIDES))).map(" ".join)
RULES = st.tuples(st.lists(_STEP, max_size=4), _FIRST).map(lambda d: " ".join([*d[0], d[1]]))


@given(RULES)
@settings(max_examples=300, deadline=None)
@example("Saturday before 1 January")
@example("Saturday before 4 January")
@example("Saturday after 28 December")
@example("Saturday before 3 March")
@example("Saturday after 27 February")
@example("Friday before the last Monday of February")
@example("Monday after the last Sunday of February")
@example("day after the last day of February")
@example("day before the fifth Monday of May")
@example("Friday before the fifth Monday of April")
@example("day after 28 February")
@example("day before 1 March")
@example("day after Saturday after day after last day of December")
@example("Wednesday before Monday before last day of February")
@example("Saturday before Saturday before Saturday before Saturday before last day of February")
def test_every_rule_is_read_back_as_the_same_days(words: str) -> None:
    rule = parse_date_rule(words)
    text, days = rrule_text(rule), on_each(rule, YEARS)
    on_leap_day = words.endswith("29 February") or any(
        words.endswith(f"{fifth} {weekday} of february") for fifth in ("fifth", "5th") for weekday in WEEKDAYS
    )
    assert (text is None) is (on_leap_day and (" before " in f" {words}" or " after " in f" {words}"))
    if text is not None and days:
        # Between two of its own days nothing may be left out and nothing added.
        assert read_back(text, days[0], days[-1]) == days


@pytest.mark.parametrize("first", ["last day of February", "28 February", "2 March", "31 December", "5 January"])
@pytest.mark.parametrize("sides", [("before", "before"), ("before", "after"), ("after", "before"), ("after", "after")])
def test_all_pairs_of_weekdays_around_the_ends_of_a_count(first: str, sides: tuple[str, str]) -> None:
    for one in WEEKDAYS:
        for other in WEEKDAYS[::2]:
            rule = parse_date_rule(f"{one} {sides[0]} {other} {sides[1]} {first}")
            text, days = rrule_text(rule), on_each(rule, YEARS)
            assert text is not None
            assert read_back(text, days[0], days[-1]) == days, rule.words


@pytest.mark.parametrize(
    ("words", "text"),
    [
        ("15 May", "FREQ=YEARLY;BYMONTH=5;BYMONTHDAY=15"),
        ("last day of February", "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=-1"),
        ("first Saturday of June", "FREQ=YEARLY;BYMONTH=6;BYDAY=1SA"),
        ("Friday before the last Monday of May", "FREQ=YEARLY;BYMONTH=5;BYDAY=4FR"),
        ("day after the second Monday of October", "FREQ=YEARLY;BYMONTH=10;BYMONTHDAY=9,10,11,12,13,14,15;BYDAY=TU"),
        ("Saturday before 4 January", "FREQ=YEARLY;BYYEARDAY=-4,-3,-2,-1,1,2,3;BYDAY=SA"),
        ("day before 1 March", "FREQ=YEARLY;BYMONTH=2;BYMONTHDAY=-1"),
        ("day after 28 February", "FREQ=YEARLY;BYYEARDAY=60"),
    ],
)
def test_the_words_of_a_rule(words: str, text: str) -> None:
    assert rrule_text(parse_date_rule(words)) == text


def test_the_season_of_2026() -> None:
    first = recurrence(parse_date_rule("Friday before the last Monday of May"), range(2026, 2067))
    last = recurrence(parse_date_rule("day after the second Monday of October"), range(2026, 2067))
    assert (first.days[0], last.days[0]) == (date(2026, 5, 22), date(2026, 10, 13))
    for found in (first, last):
        assert found.rrule is not None
        assert len(read_back(found.rrule, found.days[0], found.days[-1])) == 41
        assert found.missing_years == ()


@given(RULES)
@settings(max_examples=100, deadline=None)
@example("day after 29 February")
@example("fifth Monday of February")
def test_the_lines_of_a_calendar_hold_the_same_days(words: str) -> None:
    found = recurrence(parse_date_rule(words), range(2000, 2051))
    start, *rest = found.lines()
    first = datetime.strptime(start.removeprefix("DTSTART;VALUE=DATE:"), "%Y%m%d")
    days = rruleset()
    days.rdate(first)
    for line in rest:
        name, value = line.split(":")
        if name == "RRULE":
            days.rrule(rrulestr(value, dtstart=first))
        else:
            assert name == "RDATE;VALUE=DATE"
            for text in value.split(","):
                days.rdate(datetime.strptime(text, "%Y%m%d"))
    assert tuple(day.date() for day in days) == found.days
    assert len(found.days) + len(found.missing_years) == 51


def test_a_day_beside_a_leap_day_is_a_list() -> None:
    found = recurrence(parse_date_rule("day after 29 February"), range(2024, 2034))
    assert found.rrule is None
    assert found.lines() == ("DTSTART;VALUE=DATE:20240301", "RDATE;VALUE=DATE:20280301,20320301")
    assert found.missing_years == (2025, 2026, 2027, 2029, 2030, 2031, 2033)
    alone = recurrence(parse_date_rule("day after 29 February"), range(2024, 2025))
    assert alone.lines() == ("DTSTART;VALUE=DATE:20240301",)


def test_what_never_happens_names_the_next_time() -> None:
    with pytest.raises(SeasonRuleError, match="never happens from 2025 to 2027; the next one is on 29 February 2028"):
        recurrence(parse_date_rule("29 February"), range(2025, 2028))
    with pytest.raises(SeasonRuleError, match="never happens in 2027; the next one is on 29 February 2044"):
        recurrence(parse_date_rule("fifth Monday of February"), range(2027, 2028))
    with pytest.raises(SeasonRuleError, match="in no year at all: give at least one"):
        recurrence(parse_date_rule("1 May"), range(2027, 2027))
    with pytest.raises(SeasonRuleError, match="no day 30"):
        parse_date_rule("30 February")


def test_a_form_nobody_taught_is_a_defect() -> None:
    class Odd(DateRule):
        def _day(self, year: int) -> date:
            return date(year, 1, 1)

    with pytest.raises(TypeError, match="Odd"):
        rrule_text(Odd("odd"))
