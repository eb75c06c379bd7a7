"""The rock that a date is likely to have on tying on: in words, and how gravely it counts. It is in no chance."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from handline.choose.date_pieces import NIGHT
from handline.choose.dates_report import WAY_WORDS, BestDate, RockFrom
from handline.day.plan import LEVELS, Finding, Level
from handline.day.rock_setting import COUNTS_FROM_SHARE
from handline.day.weather_findings import ICE_COUNTS_FROM
from handline.quantity import say_clock, show_chance
from handline.season.day_words import day_words
from handline.sources import source

STOP: Level = "stop"


def rock_words(rock: RockFrom) -> str:
    """On how many days it is so: "iced on 22 %, wet or iced on 66 %, not dry on 98 % of days"."""
    parts, told = [], 0.0
    wet = "wet or iced" if rock.iced else "wet"
    for state, share in (("iced", rock.iced), (wet, rock.wet), ("not dry", rock.not_dry)):
        # Where it is as often as the worse state alone it says nothing new.
        if share > told:
            parts.append(f"{state} on {show_chance(share)}")
            told = share
    return f"{', '.join(parts) or f'not dry on {show_chance(0.0)}'} of days"


def date_level(one: BestDate) -> Level:
    """How gravely a plan would take the rock of a date: from its latest start, or the planned one where that will do.

    Another start need not be taken: ice that only it finds is acted on, and is no stop. "note" where a plan says
    nothing of it.
    """
    named = (_level(rock) for rock in _named(one))
    other: Level = "note" if _level(one.iciest_rock) == "note" else "heed"
    return min((*named, other), key=LEVELS.index)


def most_iced(one: BestDate) -> float:
    """On how many days the rock is iced, from the worse of the starts a date is judged by."""
    return max(rock.iced for rock in _named(one))


def best_rock(best: Sequence[BestDate]) -> Iterator[Finding]:
    """The rock of the first of the best dates, from the starts it is judged by, and from the one with the most ice."""
    for first in best[:1]:
        level = date_level(first)
        if level != "note":
            yield Finding(
                level,
                "rock",
                " ".join(_says(first, best[1:])),
                "No chance and no rank here counts how soles hold: it is in none of your limits.",
                source("our_rock_rules").words,
            )


def _named(one: BestDate) -> tuple[RockFrom, ...]:
    return (one.rock,) if one.planned_rock is None else (one.rock, one.planned_rock)


def _level(rock: RockFrom) -> Level:
    if rock.iced >= COUNTS_FROM_SHARE:
        return STOP
    return "heed" if rock.iced >= ICE_COUNTS_FROM or rock.not_dry >= COUNTS_FROM_SHARE else "note"


def _says(first: BestDate, others: Sequence[BestDate]) -> Iterator[str]:
    leaving = "leaving the camp" if first.way == NIGHT else "starting"
    yield (
        f"{_date(first)}, {leaving} at {say_clock(first.start_clock_s)}: on tying on the rock is "
        f"{rock_words(first.rock)}, the worse of up and down."
    )
    planned, iciest = first.planned_rock, first.iciest_rock
    if planned is not None and planned.start_clock_s != first.start_clock_s:
        yield f"From the planned start, {say_clock(planned.start_clock_s)}: {rock_words(planned)}."
    if iciest.iced > most_iced(first):
        yield f"The most ice, from {say_clock(iciest.start_clock_s)}: {rock_words(iciest)}."
    if date_level(first) == STOP:
        yield "On ice soles hold almost nothing: wait until it is gone, or go another day."
        yield from _another(others)


def _another(others: Sequence[BestDate]) -> Iterator[str]:
    """Where else to look: the next of the best dates on which ice is no reason to stop."""
    free = next((one for one in others if date_level(one) != STOP), None)
    if free is not None:
        yield f"The next of the best dates on which ice is no reason to stop: {_date(free)}."
    elif others:
        yield "On each of the other best dates ice is a reason to stop too."


def _date(one: BestDate) -> str:
    return f"{day_words(dt.date.fromisoformat(one.date))} {WAY_WORDS[one.way]}"
