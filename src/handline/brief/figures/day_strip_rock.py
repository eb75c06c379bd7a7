"""The rock in the day strip: how likely it is not dry, hour by hour, and icicles where it may be iced."""

from __future__ import annotations

from itertools import groupby

from handline.brief.figures.day_strip_sheet import Sheet
from handline.brief.figures.day_strip_sky import CHANCE_WORDS_PX, HOUR_S, Choices, Range, fitting, seen
from handline.brief.figures.picture import Key, Row
from handline.brief.figures.rock_shares import (
    ICED,
    LEAST_SHARE,
    NOT_KNOWN,
    mostly_known,
    not_dry_share,
    rock_shares,
    rock_words,
)
from handline.day.plan_weather import SlabHour, WeatherPlan
from handline.quantity import show_clock, show_share

# Icicles in an hour where ice may be and where it is likelier than not.
_ICICLES, _MANY_ICICLES = 2, 4


def drawn_hours(weather: WeatherPlan) -> tuple[SlabHour, ...]:
    """The hours of which the rock is reckoned: none where it is typed."""
    return () if weather.rock_typed else weather.hours


def rock_spans(weather: WeatherPlan, clock_range_h: Range) -> list[Row]:
    """How likely the rock is not dry in every hour of which that is known."""
    rows = []
    for hour in drawn_hours(weather):
        span = seen(hour.clock_s, hour.clock_s + HOUR_S, clock_range_h)
        if span and mostly_known(hour.rock_share, weather.rocks):
            share = not_dry_share(hour.rock_share, weather.rocks)
            rows.append({"from_h": span[0], "to_h": span[1], "share": share, "says": _says(hour, weather)})
    return rows


def _says(hour: SlabHour, weather: WeatherPlan) -> str:
    return f"{show_clock(hour.clock_s)}: {rock_words(hour.rock_share, weather.rocks)}"


def icicles(weather: WeatherPlan, clock_range_h: Range) -> list[Row]:
    """Where icicles hang from the strip: the more of them, the likelier the ice."""
    rows: list[Row] = []
    for hour in drawn_hours(weather):
        iced = rock_shares(hour.rock_share, weather.rocks).get(ICED, 0.0)
        if iced >= LEAST_SHARE:
            count = _MANY_ICICLES if iced >= 0.5 else _ICICLES
            places_h = [hour.clock_s / HOUR_S + (index + 0.5) / count for index in range(count)]
            rows += [{"at_h": at_h} for at_h in places_h if clock_range_h[0] <= at_h <= clock_range_h[1]]
    return rows


def rock_strip_words(weather: WeatherPlan, sheet: Sheet) -> list[Row]:
    """The chance at even hours; words where it is not known, typed, or taken for want of anything better."""
    hours = drawn_hours(weather)
    if not hours:
        rock = weather.rock
        choices = (
            [f"{rock} all day, as typed", f"{rock}, as typed", rock]
            if weather.rock_typed
            else [f"taken as {rock}: no weather is known", f"taken as {rock}", NOT_KNOWN]
        )
        first_h, last_h = sheet.clock_range_h
        return fitting("rock", [((float(first_h), float(last_h)), choices)], sheet)
    return [*_chances(weather, sheet), *fitting("rock", _unknown_runs(weather, sheet), sheet)]


def _chances(weather: WeatherPlan, sheet: Sheet) -> list[Row]:
    """The number stands in the middle of its hour."""
    step_h = sheet.step_h(CHANCE_WORDS_PX)
    rows: list[Row] = []
    for hour in drawn_hours(weather):
        middle_h = hour.clock_s / HOUR_S + 0.5
        x_px, _ = sheet.at_px(middle_h, 0.0)
        inside = CHANCE_WORDS_PX / 2.0 <= x_px <= sheet.width_px - CHANCE_WORDS_PX / 2.0
        share = not_dry_share(hour.rock_share, weather.rocks)
        told = share >= LEAST_SHARE and mostly_known(hour.rock_share, weather.rocks)
        if inside and told and hour.clock_s / HOUR_S % step_h == 0:
            rows.append({"strip": "rock", "clock_h": middle_h, "words": f"{share:.0%}"})
    return rows


def _unknown_runs(weather: WeatherPlan, sheet: Sheet) -> Choices:
    """Hours on end of which the rock is not known."""
    runs: Choices = []
    for known, group in groupby(drawn_hours(weather), lambda hour: mostly_known(hour.rock_share, weather.rocks)):
        run = list(group)
        span = seen(run[0].clock_s, run[-1].clock_s + HOUR_S, sheet.clock_range_h)
        if span and not known:
            runs.append((span, [NOT_KNOWN, "?"]))
    return runs


def _hours_within(weather: WeatherPlan, clock_range_h: Range) -> tuple[SlabHour, ...]:
    """Those of the drawn day: the plan knows more hours, of the day after as well."""
    return tuple(
        hour for hour in drawn_hours(weather) if seen(hour.clock_s, hour.clock_s + HOUR_S, clock_range_h) is not None
    )


def rock_keys(weather: WeatherPlan, clock_range_h: Range) -> tuple[Key, ...]:
    """What the strip shows, in words: nothing where it is words itself."""
    hours = _hours_within(weather, clock_range_h)
    iced = any(rock_shares(hour.rock_share, weather.rocks).get(ICED, 0.0) >= LEAST_SHARE for hour in hours)
    wet = Key("rock", "rock on the slab not dry: the deeper, the likelier")
    ice = Key("ice", "it may be iced; close together: likelier than not")
    return (*((wet,) if hours else ()), *((ice,) if iced else ()))


def rock_sentence(weather: WeatherPlan, clock_range_h: Range) -> str:
    """The strip in words: of the hours that it shows."""
    if not drawn_hours(weather):
        return f"Rock taken as {weather.rock}{', as typed' if weather.rock_typed else ''}."
    hours = _hours_within(weather, clock_range_h)
    known = [hour for hour in hours if mostly_known(hour.rock_share, weather.rocks)]
    if not known:
        return "How the rock is by the hour is not known."
    worst = max(known, key=lambda hour: not_dry_share(hour.rock_share, weather.rocks))
    share = not_dry_share(worst.rock_share, weather.rocks)
    begins = show_clock(worst.clock_s)
    return f"The rock on the slab is least often dry from {begins}: not dry on {show_share(share)} of days."
