"""Stopping forces: every tether and case as a bar from the typical to the worst force, beside body and part limits."""

from __future__ import annotations

import math

from handline.brief.figures import theme
from handline.brief.figures.case_rows import (
    ROW_SHAPE,
    case_rows,
    row_scale,
    row_words,
    rows_height_px,
    verdict_colour,
    verdict_shape,
)
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.words import force_words
from handline.day.plan import Plan
from handline.line.limits import LIMITS
from handline.quantity import show_force

_TICKS_kN = (1, 2, 5, 10, 20, 50, 100, 200)


def stopping_forces(plan: Plan) -> Picture:
    """The stopping forces of a plan."""
    rows = _rows(plan)
    limits = _limits(plan)
    range_kN = _range_kN(rows, limits)
    body = ", ".join(f"{limit['words']} kN ({limit['what']})" for limit in limits)
    return Picture(
        key="stopping-forces",
        title="How hard each tether stops a slip",
        caption=f"On {plan.line.rock} rock, for a body with pack at the limit you set of "
        f"{show_force(plan.line.body_force_N, plan.units)}. Each bar runs from the typical to the worst force. "
        f"The upright lines are limits on the body: {body}. Each doubling takes the same room.",
        alt=f"Limits on the body: {body}. " + " ".join(f"{row['label']}: {row['words']}." for row in rows),
        keys=(
            *(Key(f"verdict-{verdict.replace(' ', '-')}", theme.VERDICT_WORDS[verdict]) for verdict in theme.VERDICTS),
            Key("limit", "a limit on the body"),
            Key("own-limit", "the limit the party set"),
            Key("part", "strength of the weakest part"),
        ),
        specs={width: _draw(len(rows), range_kN, width) for width in WIDTH_PX},
        datasets={"cases": rows, "limits": limits},
    )


def _rows(plan: Plan) -> list[Row]:
    rows = []
    for row, tether, outcome in case_rows(plan):
        typical_kN, worst_kN = (_kN(force_N) for force_N in outcome.force_N)
        part_kN = _kN(tether.part_N) if tether.part_N > 0.0 else None
        part = f"; weakest part {show_force(tether.part_N, 'si')}" if part_kN is not None and worst_kN is not None else ""
        words = force_words(outcome, plan.units) + part
        rows.append({**row, "typical": typical_kN, "worst": worst_kN, "part": part_kN, "words": words})
    return rows


def _kN(force_N: float) -> float | None:
    return force_N / 1000.0 if math.isfinite(force_N) else None


def _limits(plan: Plan) -> list[Row]:
    """Limits on the body, each force once, the party's own marked."""
    own_N = plan.line.body_force_N
    by_force_N = {limit.force_N: limit.what for limit in plan.line.limits if limit.key in LIMITS and LIMITS[limit.key].of == "body"}
    by_force_N[own_N] = "; ".join(filter(None, ("the limit you set", by_force_N.get(own_N))))
    return [
        {"at": force_N / 1000.0, "words": f"{force_N / 1000.0:g}", "what": by_force_N[force_N], "own": force_N == own_N}
        for force_N in sorted(by_force_N)
    ]


def _range_kN(rows: list[Row], limits: list[Row]) -> tuple[float, float]:
    drawn = [row[name] for row in rows for name in ("typical", "worst", "part") if row[name] is not None]
    drawn += [limit["at"] for limit in limits]
    positive = [force_kN for force_kN in drawn if force_kN > 0.0]
    return 0.8 * min(positive), 1.15 * max(positive)


def _draw(count: int, range_kN: tuple[float, float], width: Width) -> Spec:
    import altair as alt

    cases, limits = alt.Chart(alt.NamedData("cases")), alt.Chart(alt.NamedData("limits"))
    bar_px, text_px = ROW_SHAPE[width].bar_px, theme.TEXT_PX[width]
    scale = alt.Scale(type="log", domain=list(range_kN), nice=False)
    axis = alt.Axis(values=[tick for tick in _TICKS_kN if range_kN[0] <= tick <= range_kN[1]], title="force (kN)", grid=False)
    at, y = alt.X("at:Q", scale=scale, axis=axis), row_scale(count, width)
    stopped, own = "isValid(datum.worst)", "datum.own"

    chart = alt.layer(
        limits.transform_filter(f"!{own}").mark_rule(color=theme.QUIET_INK, strokeDash=[3, 3]).encode(x=at),
        limits.transform_filter(own).mark_rule(color=theme.INK, strokeWidth=2).encode(x=at),
        limits.mark_text(baseline="middle", fontSize=text_px, fontWeight="bold").encode(x=at, y=alt.YDatum(-0.25, axis=None), text="words:N"),
        cases.transform_filter(stopped).mark_rule(strokeWidth=6, yOffset=bar_px, y2Offset=bar_px).encode(x="typical:Q", x2="worst:Q", y=y, color=verdict_colour()),
        cases.transform_filter(stopped).mark_point(filled=True, size=100, opacity=1, stroke=theme.PAPER, strokeWidth=1, yOffset=bar_px).encode(x="worst:Q", y=y, color=verdict_colour(), shape=verdict_shape()),
        cases.transform_filter(stopped + " && isValid(datum.part)").mark_tick(orient="vertical", thickness=3, size=20, color=theme.INK, yOffset=bar_px).encode(x="part:Q", y=y),
        *row_words(count, range_kN, width),
    ).properties(width=WIDTH_PX[width], height=rows_height_px(count, width))
    spec: Spec = chart.to_dict()
    spec["autosize"] = {"type": "fit-x", "contains": "padding"}
    spec["config"] = theme.config(width)
    return spec
