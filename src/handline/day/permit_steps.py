"""What to do next for a permit, way by way, and which ways are over: as seen from a day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from handline.day.permit_words import at_words, days_words
from handline.season.day_words import day_words
from handline.season.permit_rules import ByDraw, FirstCome, PermitRule, WalkUp, Way, moment, result_day, season_year


def next_steps(rule: PermitRule, day: date, held: bool, today: date | None) -> tuple[str, ...]:
    """What to do now, and failing that then: a sentence for each way that is left, in their order.

    Parameters
    ----------
    rule : PermitRule
        A permit that the day needs.
    day : date
        The day on the line.
    held : bool
        The party has it: then only picking it up may be left.
    today : date, optional
        The day it is; without it every way is told from its beginning.
    """
    if held:
        return tuple(_pick_up(rule, day, today))
    steps = [step for way in rule.ways if (step := _step(way, rule, day, today))]
    return tuple(f"{_capital(step) if not i else f'Failing that, {step}'}." for i, step in enumerate(steps))


def is_told(way: Way, rule: PermitRule, day: date, today: date | None) -> bool:
    """Whether a way's chance is behind, as seen from a day: its draw was told, or it is over."""
    if isinstance(way, ByDraw):
        return today is not None and today > moment(way.result, day, season_year(rule, day))
    return is_over(way, rule, day, today)


def is_over(way: Way, rule: PermitRule, day: date, today: date | None) -> bool:
    """Whether nobody can get the permit this way any more, as seen from a day; without one nothing is over.

    A draw is over once it was told and the last day to pay is past: who was drawn has it by then.
    """
    if today is None:
        return False
    match way:
        case ByDraw():
            return today > max(_told(way, rule, day), _pay_by(rule, day) or date.min)
        case FirstCome():
            return today > day
        case WalkUp(given_out=given_out):
            return today > moment(given_out, day, season_year(rule, day))


def _step(way: Way, rule: PermitRule, day: date, today: date | None) -> str:
    """What to do to get a permit one way, nothing where it is over."""
    if is_over(way, rule, day, today):
        return ""
    year = season_year(rule, day)
    match way:
        case ByDraw():
            return _draw_step(way, rule, day, today)
        case FirstCome(opens=opens, opens_clock_s=clock_s):
            opening = moment(opens, day, year)
            if today is not None and today > opening:
                return f"ask for it now, it has been open since {day_words(opening)}"
            return f"ask for it from {_when(opening, clock_s, today)}"
        case WalkUp(clock_s=clock_s, given_out=given_out, where=where):
            place = f" at {where}" if where else ""
            return f"stand in line{place} on {_when(moment(given_out, day, year), clock_s, today)}"


def _draw_step(way: ByDraw, rule: PermitRule, day: date, today: date | None) -> str:
    year = season_year(rule, day)
    opens, closes, told = (moment(when, day, year) for when in (way.opens, way.closes, way.result))
    if today is None or today < opens:
        return f"apply from {_when(opens, way.opens_clock_s, today)} to {at_words(closes, way.closes_clock_s)}"
    if today <= closes:
        return f"apply by {_when(closes, way.closes_clock_s, today)}"
    if today <= told:
        return f"if you applied, look the draw up on {_when(told, None, today)}"
    return f"if you were drawn, pay by {_when(_pay_by(rule, day) or told, None, today)}"


def _pick_up(rule: PermitRule, day: date, today: date | None) -> Iterator[str]:
    if rule.pick_up is not None:
        last = moment(rule.pick_up, day, season_year(rule, day), result_day(rule, day))
        if today is None or today <= last:
            place = f" at {rule.pick_up_at}" if rule.pick_up_at else ""
            yield f"Pick it up{place} by {_when(last, None, today)}."


def _told(way: ByDraw, rule: PermitRule, day: date) -> date:
    return moment(way.result, day, season_year(rule, day))


def _pay_by(rule: PermitRule, day: date) -> date | None:
    if rule.pay_by is None:
        return None
    return moment(rule.pay_by, day, season_year(rule, day), result_day(rule, day))


def _when(day: date, clock_s: float | None, today: date | None) -> str:
    words = at_words(day, clock_s)
    return words if today is None else f"{words} ({days_words((day - today).days)})"


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
