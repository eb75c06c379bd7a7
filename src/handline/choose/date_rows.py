"""Every date of a season as a row of the report: from the arrays of its pieces, its permits and the calendar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from handline.choose.date_permits import DatePermits, PermitsOf
from handline.choose.date_pieces import CLOSED, WEATHER_FROM
from handline.choose.dates_report import DateRow, RockFrom, WayOnDate
from handline.errors import Problem, TripError
from handline.season.holidays import HolidayPlace, holiday_name, is_weekend, parse_place
from handline.season.preference import Preference, parse_preference
from handline.season.rules import WEEKDAYS, SeasonRuleError
from handline.trip.model import Trip

WEATHER_SAYS: Mapping[str, str] = MappingProxyType({"forecast": "forecast", "months": "usual", "nothing": "assumed"})
_SAYS_BY_NUMBER = {number: WEATHER_SAYS[name] for name, number in WEATHER_FROM.items()}


@dataclass(frozen=True)
class Calendar:
    """What a date is beside the mountain: whose holidays count, and what the party would rather have."""

    place: HolidayPlace | None
    preferred: tuple[Preference, ...]
    others_worth: float
    today: dt.date | None

    def holiday(self, date: dt.date) -> str:
        """The name of the public holiday that a date is, empty where it is none or nobody said whose count."""
        if self.place is None:
            return ""
        return holiday_name(date, self.place.country, self.place.subdivision) or ""

    def weekend(self, date: dt.date) -> bool:
        """Whether a date is on a weekend."""
        return is_weekend(date, *(() if self.place is None else (self.place.country, self.place.subdivision)))

    def worth(self, date: dt.date) -> float:
        """What the party gives a date, 1 at most. Raises SeasonRuleError."""
        preferred = not self.preferred or any(preference.holds(date) for preference in self.preferred)
        return 1.0 if preferred else self.others_worth


def calendar_of(trip: Trip, dates: Sequence[dt.date], today: dt.date | None) -> Calendar:
    """The calendar of a trip, good for these dates.

    Raises
    ------
    TripError
        What is preferred hangs on a day that the year of one of them does not have.
    """
    place = None if trip.season.holidays is None else parse_place(trip.season.holidays)
    preferred, problems = [], []
    for i, words in enumerate(trip.choice.prefer):
        try:
            preference = parse_preference(words)
            for date in dates:
                preference.holds(date)
            preferred.append(preference)
        except SeasonRuleError as error:
            problems.append(Problem(str(error), read=words, key=f"choice.prefer[{i}]"))
    if problems:
        raise TripError([trip.located(problem) for problem in problems])
    return Calendar(place, tuple(preferred), trip.choice.others_worth, today)


def date_rows(
    dates: Sequence[dt.date],
    ways: tuple[str, ...],
    start_clock_s: Sequence[float],
    wanted: float,
    found: Mapping[str, NDArray[Any]],
    permits: PermitsOf,
    calendar: Calendar,
) -> tuple[DateRow, ...]:
    """The rows of a season.

    Parameters
    ----------
    dates : sequence of date
    ways : tuple of str
    start_clock_s : sequence of float
        The starts of the chances [s].
    wanted : float
        The chance the party wants.
    found : mapping
        As ``do_dates`` gives it, for all dates.
    permits : mapping
        By date and way, for every date.
    calendar : Calendar
    """
    starts = np.array(start_clock_s)
    rows = []
    for at, date in enumerate(dates):
        closed = bool(found["state"][at] == CLOSED)
        rows.append(
            DateRow(
                date=date.isoformat(),
                weekday=WEEKDAYS[date.weekday()].title(),
                closed=closed,
                past=calendar.today is not None and date < calendar.today,
                holiday=calendar.holiday(date),
                weekend=calendar.weekend(date),
                raised=bool(found["raised"][at]),
                storm_chance=float(found["storm"][at]),
                light_s=float(found["light_s"][at]),
                sunrise_clock_s=float(found["sunrise_clock_s"][at]),
                weather_says="" if closed else _SAYS_BY_NUMBER[int(found["weather_from"][at])],
                worth=calendar.worth(date),
                ways=()
                if closed
                else tuple(
                    _way(name, found, (way, at), starts, wanted, permits[date, name]) for way, name in enumerate(ways)
                ),
            )
        )
    return tuple(rows)


def _way(
    name: str,
    found: Mapping[str, NDArray[Any]],
    place: tuple[int, int],
    starts: NDArray[np.float64],
    wanted: float,
    permits: DatePermits,
) -> WayOnDate:
    chance, error = found["chance"][place], found["error"][place]
    best = int(np.flatnonzero(chance == chance.max())[-1])
    meets = np.flatnonzero(chance >= wanted)
    at, window = best, None
    if meets.size:
        at = int(meets[-1])
        missed = np.flatnonzero(chance[:at] < wanted)
        window = (float(starts[missed[-1] + 1 if missed.size else 0]), float(starts[at]))
    low, middle, high = (float(value) for value in found["home_clock_s"][place])
    best_chance = float(chance[best])
    rocks = [RockFrom(*told) for told in np.column_stack([starts, found["rock"][place]]).tolist()]
    planned = RockFrom(float(found["planned_clock_s"][place]), *found["planned_rock"][place].tolist())
    first_s, last_s = window or (starts[at], starts[at])
    in_window = [rock for rock in rocks if first_s <= rock.start_clock_s <= last_s]
    return WayOnDate(
        way=name,
        chance=tuple(chance.tolist()),
        error=tuple(error.tolist()),
        start_clock_s=float(starts[at]),
        start_chance=float(chance[at]),
        start_error=float(error[at]),
        best_clock_s=float(starts[best]),
        best_chance=best_chance,
        window_clock_s=window,
        home_clock_s=(low, middle, high),
        rock=rocks[at],
        planned_rock=planned if window is not None and first_s <= planned.start_clock_s <= last_s else None,
        iciest_rock=max(in_window, key=lambda rock: (rock.iced, rock.wet, rock.not_dry, rock.start_clock_s)),
        permits=permits.needed,
        permit_chance=permits.chance,
        known_permit_chance=permits.known_chance,
        permits_unknown=permits.unknown,
        permit_says=permits.says,
        both_chance=None if permits.chance is None else permits.chance * best_chance,
    )
