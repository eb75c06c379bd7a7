"""The recorded day on its plan: the clock across, the places of the route up, the day drawn over the planned fan."""

from __future__ import annotations

import math
import textwrap

import numpy as np

from handline.brief.figures import theme
from handline.brief.figures.day_strip import spread_out
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import (
    Channel,
    Margins,
    chart,
    haloed,
    layer,
    name,
    quantity,
    tooltip,
    view_width_px,
)
from handline.day.review import PassingReview, Review
from handline.day.review_words import ranked
from handline.quantity import show_clock

HOUR_S = 3600.0
_LEAST_GAP = 0.085  # of the height between the lowest and the highest place
_HEIGHTS = (-0.07, 1.07)
_HEIGHT_PX: dict[Width, int] = {"wide": 430, "narrow": 420}
_MARGINS: dict[Width, Margins] = {"wide": Margins(136, 10, 16, 28), "narrow": Margins(80, 10, 12, 26)}
_NAME_LETTERS: dict[Width, int] = {"wide": 20, "narrow": 11}
_HOUR_STEPS = (1, 2, 3, 4, 6, 12)
_CLOCK_PX = 46.0  # from one hour on the axis to the next
_LOW, _MIDDLE, _HIGH = range(3)

_POINT = {"x": quantity("clock_h", title=None), "y": quantity("height", title=None)}


def recorded_day_picture(review: Review) -> Picture:
    """The recorded day of a review over its planned fan."""
    heights = _heights(review)
    range_h = _clock_range_h(review)
    found = [passing for passing in review.passings if passing.clock.recorded_s is not None]
    return Picture(
        key="recorded-day",
        title="The day as planned and as recorded",
        caption="Clock time across, the route upward: up from the lower left, down to the lower right. Places are "
        "spaced by distance, but never closer than a line of text. The pale fan holds eight planned days in ten.",
        alt=_alt(review, found),
        keys=(
            Key("recorded", "as recorded"),
            Key("planned-middle", "the planned middle: half of the days earlier, half later"),
            Key("fan-outer", "eight planned days in ten"),
        ),
        specs={width: _draw(heights, range_h, width) for width in WIDTH_PX},
        datasets={
            "places": [{"height": height, "from_h": range_h[0], "to_h": range_h[1]} for height in heights.values()],
            "fan": _fan(review, heights),
            "middle": _middle(review, heights),
            "course": _course(review),
            "found": [_passing_row(passing, heights) for passing in found],
            "words": [row for width in WIDTH_PX for row in _words(found, heights, range_h, width)],
        },
    )


def _alt(review: Review, found: list[PassingReview]) -> str:
    times = "; ".join(
        f"{passing.name} ({passing.way}) {show_clock(passing.clock.recorded_s or 0.0)}, planned "
        f"{show_clock(passing.clock.planned_s[_LOW])} to {show_clock(passing.clock.planned_s[_HIGH])}"
        for passing in found
    )
    return f"Clock time across and place up. {review.headline} Recorded at {times}."


def _heights(review: Review) -> dict[str, float]:
    """Height of every place by name; a place passed both ways stands once, where it is first passed."""
    distance_m: dict[str, float] = {}
    for passing in review.passings:
        distance_m.setdefault(passing.name, passing.distance_m)
    ordered = sorted(distance_m, key=lambda place: distance_m[place])
    return dict(zip(ordered, spread_out([distance_m[place] for place in ordered], _LEAST_GAP), strict=True))


def _clock_range_h(review: Review) -> tuple[int, int]:
    clocks_s = [clock_s for passing in review.passings for clock_s in passing.clock.planned_s]
    clocks_s += list(review.course_clock_s)
    return math.floor(min(clocks_s) / HOUR_S - 0.2), math.ceil(max(clocks_s) / HOUR_S + 0.2)


def _stay(passing: PassingReview, heights: dict[str, float], edge: int) -> list[tuple[float, float]]:
    """Where one edge of the plan arrives at a place and where it leaves again."""
    arrive_s = passing.clock.planned_s[edge]
    return [(at_s / HOUR_S, heights[passing.name]) for at_s in (arrive_s, arrive_s + passing.planned_stop_s)]


def _fan(review: Review, heights: dict[str, float]) -> list[Row]:
    """One closed outline up and one down: the early edge there, the late edge back."""
    passings = review.passings
    turn = max(range(len(passings)), key=lambda index: heights[passings[index].name])
    rows: list[Row] = []
    for part, some in (("up", passings[: turn + 1]), ("down", passings[turn:])):
        early = [point for passing in some for point in _stay(passing, heights, _LOW)]
        late = [point for passing in some for point in _stay(passing, heights, _HIGH)]
        for order, (clock_h, height) in enumerate(early + late[::-1]):
            rows.append({"part": part, "order": order, "clock_h": clock_h, "height": height})
    return rows


def _middle(review: Review, heights: dict[str, float]) -> list[Row]:
    points = [point for passing in review.passings for point in _stay(passing, heights, _MIDDLE)]
    return [{"order": order, "clock_h": clock_h, "height": height} for order, (clock_h, height) in enumerate(points)]


def _course(review: Review) -> list[Row]:
    """The recorded line: distance along the way as a height between the places."""
    heights = _heights(review)
    at_m = [passing.distance_m for passing in review.passings]
    height = np.interp(review.course_distance_m, at_m, [heights[passing.name] for passing in review.passings])
    return [
        {"order": order, "clock_h": clock_s / HOUR_S, "height": float(high)}
        for order, (clock_s, high) in enumerate(zip(review.course_clock_s, height, strict=True))
    ]


def _passing_row(passing: PassingReview, heights: dict[str, float]) -> Row:
    low_s, middle_s, high_s = passing.clock.planned_s
    recorded_s = passing.clock.recorded_s or 0.0
    return {
        "place": passing.name,
        "way": passing.way,
        "clock_h": recorded_s / HOUR_S,
        "height": heights[passing.name],
        "recorded": show_clock(recorded_s),
        "planned": f"{show_clock(middle_s)}, eight days in ten {show_clock(low_s)} to {show_clock(high_s)}",
        "ranked": ranked(passing.clock.share_below or 0.0).replace("quicker", "earlier"),
    }


def _words(found: list[PassingReview], heights: dict[str, float], range_h: tuple[int, int], width: Width) -> list[Row]:
    """The recorded times a reader looks for: at the first place found, at the highest and at the last."""
    if not found:
        return []
    top = max(found, key=lambda passing: heights[passing.name])
    hour_px = view_width_px(width, _MARGINS[width]) / (range_h[1] - range_h[0])
    rows = []
    for passing in dict.fromkeys((found[0], top, found[-1])):
        words = show_clock(passing.clock.recorded_s or 0.0).partition(" ")[0]
        half_h = words_width_px(words, theme.TEXT_PX[width]) / 2.0 / hour_px
        clock_h = (passing.clock.recorded_s or 0.0) / HOUR_S
        within_h = min(max(clock_h, range_h[0] + half_h), range_h[1] - half_h)
        above = 0.04 if passing is top else -0.04
        rows.append({"width": width, "clock_h": within_h, "height": heights[passing.name] + above, "words": words})
    return rows


def _draw(heights: dict[str, float], range_h: tuple[int, int], width: Width) -> Spec:
    bare: Channel = {"order": quantity("order")}
    told = tooltip(place="Place", way="Way", recorded="Recorded", planned="Planned middle", ranked="Of the plan")
    layers = [
        _frame(heights, range_h, width),
        layer(
            "fan", "line", {**_POINT, **bare, "detail": name("part")},
            filled=True, fill=theme.BLUE_PALE, stroke=theme.BLUE_PALE, strokeWidth=1, interpolate="linear-closed",
        ),
        layer("middle", "line", {**_POINT, **bare}, color=theme.BLUE, strokeWidth=1.5, strokeDash=[4, 3]),
        layer("course", "line", {**_POINT, **bare}, color=theme.PAPER, strokeWidth=5),
        layer("course", "line", {**_POINT, **bare}, color=theme.INK, strokeWidth=2.2),
        layer(
            "found", "point", {**_POINT, "tooltip": told},
            filled=True, fill=theme.PAPER, stroke=theme.INK, strokeWidth=2, size=36, opacity=1,
        ),
        *haloed(
            "words", {**_POINT, "text": name("words")}, f"datum.width == '{width}'",
            fontSize=theme.TEXT_PX[width], fontWeight="bold", align="center", baseline="middle",
        ),
    ]  # fmt: skip
    # The place names are data: they reach the axis as values and never as part of an expression.
    wrapped = [textwrap.wrap(place, _NAME_LETTERS[width], max_lines=2, placeholder="…") or [place] for place in heights]
    params = [{"name": "axis_words", "value": wrapped}, {"name": "axis_heights", "value": list(heights.values())}]
    return chart(layers, width, _HEIGHT_PX[width], _MARGINS[width], params=params)


def _frame(heights: dict[str, float], range_h: tuple[int, int], width: Width) -> Spec:
    """A hairline for every place; this layer carries both axes for all the others."""
    first_h, last_h = range_h
    hour_px = view_width_px(width, _MARGINS[width]) / (last_h - first_h)
    step_h = next((step for step in _HOUR_STEPS if step * hour_px >= _CLOCK_PX), _HOUR_STEPS[-1])
    line_px = theme.TEXT_PX[width] + 1
    two_lines = "length(axis_words[indexof(axis_heights, datum.value)]) > 1"
    clock = quantity(
        "from_h",
        scale={"domain": [first_h, last_h], "nice": False, "zero": False},
        axis={
            "values": list(range(-(-first_h // step_h) * step_h, last_h, step_h)),
            "labelExpr": "format((datum.value + 48) % 24, '02d') + ':00'",
            "labelFlush": False,
            "title": None,
            "grid": False,
        },
    )
    height = quantity(
        "height",
        scale={"domain": list(_HEIGHTS), "nice": False, "zero": False},
        axis={
            "values": list(heights.values()),
            "labelExpr": "axis_words[indexof(axis_heights, datum.value)]",
            "labelLineHeight": line_px,
            "labelOffset": {"condition": {"test": two_lines, "value": -line_px / 2.0}, "value": 0},
            "labelPadding": 6,
            "labelLimit": _MARGINS[width].left - 10,
            "title": None,
            "grid": False,
            "ticks": False,
            "domain": False,
        },
    )
    return layer("places", "rule", {"x": clock, "x2": {"field": "to_h"}, "y": height}, color=theme.RULE)
