"""What a season of dates asks to be acted on, and what must be known to read it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from handline.choose.date_permits import PermitsOf
from handline.choose.date_pieces import NIGHT
from handline.choose.date_rock import best_rock
from handline.choose.dates_report import WAY_WORDS, BestDate, DateRow
from handline.day.crowd_waits import FROM_CROWD
from handline.day.permit_steps import next_steps
from handline.day.plan import LEVELS, Finding
from handline.day.subjects import Setting
from handline.quantity import show_chance, show_clock, show_duration, show_error, show_share
from handline.season.day_words import day_words
from handline.season.deadlines import deadlines, standings
from handline.season.rules import SeasonRuleError
from handline.sources import source


@dataclass(frozen=True)
class Season:
    """All that the words of a season of dates are made from."""

    known: Setting
    rows: tuple[DateRow, ...]
    best: tuple[BestDate, ...]
    permits: PermitsOf
    ways: tuple[str, ...]
    start_clock_s: tuple[float, ...]
    days: int
    today: dt.date | None

    @property
    def meeting(self) -> tuple[BestDate, ...]:
        """The best dates that meet the limits."""
        return tuple(one for one in self.best if one.meets)


def _date_words(one: BestDate) -> str:
    return day_words(dt.date.fromisoformat(one.date))


def date_findings(season: Season) -> tuple[Finding, ...]:
    """Every finding, the gravest first."""
    found = [finding for rule in _RULES for finding in rule(season)]
    return tuple(sorted(found, key=lambda finding: LEVELS.index(finding.level)))


def _all_past(s: Season) -> Iterator[Finding]:
    if not s.best:
        yield Finding("stop", "all_past", "Every open date of these is past.", "Ask for other dates.")


def _none_meets(s: Season) -> Iterator[Finding]:
    if s.best and not s.meeting:
        best = s.best[0]
        wanted = show_share(s.known.limits.chance)
        yield Finding(
            "stop",
            "none_meets",
            f"No date and no start of these meets your limits as surely as you want, {wanted}.",
            f"The surest is {_date_words(best)} {WAY_WORDS[best.way]}: {show_chance(best.best_chance)} of days. Start "
            "earlier, sleep out, go with faster people or lighter packs, or change what you want.",
        )


def _none_permitted(s: Season) -> Iterator[Finding]:
    if s.meeting and all(one.permit_chance == 0.0 for one in s.meeting):
        says = s.permits[dt.date.fromisoformat(s.best[0].date), s.best[0].way].says
        yield Finding("stop", "none_permitted", "No date that meets your limits has a permit left to get.", f"{says}.")


def _rock(s: Season) -> Iterator[Finding]:
    yield from best_rock(s.best)


def _not_judged(s: Season) -> Iterator[Finding]:
    """What no date is judged by, whatever else is said of it."""
    yield Finding(
        "heed",
        "not_judged",
        "This season's grid judges time, storms and permits, and neither the tether nor the rock's hold: plan the date "
        "before you go.",
        "Type the date and its start into the trip file: handline plan looks at slips, hands and rock too.",
    )


def _permit_unknown(s: Season) -> Iterator[Finding]:
    ways = [on_date for row in s.rows if not row.past for on_date in row.ways]
    unknown = dict.fromkeys(name for on_date in ways for name in on_date.permits_unknown)
    if unknown:
        some = "" if all(on_date.permits_unknown for on_date in ways) else ", after all that do not"
        yield Finding(
            "heed",
            "permit_unknown",
            f"How likely a permit is, nothing says: {', '.join(unknown)}.",
            f"Dates and ways that need it are ranked as if you had it{some}. Type chance, rates or applicants of the "
            "way to get it.",
        )


def _weather_usual(s: Season) -> Iterator[Finding]:
    rows = {row.date: row for row in s.rows}
    says = [rows[one.date].weather_says for one in s.best]
    some = f"{says.count('usual')} of the best" if "forecast" in says else "these"
    if "assumed" in says:
        yield Finding(
            "heed",
            "weather_assumed",
            "No weather is known of these dates: dry rock, and storms on as many days as a mountain's usual summer.",
            "Rock and storms tell no two dates apart then. Type [[weather.months]].",
        )
    elif "usual" in says:
        yield Finding(
            "heed",
            "weather_usual",
            f"The weather of {some} dates is what is usual in their months: no forecast reaches them.",
            "Plan the date again when its forecast is there.",
        )


def _lying(s: Season) -> Iterator[Finding]:
    lying = sorted((one for one in s.best if not one.raised), key=lambda one: one.date)
    if lying:
        dates = ", ".join(map(_date_words, lying))
        yield Finding(
            "note" if s.best[0].raised else "heed",
            "lying",
            f"The cables lie on the rock on {dates}.",
            "A tether then slides much farther before it acts: look at it with handline line --state lowered.",
        )


def _deadlines(s: Season) -> Iterator[Finding]:
    """Of the best dates: what can no longer be done, and for the first of them what is next."""
    if s.today is None:
        return
    told: set[str] = set()
    for one in s.best:
        date = dt.date.fromisoformat(one.date)
        for rule in s.permits[date, one.way].to_get:
            try:
                missed = [each for each in standings(deadlines([rule], date), s.today) if each.missed]
            except SeasonRuleError:
                continue
            if missed and rule.name not in told:
                told.add(rule.name)
                last = missed[-1]
                yield Finding(
                    "heed",
                    f"deadline_past:{rule.name}",
                    f"Past for {day_words(date)}, {last.words}: {last.deadline.words}",
                    "If you did it in time, all is well; else another way or another date is left.",
                )


def _next_steps(s: Season) -> Iterator[Finding]:
    for one in s.best[:1]:
        date = dt.date.fromisoformat(one.date)
        for rule in s.permits[date, one.way].to_get:
            try:
                steps = next_steps(rule, date, False, s.today)
            except SeasonRuleError:
                continue
            if steps:
                yield Finding("note", f"next:{rule.name}", f"{rule.name} for {day_words(date)}: {' '.join(steps)}")


def _busy(s: Season) -> Iterator[Finding]:
    rows = {row.date: row for row in s.rows}
    if any(rows[one.date].weekend or rows[one.date].holiday for one in s.best):
        yield Finding(
            "note",
            "many_people",
            "Some of the best dates are on weekends or public holidays: expect more people than are counted here.",
            source=source("practice_busy_days").words,
        )


_RULES = (
    _all_past, _none_meets, _none_permitted, _rock, _not_judged, _permit_unknown, _weather_usual, _lying, _deadlines,
    _next_steps, _busy,
)  # fmt: skip


def date_notes(s: Season) -> tuple[str, ...]:
    """What must be known to read the chances and the ranks."""
    about, limits = s.known.trip.about, s.known.limits
    error = show_error(float(np.sqrt(limits.chance * (1.0 - limits.chance) / s.days)))
    first, last = show_clock(s.start_clock_s[0]), show_clock(s.start_clock_s[-1])
    step = f"every {show_duration(s.start_clock_s[1] - s.start_clock_s[0])} " if len(s.start_clock_s) > 1 else ""
    notes = [
        f"Every date and start is walked through the same {s.days:,} days (seed {about.seed}): two of them differ by "
        f"themselves and not by chance. At {show_share(limits.chance)} a chance is sure to within {error} points, one "
        "standard error.",
        f"Starts are tried {step}from {first} to {last}. Each counts from itself, as if no storm had begun by then; "
        "sleep is not in it.",
        "Ranked by the chance of all permits that are still to be got, times that of keeping all limits from the "
        "surest start, times what the date is worth to you. Of dates alike in two digits those come first whose latest "
        "start is later beside what is usual in their way.",
        "Whatever their chance, dates that do not meet your limits come after all that do; then those that need a "
        "permit nobody can get any more; then those on which the cables lie after all on which they stand, as a slip "
        "goes farther then; then those with a permit of unknown chance after all others.",
    ]
    if NIGHT in s.ways:
        notes.append(
            "After a night out the start is from the camp, or from coming there where the party is late; to be there "
            "before dark the evening before is one of the limits, where it is one of yours."
        )
    crowd = "those of the same crowd on every date" if s.known.waits_from == FROM_CROWD else "the same on every date"
    notes.append(f"Waits before the line are {crowd}: weekends and holidays are no fuller in them.")
    if any(permit.held for permit in s.known.trip.permits):
        notes.append(f"A permit that is held is held for {day_words(about.date)}, and to be got for any other date.")
    if s.known.trip.choice.prefer:
        worth = show_share(s.known.trip.choice.others_worth)
        notes.append(f"You prefer {', '.join(s.known.trip.choice.prefer)}; other dates count {worth}.")
    if not limits.any:
        notes.append("No limit was set, so every start keeps them: only permits and your own preferences rank dates.")
    return tuple(notes)
