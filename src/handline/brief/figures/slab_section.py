"""The slab section: the line in side view, heights and distances to one scale, and how far each slip goes on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

from handline.brief.figures import theme
from handline.brief.figures.case_rows import verdict_channels, verdict_keys
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.shown_length import ShownLength, shown_length
from handline.brief.figures.vega_lite import (
    Channel,
    Margins,
    chart,
    layer,
    name,
    place,
    quantity,
    tooltip,
    view_width_px,
)
from handline.brief.tether_cases import TetherCases, tether_cases
from handline.brief.words import foot_words, usual_force_words, usual_slide_words
from handline.day.plan import Plan
from handline.day.plan_line import LinePlan
from handline.line.audit import Outcome
from handline.quantity import show_angle, show_height, show_length

_BAR_STEP = 0.05  # of the line's length, between one slip bar and the next
_ANGLE_DEPTH = 0.075  # of the line's length, from the rock's face to the words inside it
_MARGIN = 0.03  # of the drawing, round it
_MARGINS: dict[Width, Margins] = {"wide": Margins(114, 8, 66, 44), "narrow": Margins(52, 8, 14, 42)}


def slab_section(plan: Plan) -> Picture:
    """The slab section of a plan."""
    tethers = tether_cases(plan)
    shown = shown_length(plan.units)
    outline = _Outline.of(plan.line)
    datasets = {
        "slab": [_at(outline.points[index], shown, order=index) for index in range(len(outline.points))],
        "stops": [
            _at(
                outline.at(stop_m),
                shown,
                what="anchor" if is_anchor else "stanchion",
                along=show_length(stop_m, plan.units),
            )
            for stop_m, is_anchor in zip(plan.line.stop_m, plan.line.stop_is_anchor, strict=True)
        ],
        "angles": _angles(plan.line, outline, shown),
        "slips": _slips(plan, tethers, outline, shown),
        "slip_ends": _slip_ends(plan, tethers, outline, shown),
    }
    has_stanchions = not all(plan.line.stop_is_anchor)
    return Picture(
        key="slab-section",
        title="The line from the side, and how far a slip goes",
        caption="Heights and distances to one scale. Each bar runs beside the rock from where the longest slip "
        "starts, at its number, down to where it ends, at its mark, in the case that slides farthest. Bars stand off "
        "the rock only to be told apart.",
        alt=_alt(plan, tethers),
        keys=(
            Key("anchor", "anchor in the rock"),
            *([Key("stanchion", "stanchion, standing in a socket")] if has_stanchions else []),
            *verdict_keys(tether.longest for tether in tethers),
            *(Key(f"number {tether.number}", tether.row.title) for tether in tethers),
        ),
        specs={width: _draw(datasets, shown, width) for width in WIDTH_PX},
        datasets=datasets,
    )


def _alt(plan: Plan, tethers: Sequence[TetherCases]) -> str:
    line = plan.line
    low, high = (show_angle(pick(line.section_angle_rad)) for pick in (min, max))
    anchors = sum(line.stop_is_anchor)
    sentences = [
        f"Side view of {line.name}: {show_height(line.length_m, plan.units)} of cable gaining "
        f"{show_height(line.height_m, plan.units)}, at {low} to {high}, "
        f"with {anchors} anchors and {len(line.stop_m) - anchors} stanchions."
    ]
    for tether in tethers:
        longest = tether.longest
        told = [f"{tether.number}, {tether.row.title}, {longest.case}: slides {usual_slide_words(longest, plan.units)}"]
        told += filter(None, (foot_words(longest), _force_told(longest, plan)))
        sentences.append("; ".join(told) + ".")
    return " ".join(sentences)


def _force_told(outcome: Outcome, plan: Plan) -> str:
    words = usual_force_words(outcome, plan.units)
    return f"force {words}" if math.isfinite(outcome.force_N[1]) else words


# --- geometry of the drawing -----------------------------------------------------------------------------------------

Point = tuple[float, float]


@dataclass(frozen=True)
class _Outline:
    """The slab as a bent line of points (x across, z up) [m], with the place along the line of each."""

    along_m: tuple[float, ...]
    points: tuple[Point, ...]
    angles_rad: tuple[float, ...]

    @classmethod
    def of(cls, line: LinePlan) -> _Outline:
        sections = list(zip(line.section_length_m, line.section_angle_rad, strict=True))
        return cls(
            along_m=tuple(accumulate((length for length, _ in sections), initial=0.0)),
            points=tuple(
                zip(
                    accumulate((length * math.cos(angle) for length, angle in sections), initial=0.0),
                    accumulate((length * math.sin(angle) for length, angle in sections), initial=0.0),
                    strict=True,
                )
            ),
            angles_rad=tuple(line.section_angle_rad),
        )

    def section(self, at_m: float) -> int:
        """The section that holds a place along the line."""
        inside = [index for index, end_m in enumerate(self.along_m[1:]) if at_m < end_m]
        return inside[0] if inside else len(self.angles_rad) - 1

    def at(self, at_m: float, away_m: float = 0.0) -> Point:
        """The point at a place along the line, ``away_m`` off the rock."""
        index = self.section(at_m)
        angle_rad, beyond_m = self.angles_rad[index], at_m - self.along_m[index]
        x_m, z_m = self.points[index]
        return (
            x_m + beyond_m * math.cos(angle_rad) - away_m * math.sin(angle_rad),
            z_m + beyond_m * math.sin(angle_rad) + away_m * math.cos(angle_rad),
        )

    def beside(self, low_m: float, high_m: float, away_m: float) -> list[Point]:
        """A bar beside the rock between two places along the line, bent where the rock bends."""
        bends = [bend_m for bend_m in self.along_m[1:-1] if low_m < bend_m < high_m]
        return [self.at(place_m, away_m) for place_m in (low_m, *bends, high_m)]


def _at(point: Point, shown: ShownLength, **row: object) -> Row:
    return {"x": shown.of(point[0]), "z": shown.of(point[1]), **row}


# --- data ------------------------------------------------------------------------------------------------------------


def _angles(line: LinePlan, outline: _Outline, shown: ShownLength) -> list[Row]:
    rows = []
    for (low_m, high_m), angle_rad in zip(pairwise(outline.along_m), line.section_angle_rad, strict=True):
        rows.append(
            _at(outline.at((low_m + high_m) / 2.0, -_ANGLE_DEPTH * line.length_m), shown, words=show_angle(angle_rad))
        )
    return rows


def _away_m(plan: Plan, tether: TetherCases) -> float:
    return tether.number * _BAR_STEP * plan.line.length_m


def _slips(plan: Plan, tethers: Sequence[TetherCases], outline: _Outline, shown: ShownLength) -> list[Row]:
    rows = []
    for tether in tethers:
        longest = tether.longest
        points = outline.beside(longest.end_m, longest.start_m, _away_m(plan, tether))
        rows += [
            _at(point, shown, order=order, tether=str(tether.number), verdict=longest.verdict)
            for order, point in enumerate(points)
        ]
    return rows


def _slip_ends(plan: Plan, tethers: Sequence[TetherCases], outline: _Outline, shown: ShownLength) -> list[Row]:
    rows = []
    for tether in tethers:
        longest, away_m = tether.longest, _away_m(plan, tether)
        told = {
            "tether": str(tether.number),
            "verdict": longest.verdict,
            "title": tether.row.title,
            "case": longest.case,
            "slide": usual_slide_words(longest, plan.units),
            "force": usual_force_words(longest, plan.units),
        }
        start, end = outline.at(longest.start_m, away_m), outline.at(longest.end_m, away_m)
        rows += [_at(start, shown, end="start", **told), _at(end, shown, end="end", **told)]
    return rows


# --- drawing ---------------------------------------------------------------------------------------------------------


def _draw(datasets: dict[str, list[Row]], shown: ShownLength, width: Width) -> Spec:
    across, up = (_range([row[axis] for rows in datasets.values() for row in rows]) for axis in ("x", "z"))
    height_px = round(view_width_px(width, _MARGINS[width]) * (up[1] - up[0]) / (across[1] - across[0]))
    ticks = {"grid": True, "tickCount": 5 if width == "narrow" else 8}

    def scale(field: str, domain: tuple[float, float], title: str) -> Channel:
        axis = {**ticks, "title": f"{title} ({shown.unit})"}
        return quantity(field, scale={"domain": list(domain), "nice": False, "zero": False}, axis=axis)

    at = {"x": scale("x", across, "across"), "y": scale("z", up, "height")}
    verdict = verdict_channels()
    stop = {**at, "tooltip": tooltip(what="Stop", along="At")}
    slip = {**at, "tooltip": tooltip(title="Tether", case="If", slide="Slide", force="Force")}
    bar = {**at, "order": quantity("order"), "detail": name("tether"), "color": verdict["color"]}
    hollow = {"filled": True, "fill": theme.PAPER, "stroke": theme.INK, "strokeWidth": 1, "opacity": 1}
    starts, ends = "datum.end == 'start'", "datum.end == 'end'"
    layers = [
        layer("slab", "area", {**at, "y2": place(up[0])}, color=theme.ROCK, opacity=1),
        layer("slab", "line", {**at, "order": quantity("order")}, color=theme.QUIET_INK, strokeWidth=2),
        layer("stops", "point", stop, "datum.what == 'stanchion'", size=20, **hollow),
        layer(
            "stops", "point", stop, "datum.what == 'anchor'",
            filled=True, shape="square", color=theme.INK, size=70, opacity=1,
        ),
        layer("angles", "text", {**at, "text": name("words")}, color=theme.QUIET_INK),
        layer("slips", "line", bar, strokeWidth=5, strokeCap="round"),
        layer("slip_ends", "point", {**slip, **verdict}, ends, filled=True, size=110, opacity=1),
        layer("slip_ends", "point", slip, starts, size=230, **hollow),
        layer("slip_ends", "text", {**at, "text": name("tether")}, starts, fontWeight="bold"),
    ]  # fmt: skip
    return chart(layers, width, height_px, _MARGINS[width])


def _range(values: Sequence[float]) -> tuple[float, float]:
    low, high = min(values), max(values)
    return low - _MARGIN * (high - low), high + _MARGIN * (high - low)
