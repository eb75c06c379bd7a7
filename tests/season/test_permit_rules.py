"""Which permits a day needs and what contradicts, on permits made up for it and on every small combination."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.season.permit_contradictions import (
    day_contradictions,
    party_contradictions,
    rule_contradictions,
    time_contradictions,
)
from handline.season.permit_rules import (
    ByDraw,
    DaysAfterResult,
    DaysBefore,
    Fee,
    FirstCome,
    LineState,
    NeededWhen,
    PermitRule,
    WalkUp,
    moment,
    needed,
    result_day,
    season_year,
)
from handline.season.rules import MissingDayError, parse_period
from tests.season.permits import ALL, BIG, CAMP, HELD_WITH, LINE, SNOW, SUMMER, WINTER, on

JULY = date(2026, 7, 17)
JANUARY = date(2027, 1, 10)


def names(*asked: object) -> list[str]:
    return [permit.name for permit in needed(ALL, *asked)]  # type: ignore[arg-type]


def said(permits: tuple[PermitRule, ...], day: date = JULY, size: int = 3, state: LineState = "raised") -> list[str]:
    return [found.words for found in day_contradictions(permits, day, state, False, size)]


def test_what_a_day_needs() -> None:
    assert names(JULY, "raised", False, 3) == ["Line permit"]
    assert names(JULY, "raised", True, 3) == ["Line permit", "Camp permit"]
    assert names(JULY, "raised", False, 7) == ["Line permit", "Group permit"]
    assert names(JULY, "raised", False, 6) == ["Line permit"]
    assert names(date(2026, 5, 21), "raised", False, 3) == []
    assert names(date(2026, 5, 22), "raised", False, 3) == ["Line permit"]
    assert names(date(2026, 10, 13), "raised", False, 3) == ["Line permit"]
    assert names(date(2026, 10, 14), "raised", False, 3) == []


def test_a_permit_brings_those_it_is_only_given_with() -> None:
    assert names(JANUARY, "lowered", False, 2) == ["Camp permit", "Winter permit", "Cable key"]
    assert names(JANUARY, "lowered", False, 1) == ["Camp permit", "Cable key"]
    assert names(JANUARY, "lowered", False, 9) == ["Camp permit", "Group permit", "Cable key"]
    ring = (replace(CAMP, needs=("Cable key",)), HELD_WITH)
    assert len(needed(ring, JANUARY, "lowered", False, 1)) == 2


PARTS = st.tuples(
    st.sampled_from([(), (SUMMER,), (WINTER,), (SUMMER, WINTER)]),
    st.sampled_from([(), ("raised",), ("lowered",), get_args(LineState)]),
    st.sampled_from([None, True, False]),
    st.integers(1, 4),
    st.one_of(st.none(), st.integers(1, 6)),
)


@given(PARTS, st.dates(date(2026, 1, 1), date(2028, 12, 31)), st.sampled_from(get_args(LineState)), st.booleans(),
       st.integers(1, 8))  # fmt: skip
@settings(deadline=None)
def test_every_part_must_hold(parts: tuple, day: date, state: LineState, night: bool, size: int) -> None:  # type: ignore[type-arg]
    periods, states, nights, at_least, at_most = parts
    reasons_against = [
        bool(periods) and not any(period.contains(day) for period in periods),
        bool(states) and state not in states,
        nights is not None and nights != night,
        size < at_least,
        at_most is not None and size > at_most,
    ]
    permit = PermitRule("One", NeededWhen(periods, states, nights, at_least, at_most))
    assert bool(needed([permit], day, state, night, size)) is not any(reasons_against)


def test_nobody_needs_nothing() -> None:
    with pytest.raises(ValueError, match="at least one person"):
        needed(ALL, JULY, "raised", False, 0)


def test_a_period_that_hangs_on_a_missing_day_is_not_guessed() -> None:
    hangs = PermitRule("One", NeededWhen(periods=(parse_period("29 February to 1 June"),)))
    assert needed([hangs], date(2028, 3, 1), "raised", False, 1) == (hangs,)
    with pytest.raises(MissingDayError, match="2027"):
        needed([hangs], date(2027, 3, 1), "raised", False, 1)
    ends_so = PermitRule("One", NeededWhen(periods=(parse_period("1 December to 29 February"),)))
    with pytest.raises(MissingDayError, match="2027"):
        needed([ends_so], date(2027, 1, 10), "raised", False, 1)
    other = replace(hangs, when=NeededWhen(periods=(*hangs.when.periods, SUMMER)))
    assert needed([other], date(2027, 6, 15), "raised", False, 1) == (other,)


def test_moments_count_from_the_year_the_period_begins_in() -> None:
    assert season_year(SNOW, date(2026, 12, 5)) == season_year(SNOW, JANUARY) == 2026
    assert season_year(SNOW, date(2027, 3, 31)) == 2026
    assert season_year(SNOW, date(2027, 4, 1)) == 2027
    assert season_year(CAMP, JANUARY) == 2027
    assert result_day(SNOW, JANUARY) == date(2026, 11, 10)
    assert result_day(LINE, JULY) == date(2026, 4, 13)
    assert result_day(CAMP, JULY) is None


def test_each_kind_of_moment() -> None:
    assert moment(on("1 March", 1), JULY, 2026) == date(2025, 3, 1)
    assert moment(DaysBefore(168), JULY, 2026) == JULY - timedelta(days=168)
    assert moment(DaysAfterResult(14), JULY, 2026, date(2026, 4, 13)) == date(2026, 4, 27)
    with pytest.raises(ValueError, match="need a draw"):
        moment(DaysAfterResult(14), JULY, 2026)
    for kind in (DaysBefore, DaysAfterResult):
        with pytest.raises(ValueError, match="0 or more"):
            kind(-1)
    with pytest.raises(ValueError, match="fee"):
        Fee(-1.0, "USD", "person")


def test_permits_that_fit_say_nothing() -> None:
    assert rule_contradictions(ALL) == ()
    assert said(ALL) == []
    assert said(ALL, JANUARY, 2, "lowered") == []


def test_two_needed_that_exclude_each_other() -> None:
    (found,) = day_contradictions((LINE, BIG), JULY, "raised", False, 7)[1:]
    assert found.permit == "Line permit"
    assert '"Line permit" and "Group permit" are both needed on 17 July 2026' in found.words
    assert "fewer" in said((LINE, BIG), size=7)[0]
    assert said((LINE, BIG), size=6) == []


def test_everything_on_the_day_itself_is_just_in_time() -> None:
    draw = ByDraw(DaysBefore(0), DaysBefore(0), DaysBefore(0))
    assert said((replace(LINE, ways=(draw,), pay_by=DaysAfterResult(0), pick_up=DaysBefore(0)),)) == []
    assert len(said((replace(LINE, ways=(draw,), pay_by=DaysAfterResult(1), pick_up=DaysAfterResult(1)),))) == 2


def _draw(opens: str, closes: str, result: str, **clocks: float) -> tuple[PermitRule, ...]:
    return (replace(LINE, ways=(ByDraw(on(opens), on(closes), on(result), **clocks),), pay_by=None),)


@pytest.mark.parametrize(
    ("permits", "expected"),
    [
        (_draw("1 March", "1 February", "1 April"), ["ends before it begins: 1 March 2026 to 1 February 2026"]),
        (_draw("2 March", "1 March", "1 April"), ["ends before it begins: 2 March 2026 to 1 March 2026"]),
        (_draw("1 March", "1 March", "1 April", opens_clock_s=8.0, closes_clock_s=7.0), ["ends before it begins"]),
        (_draw("1 March", "1 March", "1 April", opens_clock_s=8.0), []),
        (_draw("1 March", "1 March", "1 March", opens_clock_s=8.0, closes_clock_s=8.0), []),
        (_draw("1 March", "31 March", "30 March"), ["comes before its window closes on 31 March 2026",
                                                    ]),
        (_draw("1 July", "10 July", "18 July"), ["result comes on 18 July 2026, after the day itself, 17 July 2026",
                                                 "picked up by 16 July 2026, before the result on 18 July 2026"]),
        (_draw("1 July", "10 July", "16 July"), []),
        (_draw("1 July", "18 July", "19 July"), ["window closes on 18 July", "result comes on 19 July",
                                                 "before the result"]),
        (_draw("1 March", "29 February", "1 April"), ['has no such day: 2026 has no "29 February"']),
        ((replace(BIG, when=NeededWhen(), ways=(FirstCome(on("1 August")),)),), ["opens on 1 August 2026, after"]),
        ((replace(BIG, when=NeededWhen(), ways=(FirstCome(on("17 July")),)),), []),
        ((replace(LINE, ways=(WalkUp(86400.0),), pay_by=None),), ["no time of day"]),
        ((replace(LINE, ways=(WalkUp(0.0),), pay_by=None),), []),
        ((replace(LINE, ways=()),), ["no way to get"]),
        ((replace(LINE, pay_by=DaysAfterResult(100)),), ["paid by 22 July 2026, after the day itself"]),
        ((replace(LINE, pay_by=on("1 April")),), ["paid by 1 April 2026, before the result on 13 April 2026"]),
        ((replace(LINE, pay_by=on("13 April")),), []),
        ((replace(LINE, places_per_day=2),), ["a party of 3 does not fit"]),
        ((replace(LINE, places_per_day=3, largest_party=3),), []),
    ],
)  # fmt: skip
def test_contradictions_of_a_day(permits: tuple[PermitRule, ...], expected: list[str]) -> None:
    found = said(permits)
    assert len(found) == len(expected)
    for words, part in zip(found, expected, strict=True):
        assert part in words


@pytest.mark.parametrize(
    ("permits", "expected"),
    [
        ((LINE, LINE), ["more than one permit", "more than one permit"]),
        ((replace(LINE, needs=("Camp permitt",)), CAMP), ['did you mean "Camp permit"?']),
        ((replace(LINE, excludes=("Xyz",)), CAMP), ["there are: Line permit, Camp permit"]),
        ((replace(LINE, needs=("Line permit",)),), ["needs itself"]),
        ((replace(HELD_WITH, excludes=("Camp permit",)), CAMP), ["only given with"]),
        ((HELD_WITH, replace(CAMP, excludes=("Cable key",))), ["only given with"]),
        ((PermitRule("One", NeededWhen(size_from=3, size_to=2)),), ["which is nobody"]),
        ((PermitRule("One", NeededWhen(size_from=2, size_to=2)),), []),
        ((PermitRule("One", NeededWhen(size_from=0)),), ["needed from 0 people"]),
        ((PermitRule("One", places_per_day=0, largest_party=0),), ["0 places a day", "0 people on one permit"]),
        ((replace(CAMP, pay_by=DaysAfterResult(3), pick_up=DaysAfterResult(4)),), ["is paid", "is picked up"]),
        ((replace(LINE, ways=LINE.ways[:1] * 2),), ["2 draws"]),
    ],
)  # fmt: skip
def test_contradictions_of_the_rules(permits: tuple[PermitRule, ...], expected: list[str]) -> None:
    found = [one.words for one in rule_contradictions(permits)]
    assert len(found) == len(expected)
    for words, part in zip(found, expected, strict=True):
        assert part in words


def test_what_is_wrong_says_where() -> None:
    late = replace(LINE, ways=(LINE.ways[1], ByDraw(on("1 July"), on("10 July"), on("18 July"))), pay_by=None)
    assert [found.about for found in day_contradictions((late,), JULY, "raised", False, 3)] == [
        ("ways", 1, "result"),
        ("pick_up",),
    ]
    missing = replace(LINE, ways=(ByDraw(on("1 March"), on("29 February"), on("1 April")),), pay_by=on("29 February"))
    assert [found.about for found in time_contradictions(missing, JULY)] == [("ways", 0, "closes"), ("pay_by",)]
    crowd = replace(LINE, largest_party=2, excludes=("Camp permit",))
    assert [found.about for found in party_contradictions((crowd, CAMP), JULY, 3)] == [
        ("largest_party",),
        ("excludes",),
    ]
    wrong = replace(LINE, needs=("Camp permit", "Camp permitt"), when=NeededWhen(size_from=3, size_to=2))
    assert [found.about for found in rule_contradictions((wrong, CAMP))] == [("needs", 1), ("when", "size_to")]
    twice = replace(LINE, ways=LINE.ways[:1] * 2)
    assert [found.about for found in rule_contradictions((twice,))] == [("ways", 1)]


def test_a_fee_in_words() -> None:
    assert Fee(1234.5, "USD", "party").words == "1,234.50 USD per party"
