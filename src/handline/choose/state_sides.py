"""Raised and lowered told side by side, for one way and one tether: what speaks for which, by the numbers."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from handline.choose.options_report import Option, StateSide
from handline.choose.options_words import leave_words, pair_told, permit_words
from handline.choose.way_settings import WaySetting
from handline.choose.what_counts import WHAT_COUNTS
from handline.day.crowd_setting import people_of
from handline.day.crowd_waits import FROM_CROWD
from handline.day.hands import hands_fail_on
from handline.line.friction import ROCKS
from handline.line.geometry import LOWERED, RAISED, UP, rest_places_m
from handline.line.grip import WEAKER
from handline.quantity import (
    Units,
    show_chance,
    show_duration,
    show_force,
    show_length,
    show_pull,
    show_share,
    show_temperature,
)
from handline.route.counted import counted
from handline.season.day_words import day_words

# Nearer to the foot than this is told as the foot.
AT_THE_FOOT_M = 0.1
# Smallest differences that matter beside those of ``WHAT_COUNTS``. [practice_options]
WAIT_S, ON_LINE_S, PULL_N, LASTS_M, FELT_C, ROCK_SHARE, CHANGEOVERS = 300.0, 300.0, 20.0, 5.0, 3.0, 0.05, 3.0
# Starts farther apart than this find another rock and another air: these are then the hour's, and not the state's.
# [practice_options]
OTHER_HOUR_S = 3600.0


@dataclass(frozen=True, eq=False)
class Side:
    """One state of the line: its option, and the way it was set up with."""

    option: Option
    way: WaySetting


def state_sides(raised: Side, lowered: Side, units: Units) -> tuple[StateSide, ...]:
    """Everything that tells raised from lowered, with the numbers of both, whichever it speaks for.

    What comes from the hour of the start as well speaks for neither where the two starts are far apart.
    """
    return tuple(_sides(raised, lowered, units))


def starts_say(raised: Option, lowered: Option) -> str:
    """With which start each state is told, and where they are far apart what comes from the hour too."""
    says = f"Raised: {leave_words(raised)}; lowered: {leave_words(lowered)}."
    if not _other_hour(raised, lowered):
        return says
    apart = show_duration(abs(raised.start_clock_s - lowered.start_clock_s))
    says += (
        f" The two starts are {apart} apart: the rows of limits, times, rock, ice, cold and the pull on the hands come "
        "also from the other hour, and so speak for neither by themselves."
    )
    if raised.rock == lowered.rock:
        return says
    return (
        f"{says} Slips and hands are judged on {raised.rock} rock raised and on {lowered.rock} rock lowered: part of "
        "what their rows say is the rock's."
    )


def _other_hour(raised: Option, lowered: Option) -> bool:
    return abs(raised.start_clock_s - lowered.start_clock_s) > OTHER_HOUR_S


def _sides(raised: Side, lowered: Side, units: Units) -> Iterator[StateSide]:
    both, counts = (raised.option, lowered.option), WHAT_COUNTS
    of_hour: Callable[..., StateSide] = _told_by_the_hour if _other_hour(*both) else _told
    yield StateSide("On", _date(raised.option), _date(lowered.option), "")
    yield from _people(raised)
    yield of_hour("All limits kept", both, lambda o: o.chance, counts["chance"].least, _chance, more=True)
    yield of_hour(_waiting(raised), both, lambda o: o.wait_s[1], WAIT_S, _halves(lambda o: o.wait_s))
    yield of_hour("Time on it, up and down", both, lambda o: o.on_line_s[1], ON_LINE_S, _halves(lambda o: o.on_line_s))
    yield _told("Changeovers, one way", both, lambda o: float(o.changeovers), CHANGEOVERS, _changeovers)
    yield _told("Slide at worst", both, lambda o: o.slide_m[1], counts["slide"].least, _slide(units))
    yield _told("Stopping force at worst", both, counts["force"].value, counts["force"].least, _force(units))
    yield _told(
        "Slips not stopped within your limit", both, lambda o: o.not_stopped_share, counts["not_stopped"].least,
        lambda o: show_chance(o.not_stopped_share),
    )  # fmt: skip
    yield of_hour("Hardest pull on the hands", both, lambda o: o.most_pull_N, PULL_N, _pull(units))
    yield _hands(raised, lowered)
    yield of_hour("Felt at its ends, on the careful side", both, lambda o: -o.felt_C, FELT_C, _felt(units))
    yield of_hour(
        "Ice on tying on", both, lambda o: o.ice_share, ROCK_SHARE, lambda o: f"{show_chance(o.ice_share)} of days"
    )
    yield of_hour(
        "Rock not dry on tying on", both, lambda o: o.not_dry_share, ROCK_SHARE,
        lambda o: f"{show_chance(o.not_dry_share)} of days",
    )  # fmt: skip
    yield _told("Permits", both, counts["permits"].value, counts["permits"].least, permit_words, more=True)


def _people(raised: Side) -> Iterator[StateSide]:
    """How many come to the line, where that makes the waits: as many on either side, which the numbers cannot know."""
    setting = raised.way.setting
    found = people_of(setting.trip) if setting.waits_from == FROM_CROWD else None
    if found is not None:
        people, says = found
        as_many = f"{people:,} too: nothing says how many come then; it may be far fewer"
        yield StateSide("People who may come, with you", f"{people:,}, {says}", as_many, "")


def _waiting(side: Side) -> str:
    what = "Waiting before it, both ways"
    return f"{what}, if as many come" if side.way.setting.waits_from == FROM_CROWD else what


def _told(
    what: str,
    both: tuple[Option, Option],
    value: Callable[[Option], float],
    least: float,
    show: Callable[[Option], str],
    more: bool = False,
) -> StateSide:
    """One row: both sides in words, and which side the numbers speak for, where they differ enough to matter."""
    raised, lowered = both
    return StateSide(what, show(raised), show(lowered), _speaks(value(raised), value(lowered), least, more))


def _told_by_the_hour(*told: Any, **more: Any) -> StateSide:
    """A row as ``_told`` that comes from the hour of the start too, with starts far apart: it speaks for neither."""
    return replace(_told(*told, **more), speaks_for="")


def _speaks(raised: float, lowered: float, least: float, more: bool) -> str:
    """The better side; nobody's where the difference is too small to matter, or one of them is not known."""
    if math.isnan(raised) or math.isnan(lowered) or raised == lowered or abs(raised - lowered) < least - 1e-9:
        return ""
    return RAISED if (raised > lowered) == more else LOWERED


def _hands(raised: Side, lowered: Side) -> StateSide:
    """Whether hands last on the way up, by the weaker norm, and how many places there are to rest them."""
    found = []
    for side in (raised, lowered):
        setting = side.way.setting
        at_m = hands_fail_on(setting, ROCKS[side.option.rock], UP).at_m
        lasts_m = setting.line.length_m if at_m is None else at_m
        units = setting.trip.about.units
        how = "last all the way" if at_m is None else f"give out {_up(at_m, units)}"
        found.append((lasts_m, f"{how}, {counted(rest_places_m(setting.line).size, 'place')} to rest them"))
    (raised_m, raised_says), (lowered_m, lowered_says) = found
    rock_too = raised.option.rock != lowered.option.rock and _other_hour(raised.option, lowered.option)
    speaks = "" if rock_too else _speaks(raised_m, lowered_m, LASTS_M, more=True)
    return StateSide(f"Hands of a {WEAKER.title}, going up", raised_says, lowered_says, speaks)


def _up(at_m: float, units: Units) -> str:
    return "at its foot" if at_m < AT_THE_FOOT_M else f"{show_length(at_m, units)} up"


def _date(option: Option) -> str:
    day = day_words(dt.date.fromisoformat(option.date))
    return f"{day}, as it is that day" if option.state_on_date else f"{day}, only to compare: that day it is not so"


def _chance(option: Option) -> str:
    return f"{show_chance(option.chance)} of days"


def _halves(pair: Callable[[Option], tuple[float, float]]) -> Callable[[Option], str]:
    return lambda option: pair_told(pair(option), show_duration)


def _changeovers(option: Option) -> str:
    untied = f", untied for {option.untied_s:.0f} s in all" if option.untied_s > 0.0 else ""
    return f"{option.changeovers}{untied}"


def _slide(units: Units) -> Callable[[Option], str]:
    return lambda option: show_length(option.slide_m[1], units)


def _force(units: Units) -> Callable[[Option], str]:
    def show(option: Option) -> str:
        if option.slide_m[1] == 0.0:
            return "no slide to stop"
        return show_force(option.force_N[1], units) if math.isfinite(option.force_N[1]) else "nothing stops it"

    return show


def _pull(units: Units) -> Callable[[Option], str]:
    return lambda option: f"{show_pull(option.most_pull_N, units)}, {show_share(option.most_pull_share)} of body weight"


def _felt(units: Units) -> Callable[[Option], str]:
    return lambda option: show_temperature(option.felt_C, units) if math.isfinite(option.felt_C) else "not known"
