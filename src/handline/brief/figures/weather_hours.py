"""The weather at the slab by the hour: temperature and wind with their spread, and how likely it rains."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Protocol

from handline.brief.figures import theme
from handline.brief.figures.day_strip_sky import HOUR_S
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec
from handline.brief.figures.slab_clock import (
    HEAD_PX,
    MARGINS,
    TIE_ON_KEY,
    SlabClock,
    party_hours,
    slab_clock,
    tie_on_layers,
    tie_on_rows,
    tie_on_sentences,
    unknown_runs,
    unknown_words,
)
from handline.brief.figures.vega_lite import Channel, chart, layer, name, quantity, tooltip
from handline.brief.words import is_known, least_rain_words, said_span
from handline.day.plan_weather import SlabHour, WeatherPlan
from handline.quantity import KINDS, Units, show_clock, show_rain, show_share, show_speed, show_temperature
from handline.route.counted import counted

_TITLE_PX = 25  # above each panel, for its name
_GAP_PX = 8  # below each panel
_PANEL_PX = {"temperature": 118, "wind": 80, "rain": 80}
_EDGE = 0.08  # of its span, above and below what a panel shows


class HasWeather(Protocol):
    """A plan or a report: what is told of the weather, and in which units."""

    @property
    def units(self) -> Units: ...

    @property
    def weather(self) -> WeatherPlan: ...


@dataclass(frozen=True)
class _Panel:
    """One panel: its title, its values' range, and where it stands [px from the top]."""

    key: str
    title: str
    low: float
    high: float
    top_px: int

    @property
    def bottom_px(self) -> int:
        return self.top_px + _PANEL_PX[self.key]

    def y(self, field: str, axis: bool = False) -> Channel:
        """A channel up the panel; one layer carries its axis."""
        scale = {"domain": [self.low, self.high], "range": [self.bottom_px, self.top_px], "nice": False, "zero": False}
        at: Channel = {"values": [0, 50, 100]} if self.key == "rain" else {"tickCount": 4}
        grid = {"title": None, "orient": "left", "grid": True, "domain": False, "ticks": False, **at}
        return quantity(field, scale=scale, title=None, axis=grid if axis else None)


def weather_hours_picture(plan: HasWeather) -> Picture | None:
    """The picture; None where no hour has any weather."""
    every = party_hours(plan.weather)
    hours = [hour for hour in every if _known(hour)]
    if not hours:
        return None
    panels = _panels(hours, plan.units)
    clocks = {width: slab_clock(every, width) for width in WIDTH_PX}
    gaps = unknown_runs(every, _known)
    return Picture(
        key="weather-hours",
        title="The weather at the slab by the hour",
        caption="At the height of the slab, hour by hour. The bands hold eight in ten of the courses the weather may "
        f"take, the line is the middle one; a bar is the chance of {least_rain_words(plan.units)} of rain or more in "
        "the hour.",
        alt=_alt(plan, every, hours),
        keys=(
            Key("band-temperature", "temperature"),
            Key("band-wind", "wind"),
            Key("bar-rain", "chance of rain"),
            *((TIE_ON_KEY,) if plan.weather.met else ()),
        ),
        specs={width: _draw(panels, clock) for width, clock in clocks.items()},
        datasets={
            "hours": _rows(every, plan.units),
            "panels": [{"title": panel.title, "panel": panel.key} for panel in panels],
            "gaps": [row for clock in clocks.values() for row in unknown_words(gaps, clock)],
            "tie_on": [row for clock in clocks.values() for row in tie_on_rows(plan.weather.met, clock)],
        },
    )


def _known(hour: SlabHour) -> bool:
    return any(is_known(value) for value in (*hour.temperature_C, *hour.wind_m_s, hour.rain_share))


# --- data ----------------------------------------------------------------------------------------------------------


def shown_temperature(temperature_C: float, units: Units) -> float:
    """A temperature in the unit it is shown in."""
    return KINDS["temperature"].of_si(temperature_C, "C" if units == "si" else "F")


def shown_speed(speed_m_s: float, units: Units) -> float:
    """A speed in the unit it is shown in."""
    return KINDS["speed"].of_si(speed_m_s, "km/h" if units == "si" else "mph")


def _rows(hours: Sequence[SlabHour], units: Units) -> list[Row]:
    """One row for each hour; None where a part of it is not known, which breaks the lines."""
    rows: list[Row] = []
    for hour in hours:
        from_h = hour.clock_s / HOUR_S
        row: Row = {"from_h": from_h, "to_h": from_h + 1.0, "clock": show_clock(hour.clock_s)}
        row |= _band("temperature", [shown_temperature(value, units) for value in hour.temperature_C])
        row |= _band("wind", [shown_speed(value, units) for value in hour.wind_m_s])
        row |= {"rain": 100.0 * hour.rain_share if is_known(hour.rain_share) else None, "none": 0.0}
        row |= {
            "temperature_says": said_span(hour.temperature_C, show_temperature, units),
            "wind_says": said_span(hour.wind_m_s, show_speed, units),
            "rain_says": show_share(hour.rain_share) if is_known(hour.rain_share) else "not known",
        }
        rows.append(row)
    return rows


def _band(key: str, values: Sequence[float]) -> Row:
    names = (f"{key}_low", f"{key}_middle", f"{key}_high")
    return {field: value if is_known(value) else None for field, value in zip(names, values, strict=True)}


def _panels(hours: Sequence[SlabHour], units: Units) -> list[_Panel]:
    """The panels that have something to show, from the top down."""
    temperatures = [shown_temperature(value, units) for hour in hours for value in hour.temperature_C]
    winds = [shown_speed(value, units) for hour in hours for value in hour.wind_m_s]
    rains = [hour.rain_share for hour in hours]
    speed, degree = ("km/h", "°C") if units == "si" else ("mph", "°F")
    panels: list[_Panel] = []
    for key, title, values in (
        ("temperature", f"temperature ({degree})", temperatures),
        ("wind", f"wind ({speed})", winds),
        ("rain", "chance of rain (%)", rains),
    ):
        known = [value for value in values if is_known(value)]
        if known:
            low, high = (min(known), max(known)) if key == "temperature" else (0.0, max(known))
            edge = _EDGE * max(high - low, 1.0)
            low, high = (low - edge, high + edge) if key == "temperature" else (0.0, high + edge)
            low, high = (0.0, 100.0) if key == "rain" else (low, high)
            top_px = (panels[-1].bottom_px + _GAP_PX if panels else HEAD_PX) + _TITLE_PX
            panels.append(_Panel(key, title, low, high, top_px))
    return panels


def _alt(plan: HasWeather, every: Sequence[SlabHour], hours: Sequence[SlabHour]) -> str:
    units, sentences = plan.units, tie_on_sentences(plan.weather.met)
    clocks = f"{show_clock(every[0].clock_s)} to {show_clock(every[-1].clock_s + HOUR_S)}"
    cold = _extreme(hours, lambda hour: -hour.temperature_C[1])
    warm = _extreme(hours, lambda hour: hour.temperature_C[1])
    windy = _extreme(hours, lambda hour: hour.wind_m_s[1])
    rainy = _extreme(hours, lambda hour: hour.rain_share)
    if cold and warm:
        span = [show_temperature(hour.temperature_C[1], units) for hour in (cold, warm)]
        sentences.append(f"Coldest at {show_clock(cold.clock_s)}, {span[0]}; warmest at {show_clock(warm.clock_s)}, "
                         f"{span[1]}.")  # fmt: skip
    if windy:
        sentences.append(f"Most wind at {show_clock(windy.clock_s)}, {said_span(windy.wind_m_s, show_speed, units)}.")
    if rainy:
        rain = f", {show_rain(rainy.rain_mm, units)}" if is_known(rainy.rain_mm) else ""
        sentences.append(f"Rain likeliest from {show_clock(rainy.clock_s)}, {show_share(rainy.rain_share)}{rain}.")
    if len(hours) < len(every):
        sentences.append(f"Nothing is known of {counted(len(every) - len(hours), 'hour')}.")
    return f"At the slab, {clocks}. {' '.join(sentences)}"


def _extreme(hours: Iterable[SlabHour], value: Callable[[SlabHour], float]) -> SlabHour | None:
    known = [hour for hour in hours if math.isfinite(value(hour))]
    return max(known, key=value) if known else None


# --- drawing -------------------------------------------------------------------------------------------------------


def _draw(panels: Sequence[_Panel], clock: SlabClock) -> Spec:
    height_px = panels[-1].bottom_px
    layers = [
        *(layer for panel in panels for layer in _panel_layers(panel, clock, carries_clock=panel is panels[0])),
        *(_title(panel, clock) for panel in panels),
        _gap_words(panels, clock),
        *tie_on_layers(clock, height_px),
    ]
    # Every panel has its own scale up, over its own part of the sheet.
    return chart(layers, clock.width, height_px, MARGINS[clock.width], resolve={"scale": {"y": "independent"}})


def _panel_layers(panel: _Panel, clock: SlabClock, carries_clock: bool) -> list[Spec]:
    across = {"x": clock.x("from_h", axis=carries_clock), "x2": {"field": "to_h"}}
    told = tooltip(clock="From", temperature_says="Temperature", wind_says="Wind", rain_says="Rain")
    if panel.key == "rain":
        bar = {**across, "y": panel.y("rain", axis=True), "y2": {"field": "none"}, "tooltip": told}
        return [layer("hours", "rect", bar, "datum.rain !== null", color=theme.BLUE, stroke=theme.PAPER, aria=False)]
    pale, ink = (theme.ORANGE, theme.VERMILLION_INK) if panel.key == "temperature" else (theme.GREEN, theme.INK)
    low, middle, high = (f"{panel.key}_{part}" for part in ("low", "middle", "high"))
    band = {**across, "y": panel.y(low, axis=True), "y2": {"field": high}, "tooltip": told}
    step = {"x": clock.x("from_h"), "y": panel.y(middle)}
    # The step ends where its last hour begins; the rule goes on to that hour's end.
    hour = {**step, "x2": {"field": "to_h"}}
    return [
        layer("hours", "rect", band, f"datum.{low} !== null", color=pale, opacity=0.4, aria=False),
        layer("hours", "line", step, color=ink, strokeWidth=2, aria=False, interpolate="step-after"),
        layer("hours", "rule", hour, f"datum.{middle} !== null", color=ink, strokeWidth=2, aria=False),
    ]


def _title(panel: _Panel, clock: SlabClock) -> Spec:
    at = {"x": {"value": 0}, "y": {"value": panel.top_px - 5}, "text": name("title")}
    return layer(
        "panels", "text", at, f"datum.panel == '{panel.key}'",
        align="left", baseline="bottom", color=theme.QUIET_INK, fontSize=theme.TEXT_PX[clock.width],
    )  # fmt: skip


def _gap_words(panels: Sequence[_Panel], clock: SlabClock) -> Spec:
    middle_px = (panels[0].top_px + panels[0].bottom_px) / 2.0
    at = {"x": clock.x("clock_h"), "y": {"value": middle_px}, "text": name("words")}
    return layer(
        "gaps", "text", at, f"datum.width == '{clock.width}'", color=theme.QUIET_INK,
        fontSize=theme.TEXT_PX[clock.width] - 1,
    )  # fmt: skip
