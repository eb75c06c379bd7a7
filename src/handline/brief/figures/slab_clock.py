"""What the pictures of the slab by the hour share: one clock across, and above it when the party ties on."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby

from handline.brief.figures import theme
from handline.brief.figures.day_strip_sky import HOUR_S
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import Key, Row, Spec, Width
from handline.brief.figures.vega_lite import Channel, Margins, haloed, layer, name, quantity, view_width_px
from handline.brief.words import is_known
from handline.day.plan_weather import RockMet, SlabHour, WeatherPlan
from handline.quantity import show_clock

HEAD_PX = 38
"""Room above the first panel for the party's two rows of marks."""

MARGINS: dict[Width, Margins] = {"wide": Margins(60, 6, 16, 28), "narrow": Margins(46, 6, 14, 26)}
_CLOCK_PX = 44.0  # from one hour on the axis to the next
_ROOM_S = 2.0 * HOUR_S  # before the party's first passing and after its last
_STEPS_H = (1, 2, 3, 4, 6, 12, 24)
_ROW_PX = {"up": 10, "down": 28}
_GAP_PX = 5.0  # between a mark and its words
TIE_ON_KEY = Key("tie-on", "when the party ties on: on half the days by the mark, on eight in ten along the bar")


@dataclass(frozen=True)
class SlabClock:
    """The clock of one width: whole hours from the first to the end of the last."""

    first_h: float
    last_h: float
    width: Width

    @property
    def width_px(self) -> int:
        return view_width_px(self.width, MARGINS[self.width])

    @property
    def hour_px(self) -> float:
        return self.width_px / (self.last_h - self.first_h)

    def x(self, field: str, axis: bool = False) -> Channel:
        """A channel across; one layer of each picture carries the axis."""
        domain = {"domain": [self.first_h, self.last_h], "nice": False, "zero": False}
        return quantity(field, scale=domain, **({"axis": self._axis()} if axis else {"title": None}))

    def _axis(self) -> Channel:
        step_h = next((step for step in _STEPS_H if step * self.hour_px >= _CLOCK_PX), _STEPS_H[-1])
        first = -(-int(self.first_h) // step_h) * step_h
        return {
            "values": list(range(first, int(self.last_h) + 1, step_h)),
            "labelExpr": "format((datum.value + 48) % 24, '02d') + ':00'",
            "title": None,
            "grid": False,
            "labelFlush": False,
        }


def slab_clock(hours: Sequence[SlabHour], width: Width) -> SlabClock:
    """The clock of some hours, at least one."""
    clocks_h = [hour.clock_s / HOUR_S for hour in hours]
    return SlabClock(min(clocks_h), max(clocks_h) + 1.0, width)


def party_hours(weather: WeatherPlan) -> tuple[SlabHour, ...]:
    """The hours from a little before the party's first passing to a little after its last; all where it has none."""
    clocks_s = [clock_s for there in weather.there for clock_s in there.clock_s if is_known(clock_s)]
    if not clocks_s:
        return weather.hours
    first_s, last_s = min(clocks_s) - _ROOM_S, max(clocks_s) + _ROOM_S
    return tuple(hour for hour in weather.hours if first_s < hour.clock_s + HOUR_S and hour.clock_s < last_s)


def unknown_runs(hours: Sequence[SlabHour], known: Callable[[SlabHour], bool]) -> list[tuple[float, float]]:
    """Hours on end of which nothing is known, as spans of the clock [h]."""
    runs = []
    for is_there, group in groupby(hours, known):
        run = list(group)
        if not is_there:
            runs.append((run[0].clock_s / HOUR_S, run[-1].clock_s / HOUR_S + 1.0))
    return runs


def unknown_words(runs: Sequence[tuple[float, float]], clock: SlabClock) -> list[Row]:
    """ "not known" in the middle of every run, or a question mark where that does not fit."""
    text_px = theme.TEXT_PX[clock.width] - 1
    rows: list[Row] = []
    for from_h, to_h in runs:
        fits = words_width_px("not known", text_px) <= (to_h - from_h) * clock.hour_px
        words = "not known" if fits else "?"
        rows.append({"width": clock.width, "clock_h": (from_h + to_h) / 2.0, "words": words})
    return rows


# --- the party -----------------------------------------------------------------------------------------------------


def tie_on_rows(met: Sequence[RockMet], clock: SlabClock) -> list[Row]:
    """For one width, the bars, marks and words of every tying on that lies within the clock."""
    rows: list[Row] = []
    for tie_on in met:
        early_h, middle_h, late_h = (clock_s / HOUR_S for clock_s in tie_on.clock_s)
        if not is_known(middle_h) or not clock.first_h <= middle_h <= clock.last_h:
            continue
        from_h, to_h = max(early_h, clock.first_h), min(late_h, clock.last_h)
        words = f"tie on {tie_on.way} {show_clock(tie_on.clock_s[1])}"
        room_px = words_width_px(words, theme.TEXT_PX[clock.width]) + _GAP_PX
        right = (clock.last_h - to_h) * clock.hour_px >= room_px
        rows.append(
            {
                "width": clock.width,
                "way": tie_on.way,
                "from_h": from_h,
                "to_h": to_h,
                "clock_h": middle_h,
                "words_h": to_h if right else from_h,
                "side": "right" if right else "left",
                "words": words,
            }
        )
    return rows


def tie_on_layers(clock: SlabClock, height_px: int) -> list[Spec]:
    """A bar and a triangle for each way, its words beside it, and a line down through the panels."""
    layers: list[Spec] = []
    for way, shape, fill in (("up", "triangle-up", theme.INK), ("down", "triangle-down", theme.PAPER)):
        only = f"datum.width == '{clock.width}' && datum.way == '{way}'"
        row_px = _ROW_PX[way]
        down = {"x": clock.x("clock_h"), "y": {"value": row_px}, "y2": {"value": height_px}}
        bar = {"x": clock.x("from_h"), "x2": {"field": "to_h"}, "y": {"value": row_px}}
        layers += [
            layer("tie_on", "rule", down, only, color=theme.PAPER, strokeWidth=3, opacity=0.6, aria=False),
            layer("tie_on", "rule", down, only, color=theme.INK, strokeWidth=1.5, strokeDash=[6, 3], aria=False),
            layer("tie_on", "rule", bar, only, color=theme.QUIET_INK, strokeWidth=5, opacity=0.6, aria=False),
            layer(
                "tie_on", "point", {"x": clock.x("clock_h"), "y": {"value": row_px}}, only,
                shape=shape, filled=True, fill=fill, stroke=theme.INK, strokeWidth=1.5, size=62, opacity=1,
                aria=False,
            ),
        ]  # fmt: skip
        for side, align, off_px in (("right", "left", _GAP_PX), ("left", "right", -_GAP_PX)):
            words = {"x": clock.x("words_h"), "y": {"value": row_px}, "text": name("words")}
            layers += haloed(
                "tie_on", words, f"{only} && datum.side == '{side}'",
                align=align, dx=off_px, baseline="middle", fontSize=theme.TEXT_PX[clock.width], fontWeight="bold",
            )  # fmt: skip
    return layers


def tie_on_sentences(met: Sequence[RockMet]) -> list[str]:
    """When the party ties on, in words."""
    return [
        f"The party ties on going {tie_on.way} at {show_clock(tie_on.clock_s[1])} on half of the days, on eight in ten "
        f"between {show_clock(tie_on.clock_s[0])} and {show_clock(tie_on.clock_s[2])}."
        for tie_on in met
        if all(is_known(clock_s) for clock_s in tie_on.clock_s)
    ]
