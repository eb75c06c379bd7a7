"""From a trip to its QuotaReport: the same crowd with more and more people, as it comes and otherwise."""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import Executor, ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from handline import __version__
from handline.crowd.arrivals import ByHour
from handline.crowd.knee import knee
from handline.crowd.rules import PASS, UP_WAITS, YIELDS
from handline.crowd.simulate import CAUTION_MODEL, CAUTION_NOBODY_LEAVES
from handline.day.cautions import CAUTIONS
from handline.day.crowd_assumptions import RULES, comes_says, crowd_assumptions
from handline.day.crowd_report import CrowdProvenance
from handline.day.crowd_setting import CrowdSetting, capacity_per_h, crowd_days, people_of, set_crowd
from handline.day.plan import LEVELS, Finding
from handline.day.quota_report import Band, QuotaCurve, QuotaPoint, QuotaReport
from handline.day.setting import set_up
from handline.day.simulation import Floats
from handline.day.told import Told
from handline.errors import Problem, TripError
from handline.quantity import show_clock, show_duration, show_share
from handline.trip.day_model import MOST_PEOPLE
from handline.trip.model import Trip

USUAL_QUOTA_DAYS = 60
# With fewer the high end of a chance that was never seen lies over what is accepted.
FEWEST_QUOTA_DAYS = 60
USUAL_LIMIT_S = 45 * 60.0
# Of all people no more than this share may wait over the limit. Ours. [our_crowd_knee]
ACCEPTED = 0.05
# Where nothing else is asked the curve goes to so many times what the file says.
MOST_TIMES = 3
# How many numbers of people are tried, evenly from the first to the most.
_NUMBERS = 12
# Days are put in so many groups; the band is 95 % of Student's t with one fewer degrees of freedom.
_GROUPS = 10
_T_95 = 2.262
_PASSAGE_LEVEL = 0.95
_MIDNIGHT_S = 86_400.0
# A curve that rises by less than this has no knee that matters.
_LEAST_RISE = 0.05
_STARTS_TIMES = 2.0
# Timed entry is over the hours in which all but one in ten arrive.
_ENTRY_LEVELS = (0.05, 0.95)
_ENTRY_DAYS = 50

METHODS = (
    "The chance is that of one person, over all people and days: waiting at the foot and at the head together.",
    f"Bands are 95 %: days are put in {_GROUPS} groups, and the groups' spread gives the band. Where nobody waits that "
    "long on any day, the high end is the chance that would still show so with 1 in 20.",
    "The knee is the point of the curve farthest below the straight line between both of its ends: from there each "
    "more costs more. Another end of the curve may move it; its range is that of the groups of days.",
    "All numbers of people have the same days: the same people come, and more of them.",
    "One-way hours: nobody steps down onto the line before it opens for them, which is when all but one in twenty have "
    "come to its foot; who comes later still goes up. Waiting at the head for the opening counts as waiting.",
)


@dataclass(frozen=True, eq=False)
class _Tried:
    """One number of people: by group of days the share over the limit and the 95th percentile, and the rest."""

    people: int
    over: Floats
    on_line_s: Floats
    wait_s: float
    late_share: float
    days: int


def quota_report(
    trip: Trip,
    *,
    limit_s: float = USUAL_LIMIT_S,
    most: int | None = None,
    days: int = USUAL_QUOTA_DAYS,
    told: Told = lambda what, share: None,
) -> QuotaReport:
    """People a day against waiting on the line of a trip.

    Parameters
    ----------
    trip : Trip
        As read from its file. Its party is left out: everybody is alike here.
    limit_s : float
        The wait that should be passed by few [s].
    most : int, optional
        The most people a day to try; left out, three times what the file says.
    days : int
        How many days are simulated for each number of people.
    told : callable
        Told of the progress.

    Raises
    ------
    TripError
        Whatever of the file cannot be used, or nothing says how many people come.

    Notes
    -----
    The same trip and question give the same report, on one core or many.
    """
    setting = set_up(trip, told)
    now = people_of(trip)
    asked = None if now is not None and now[0] >= trip.party.size else most
    crowd = set_crowd(setting, 1, asked).without_us()
    numbers = _numbers(most if most is not None else min(MOST_TIMES * crowd.people, MOST_PEOPLE))
    ways = _ways(crowd)
    curves = []
    executor = ThreadPoolExecutor(max_workers=os.cpu_count() or 1)
    try:
        for done, (key, words, way) in enumerate(ways):
            told(f"More people: {words}", done / len(ways))
            curves.append(_curve(key, words, _tried(way, numbers, days, limit_s, executor)))
    finally:
        # Where somebody stops the work, what has not begun never does.
        executor.shutdown(cancel_futures=True)
    found = tuple(_findings(crowd, curves, limit_s))
    headline, why = _headline(crowd, curves[0], limit_s)
    return QuotaReport(
        name=trip.about.name,
        units=trip.about.units,
        line_name=trip.line.name,
        length_m=crowd.line.length_m,
        bays=crowd.line.bays,
        limit_s=limit_s,
        accepted=ACCEPTED,
        people_now=crowd.people,
        people_says=crowd.people_says,
        comes_says=comes_says(crowd),
        come_share=crowd.arrivals.come_share,
        level=found[0].level if found else LEVELS[-1],
        headline=headline,
        why=why,
        findings=found,
        curves=tuple(curves),
        capacity_per_h=capacity_per_h(crowd),
        rules=RULES,
        methods=METHODS,
        assumptions=crowd_assumptions(crowd),
        cautions=(CAUTION_MODEL, CAUTION_NOBODY_LEAVES, *CAUTIONS),
        provenance=CrowdProvenance(
            version=__version__,
            seed=trip.about.seed,
            days=days,
            heat_days=0,
            trip_file=trip.path.name,
            inputs_sha256=setting.inputs_sha256,
        ),
    )


def _numbers(most: int) -> tuple[int, ...]:
    """The numbers of people to try, each once."""
    return tuple(sorted({max(1, round(most * step / _NUMBERS)) for step in range(1, _NUMBERS + 1)}))


def _ways(crowd: CrowdSetting) -> tuple[tuple[str, str, CrowdSetting], ...]:
    """As the file has it, then each other way to come or to pass."""
    start_s, end_s = np.quantile(crowd.arrivals(0, _ENTRY_DAYS).clock_s, _ENTRY_LEVELS).tolist()
    # Nobody is let in at one moment alone.
    end_s = max(end_s, start_s + 60.0)
    timed = ByHour(np.array([start_s]), np.array([end_s]), np.array([1.0]))
    other = UP_WAITS if crowd.line.yields == PASS else PASS
    spread = crowd.arrivals.comes.spread_out(_STARTS_TIMES)
    return (
        ("now", "as they come", crowd),
        ("spread", "starts spread twice as wide", crowd.coming(spread)),
        ("timed", f"timed entry, evenly from {show_clock(start_s)} to {show_clock(end_s)}", crowd.coming(timed)),
        ("yields", f"in a bay: {YIELDS[other].words}", replace(crowd, line=replace(crowd.line, yields=other))),
        (
            "one way",
            f"one-way hours: nobody comes down before {show_clock(end_s)}",
            replace(crowd, line=replace(crowd.line, down_opens_clock_s=end_s)),
        ),
    )


def _tried(
    crowd: CrowdSetting, numbers: tuple[int, ...], days: int, limit_s: float, executor: Executor
) -> tuple[_Tried, ...]:
    # The longest first, so that none is left over at the end.
    futures = {
        people: executor.submit(_one_number, crowd.with_people(people), days, limit_s) for people in reversed(numbers)
    }
    tried = tuple(one for people in numbers if (one := futures[people].result()).over.size == _GROUPS)
    if not tried:
        raise TripError(
            crowd.setting.trip.located(
                Problem(
                    "too few people come to tell anything: on some days nobody does",
                    read=f"up to {numbers[-1]} people a day, {show_share(crowd.arrivals.come_share)} of whom come",
                    mend="try more people, more days, or a larger share_who_come",
                    key="crowd.share_who_come",
                )
            )
        )
    return tried


def _one_number(crowd: CrowdSetting, days: int, limit_s: float) -> _Tried:
    waits, passages, group, clears = [], [], [], []
    for chunk in crowd_days(crowd, days):
        waits.append(chunk.up.wait_s + chunk.down.wait_s)
        passages.append(chunk.up.on_line_s + chunk.down.on_line_s)
        group.append(chunk.day % _GROUPS)
        clears.append(chunk.clears_clock_s)
    wait_s, on_line_s, number = np.concatenate(waits), np.concatenate(passages), np.concatenate(group)
    over = np.full(_GROUPS, np.nan)
    high_s = np.full(_GROUPS, np.nan)
    for at in range(_GROUPS):
        here = number == at
        if here.any():
            over[at] = np.mean(wait_s[here] > limit_s)
            high_s[at] = np.quantile(on_line_s[here], _PASSAGE_LEVEL, method="higher")
    known = ~np.isnan(over)
    return _Tried(
        people=crowd.people,
        over=over[known],
        on_line_s=high_s[known],
        wait_s=float(np.mean(wait_s)) if wait_s.size else np.nan,
        late_share=float(np.mean(np.nan_to_num(np.concatenate(clears)) >= _MIDNIGHT_S)),
        days=days,
    )


def _band(groups: Floats) -> Band:
    """Mean and 95 % band of the mean of groups of days."""
    middle = float(np.mean(groups))
    half = _T_95 * float(np.std(groups, ddof=1)) / float(np.sqrt(groups.size))
    return middle - half, middle, middle + half


def _chance_band(tried: _Tried) -> Band:
    """The same of a chance: a band ends at none and all, and what was never seen may still happen."""
    low, middle, high = _band(tried.over)
    if middle == 0.0:
        high = 1.0 - 0.05 ** (1.0 / tried.days)
    return max(low, 0.0), middle, min(high, 1.0)


def _curve(key: str, words: str, tried: tuple[_Tried, ...]) -> QuotaCurve:
    points = tuple(
        QuotaPoint(one.people, _chance_band(one), _band(one.on_line_s), one.wait_s, one.late_share) for one in tried
    )
    people = [point.people for point in points]
    within = None
    for point in points:
        if point.over[2] > ACCEPTED:
            break
        within = point.people
    found = [_knee(people, [float(one.over[group]) for one in tried]) for group in range(_GROUPS)]
    seen = [at for at in found if at is not None]
    at = _knee(people, [point.over[1] for point in points])
    return QuotaCurve(
        key=key,
        words=words,
        points=points,
        knee=at,
        knee_range=(min(seen), max(seen)) if at is not None and seen else None,
        within=within,
    )


def _knee(people: list[int], over: list[float]) -> int | None:
    """The number of people at the knee; None where the curve hardly rises."""
    if len(people) < 3 or over[-1] - over[0] < _LEAST_RISE:
        return None
    at = knee(people, over)
    return None if at is None else people[at]


def _headline(crowd: CrowdSetting, curve: QuotaCurve, limit_s: float) -> tuple[str, str]:
    limit, accepted, most = show_duration(limit_s), show_share(ACCEPTED), curve.points[-1].people
    if curve.within is None:
        words = f"Already with {curve.points[0].people} people a day over {accepted} may wait over {limit}."
    elif curve.within == most:
        words = f"Up to {most} people a day, the most tried, at most {accepted} wait over {limit}."
    else:
        words = f"Up to {curve.within} people a day at most {accepted} wait over {limit}."
    if curve.knee is None:
        why = "The chance of it has no knee among the numbers tried."
    else:
        low, high = curve.knee_range or (curve.knee, curve.knee)
        why = f"The knee, from where each more costs more, is at {curve.knee} people"
        why += f" ({low} to {high} in groups of the days)." if low != high else "."
    return words, f"{why} Now: {crowd.people} people a day, {crowd.people_says}."


def _findings(crowd: CrowdSetting, curves: list[QuotaCurve], limit_s: float) -> Iterator[Finding]:
    now = curves[0]
    if now.within is not None and crowd.people > now.points[-1].people:
        yield Finding("note", "quota_short", "The curve ends below the number of people of the file.")
    elif now.within is None or crowd.people > now.within:
        at = min(now.points, key=lambda point: abs(point.people - crowd.people))
        yield Finding(
            "heed",
            "quota_now",
            f"At {at.people} people a day {show_share(at.over[1])} wait over {show_duration(limit_s)} "
            f"({show_share(at.over[0])} to {show_share(at.over[2])}).",
        )
    for other in curves[1:]:
        before, after = now.within or 0, other.within or 0
        step = now.points[0].people
        if after - before >= step:
            gain = f"{after} people a day instead of {now.within or f'under {now.points[0].people}'}"
            yield Finding("note", f"quota_{other.key}", f"{_sentence(other.words)}: {gain} stay within it.")
        elif before - after >= step:
            loss = f"only {after or f'under {now.points[0].people}'} people a day instead of {before}"
            yield Finding("note", f"quota_{other.key}", f"{_sentence(other.words)}: {loss} stay within it.")
        else:
            yield Finding("note", f"quota_{other.key}", f"{_sentence(other.words)}: as many stay within it, to a step.")


def _sentence(words: str) -> str:
    return words[0].upper() + words[1:]
