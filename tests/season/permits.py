"""Permits made up for the tests: a line permit that is drawn, a camp permit given out first come, and others."""

from __future__ import annotations

from handline.season.permit_rules import (
    ByDraw,
    DaysAfterResult,
    DaysBefore,
    Fee,
    FirstCome,
    NeededWhen,
    OnDay,
    PermitRule,
    WalkUp,
)
from handline.season.rules import parse_date_rule, parse_period


def on(words: str, years_before: int = 0) -> OnDay:
    return OnDay(parse_date_rule(words), years_before)


SUMMER = parse_period("Friday before the last Monday of May to day after the second Monday of October")
WINTER = parse_period("1 December to 31 March")

LINE = PermitRule(
    "Line permit",
    NeededWhen(periods=(SUMMER,), states=("raised",)),
    checked_at="Lower Step",
    places_per_day=160,
    largest_party=6,
    ways=(
        ByDraw(on("1 March"), on("31 March"), on("second Monday of April"), closes_clock_s=16 * 3600.0),
        WalkUp(7 * 3600.0, DaysBefore(1), "the warden's hut"),
    ),
    fees=(Fee(10.0, "USD", "application"), Fee(10.0, "USD", "person")),
    documents=("passport", "list of names"),
    pay_by=DaysAfterResult(14),
    pick_up=DaysBefore(1),
    pick_up_at="the warden's hut",
)
CAMP = PermitRule(
    "Camp permit", NeededWhen(night_out=True), ways=(FirstCome(DaysBefore(168), opens_clock_s=7 * 3600.0),)
)
BIG = PermitRule("Group permit", NeededWhen(size_from=7), ways=(FirstCome(DaysBefore(90)),), excludes=("Line permit",))
SNOW = PermitRule(
    "Winter permit",
    NeededWhen(periods=(WINTER,), states=("lowered",), size_from=2, size_to=8),
    ways=(ByDraw(on("1 October"), on("last day of October"), on("10 November")),),
)
HELD_WITH = PermitRule("Cable key", NeededWhen(states=("lowered",)), needs=("Camp permit",), ways=(WalkUp(0.0),))
ALL = (LINE, CAMP, BIG, SNOW, HELD_WITH)
