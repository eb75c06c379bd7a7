"""Light, sun and storm in the day strip: the spans of the three strips, and their words where there is room."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from handline.brief.figures import theme
from handline.brief.figures.day_strip_sheet import Sheet
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import Row
from handline.day.plan import Light, Storm
from handline.day.plan_weather import PlaceSun, SkyPlan
from handline.day.sky_setting import FACING_NOT_TYPED
from handline.quantity import show_clock, show_share

HOUR_S = 3600.0
Range = tuple[float, float]
Choices = list[tuple[Range, list[str]]]
"""Spans of the clock [h], each with its choices of words, the longest first."""

# How deep dark and twilight are drawn: behind the fan, and in the strip above it.
_VEIL = {"dark": 0.30, "twilight": 0.15}
_DEPTH = {"dark": 0.75, "twilight": 0.35}
_LEAST_STORM = 0.005  # a chance below this is not drawn
CHANCE_WORDS_PX = 36.0  # from one chance in words to the next


def light_spans(light: Light, clock_range_h: Range) -> list[Row]:
    """Dark and twilight as spans. Twilight lies between the dark and the sun's edge, where there is such an edge."""
    spans = [("dark", from_s, to_s) for from_s, to_s in light.dark_spans_clock_s]
    spans.append(("twilight", light.civil_dawn_clock_s, light.sunrise_clock_s))
    spans.append(("twilight", light.sunset_clock_s, light.civil_dusk_clock_s))
    rows = []
    for what, from_s, to_s in spans:
        span = seen(from_s, to_s, clock_range_h)
        if span:
            rows.append({"from_h": span[0], "to_h": span[1], "what": what, "veil": _VEIL[what], "depth": _DEPTH[what]})
    return rows


def storm_spans(storm: Storm, clock_range_h: Range) -> list[Row]:
    """The chance at the start of every step of the plan's own clock."""
    rows = []
    for (from_s, share), (to_s, _) in pairwise(zip(storm.clock_s, storm.begun_share, strict=True)):
        span = seen(from_s, to_s, clock_range_h)
        if span and share >= _LEAST_STORM:
            says = f"begun by {show_clock(from_s)} on {show_share(share)} of days"
            rows.append({"from_h": span[0], "to_h": span[1], "share": share, "says": says})
    return rows


def moon_spans(sky: SkyPlan, clock_range_h: Range) -> list[Row]:
    """When the moon lights the dark."""
    spans = [seen(from_s, to_s, clock_range_h) for from_s, to_s in sky.moonlit_spans_clock_s]
    return [{"from_h": span[0], "to_h": span[1]} for span in spans if span]


def sun_spans(sky: SkyPlan, clock_range_h: Range) -> list[Row]:
    """When the sun is on the slab, the first of the places; over its horizon, where its facing is not known."""
    rows = []
    for place in sky.places[:1]:
        for from_s, to_s in place.spans_clock_s:
            span = seen(from_s, to_s, clock_range_h)
            if span:
                rows.append({"from_h": span[0], "to_h": span[1], "says": sun_span_words(place, (from_s, to_s))})
    return rows


def strip_words(light: Light, storm: Storm, sky: SkyPlan, sheet: Sheet) -> list[Row]:
    """Words of the strips of the sky for one width, each in the middle of what is seen of its span."""
    return [
        *fitting("light", [*_dark_words(light, sky, sheet), *_light_words(light, sheet)], sheet),
        *fitting("sun", _sun_words(sky, sheet), sheet),
        *_storm_words(storm, sheet),
    ]


def fitting(strip: str, spans: Choices, sheet: Sheet) -> list[Row]:
    """For every span the longest of its words that fit."""
    text_px = theme.TEXT_PX[sheet.width] - 1
    rows: list[Row] = []
    for (from_h, to_h), choices in spans:
        fits = [words for words in choices if words_width_px(words, text_px) <= (to_h - from_h) * sheet.hour_px]
        if fits:
            rows.append({"strip": strip, "clock_h": (from_h + to_h) / 2.0, "words": fits[0]})
    return rows


def _dark_words(light: Light, sky: SkyPlan, sheet: Sheet) -> Choices:
    """Dark and twilight; the dark tells where the moon is."""
    moon = [(row["from_h"], row["to_h"]) for row in moon_spans(sky, sheet.clock_range_h)]
    told: Choices = []
    for span in light_spans(light, sheet.clock_range_h):
        whole = (span["from_h"], span["to_h"])
        if span["what"] == "dark":
            told += [(piece, ["dark, moon", "moon"] if lit else ["dark"]) for piece, lit in _split(whole, moon)]
        else:
            told.append((whole, [span["what"]]))
    return told


def _split(whole: Range, parts: Sequence[Range]) -> list[tuple[Range, bool]]:
    """A span cut where the parts begin and end, each piece with whether it lies in one of them."""
    cuts = {edge for part in parts for edge in part if whole[0] < edge < whole[1]}
    edges = sorted({*whole, *cuts})
    return [((low, high), any(first <= low and high <= last for first, last in parts)) for low, high in pairwise(edges)]


def _sun_words(sky: SkyPlan, sheet: Sheet) -> Choices:
    first_h, last_h = sheet.clock_range_h
    if not sky.places:
        return [((first_h, last_h), ["not known"])]
    place = sky.places[0]
    if not place.spans_clock_s:
        return [((first_h, last_h), ["no sun on this day", "no sun"])]
    told: Choices = []
    for span in place.spans_clock_s:
        in_range = seen(*span, sheet.clock_range_h)
        if in_range:
            words = sun_span_words(place, span)
            told.append((in_range, [words, words.removeprefix("sun "), "sun"]))
    return told


def sun_span_words(place: PlaceSun, span: Range) -> str:
    """One span of the sun: "sun 07:36 to 11:06"; without an edge where it does not come or go that day."""
    from_s, to_s = span
    comes = not (span == place.spans_clock_s[0] and math.isnan(place.first_clock_s))
    goes = not (span == place.spans_clock_s[-1] and math.isnan(place.last_clock_s))
    if comes and goes:
        return f"sun {show_clock(from_s)} to {show_clock(to_s)}"
    if comes:
        return f"sun from {show_clock(from_s)}"
    return f"sun to {show_clock(to_s)}" if goes else "sun all day"


def sun_sentence(sky: SkyPlan) -> str:
    """The strip of the sun in words."""
    if not sky.places:
        return "When the sun is on the slab is not known."
    place = sky.places[0]
    spans = [sun_span_words(place, span).removeprefix("sun ") for span in place.spans_clock_s]
    where = "Sun on the slab" if faces_known(sky) else "Sun over the slab's horizon, which way it faces is not typed"
    return f"{where}: {', '.join(spans) or 'none on this day'}."


def faces_known(sky: SkyPlan) -> bool:
    """Whether the slab's own slope counts in its sun."""
    return all(FACING_NOT_TYPED not in place.notes for place in sky.places[:1])


def _light_words(light: Light, sheet: Sheet) -> Choices:
    """Every stretch without dark with its choices of words: the sun's hours on the plan's day, else the light's."""
    told: Choices = []
    for from_s, to_s in _light_stretches(light):
        rise_s, set_s = light.sunrise_clock_s, light.sunset_clock_s
        has_sun = from_s <= rise_s < set_s <= to_s
        if has_sun:
            from_s, to_s = rise_s, set_s
        span = seen(from_s, to_s, sheet.clock_range_h)
        if span:
            told.append((span, _stretch_words("sun" if has_sun else "light", from_s, to_s, light.says)))
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
    step_h = sheet.step_h(CHANCE_WORDS_PX)
    rows: list[Row] = []
    for clock_s, share in zip(storm.clock_s, storm.begun_share, strict=True):
        x_px, _ = sheet.at_px(clock_s / HOUR_S, 0.0)
        inside = CHANCE_WORDS_PX / 2.0 <= x_px <= sheet.width_px - CHANCE_WORDS_PX / 2.0
        if inside and clock_s / HOUR_S % step_h == 0 and share >= _LEAST_STORM:
            rows.append({"strip": "storm", "clock_h": clock_s / HOUR_S, "words": f"{share:.0%}"})
    return rows


def seen(from_s: float, to_s: float, clock_range_h: Range) -> Range | None:
    """What of a span lies within the range [h], None where nothing does or the span has no edge."""
    if math.isnan(from_s) or math.isnan(to_s):
        return None
    from_h, to_h = max(from_s / HOUR_S, clock_range_h[0]), min(to_s / HOUR_S, clock_range_h[1])
    return (from_h, to_h) if from_h < to_h else None
