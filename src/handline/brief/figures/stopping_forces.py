"""Stopping forces: every tether and case as a bar from the typical to the worst force, beside body and part limits."""

from __future__ import annotations

import math

from handline.brief.figures import theme
from handline.brief.figures.case_rows import (
    ROW_MARGINS,
    ROW_SHAPE,
    case_rows,
    head_row,
    row_scale,
    row_words,
    rows_height_px,
    verdict_channels,
    verdict_keys,
    with_words,
)
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import chart, layer, name, quantity, tooltip
from handline.brief.tether_cases import tether_cases
from handline.brief.words import usual_force_words
from handline.day.plan import Plan
from handline.quantity import show_force, show_mass

_MARK_PX = 9  # how far the mark of a limit reaches above and below a bar
_TICKS_kN = (1, 2, 5, 10, 20, 50, 100, 200)


def stopping_forces(plan: Plan) -> Picture:
    """The stopping forces of a plan."""
    rows = _rows(plan)
    limits = _limits(plan)
    marks = [{"row": row["row"], "at": limit["at"], "own": limit["own"]} for row in rows for limit in limits]
    range_kN = _drawn_range(rows, limits)
    body = ", ".join(f"{limit['words']} kN ({limit['what']})" for limit in limits)
    return Picture(
        key="stopping-forces",
        title="How hard each tether stops a slip",
        caption=f"A body with pack of {show_mass(plan.line.body_mass_kg, plan.units)} on {plan.line.rock} rock. "
        "Each bar runs from the usual to the worst force. "
        f"The upright lines are limits on the body: {body}. Each doubling takes the same room.",
        alt=f"Limits on the body: {body}. " + " ".join(f"{row['label']}: {row['words']}." for row in rows),
        keys=(
            *verdict_keys(outcome for tether in tether_cases(plan) for outcome in tether.cases),
            Key("limit", "a limit on the body"),
            Key("own-limit", "the limit the party set"),
            Key("part", "strength of the weakest part"),
        ),
        specs={width: _draw(len(rows), range_kN, width) for width in WIDTH_PX},
        datasets={"cases": rows, "limits": limits, "marks": marks},
    )


def _rows(plan: Plan) -> list[Row]:
    rows = []
    for row, tether, outcome in case_rows(plan):
        typical_kN, worst_kN = (_kilonewtons(force_N) for force_N in outcome.force_N)
        part_kN = _kilonewtons(tether.part_N)
        # Forces in the picture are in kN alone, like its axis; the tables below give pounds as well.
        words = usual_force_words(outcome, "si")
        if part_kN is not None and worst_kN is not None:
            # The unit once, at the end: a phone has no room for three.
            words = f"{words.replace(' kN', '')}, part {show_force(tether.part_N, 'si')}"
        rows.append({**with_words(row, words), "typical": typical_kN, "worst": worst_kN, "part": part_kN})
    return rows


def _kilonewtons(force_N: float) -> float | None:
    """A force as it is drawn; None where a scale of doublings has no place for it."""
    return force_N / 1000.0 if math.isfinite(force_N) and force_N > 0.0 else None


def _limits(plan: Plan) -> list[Row]:
    """Limits on the body, each force once, the party's own marked."""
    own_N = plan.line.body_force_N
    by_force_N = {limit.force_N: limit.what for limit in plan.line.limits if limit.of == "body"}
    by_force_N[own_N] = "; ".join(filter(None, ("the limit you set", by_force_N.get(own_N))))
    return [
        {"at": force_N / 1000.0, "words": f"{force_N / 1000.0:g}", "what": by_force_N[force_N], "own": force_N == own_N}
        for force_N in sorted(by_force_N)
    ]


def _drawn_range(rows: list[Row], limits: list[Row]) -> tuple[float, float]:
    drawn = [row[name] for row in rows for name in ("typical", "worst", "part") if row[name] is not None]
    drawn += [limit["at"] for limit in limits]
    positive = [force_kN for force_kN in drawn if force_kN > 0.0]
    return 0.8 * min(positive), 1.15 * max(positive)


def _draw(count: int, range_kN: tuple[float, float], width: Width) -> Spec:
    bar_px, y, verdict = ROW_SHAPE[width].bar_px, row_scale(count, width), verdict_channels()
    ticks = [tick for tick in _TICKS_kN if range_kN[0] <= tick <= range_kN[1]]
    scale = {"type": "log", "domain": list(range_kN), "nice": False}
    at = quantity("at", scale=scale, axis={"values": ticks, "title": "force (kN)", "grid": False})
    bar = {"x": quantity("typical"), "x2": {"field": "worst"}, "y": y, "color": verdict["color"]}
    worst = {"x": quantity("worst"), "y": y, **verdict, "tooltip": tooltip(label="Tether", words="Force")}
    mark = {"x": quantity("at"), "y": y, "y2": {"field": "row"}}
    span = {"yOffset": bar_px - _MARK_PX, "y2Offset": bar_px + _MARK_PX}
    stopped, own = "isValid(datum.worst) && isValid(datum.typical)", "datum.own"
    layers = [
        layer("marks", "rule", mark, f"!{own}", color=theme.QUIET_INK, strokeDash=[3, 2], **span),
        layer("marks", "rule", mark, own, color=theme.INK, strokeWidth=2, **span),
        layer(
            "limits", "text", {"x": at, "y": head_row(), "text": name("words")},
            baseline="middle", fontSize=theme.TEXT_PX[width], fontWeight="bold",
        ),
        layer("cases", "rule", bar, stopped, strokeWidth=6, yOffset=bar_px, y2Offset=bar_px),
        layer("cases", "point", worst, stopped, filled=True, size=100, opacity=1, yOffset=bar_px),
        layer(
            "cases", "point", {"x": quantity("part"), "y": y}, f"{stopped} && isValid(datum.part)",
            filled=True, shape="diamond", size=90, color=theme.INK, opacity=1, yOffset=bar_px,
        ),
        *row_words(count, range_kN[0], width),
    ]  # fmt: skip
    return chart(layers, width, rows_height_px(count, width), ROW_MARGINS)
