"""What is usual in each month of the year at one place, and on a date between two months."""

from __future__ import annotations

import datetime as dt
from calendar import monthrange
from collections.abc import Sequence
from dataclasses import dataclass, fields
from math import isnan, nan

from handline.weather.storms import storm_chance_of_days

LONGEST_MONTH_DAYS = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
MONTH_NAMES = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
               "November", "December")  # fmt: skip
# Of a month of which only the lows and highs are known: on the careful side of mountain summers. [practice_climate]
USUAL_SPREAD_C = 4.0
USUAL_RAIN_DAYS_SHARE = 0.4
USUAL_RAIN_DAY_MM = 6.0
USUAL_WIND_M_S = 4.0
USUAL_CLOUD_SHARE = 0.6
# A day with less is no day of rain in a climate table.
RAIN_DAY_FROM_MM = 1.0


@dataclass(frozen=True)
class MonthClimate:
    """One month as a climate table has it; NaN where it does not say.

    ``low_C`` and ``high_C`` are the means of the daily lows and highs, ``spread_C`` the standard deviation from day to
    day, ``rain_days`` the mean number of days with 1 mm or more, ``rain_mm`` the mean sum of the month,
    ``storm_days`` the mean number of days with thunder, ``humidity_share``, ``wind_m_s`` and ``cloud_share`` means over
    day and night. Raises ValueError with every value that cannot be.
    """

    month: int
    low_C: float
    high_C: float
    spread_C: float = nan
    rain_days: float = nan
    rain_mm: float = nan
    storm_days: float = nan
    humidity_share: float = nan
    wind_m_s: float = nan
    cloud_share: float = nan

    def __post_init__(self) -> None:
        wrong = _wrong(self)
        if wrong:
            raise ValueError("; ".join(wrong))


@dataclass(frozen=True)
class DateClimate:
    """What is usual on one date. Nothing is NaN but ``humidity_share`` and ``storm_chance`` where no month says them.

    ``rain_chance`` is that of a day with 1 mm or more and ``rain_day_mm`` the mean of such a day; ``assumed`` names the
    fields of MonthClimate that no table said.
    """

    low_C: float
    high_C: float
    spread_C: float
    rain_chance: float
    rain_day_mm: float
    storm_chance: float
    humidity_share: float
    wind_m_s: float
    cloud_share: float
    assumed: tuple[str, ...]


def climate_on(months: Sequence[MonthClimate], date: dt.date) -> DateClimate:
    """What is usual on a date, straight between the middles of the two months around it, December and January too.

    Where the neighbour is not given, the date's own month holds as far as it goes. What a month does not say takes the
    stated careful value before that; its humidity and storms stay unknown, and then only the other month's count.

    Parameters
    ----------
    months : sequence of MonthClimate
        Any of the twelve, each once, the date's own among them.
    date : date

    Raises
    ------
    ValueError
        A month given twice, or not the date's own.

    Notes
    -----
    Straight lines between the middles of months cut the warmest and coldest month a little: its mean over the month
    comes out a quarter of the way to the mean of its neighbours.

    Sources
    -------
    practice_climate for what no table says.
    """
    by_month = {month.month: month for month in months}
    if len(by_month) < len(months):
        raise ValueError("a month of the climate is given twice")
    if date.month not in by_month:
        given = ", ".join(MONTH_NAMES[number - 1] for number in sorted(by_month)) or "no month"
        raise ValueError(f"the climate of {MONTH_NAMES[date.month - 1]} is needed for {date}; given: {given}")
    own = by_month[date.month]
    after_middle = date.day - 0.5 >= monthrange(date.year, date.month)[1] / 2.0
    step = 1 if after_middle else -1
    other = by_month.get((date.month - 1 + step) % 12 + 1, own)
    weight = _other_weight(date, step)
    ours, others = _filled(own), _filled(other)
    assumed = tuple(
        field.name
        for field in fields(MonthClimate)
        if isnan(getattr(own, field.name)) or (weight > 0.0 and isnan(getattr(other, field.name)))
    )
    low_C, high_C, spread_C, rain_chance, rain_mm, storm, humidity, wind_m_s, cloud = (
        _between(a, b, weight) for a, b in zip(ours, others, strict=True)
    )
    rain_day_mm = rain_mm / rain_chance if rain_chance > 0.0 else USUAL_RAIN_DAY_MM
    return DateClimate(low_C, high_C, spread_C, rain_chance, rain_day_mm, storm, humidity, wind_m_s, cloud, assumed)


def _other_weight(date: dt.date, step: int) -> float:
    """How far the date lies from the middle of its month to the middle of the month before or after, 0 to 1."""
    days = monthrange(date.year, date.month)[1]
    number = date.month - 1 + step
    other_days = monthrange(date.year + number // 12, number % 12 + 1)[1]
    return abs(date.day - 0.5 - days / 2.0) / ((days + other_days) / 2.0)


def _between(own: float, other: float, weight: float) -> float:
    if isnan(own) or isnan(other):
        return other if isnan(own) else own
    return own + (other - own) * weight


def _filled(month: MonthClimate) -> tuple[float, ...]:
    """The fields of DateClimate for the middle of the month, but rain as the mean of all days [mm a day]."""
    days = _usual_days(month)
    rain_days, rain_mm = month.rain_days, month.rain_mm
    if isnan(rain_days):
        rain_days = USUAL_RAIN_DAYS_SHARE * days if isnan(rain_mm) else min(rain_mm / USUAL_RAIN_DAY_MM, days)
    if isnan(rain_mm):
        rain_mm = rain_days * USUAL_RAIN_DAY_MM
    return (
        month.low_C,
        month.high_C,
        _or(month.spread_C, USUAL_SPREAD_C),
        rain_days / days,
        rain_mm / days,
        float(storm_chance_of_days(month.storm_days, days)),
        month.humidity_share,
        _or(month.wind_m_s, USUAL_WIND_M_S),
        _or(month.cloud_share, USUAL_CLOUD_SHARE),
    )


def _usual_days(month: MonthClimate) -> float:
    # A table's February has 28.25 days; one with rain or storms on all 29 is taken as it is.
    most = max((n for n in (month.rain_days, month.storm_days) if not isnan(n)), default=0.0)
    return max(28.25, most) if month.month == 2 else float(LONGEST_MONTH_DAYS[month.month - 1])


def _or(value: float, usual: float) -> float:
    return usual if isnan(value) else value


def _wrong(month: MonthClimate) -> list[str]:
    if month.month not in range(1, 13):
        return [f"a month is 1 to 12, not {month.month}"]
    name, days = MONTH_NAMES[month.month - 1], LONGEST_MONTH_DAYS[month.month - 1]
    limits = {"low_C": (-60.0, 50.0), "high_C": (-60.0, 60.0), "spread_C": (0.0, 20.0), "rain_days": (0.0, days),
              "rain_mm": (0.0, 3000.0), "storm_days": (0.0, days), "humidity_share": (0.02, 1.0),
              "wind_m_s": (0.0, 50.0), "cloud_share": (0.0, 1.0)}  # fmt: skip
    must = ("low_C", "high_C")
    wrong = [
        f"{key} of {name} lies from {low:g} to {high:g}, not {getattr(month, key)}"
        for key, (low, high) in limits.items()
        if not (low <= getattr(month, key) <= high or (isnan(getattr(month, key)) and key not in must))
    ]
    if month.low_C > month.high_C:
        wrong.append(f"the low of {name} is above its high")
    if month.rain_mm < month.rain_days * RAIN_DAY_FROM_MM:
        wrong.append(f"{month.rain_days:g} days of 1 mm or more are more than {month.rain_mm:g} mm in {name}")
    if month.rain_days == 0.0 and month.rain_mm > 0.0:
        wrong.append(f"{name} has {month.rain_mm:g} mm of rain on no day")
    return wrong
