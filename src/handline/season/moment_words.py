"""Moments of a permit in words: "1 March", "168 days before", "14 days after the result".

Grammar, whatever the case of the letters; "the" may stand before any part:

    moment = rule                                      a day of the year, as season.rules reads it
           | rule "of the year before"                 the same, a year before the permit's own
           | COUNT (days | weeks) "before"             counted back from the day on the mountain
           | "day before" | "on the day"
    later  = moment | COUNT (days | weeks) "after the result"
"""

from __future__ import annotations

import re

from handline.season.permit_rules import DaysAfterResult, DaysBefore, Later, OnDay, When
from handline.season.rules import SeasonRuleError, parse_date_rule

ALLOWED = (
    'a day of the year such as "1 March" or "second Monday of April", with "of the year before" behind it where that '
    'is meant; or "168 days before", "24 weeks before", "the day before", "on the day"'
)
ALLOWED_LATER = f'{ALLOWED}; or "14 days after the result"'

_DAYS_IN = {"day": 1, "days": 1, "week": 7, "weeks": 7}
_COUNTED = re.compile(r"(?P<count>\d{1,3}) (?P<unit>days?|weeks?) (?P<side>before|after (?:result|draw))")
_YEAR_BEFORE = re.compile(r"(?P<rule>.+) of year before", re.IGNORECASE)


def parse_moment(text: str) -> When:
    """When applications open or close, or a result is told. Raises SeasonRuleError."""
    found = parse_later(text)
    if isinstance(found, DaysAfterResult):
        raise SeasonRuleError(f'"{text}": only paying and picking up are counted from the result; write {ALLOWED}')
    return found


def parse_later(text: str) -> Later:
    """By when a permit is paid or picked up. Raises SeasonRuleError."""
    words = " ".join(word for word in text.split() if word.lower() != "the")
    lowered = words.lower()
    if lowered in ("on day", "same day"):
        return DaysBefore(0)
    if lowered == "day before":
        return DaysBefore(1)
    if counted := _COUNTED.fullmatch(lowered):
        days = int(counted["count"]) * _DAYS_IN[counted["unit"]]
        return DaysBefore(days) if counted["side"] == "before" else DaysAfterResult(days)
    if re.match(r"\d+ (days?|weeks?)\b", lowered):
        raise SeasonRuleError(f'"{text}" is not counted from a day that is known here: write {ALLOWED_LATER}')
    year_before = _YEAR_BEFORE.fullmatch(words)
    rule = parse_date_rule(year_before["rule"] if year_before else text)
    return OnDay(rule, 1 if year_before else 0)
