"""Several periods: apart or over each other, against counting every day."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from handline.season.rules import MONTHS, parse_period
from handline.season.several_periods import overlaps

YEARS = range(2026, 2030)
FIXED = st.tuples(st.integers(1, 28), st.sampled_from(MONTHS)).map(lambda d: f"{d[0]} {d[1]}")
PERIODS = st.tuples(FIXED, FIXED).map(" to ".join)


def test_periods_that_lie_apart() -> None:
    texts = ("1 May to 30 June", "1 July to last day of September", "1 December to 31 March")
    assert overlaps([parse_period(text) for text in texts], YEARS) == ()


def test_periods_over_each_other_are_named_with_their_days() -> None:
    texts = ("1 May to 30 June", "15 June to 31 July", "31 July to 2 August")
    first, second = (found.words for found in overlaps([parse_period(text) for text in texts], YEARS))
    assert first.startswith(
        '"1 May to 30 June" and "15 June to 31 July" lie over each other (15 June 2026 to 30 June 2026'
    )
    assert "(31 July 2026 belongs to both)" in second
    assert "let one end before the other begins" in second


def test_over_the_end_of_the_year() -> None:
    (found,) = overlaps([parse_period("1 December to 31 March"), parse_period("15 March to 1 May")], range(2026, 2027))
    assert (found.first, found.last) == (date(2027, 3, 15), date(2027, 3, 31))
    (turned,) = overlaps([parse_period("15 March to 1 May"), parse_period("1 December to 31 March")], range(2026, 2027))
    assert (turned.first, turned.last) == (date(2026, 3, 15), date(2026, 3, 31))


def test_no_years_no_overlap() -> None:
    assert overlaps([parse_period("1 May to 2 May"), parse_period("1 May to 2 May")], range(2026, 2026)) == ()


@given(PERIODS, PERIODS)
@settings(max_examples=60, deadline=None)
def test_against_counting_every_day(one: str, other: str) -> None:
    periods = [parse_period(one), parse_period(other)]
    days = (date(2027, 1, 1) + timedelta(days=count) for count in range(365))
    common = any(all(period.contains(day) for period in periods) for day in days)
    assert bool(overlaps(periods, YEARS)) is common
