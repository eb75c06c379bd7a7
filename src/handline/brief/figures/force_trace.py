"""Force traces: the tether's force over time in the hardest drawn slip, with the limits on body and parts as lines."""

from __future__ import annotations

from typing import Any

import numpy as np

from handline.brief.figures import theme
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import Channel, Margins, chart, haloed, layer, name, place, quantity, tooltip
from handline.day.line_report import LineReport
from handline.day.line_traces import RIGID, SlipTrace
from handline.quantity import show_force

_MARGINS: dict[Width, Margins] = {"wide": Margins(46, 12, 92, 44), "narrow": Margins(38, 12, 76, 42)}
_HEIGHT_PX: dict[Width, int] = {"wide": 330, "narrow": 300}
# Other tethers' slips are shown for so many times as long as the chosen one's.
_LONGEST = 3.0
_GREY = "#a39f94"
_CHOSEN, _SOFT, _OTHER = "chosen", "soft", "other"
# Names of lines nearer to each other than this share of the height would run into each other.
_APART = 0.05


def force_trace_picture(report: LineReport) -> Picture | None:
    """The traces of a report; None where no tether stops anything."""
    if not report.traces:
        return None
    chosen = report.chosen
    numbers = {tether.name: tether.number for tether in report.line.tethers}
    time_ms = _shown_ms(report)
    rows = [row for index, trace in enumerate(report.traces) for row in _rows(index, trace, chosen.name, time_ms)]
    limits = _limits(report)
    top_kN = 1.08 * max([row["force"] for row in rows] + [limit["at"] for limit in limits])
    of_chosen = [trace for trace in report.traces if trace.tether == chosen.name]
    keys = [Key("trace-chosen", f"{numbers[chosen.name]}  {chosen.title}, rigid body")] if of_chosen else []
    keys += [Key("trace-soft", "the same slip on a body that gives, from memory")] if len(of_chosen) > 1 else []
    keys += [Key("trace-other", "other tethers by their number, each in its own hardest slip")]
    keys += [Key("limit", "a limit on the body"), Key("own-limit", "the limit the party set")]
    keys += [Key("part-line", f"your weakest part: {chosen.weakest_words}")] if _has_part(report) else []
    return Picture(
        key="force-trace",
        title="The force in the tether, from taut to standing",
        caption=f"The hardest of {report.provenance.draws:,} drawn slips of each tether, as it is meant to work, on "
        f"{report.line.rock} rock; whether its parts hold that long is not in the curve.",
        alt=_alt(report, limits),
        keys=tuple(keys),
        specs={width: _draw(time_ms, top_kN, width) for width in WIDTH_PX},
        datasets={"traces": rows, "limits": _names_apart(limits, top_kN), "peaks": _peaks(report, numbers, time_ms)},
    )


def _what(trace: SlipTrace, chosen: str) -> str:
    if trace.tether != chosen:
        return _OTHER
    return _CHOSEN if trace.body == RIGID else _SOFT


def _shown_ms(report: LineReport) -> float:
    """How long the picture lasts: all of the chosen tether's slip, and so much of longer ones as fits beside it."""
    longest_ms = 1000.0 * max(trace.time_s[-1] for trace in report.traces)
    own_ms = [1000.0 * trace.time_s[-1] for trace in report.traces if trace.tether == report.chosen.name]
    return min(longest_ms, _LONGEST * max(own_ms)) if own_ms else longest_ms


def _rows(index: int, trace: SlipTrace, chosen: str, time_ms: float) -> list[Row]:
    """A trace as far as the picture goes: cut here, as a clipped layer has a number that counts on between pictures."""
    what, points = _what(trace, chosen), zip(trace.time_s, trace.force_N, strict=True)
    shown = [(1000.0 * time_s, force_N) for time_s, force_N in points if 1000.0 * time_s <= time_ms]
    if 1000.0 * trace.time_s[-1] > time_ms:
        shown.append((time_ms, float(np.interp(time_ms / 1000.0, trace.time_s, trace.force_N))))
    return [
        {"trace": str(index), "what": what, "order": order, "time": at_ms, "force": force_N / 1000.0}
        for order, (at_ms, force_N) in enumerate(shown)
    ]


def _has_part(report: LineReport) -> bool:
    return report.chosen.weakest_N > 0.0


def _limits(report: LineReport) -> list[Row]:
    """Limits on the body, each force once, the party's own marked; and the weakest part of the chosen tether."""
    own_N = report.body_force_N
    forces_N = sorted({limit.force_N for limit in report.limits if limit.of == "body"} | {own_N})
    rows: list[Row] = [
        {"at": force_N / 1000.0, "what": "own" if force_N == own_N else "body", "words": _name(force_N, own_N)}
        for force_N in forces_N
    ]
    if _has_part(report):
        part_N = report.chosen.weakest_N
        rows.append({"at": part_N / 1000.0, "what": "part", "words": f"part {show_force(part_N, 'si')}"})
    return rows


def _name(force_N: float, own_N: float) -> str:
    return f"{'yours' if force_N == own_N else 'body'} {force_N / 1000.0:g} kN"


def _names_apart(limits: list[Row], top_kN: float) -> list[Row]:
    """Each limit with a place for its name that keeps off its neighbour's."""
    placed: list[Row] = []
    for limit in sorted(limits, key=lambda row: row["at"]):
        free_kN = placed[-1]["name_at"] + _APART * top_kN if placed else 0.0
        placed.append({**limit, "name_at": max(limit["at"], free_kN)})
    return placed


def _peaks(report: LineReport, numbers: dict[str, int], time_ms: float) -> list[Row]:
    """The number of each rigid trace at its peak; tethers that stop alike share one place."""
    at: dict[tuple[float, float], list[int]] = {}
    for trace in report.traces:
        if trace.body == RIGID:
            force_N, when_s = max(zip(trace.force_N, trace.time_s, strict=True))
            if 1000.0 * when_s <= time_ms:
                at.setdefault((round(1000.0 * when_s, 3), round(force_N / 1000.0, 3)), []).append(numbers[trace.tether])
    return [
        {"time": time, "force": force, "words": ", ".join(str(number) for number in sorted(sharing))}
        for (time, force), sharing in at.items()
    ]


def _alt(report: LineReport, limits: list[Row]) -> str:
    told = "; ".join(limit["words"] for limit in limits)
    sentences = [f"Limits: {told}."]
    for trace in report.traces:
        body = "" if trace.body == RIGID else ", on a body that gives"
        ms = f"{1000.0 * trace.time_s[-1]:.0f} ms"
        sentences.append(f"{trace.tether}{body}: up to {show_force(trace.peak_N, 'si')}, standing after {ms}.")
    return " ".join(sentences)


def _draw(time_ms: float, top_kN: float, width: Width) -> Spec:
    def axis(field: str, most: float, title: str) -> Channel:
        ticks = {"title": title, "grid": field == "force", "tickCount": 6 if width == "wide" else 4}
        return quantity(field, scale={"domain": [0.0, most], "nice": False}, axis=ticks)

    x, y = axis("time", time_ms, "time since taut (ms)"), axis("force", top_kN, "force (kN)")
    line = {"x": x, "y": y, "detail": name("trace"), "order": quantity("order")}
    limit = {"y": quantity("at"), "x": place(0.0), "x2": place(time_ms)}
    edge = {"x": place(time_ms), "y": quantity("name_at"), "text": name("words")}
    peak = {"x": quantity("time"), "y": quantity("force"), "text": name("words"), "tooltip": tooltip(words="Tether")}
    styles: dict[str, dict[str, Any]] = {
        "body": {"color": theme.QUIET_INK, "strokeDash": [3, 2]},
        "own": {"color": theme.INK, "strokeWidth": 2},
        "part": {"color": theme.VERMILLION, "strokeWidth": 2, "strokeDash": [8, 3]},
    }
    return chart(
        [
            layer("traces", "line", line, f"datum.what == '{_OTHER}'", color=_GREY, strokeWidth=1.5),
            *(layer("limits", "rule", limit, f"datum.what == '{what}'", **style) for what, style in styles.items()),
            layer("traces", "line", line, f"datum.what == '{_CHOSEN}'", color=theme.BLUE, strokeWidth=3),
            layer(
                "traces", "line", line, f"datum.what == '{_SOFT}'",
                color=theme.BLUE, strokeWidth=2, strokeDash=[5, 3],
            ),
            layer("limits", "text", edge, align="left", baseline="middle", dx=6, fontSize=theme.TEXT_PX[width]),
            *haloed("peaks", peak, dy=-8, fontWeight="bold", fontSize=theme.TEXT_PX[width]),
        ],
        width,
        _HEIGHT_PX[width],
        _MARGINS[width],
    )  # fmt: skip
