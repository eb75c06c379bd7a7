"""The day strip: the clock across, the places of the route up, the party as a fan that climbs and comes down.

The tradition is the graphic railway timetable. Places stand in the order of the route, spaced by distance but never
closer than a line of text, so that the foot and the head of the line can be told apart.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import pairwise

from handline.brief.figures.day_strip_drawing import draw_day_strip
from handline.brief.figures.day_strip_rock import (
    drawn_hours,
    icicles,
    rock_keys,
    rock_sentence,
    rock_spans,
    rock_strip_words,
)
from handline.brief.figures.day_strip_sheet import Sheet
from handline.brief.figures.day_strip_sky import (
    HOUR_S,
    faces_known,
    light_spans,
    moon_spans,
    storm_spans,
    strip_words,
    sun_sentence,
    sun_spans,
)
from handline.brief.figures.day_strip_words import ABOVE, BELOW, LEFT_FIRST, RIGHT_FIRST, Label, place_labels
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row
from handline.brief.words import latest_words
from handline.day.plan import PROBABILITIES, Passing, Plan, Way
from handline.quantity import show_clock, show_duration, show_share

MEDIAN = PROBABILITIES.index(0.50)
OUTER = (PROBABILITIES.index(0.10), PROBABILITIES.index(0.90))
INNER = (PROBABILITIES.index(0.25), PROBABILITIES.index(0.75))

_LEAST_GAP = 0.09  # of the height between the lowest and the highest place
_RIGHT_ROOM_H = 2.0  # for the words of the last mark


def day_strip(plan: Plan) -> Picture:
    """The day strip of a plan."""
    places = _places(plan)
    clock_range_h = _clock_range_h(plan)
    sheets = [Sheet(clock_range_h, width) for width in WIDTH_PX]
    rock = "rock not dry" if drawn_hours(plan.weather) else "rock"
    datasets = {
        "places": [
            {"height": height, "from_h": clock_range_h[0], "to_h": clock_range_h[1]} for height in places.values()
        ],
        "light": light_spans(plan.light, clock_range_h),
        "moon": moon_spans(plan.sky, clock_range_h),
        "sun": sun_spans(plan.sky, clock_range_h),
        "rock": rock_spans(plan.weather, clock_range_h),
        "icicles": icicles(plan.weather, clock_range_h),
        "storm": storm_spans(plan.storm, clock_range_h),
        "strip_words": [{"width": sheet.width, **row} for sheet in sheets for row in _strip_words(plan, sheet)],
        "fan_outer": _fan(plan, places, OUTER),
        "fan_inner": _fan(plan, places, INNER),
        "median": _median(plan, places),
        "line": _on_the_line(plan, places),
        "passings": _passings(plan, places),
        "latest": _latest(plan, places),
        "words": [row for sheet in sheets for row in _words(plan, places, sheet)],
    }
    return Picture(
        key="day-strip",
        title="The day, place by place",
        caption="Clock time across, the route upward: the party climbs from the lower left and comes down to the lower "
        "right. Places are spaced by distance, but never closer than a line of text.",
        alt=_alt(plan),
        keys=(
            Key("median", "half of the days are earlier, half later"),
            Key("fan-inner", "the middle half of the days"),
            Key("fan-outer", "eight days in ten"),
            Key("on-line", "waiting for the line and on it"),
            Key("latest-up", "on the way up: the latest time to arrive that still meets your limits"),
            Key("latest-down", "on the way down: the latest time"),
            Key("dark", "dark; paler: twilight"),
            *((Key("moon", "lit by the moon, under a clear sky"),) if datasets["moon"] else ()),
            *((Key("sun", _sun_key(plan)),) if datasets["sun"] else ()),
            *rock_keys(plan.weather, clock_range_h),
            Key("storm", "a storm has begun: the deeper, the likelier"),
        ),
        specs={sheet.width: draw_day_strip(places, rock, sheet) for sheet in sheets},
        datasets=datasets,
    )


def _sun_key(plan: Plan) -> str:
    if faces_known(plan.sky):
        return "sun on the slab, over its own horizon and slope"
    return "sun over the slab's horizon; which way it faces is not typed"


def _alt(plan: Plan) -> str:
    start, end = plan.timetable[0], plan.timetable[-1]
    turn = max(plan.timetable, key=lambda passing: passing.elevation_m)
    sentences = [
        f"Clock time across and place up. Start at {start.name} {show_clock(start.arrive_clock_s[MEDIAN])}.",
        f"At {turn.name} on half of the days by {_spread(turn)}.",
        f"Back at {end.name} on half of the days by {_spread(end)}.",
    ]
    for here, there, time_s in _line_legs(plan):
        sentences.append(f"From {here.name} to {there.name}, waiting and line: about {show_duration(time_s)}.")
    latest = [passing for passing in plan.timetable if passing.way == "up" and passing.latest_clock_s is not None]
    if latest:
        times = ", ".join(f"{passing.name} {latest_words(passing)}" for passing in latest)
        sentences.append(f"Latest on the way up: {times}.")
    sentences += [sun_sentence(plan.sky), rock_sentence(plan.weather, _clock_range_h(plan))]
    sentences.append(f"A storm begins on {show_share(plan.storm.chance)} of such days.")
    return " ".join(sentences)


def _spread(passing: Passing) -> str:
    early_s, late_s = (passing.arrive_clock_s[edge] for edge in OUTER)
    median_s = passing.arrive_clock_s[MEDIAN]
    return f"{show_clock(median_s)}, eight days in ten between {show_clock(early_s)} and {show_clock(late_s)}"


# --- where things stand --------------------------------------------------------------------------------------------


def spread_out(distance_m: Sequence[float], least_gap: float) -> list[float]:
    """Heights from 0 to 1 for places in the order of the route: by distance, neighbours at least a gap apart.

    Parameters
    ----------
    distance_m : (n,) [m], not falling
    least_gap : float
        The least height between neighbours, as a share of the whole; all are even when there is no room for it.

    Returns
    -------
    list of n heights, not falling, from 0 to 1
    """
    if len(distance_m) < 2:
        return [0.0] * len(distance_m)
    gaps_m = [far - near for near, far in pairwise(distance_m)]
    least = min(least_gap, 1.0 / len(gaps_m))
    shares = [math.nan] * len(gaps_m)
    tight: set[int] = set()
    while True:
        loose = [index for index in range(len(gaps_m)) if index not in tight]
        loose_m = sum(gaps_m[index] for index in loose)
        room = 1.0 - least * len(tight)
        for index, gap_m in enumerate(gaps_m):
            wide = room * gap_m / loose_m if loose_m > 0.0 else room / max(len(loose), 1)
            shares[index] = least if index in tight else wide
        tighter = {index for index, share in enumerate(shares) if share < least}
        if not tighter:
            return [sum(shares[:count]) for count in range(len(shares) + 1)]
        tight |= tighter


def _places(plan: Plan) -> dict[str, float]:
    """Height of every place by name. A place passed both ways stands once."""
    distance_m: dict[str, float] = {}
    for passing in plan.timetable:
        folded = passing.way == "down" and passing.distance_m > plan.route.length_m
        one_way_m = 2.0 * plan.route.length_m - passing.distance_m if folded else passing.distance_m
        distance_m.setdefault(passing.name, one_way_m)
    ordered = sorted(distance_m, key=lambda name: distance_m[name])
    return dict(zip(ordered, spread_out([distance_m[name] for name in ordered], _LEAST_GAP), strict=True))


def _hours(clock_s: float) -> float:
    return clock_s / HOUR_S


def _clock_range_h(plan: Plan) -> tuple[int, int]:
    """Whole hours that hold the whole fan and every latest time, with room for a label at either end."""
    clocks_s = [clock_s for passing in plan.timetable for clock_s in passing.arrive_clock_s]
    clocks_s += [passing.latest_clock_s for passing in plan.timetable if passing.latest_clock_s is not None]
    return math.floor(_hours(min(clocks_s)) - 0.25), math.ceil(_hours(max(clocks_s)) + _RIGHT_ROOM_H)


# --- data ----------------------------------------------------------------------------------------------------------


def _fan(plan: Plan, places: dict[str, float], edges: tuple[int, int]) -> list[Row]:
    """One closed outline up and one down: the early edge there, the late edge back."""
    turn = max(range(len(plan.timetable)), key=lambda index: places[plan.timetable[index].name])
    rows: list[Row] = []
    for part, passings in (("up", plan.timetable[: turn + 1]), ("down", plan.timetable[turn:])):
        early = [point for passing in passings for point in _stay(passing, places, edges[0])]
        late = [point for passing in passings for point in _stay(passing, places, edges[1])]
        for order, (clock_h, height) in enumerate(early + late[::-1]):
            rows.append({"part": part, "order": order, "clock_h": clock_h, "height": height})
    return rows


def _stay(passing: Passing, places: dict[str, float], quantile: int) -> list[tuple[float, float]]:
    """Where one quantile of the party arrives at a place and where it leaves again."""
    arrive_s = passing.arrive_clock_s[quantile]
    leave_s = arrive_s + passing.stop_s
    if passing.sleeps_until_clock_s is not None:
        leave_s = max(arrive_s, passing.sleeps_until_clock_s)
    return [(_hours(clock_s), places[passing.name]) for clock_s in (arrive_s, leave_s)]


def _median(plan: Plan, places: dict[str, float]) -> list[Row]:
    points = [point for passing in plan.timetable for point in _stay(passing, places, MEDIAN)]
    return [{"order": order, "clock_h": clock_h, "height": height} for order, (clock_h, height) in enumerate(points)]


def _line_legs(plan: Plan) -> Iterator[tuple[Passing, Passing, float]]:
    """The passings at both ends of every leg on the line, and the leg's median time."""
    for leg, (here, there) in zip(plan.legs, pairwise(plan.timetable), strict=True):
        if leg.is_line:
            yield here, there, leg.time_s[1]


def _on_the_line(plan: Plan, places: dict[str, float]) -> list[Row]:
    rows: list[Row] = []
    for here, there, _ in _line_legs(plan):
        ends = (_stay(here, places, MEDIAN)[1], _stay(there, places, MEDIAN)[0])
        rows += [{"way": there.way, "clock_h": clock_h, "height": height} for clock_h, height in ends]
    return rows


def _passings(plan: Plan, places: dict[str, float]) -> list[Row]:
    rows = []
    for passing in plan.timetable:
        early_s, late_s = (passing.arrive_clock_s[edge] for edge in OUTER)
        rows.append(
            {
                "place": passing.name,
                "way": passing.way,
                "clock_h": _hours(passing.arrive_clock_s[MEDIAN]),
                "height": places[passing.name],
                "half": show_clock(passing.arrive_clock_s[MEDIAN]),
                "eight": f"{show_clock(early_s)} to {show_clock(late_s)}",
                "latest": latest_words(passing),
            }
        )
    return rows


def _latest(plan: Plan, places: dict[str, float]) -> list[Row]:
    """The latest times that there are."""
    return [
        {
            "place": passing.name,
            "way": passing.way,
            "clock_h": _hours(passing.latest_clock_s),
            "height": places[passing.name],
        }
        for passing in plan.timetable
        if passing.latest_clock_s is not None
    ]


# --- words -----------------------------------------------------------------------------------------------------------


def _words(plan: Plan, places: dict[str, float], sheet: Sheet) -> list[Row]:
    """The words beside the marks for one width, those a leader decides by first."""
    marks = [(row["clock_h"], row["height"]) for row in (*_passings(plan, places), *_latest(plan, places))]
    line = [(row["clock_h"], row["height"]) for row in _median(plan, places)]
    up, down = (_latest_labels(plan, places, way) for way in ("up", "down"))
    up.sort(key=lambda label: label.height != places.get(plan.decision.turn_back_at))
    labels = [*up[:1], *_median_labels(plan, places), *up[1:], *down, *_line_labels(plan, places)]
    return place_labels(sheet, labels, marks, line)


def _strip_words(plan: Plan, sheet: Sheet) -> list[Row]:
    return [*strip_words(plan.light, plan.storm, plan.sky, sheet), *rock_strip_words(plan.weather, sheet)]


def _strip_clock(clock_s: float) -> str:
    """A clock time without its day, which the place on the axis tells: long words drift away from their marks."""
    return show_clock(clock_s).partition(" ")[0]


def _latest_labels(plan: Plan, places: dict[str, float], way: Way) -> list[Label]:
    sides = LEFT_FIRST if way == "up" else RIGHT_FIRST
    return [
        Label(way, _strip_clock(passing.latest_clock_s), _hours(passing.latest_clock_s), places[passing.name], sides,
              needed=way == "up")
        for passing in plan.timetable
        if passing.way == way and passing.latest_clock_s is not None
    ]  # fmt: skip


def _median_labels(plan: Plan, places: dict[str, float]) -> list[Label]:
    """The median at the start, at the highest place and at the end: the three times a reader looks for."""
    turn = max(plan.timetable, key=lambda passing: places[passing.name])
    return [
        Label(
            kind="median",
            words=_strip_clock(passing.arrive_clock_s[MEDIAN]),
            clock_h=_hours(passing.arrive_clock_s[MEDIAN]),
            height=places[passing.name],
            sides=ABOVE if passing is turn else BELOW,
            needed=True,
        )
        for passing in dict.fromkeys((plan.timetable[0], turn, plan.timetable[-1]))
    ]


def _line_labels(plan: Plan, places: dict[str, float]) -> list[Label]:
    """How long the line takes each way, beside the middle of its leg."""
    labels = []
    for here, there, time_s in _line_legs(plan):
        (leave_h, low), (arrive_h, high) = _stay(here, places, MEDIAN)[1], _stay(there, places, MEDIAN)[0]
        sides = LEFT_FIRST if there.way == "up" else RIGHT_FIRST
        words = f"line {show_duration(time_s)}"
        labels.append(Label("line", words, (leave_h + arrive_h) / 2.0, (low + high) / 2.0, sides))
    return labels
