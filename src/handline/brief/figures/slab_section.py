"""The slab section: the line in side view, heights and distances to one scale, and how far each slip goes on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from handline.brief.figures import theme
from handline.brief.figures.case_rows import verdict_colour, verdict_shape
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.shown_length import ShownLength, shown_length
from handline.brief.tether_cases import TetherCases, tether_cases
from handline.brief.words import force_words, foot_words, slide_words
from handline.day.plan import LinePlan, Plan
from handline.quantity import show_angle, show_height, show_length

if TYPE_CHECKING:
    import altair as alt

_BAR_STEP = 0.052  # of the line's length, between one slip bar and the next
_MARGIN = 0.035  # of the line's length, round the drawing
_AXIS_ROOM_PX: dict[Width, int] = {"wide": 62, "narrow": 52}


def slab_section(plan: Plan) -> Picture:
    """The slab section of a plan."""
    tethers = tether_cases(plan)
    shown = shown_length(plan.units)
    outline = _Outline.of(plan.line)
    datasets = {
        "slab": [_at(outline.points[index], shown, order=index) for index in range(len(outline.points))],
        "stops": [
            _at(outline.at(stop_m), shown, what="anchor" if is_anchor else "stanchion", along=show_length(stop_m, plan.units))
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
        caption="Heights and distances to one scale. Each bar runs beside the rock from where the longest slip starts, at "
        "its number, down to where it ends, at its mark, in the case that slides farthest; the numbers are those of the "
        "table of tethers.",
        alt=_alt(plan, tethers),
        keys=(
            Key("anchor", "anchor in the rock"),
            *([Key("stanchion", "stanchion, standing in a socket")] if has_stanchions else []),
            *(Key(f"verdict-{verdict.replace(' ', '-')}", theme.VERDICT_WORDS[verdict]) for verdict in theme.VERDICTS),
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
        told = [f"{tether.number}, {tether.row.title}, {longest.case}: slide {slide_words(longest, plan.units)}"]
        told += [words for words in (foot_words(longest), f"force {force_words(longest, plan.units)}") if words]
        sentences.append(", ".join(told) + ".")
    return " ".join(sentences)


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
        rows.append(_at(outline.at((low_m + high_m) / 2.0, -_BAR_STEP * line.length_m), shown, words=show_angle(angle_rad)))
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
            "slide": slide_words(longest, plan.units),
            "force": force_words(longest, plan.units),
        }
        start, end = outline.at(longest.start_m, away_m), outline.at(longest.end_m, away_m)
        rows += [_at(start, shown, end="start", **told), _at(end, shown, end="end", **told)]
    return rows


# --- drawing ---------------------------------------------------------------------------------------------------------


def _draw(datasets: dict[str, list[Row]], shown: ShownLength, width: Width) -> Spec:
    import altair as alt

    everything = [row for rows in datasets.values() for row in rows]
    xs, zs = [row["x"] for row in everything], [row["z"] for row in everything]
    margin = _MARGIN * (max(xs) - min(xs))
    x_range = [min(xs) - margin, max(xs) + margin]
    z_range = [min(zs) - margin, max(zs) + margin]
    view_width_px = WIDTH_PX[width] - _AXIS_ROOM_PX[width]
    view_height_px = round(view_width_px * (z_range[1] - z_range[0]) / (x_range[1] - x_range[0]))

    def layer(name: str) -> alt.Chart:
        return alt.Chart(alt.NamedData(name))

    axis = {"grid": True, "tickCount": 5 if width == "narrow" else 8}
    x = alt.X(
        "x:Q", scale=alt.Scale(domain=x_range, nice=False, zero=False), axis=alt.Axis(title=f"across ({shown.unit})", **axis)
    )
    z = alt.Y(
        "z:Q", scale=alt.Scale(domain=z_range, nice=False, zero=False), axis=alt.Axis(title=f"height ({shown.unit})", **axis)
    )
    slab, stops, ends = layer("slab"), layer("stops"), layer("slip_ends")
    tooltip = [
        alt.Tooltip("title:N", title="Tether"),
        alt.Tooltip("case:N", title="If"),
        alt.Tooltip("slide:N", title="Slide"),
        alt.Tooltip("force:N", title="Force"),
    ]
    chart = alt.layer(
        slab.mark_area(color=theme.ROCK, opacity=1).encode(x=x, y=z, y2=alt.Y2Datum(z_range[0])),
        slab.mark_line(color=theme.QUIET_INK, strokeWidth=2).encode(x="x:Q", y="z:Q", order="order:Q"),
        stops.transform_filter("datum.what == 'stanchion'")
        .mark_point(filled=True, fill=theme.PAPER, stroke=theme.INK, strokeWidth=1, size=20, opacity=1)
        .encode(x="x:Q", y="z:Q", tooltip=[alt.Tooltip("what:N", title="Stop"), alt.Tooltip("along:N", title="At")]),
        stops.transform_filter("datum.what == 'anchor'")
        .mark_point(filled=True, shape="square", color=theme.INK, size=70, opacity=1)
        .encode(x="x:Q", y="z:Q", tooltip=[alt.Tooltip("what:N", title="Stop"), alt.Tooltip("along:N", title="At")]),
        layer("angles").mark_text(align="left", color=theme.QUIET_INK).encode(x="x:Q", y="z:Q", text="words:N"),
        layer("slips").mark_line(strokeWidth=5, strokeCap="round").encode(x="x:Q", y="z:Q", order="order:Q", detail="tether:N", color=verdict_colour()),
        ends.transform_filter("datum.end == 'end'")
        .mark_point(filled=True, size=90, opacity=1, stroke=theme.PAPER, strokeWidth=1)
        .encode(x="x:Q", y="z:Q", color=verdict_colour(), shape=verdict_shape(), tooltip=tooltip),
        ends.transform_filter("datum.end == 'start'")
        .mark_point(filled=True, fill=theme.PAPER, stroke=theme.INK, strokeWidth=1.2, size=230, opacity=1)
        .encode(x="x:Q", y="z:Q", tooltip=tooltip),
        ends.transform_filter("datum.end == 'start'")
        .mark_text(fontWeight="bold")
        .encode(x="x:Q", y="z:Q", text="tether:N"),
    ).properties(width=view_width_px, height=view_height_px)
    spec: Spec = chart.to_dict()
    spec["config"] = theme.config(width)
    return spec
