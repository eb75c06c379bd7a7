"""Why a date is good, in words: what sets it apart from the middle of its season."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from handline.choose.date_rock import rock_words
from handline.choose.dates_report import DateRow, WayOnDate
from handline.day.weather_findings import ICE_COUNTS_FROM
from handline.quantity import show_chance, show_clock, show_duration, show_share

# How far a date is from the middle before it is told. [practice_date_reasons]
FAR_LIGHT_S, FAR_START_S, FAR_STORM, FAR_ROCK, FAR_PERMIT = 15 * 60.0, 15 * 60.0, 0.03, 0.05, 0.02


@dataclass(frozen=True)
class SeasonMiddle:
    """The middle of all open dates of a season in one way: of each number half the dates have no more.

    ``start_clock_s`` is the middle of the latest starts that meet the limits, ``permit`` of the known chances; None
    where there is none. ``lying`` is how many dates find the cables on the rock, out of ``dates``.
    """

    dates: int
    lying: int
    light_s: float
    storm: float
    not_dry: float
    start_clock_s: float | None
    best_chance: float
    permit: float | None


def season_middle(rows: Sequence[DateRow], way: str) -> SeasonMiddle:
    """The middle of a season; at least one of its dates is open."""
    open_rows = [row for row in rows if not row.closed]
    ways = [on_date for row in open_rows for on_date in row.ways if on_date.way == way]
    starts_s = [on_date.start_clock_s for on_date in ways if on_date.window_clock_s is not None]
    permits = [on_date.permit_chance for on_date in ways if on_date.permit_chance is not None]
    return SeasonMiddle(
        dates=len(open_rows),
        lying=sum(not row.raised for row in open_rows),
        light_s=median(row.light_s for row in open_rows),
        storm=median(row.storm_chance for row in open_rows),
        not_dry=median(on_date.rock.not_dry for on_date in ways),
        start_clock_s=median(starts_s) if starts_s else None,
        best_chance=median(on_date.best_chance for on_date in ways),
        permit=median(permits) if permits else None,
    )


def date_reasons(
    row: DateRow, on_date: WayOnDate, middle: SeasonMiddle, last_tried_s: float, preferring: bool
) -> tuple[str, ...]:
    """What speaks for a date or against it, each in a sentence; the start first.

    Parameters
    ----------
    row, on_date
        The date and the way of doing it.
    middle : SeasonMiddle
        Of the same way.
    last_tried_s : float
        The last start that was looked at [s].
    preferring : bool
        Whether the party would rather have some dates than others.
    """
    apart = [
        *_line(row, middle),
        *_permit(on_date, middle),
        *_light(row, middle),
        *_storm(row, middle),
        *_rock(on_date, middle),
        *_people(row),
        *_worth(row, preferring),
    ]
    even = [] if apart else ["In line, light, storms and rock it is as the middle of the season."]
    return (_start(on_date, middle, last_tried_s), *apart, *even)


def _start(on_date: WayOnDate, middle: SeasonMiddle, last_tried_s: float) -> str:
    if on_date.window_clock_s is None:
        best = f"the surest start, {show_clock(on_date.best_clock_s)}, keeps them in {show_chance(on_date.best_chance)}"
        return f"No start meets your limits: {best} of days."
    first_s, last_s = on_date.window_clock_s
    says = (
        f"Starts from {show_clock(first_s)} to {show_clock(last_s)} meet your limits"
        if last_s > first_s
        else f"A start at {show_clock(first_s)} meets your limits, no later one"
    )
    if last_s == last_tried_s:
        return f"{says}, as late as was tried."
    if middle.start_clock_s is None or abs(last_s - middle.start_clock_s) < FAR_START_S:
        return f"{says}."
    later = "later" if last_s > middle.start_clock_s else "earlier"
    return f"{says}: the last is {show_duration(abs(last_s - middle.start_clock_s))} {later} than on the middle date."


def _line(row: DateRow, middle: SeasonMiddle) -> Iterator[str]:
    if 0 < middle.lying < middle.dates:
        standing = middle.dates - middle.lying
        state, count = ("stand", standing) if row.raised else ("lie on the rock", middle.lying)
        yield f"The cables {state}, as on {count} of {middle.dates} dates."


def _permit(on_date: WayOnDate, middle: SeasonMiddle) -> Iterator[str]:
    chance = on_date.permit_chance
    if chance is None:
        yield f"{on_date.permit_says}."
    elif middle.permit is not None and abs(chance - middle.permit) >= FAR_PERMIT:
        what = "No permit has to be got" if chance == 1.0 else f"Permits by a chance of {show_share(chance)}"
        yield f"{what}; on the middle date {show_share(middle.permit)}."


def _light(row: DateRow, middle: SeasonMiddle) -> Iterator[str]:
    more_s = row.light_s - middle.light_s
    if abs(more_s) >= FAR_LIGHT_S:
        side = "more" if more_s > 0.0 else "less"
        yield f"{show_duration(row.light_s)} of light, {show_duration(abs(more_s))} {side} than on the middle date."


def _storm(row: DateRow, middle: SeasonMiddle) -> Iterator[str]:
    if abs(row.storm_chance - middle.storm) >= FAR_STORM:
        yield f"Storms on {show_share(row.storm_chance)} of such days; on the middle date {show_share(middle.storm)}."


def _rock(on_date: WayOnDate, middle: SeasonMiddle) -> Iterator[str]:
    """The rock from the latest start; ice is told on any date."""
    rock = on_date.rock
    if rock.iced >= ICE_COUNTS_FROM or abs(rock.not_dry - middle.not_dry) >= FAR_ROCK:
        yield (
            f"Starting at {show_clock(rock.start_clock_s)} you find the rock {rock_words(rock)}; on the middle date "
            f"not dry on {show_chance(middle.not_dry)}."
        )


def _people(row: DateRow) -> Iterator[str]:
    if row.holiday:
        yield f"A public holiday, {row.holiday}: expect more people than are counted here."
    elif row.weekend:
        yield "A weekend: expect more people than are counted here."


def _worth(row: DateRow, preferring: bool) -> Iterator[str]:
    if preferring:
        preferred = row.worth == 1.0
        yield (
            "One of the days you prefer." if preferred else f"Not a day you prefer: it counts {show_share(row.worth)}."
        )
    if row.weather_says == "forecast":
        yield "Its weather is the forecast's; other dates have what is usual."
