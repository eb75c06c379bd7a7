"""Days of the year in words ("Saturday before the second Monday of June") and periods between two of them.

Grammar, whatever the case of the letters; "the" may stand before any part:

    rule   = "15 May"
           | (first | second | third | fourth | fifth | last) WEEKDAY of MONTH      also 1st, 2nd, 3rd, 4th, 5th
           | last day of MONTH
           | WEEKDAY (before | after) rule          strictly before or after
           | day (before | after) rule
    period = rule "to" rule                         both days belong to it; it may run over the end of the year
"""

from __future__ import annotations

import calendar
import re
from abc import ABC, abstractmethod
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType

from handline.errors import near_miss

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MONTHS = (
    "january", "february", "march", "april", "may", "june",
    "july", "august", "september", "october", "november", "december",
)  # fmt: skip
ORDINALS: Mapping[str, int] = MappingProxyType(
    {
        "first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "last": -1,
        "1st": 1, "2nd": 2, "3rd": 3, "4th": 4, "5th": 5,
    }
)  # fmt: skip
SIDES: Mapping[str, int] = MappingProxyType({"before": -1, "after": 1})
DEEPEST = 4
"""How many "before" and "after" may follow each other: so no rule moves more than four weeks from its own year."""
YEARS = (1583, 9990)
"""First full year of the Gregorian calendar; and a little room below the last year Python can count."""
_ALL_CALENDARS = range(2000, 2028)
"""28 years that hold each of the 14 possible calendars, leap or not, from each weekday."""

ALLOWED = (
    '"15 May"; "second Monday of June" (first to fifth, or last); "last day of February"; '
    '"Saturday before ..." or "after ..." another of these; "day before ..." or "day after ..."'
)


class SeasonRuleError(ValueError):
    """Words that are not a day or a period, or a day that a year does not have. The message says what is allowed."""


class MissingDayError(SeasonRuleError):
    """The words are right, but that year has no such day."""


@dataclass(frozen=True)
class DateRule(ABC):
    """A day of the year, in words."""

    words: str

    def on(self, year: int) -> date:
        """The day this rule means for a year; "Saturday before 1 January" may lie in the year before.

        Raises
        ------
        MissingDayError
            That year has no such day (a fifth Monday, 29 February).
        SeasonRuleError
            The year is outside ``YEARS``.
        """
        if not YEARS[0] <= year <= YEARS[1]:
            raise SeasonRuleError(f"the year {year} is outside {YEARS[0]} to {YEARS[1]}")
        return self._day(year)

    @abstractmethod
    def _day(self, year: int) -> date: ...


@dataclass(frozen=True)
class FixedDay(DateRule):
    """ "15 May"."""

    day: int
    month: int

    def _day(self, year: int) -> date:
        if self.day > calendar.monthrange(year, self.month)[1]:
            raise MissingDayError(f'{year} has no "{self.words}": write "last day of {MONTHS[self.month - 1].title()}"')
        return date(year, self.month, self.day)


@dataclass(frozen=True)
class LastDay(DateRule):
    """ "last day of February"."""

    month: int

    def _day(self, year: int) -> date:
        return date(year, self.month, calendar.monthrange(year, self.month)[1])


@dataclass(frozen=True)
class NthWeekday(DateRule):
    """ "second Monday of June"; ``nth`` is -1 for the last."""

    nth: int
    weekday: int
    month: int

    def _day(self, year: int) -> date:
        first = date(year, self.month, 1)
        days = calendar.monthrange(year, self.month)[1]
        firsts = 1 + (self.weekday - first.weekday()) % 7
        day = firsts + 7 * ((days - firsts) // 7 if self.nth == -1 else self.nth - 1)
        if day > days:
            raise MissingDayError(
                f'{year} has no "{self.words}": {MONTHS[self.month - 1].title()} has only four of them that year; '
                'write "last" for the last one'
            )
        return first.replace(day=day)


@dataclass(frozen=True)
class WeekdayBeside(DateRule):
    """ "Saturday before" another rule (``side`` -1), or after it (1), never that day itself."""

    weekday: int
    side: int
    other: DateRule

    def _day(self, year: int) -> date:
        other = self.other.on(year)
        gap_days = (self.side * (self.weekday - other.weekday()) - 1) % 7 + 1
        return other + timedelta(days=self.side * gap_days)


@dataclass(frozen=True)
class DayBeside(DateRule):
    """ "day after" another rule (``side`` 1), or before it (-1)."""

    side: int
    other: DateRule

    def _day(self, year: int) -> date:
        return self.other.on(year) + timedelta(days=self.side)


@dataclass(frozen=True)
class Period:
    """From one day of the year to another, both included; over the end of the year where ``over_new_year``."""

    words: str
    first: DateRule
    last: DateRule
    over_new_year: bool

    def span(self, year: int) -> tuple[date, date]:
        """The first and the last day of the period that begins in a year. Raises as ``DateRule.on``."""
        return self.first.on(year), self.last.on(year + self.over_new_year)

    def contains(self, day: date) -> bool:
        """Whether a day lies in the period.

        Raises
        ------
        MissingDayError
            The answer hangs on a day that the year does not have.
        """
        missing: MissingDayError | None = None
        # A rule may reach four weeks into the next or the last year, and a period may run on for a year.
        for year in range(day.year - 2, day.year + 2):
            try:
                first, last = self.span(year)
            except MissingDayError as error:
                if year in (day.year, day.year - self.over_new_year):
                    missing = error
                continue
            if first <= day <= last:
                return True
        if missing is not None:
            raise missing
        return False


def parse_date_rule(text: str) -> DateRule:
    """A day of the year from its words. Raises SeasonRuleError."""
    return _rule(text, [word for word in text.split() if word.lower() != "the"], depth=0)


def parse_period(text: str) -> Period:
    """A period from its words, "1 December to 31 March". Raises SeasonRuleError.

    Two days that follow each other one way in some years and the other way in others are refused: in such a pair
    nobody can say whether a few days or nearly the whole year is meant.
    """
    halves = re.split(r"\s+to\s+", text.strip(), flags=re.IGNORECASE)
    if len(halves) != 2:
        raise SeasonRuleError(f'"{text}" is not a period: write two days with "to" between, "1 December to 31 March"')
    first, last = parse_date_rule(halves[0]), parse_date_rule(halves[1])
    turned = {year_turned for year in _ALL_CALENDARS if (year_turned := _turned(first, last, year)) is not None}
    if len(turned) != 1:
        raise SeasonRuleError(
            f'"{text}": which of the two days comes first changes from year to year; '
            "write two days that always come in the same order"
        )
    return Period(words=text, first=first, last=last, over_new_year=turned.pop())


def _turned(first: DateRule, last: DateRule, year: int) -> bool | None:
    try:
        return last.on(year) < first.on(year)
    except MissingDayError:
        return None


def _rule(text: str, words: list[str], depth: int) -> DateRule:
    shown = " ".join(words)
    match [word.lower() for word in words]:
        case [day, month] if day.isascii() and day.isdecimal():
            return _fixed_day(text, shown, int(day[:4]), month)
        case ["last", "day", "of", month]:
            return LastDay(shown, _month(text, month))
        case [nth, weekday, "of", month] if nth in ORDINALS:
            return NthWeekday(shown, ORDINALS[nth], _weekday(text, weekday), _month(text, month))
        case [_, side, *rest] if side in SIDES and rest and depth == DEEPEST:
            raise SeasonRuleError(f'"{text}" is too long: at most {DEEPEST} times "before" or "after"')
        case ["day", side, *rest] if side in SIDES and rest:
            return DayBeside(shown, SIDES[side], _rule(text, words[2:], depth + 1))
        case [weekday, side, *rest] if side in SIDES and rest:
            return WeekdayBeside(shown, _weekday(text, weekday), SIDES[side], _rule(text, words[2:], depth + 1))
        case lowered:
            raise SeasonRuleError(f'"{text}" is not a day of the year: {_advice(lowered)}write {ALLOWED}')


def _fixed_day(text: str, shown: str, day: int, month_word: str) -> FixedDay:
    month = _month(text, month_word)
    longest = calendar.monthrange(2000, month)[1]  # a leap year
    if not 1 <= day <= longest:
        raise SeasonRuleError(f'"{text}": {MONTHS[month - 1].title()} has no day {day}, only 1 to {longest}')
    return FixedDay(shown, day, month)


def _month(text: str, word: str) -> int:
    return _place(text, word, "month", MONTHS) + 1


def _weekday(text: str, word: str) -> int:
    return _place(text, word, "weekday", WEEKDAYS)


def _place(text: str, word: str, what: str, names: tuple[str, ...]) -> int:
    if word in names:
        return names.index(word)
    guess = _guess(word, names)
    hint = f' (did you mean "{guess.title()}"?)' if guess else ""
    raise SeasonRuleError(f'"{text}": "{word}" is not a {what}{hint}; allowed are {", ".join(names).title()}')


def _advice(lowered: list[str]) -> str:
    """What the writer probably meant, for words that fit no form at all."""
    match lowered:
        case [month, day, *_] if month in MONTHS and day.isdecimal() and len(day) <= 2:
            return f'the day comes first, "{int(day)} {month.title()}"; '
        case [_, month, year] if month in MONTHS and year.isdecimal():
            return "leave the year out, a rule is for every year; "
    known = (*WEEKDAYS, *MONTHS, *ORDINALS, *SIDES, "day", "of")
    for word in lowered:
        if word not in known and not word.isdecimal() and (guess := _guess(word, known)):
            return f'for "{word}", did you mean "{guess}"? '
    return ""


def _guess(word: str, names: tuple[str, ...]) -> str | None:
    """The near miss, or the only name that begins so ("Dec")."""
    begun = [name for name in names if len(word) > 2 and name.startswith(word)]
    return begun[0] if len(begun) == 1 else near_miss(word, names)
