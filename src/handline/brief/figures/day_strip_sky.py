"""Light and storm in the day strip: the spans of the two strips, and their words where there is room."""

from __future__ import annotations

import math
from itertools import pairwise

from handline.brief.figures import theme
from handline.brief.figures.day_strip_sheet import Sheet
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import Row
from handline.day.plan import Light, Storm
from handline.quantity import show_clock, show_share

HOUR_S = 3600.0
Range = tuple[float, float]

# How deep dark and twilight are drawn: behind the fan, and in the strip above it.
_VEIL = {"dark": 0.30, "twilight": 0.15}
_DEPTH = {"dark": 0.75, "twilight": 0.35}
_LEAST_STORM = 0.005  # a chance below this is not drawn
_STORM_WORDS_PX = 36.0  # from one chance in words to the next


def light_spans(light: Light, clock_range_h: Range) -> list[Row]:
    """Dark and twilight as spans. Twilight lies between the dark and the sun's edge, where there is such an edge."""
    spans = [("dark", from_s, to_s) for from_s, to_s in light.dark_spans_clock_s]
    spans.append(("twilight", light.civil_dawn_clock_s, light.sunrise_clock_s))
    spans.append(("twilight", light.sunset_clock_s, light.civil_dusk_clock_s))
    rows = []
    for what, from_s, to_s in spans:
        seen = _seen(from_s, to_s, clock_range_h)
        if seen:
            rows.append({"from_h": seen[0], "to_h": seen[1], "what": what, "veil": _VEIL[what], "depth": _DEPTH[what]})
    return rows


def storm_spans(storm: Storm, clock_range_h: Range) -> list[Row]:
    """The chance at the start of every step of the plan's own clock."""
    rows = []
    for (from_s, share), (to_s, _) in pairwise(zip(storm.clock_s, storm.begun_share, strict=True)):
        seen = _seen(from_s, to_s, clock_range_h)
        if seen and share >= _LEAST_STORM:
            says = f"begun by {show_clock(from_s)} on {show_share(share)} of days"
            rows.append({"from_h": seen[0], "to_h": seen[1], "share": share, "says": says})
    return rows


def strip_words(light: Light, storm: Storm, sheet: Sheet) -> list[Row]:
    """Words of both strips for one width, each in the middle of what is seen of its span and only where it fits."""
    text_px = theme.TEXT_PX[sheet.width] - 1
    rows = []
    for (from_h, to_h), choices in [*_dark_words(light, sheet), *_light_words(light, sheet)]:
        fits = [words for words in choices if words_width_px(words, text_px) <= (to_h - from_h) * sheet.hour_px]
        if fits:
            rows.append({"strip": "light", "clock_h": (from_h + to_h) / 2.0, "words": fits[0]})
    rows += _storm_words(storm, sheet)
    return [{"width": sheet.width, **row} for row in rows]


def _dark_words(light: Light, sheet: Sheet) -> list[tuple[Range, list[str]]]:
    return [((span["from_h"], span["to_h"]), [span["what"]]) for span in light_spans(light, sheet.clock_range_h)]


def _light_words(light: Light, sheet: Sheet) -> list[tuple[Range, list[str]]]:
    """Every stretch without dark with its choices of words: the sun's hours on the plan's day, else the light's."""
    told = []
    for from_s, to_s in _light_stretches(light):
        rise_s, set_s = light.sunrise_clock_s, light.sunset_clock_s
        has_sun = from_s <= rise_s < set_s <= to_s
        if has_sun:
            from_s, to_s = rise_s, set_s
        seen = _seen(from_s, to_s, sheet.clock_range_h)
        if seen:
            told.append((seen, _stretch_words("sun" if has_sun else "light", from_s, to_s, light.says)))
    return told


def _light_stretches(light: Light) -> list[Range]:
    """What lies between the dark spans, endless where no dark is known."""
    edges = [-math.inf, *(clock_s for span in light.dark_spans_clock_s for clock_s in span), math.inf]
    return list(zip(edges[::2], edges[1::2], strict=True))


def _stretch_words(what: str, from_s: float, to_s: float, says: str) -> list[str]:
    """The longest words first."""
    if math.isinf(from_s) and math.isinf(to_s):
        return [says, "light all day", "light"] if says else ["light all day", "light"]
    if math.isinf(from_s):
        return [f"{what} to {show_clock(to_s)}", what]
    if math.isinf(to_s):
        return [f"{what} from {show_clock(from_s)}", what]
    return [f"{what} {show_clock(from_s)} to {show_clock(to_s)}", what]


def _storm_words(storm: Storm, sheet: Sheet) -> list[Row]:
    """The chance in words at even hours, from the plan's own sample at that hour."""
    step_h = sheet.step_h(_STORM_WORDS_PX)
    rows: list[Row] = []
    for clock_s, share in zip(storm.clock_s, storm.begun_share, strict=True):
        x_px, _ = sheet.at_px(clock_s / HOUR_S, 0.0)
        inside = _STORM_WORDS_PX / 2.0 <= x_px <= sheet.width_px - _STORM_WORDS_PX / 2.0
        if inside and clock_s / HOUR_S % step_h == 0 and share >= _LEAST_STORM:
            rows.append({"strip": "storm", "clock_h": clock_s / HOUR_S, "words": f"{share:.0%}"})
    return rows


def _seen(from_s: float, to_s: float, clock_range_h: Range) -> Range | None:
    """What of a span lies within the range [h], None where nothing does or the span has no edge."""
    if math.isnan(from_s) or math.isnan(to_s):
        return None
    from_h, to_h = max(from_s / HOUR_S, clock_range_h[0]), min(to_s / HOUR_S, clock_range_h[1])
    return (from_h, to_h) if from_h < to_h else None
