"""Season rules against python-dateutil's recurrences (RFC 5545) and plain calendar arithmetic."""

from __future__ import annotations

import contextlib
from datetime import date, datetime, time, timedelta

import pytest
from dateutil import rrule
from hypothesis import example, given
from hypothesis import strategies as st

from handline.season.rules import (
    DEEPEST,
    MONTHS,
    ORDINALS,
    SIDES,
    WEEKDAYS,
    MissingDayError,
    SeasonRuleError,
    parse_date_rule,
    parse_period,
)

YEARS = st.integers(1900, 2200)
DAYS = st.dates(date(1990, 1, 1), date(2060, 12, 31))
RRULE_DAYS = (rrule.MO, rrule.TU, rrule.WE, rrule.TH, rrule.FR, rrule.SA, rrule.SU)


def referee_nth(nth: int, weekday: int, month: int, year: int) -> date | None:
    """The nth weekday of a month by RFC 5545's BYDAY, or None."""
    found = rrule.rrule(
        rrule.YEARLY, bymonth=month, byweekday=RRULE_DAYS[weekday](nth), dtstart=datetime(year, 1, 1), count=1
    )[0].date()
    return found if found.year == year else None


def referee_beside(weekday: int, side: int, day: date) -> date:
    """The weekday strictly before or after a day, by a weekly recurrence."""
    midnight = datetime.combine(day, time())
    weekly = rrule.rrule(rrule.WEEKLY, byweekday=RRULE_DAYS[weekday], dtstart=midnight - timedelta(days=14))
    found = weekly.before(midnight) if side < 0 else weekly.after(midnight)
    return found.date()


@given(st.sampled_from(list(ORDINALS)), st.integers(0, 6), st.integers(1, 12), YEARS)
@example("fifth", 0, 2, 2016)  # a leap February that begins on a Monday has five of them
def test_nth_weekday_is_the_referees(nth: str, weekday: int, month: int, year: int) -> None:
    rule = parse_date_rule(f"{nth} {WEEKDAYS[weekday].title()} of {MONTHS[month - 1].title()}")
    expected = referee_nth(ORDINALS[nth], weekday, month, year)
    if expected is None:
        with pytest.raises(MissingDayError, match=str(year)):
            rule.on(year)
    else:
        assert rule.on(year) == expected


@given(st.integers(0, 6), st.sampled_from(["before", "after"]), st.integers(1, 12), st.integers(1, 28), YEARS)
def test_weekday_beside_is_the_referees(weekday: int, side: str, month: int, day: int, year: int) -> None:
    rule = parse_date_rule(f"{WEEKDAYS[weekday]} {side} {day} {MONTHS[month - 1]}")
    assert rule.on(year) == referee_beside(weekday, SIDES[side], date(year, month, day))


@given(st.integers(0, 6), st.integers(0, 6), st.sampled_from(["before", "after"]), st.integers(1, 12), YEARS)
def test_nested_rules_are_the_referees(outer: int, inner: int, side: str, month: int, year: int) -> None:
    rule = parse_date_rule(f"{WEEKDAYS[outer]} {side} the last {WEEKDAYS[inner]} of {MONTHS[month - 1]}")
    last = referee_nth(-1, inner, month, year)
    assert last is not None
    assert rule.on(year) == referee_beside(outer, SIDES[side], last)


@given(st.integers(1, 12), YEARS)
def test_last_day_of_a_month_is_the_day_before_the_next(month: int, year: int) -> None:
    following = date(year + month // 12, month % 12 + 1, 1)
    assert parse_date_rule(f"last day of {MONTHS[month - 1]}").on(year) + timedelta(days=1) == following


# Arithmetic of the calendar: 25 May 2026 is the last Monday of May, 12 October the second Monday of October.
def test_known_season_of_2026() -> None:
    period = parse_period("Friday before the last Monday of May to day after the second Monday of October")
    assert period.span(2026) == (date(2026, 5, 22), date(2026, 10, 13))
    assert not period.over_new_year


def test_season_of_the_example() -> None:
    period = parse_period("Saturday before the second Monday of June to last Sunday of September")
    assert period.span(2027) == (date(2027, 6, 12), date(2027, 9, 26))


def test_before_and_after_never_mean_the_day_itself() -> None:
    assert date(2027, 7, 17).weekday() == 5
    assert parse_date_rule("Saturday before 17 July").on(2027) == date(2027, 7, 10)
    assert parse_date_rule("Saturday after 17 July").on(2027) == date(2027, 7, 24)


def test_case_and_the_do_not_matter() -> None:
    assert parse_date_rule("SATURDAY before The second monday OF june").on(2027) == date(2027, 6, 12)


FIXED = st.tuples(st.integers(1, 12), st.integers(1, 28))


@given(FIXED, FIXED, DAYS)
def test_fixed_periods_compare_month_and_day(first: tuple[int, int], last: tuple[int, int], day: date) -> None:
    period = parse_period(f"{first[1]} {MONTHS[first[0] - 1]} to {last[1]} {MONTHS[last[0] - 1]}")
    here = (day.month, day.day)
    expected = first <= here <= last if first <= last else here >= first or here <= last
    assert period.contains(day) is expected
    assert period.over_new_year is (last < first)


def test_both_days_belong_to_a_period_over_the_new_year() -> None:
    period = parse_period("1 December to 31 March")
    inside = [date(2026, 12, 1), date(2026, 12, 31), date(2027, 1, 1), date(2027, 3, 31)]
    outside = [date(2026, 11, 30), date(2027, 4, 1)]
    assert [period.contains(day) for day in inside + outside] == [True] * 4 + [False] * 2
    assert period.words == "1 December to 31 March"


def test_a_period_may_start_in_the_year_before_its_own() -> None:
    period = parse_period("Saturday before 1 January to 31 March")
    assert period.span(2027) == (date(2026, 12, 26), date(2027, 3, 31))
    assert period.contains(date(2026, 12, 26))
    assert not period.contains(date(2026, 12, 25))


def test_leap_day_in_a_year_without_one() -> None:
    rule = parse_date_rule("29 February")
    assert rule.on(2028) == date(2028, 2, 29)
    with pytest.raises(MissingDayError, match='2027 has no "29 February": write "last day of February"'):
        rule.on(2027)


def test_a_period_that_hangs_on_a_missing_day_says_so() -> None:
    period = parse_period("fifth Monday of February to 1 June")
    assert period.contains(date(2016, 2, 29))
    with pytest.raises(MissingDayError, match="2027"):
        period.contains(date(2027, 4, 1))


def test_a_period_over_the_new_year_hangs_on_the_year_it_ends_in() -> None:
    period = parse_period("1 December to 29 February")
    assert period.contains(date(2028, 2, 29))
    with pytest.raises(MissingDayError, match="2027"):
        period.contains(date(2027, 1, 10))


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("Fryday before 1 May", 'did you mean "Friday"'),
        ("first Monday of Juni", 'did you mean "June"'),
        ("15 Dec", 'did you mean "December"'),
        ("frist Monday of June", 'did you mean "first"'),
        ("May 15", 'the day comes first, "15 May"'),
        ("15 May 2027", "leave the year out"),
        ("31 June", "only 1 to 30"),
        ("0 June", "only 1 to 30"),
        ("summer", '"second Monday of June"'),
        ("", "is not a day of the year"),
        ("last Monday May", '"second Monday of June"'),
        ("Saturday before", '"second Monday of June"'),
        ("day before " * (DEEPEST + 1) + "1 May", f"at most {DEEPEST} times"),
    ],
)
def test_bad_words_are_refused_with_what_is_allowed(words: str, said: str) -> None:
    with pytest.raises(SeasonRuleError) as refused:
        parse_date_rule(words)
    assert said in str(refused.value)


@pytest.mark.parametrize("words", ["1 May", "1 May to", "1 May to 2 May to 3 May", "to 1 May", "1 May until 2 May"])
def test_a_period_needs_two_days(words: str) -> None:
    with pytest.raises(SeasonRuleError, match=r'"1 December to 31 March"|not a day of the year'):
        parse_period(words)


def test_days_that_change_order_are_no_period() -> None:
    with pytest.raises(SeasonRuleError, match="from year to year"):
        parse_period("first Monday of June to first Sunday of June")


@pytest.mark.parametrize("year", [1582, 9991])
def test_years_without_our_calendar_are_refused(year: int) -> None:
    with pytest.raises(SeasonRuleError, match="outside 1583 to 9990"):
        parse_date_rule("1 May").on(year)


@given(st.text(max_size=60))
def test_any_text_is_a_rule_or_a_clear_refusal(text: str) -> None:
    with contextlib.suppress(SeasonRuleError):
        assert abs(parse_date_rule(text).on(2028) - date(2028, 7, 1)) < timedelta(days=184 + 7 * DEEPEST)
