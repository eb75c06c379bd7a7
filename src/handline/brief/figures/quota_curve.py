"""People a day against waiting: as they come with band and knee, and each other way as a line of its own dash."""

from __future__ import annotations

from typing import Any

from handline.brief.figures import theme
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import Channel, Margins, chart, layer, place, quantity
from handline.day.quota_report import Band, QuotaPoint, QuotaReport
from handline.quantity import show_duration, show_share

_MARGINS: dict[Width, Margins] = {"wide": Margins(56, 12, 14, 44), "narrow": Margins(46, 12, 10, 42)}
_HEIGHT_PX: dict[Width, int] = {"wide": 320, "narrow": 280}
CHANCE, PASSAGE = "quota-chance", "quota-passage"
_LOOKS: tuple[dict[str, Any], ...] = (
    {"color": theme.INK, "strokeDash": [8, 3]},
    {"color": theme.VERMILLION_INK, "strokeDash": [3, 3]},
    {"color": theme.GREEN, "strokeDash": [8, 3, 2, 3]},
    {"color": theme.QUIET_INK, "strokeDash": [1, 3]},
)


def quota_picture(report: QuotaReport, which: str) -> Picture:
    """The chance of waiting over the limit, or the 95th percentile of the time on the line."""
    curves = [
        {"curve": number, **_point(point, which)}
        for number, curve in enumerate(report.curves)
        for point in curve.points
    ]
    now = report.curves[0]
    knees: list[Row] = [{"curve": 0, **_point(point, which)} for point in now.points if point.people == now.knee]
    limit = show_duration(report.limit_s)
    title, caption = (
        (
            f"The chance of waiting over {limit}",
            f"At the foot and at the head together, for one person, per cent. The band is 95 %; the line across is "
            f"{show_share(report.accepted)}.",
        )
        if which == CHANCE
        else (
            "Time on the line, up and down: 19 in 20 need less",
            "Minutes on the cable without the waits before it. The band is 95 %.",
        )
    )
    keys = [Key("curve-now", f"{now.words}, with its band"), *_other_keys(report)]
    keys += [Key("knee", f"the knee, at {now.knee} people a day")] if knees else []
    lines: list[Row] = [{"at": 100.0 * report.accepted}] if which == CHANCE else []
    top = 1.05 * max([row["high"] for row in curves] + [row["at"] for row in lines])
    most = max(point.people for point in now.points)
    return Picture(
        key=which,
        title=title,
        caption=caption,
        alt=_alt(report, which),
        keys=tuple(keys),
        specs={width: _draw(which, len(report.curves), most, top, width) for width in WIDTH_PX},
        datasets={"curves": curves, "knees": knees, "accepted": lines},
    )


def _band(point: QuotaPoint, which: str) -> Band:
    band, unit = (point.over, 0.01) if which == CHANCE else (point.on_line_s, 60.0)
    return band[0] / unit, band[1] / unit, band[2] / unit


def _point(point: QuotaPoint, which: str) -> Row:
    low, middle, high = _band(point, which)
    return {"people": point.people, "low": low, "value": middle, "high": high}


def _other_keys(report: QuotaReport) -> list[Key]:
    return [Key(f"curve-{number}", curve.words) for number, curve in enumerate(report.curves[1:])]


def _alt(report: QuotaReport, which: str) -> str:
    sentences = []
    for curve in report.curves:
        told = []
        for point in curve.points:
            value = show_share(point.over[1]) if which == CHANCE else show_duration(point.on_line_s[1])
            told.append(f"{point.people} people {value}")
        sentences.append(f"{curve.words[0].upper()}{curve.words[1:]}: {', '.join(told)}.")
    return " ".join(sentences)


def _draw(which: str, curves: int, most: int, top: float, width: Width) -> Spec:
    ticks = 8 if width == "wide" else 4
    x: Channel = quantity(
        "people", scale={"domain": [0, most], "nice": False}, axis={"title": "people a day", "tickCount": ticks}
    )
    unit = "per cent of people" if which == CHANCE else "minutes"
    y: Channel = quantity("value", scale={"domain": [0.0, top], "nice": False}, axis={"title": unit, "tickCount": 5})
    line = {"x": x, "y": y, "order": quantity("people")}
    band = {"x": x, "y": quantity("low"), "y2": {"field": "high"}}
    layers = [
        layer("curves", "area", band, "datum.curve == 0", color=theme.BLUE_MIDDLE, aria=False),
        layer("accepted", "rule", {"y": quantity("at"), "x": place(0), "x2": place(most)}, color=theme.QUIET_INK),
        *(
            layer("curves", "line", line, f"datum.curve == {number}", strokeWidth=2, aria=False, **look)
            for number, look in zip(range(1, curves), _LOOKS, strict=True)
        ),
        layer("curves", "line", line, "datum.curve == 0", color=theme.BLUE, strokeWidth=3, aria=False),
        layer(
            "knees", "point", {"x": quantity("people"), "y": quantity("value")},
            shape="diamond", filled=True, size=140, color=theme.VERMILLION, opacity=1,
        ),
    ]  # fmt: skip
    return chart(layers, width, _HEIGHT_PX[width], _MARGINS[width])
