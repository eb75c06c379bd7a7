"""Days somebody would rather have, in words: a day of the week, or a part of the year."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from handline.errors import near_miss
from handline.season.rules import WEEKDAYS, Period, SeasonRuleError, parse_period


@dataclass(frozen=True)
class Preference:
    """A day of the week, 0 for Monday, or a part of the year: one of the two is None."""

    words: str
    weekday: int | None
    period: Period | None

    def holds(self, day: date) -> bool:
        """Whether a day is one of them. Raises MissingDayError where that hangs on a day the year does not have."""
        return day.weekday() == self.weekday if self.period is None else self.period.contains(day)


def parse_preference(text: str) -> Preference:
    """A preference from its words, "Saturday" or "1 July to 20 August", whatever the case of the letters.

    Raises
    ------
    SeasonRuleError
        Neither a day of the week nor a period; with the near miss.
    """
    words = text.strip()
    if words.lower() in WEEKDAYS:
        return Preference(words, WEEKDAYS.index(words.lower()), None)
    if len(words.split()) > 1:
        return Preference(words, None, parse_period(words))
    guess = near_miss(words.lower(), list(WEEKDAYS))
    hint = f'did you mean "{guess.title()}"? ' if guess else ""
    raise SeasonRuleError(
        f'"{words}" is not a day of the week: {hint}write one of {", ".join(WEEKDAYS).title()}, or a part of the year '
        'such as "1 July to 20 August"'
    )
