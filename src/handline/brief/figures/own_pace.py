"""A person's pace: every recorded piece as a point, the fitted curve with its bands, published models in grey."""

from __future__ import annotations

import math

from handline.brief.figures import theme
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import Margins, chart, layer, name, quantity
from handline.day.pace_report import BAND_SHARE, PaceReport, SlopeSpeed
from handline.quantity import Units, parse, show_duration, show_share
from handline.walking.recording import PIECE_S

HEIGHT_PX: dict[Width, int] = {"wide": 360, "narrow": 290}
MARGINS = Margins(left=44, top=26, right=14, bottom=46)
MOST_POINTS = 1500
# Where a published line is faster than this nobody walks it, and it is not drawn.
WALKERS_M_S = 2.0
# Published models draw in one grey that words and points stand out from.
GREY = "#b4b0a6"


def own_pace_picture(report: PaceReport) -> Picture:
    """The picture of a pace."""
    unit, one_m_s = speed_unit(report.units)
    points = _points(report, one_m_s)
    curve = _curve(report, one_m_s)
    published = [
        {"model": title, "grade": 100.0 * grade, "speed": speed / one_m_s if speed <= WALKERS_M_S else None}
        for title, speeds in report.drawn.published
        for grade, speed in zip(report.drawn.grade, speeds, strict=True)
    ]
    top = _top(points, curve, published)
    eight = show_share(BAND_SHARE)
    names = "; ".join(title for title, _ in report.drawn.published)
    return Picture(
        key="own-pace",
        title="How fast, on which slope",
        caption=f"Each point is {show_duration(PIECE_S)} of walking; speed is that on a map, downhill at the left. "
        f"Where the line is dashed nothing was recorded.{_not_drawn(report, len(points))} "
        f"The grey lines are published models as they stand, where they are slow enough to walk: {names}.",
        alt=" ".join(slope_words(speed, report.units) for speed in report.speeds)
        + f" Eight days in ten lie between the first and the last speed. Grey lines: {names}.",
        keys=(
            Key("piece", f"{show_duration(PIECE_S)} of recorded walking"),
            Key("own-pace", "the fitted pace"),
            Key("fan-inner", f"{eight} of days, an hour on that slope"),
            Key("fan-outer", f"{eight} of pieces of {show_duration(PIECE_S)}"),
            Key("published", f"{len(report.drawn.published)} published models"),
        ),
        specs={width: _draw(unit, top, width) for width in WIDTH_PX},
        datasets={"pieces": points, "curve": curve, "published": published},
    )


def speed_unit(units: Units) -> tuple[str, float]:
    """The unit speeds are drawn and told in, and how many m/s it is."""
    unit = "km/h" if units == "si" else "mph"
    return unit, parse(f"1 {unit}", "speed")


def slope_words(speed: SlopeSpeed, units: Units) -> str:
    """A speed on a slope with its range: "20 % up: 2.1 km/h (1.8 to 2.5)."."""
    unit, one_m_s = speed_unit(units)
    slope = f"{abs(speed.grade):.0%}".replace("%", " %")
    where = "Level" if speed.grade == 0.0 else f"{slope} {'up' if speed.grade > 0.0 else 'down'}"
    low, middle, high = (value / one_m_s for value in (speed.low_m_s, speed.middle_m_s, speed.high_m_s))
    return f"{where}: {middle:.1f} {unit} ({low:.1f} to {high:.1f})."


def _points(report: PaceReport, one_m_s: float) -> list[Row]:
    """The pieces that lie in the picture; of very many, evenly chosen ones."""
    drawn, widest = report.drawn, report.drawn.grade[-1]
    inside = [
        {"grade": 100.0 * grade, "speed": speed / one_m_s}
        for grade, speed in zip(drawn.piece_grade, drawn.piece_m_s, strict=True)
        if abs(grade) <= widest
    ]
    every = math.ceil(len(inside) / MOST_POINTS)
    return inside[::every] if every > 1 else inside


def _curve(report: PaceReport, one_m_s: float) -> list[Row]:
    drawn = report.drawn
    steepest_down, steepest_up = min(drawn.piece_grade), max(drawn.piece_grade)
    return [
        {
            "grade": 100.0 * grade,
            "middle": drawn.middle_m_s[i] / one_m_s,
            "low": drawn.day_m_s[0][i] / one_m_s,
            "high": drawn.day_m_s[1][i] / one_m_s,
            "least": drawn.piece_band_m_s[0][i] / one_m_s,
            "most": drawn.piece_band_m_s[1][i] / one_m_s,
            "seen": steepest_down <= grade <= steepest_up,
        }
        for i, grade in enumerate(drawn.grade)
    ]


def _top(points: list[Row], curve: list[Row], published: list[Row]) -> float:
    """The highest speed drawn, a whole unit."""
    others = [row["speed"] for row in published if row["speed"] is not None]
    return float(math.ceil(max(*(row["most"] for row in curve), *(row["speed"] for row in points), *others)))


def _not_drawn(report: PaceReport, drawn: int) -> str:
    """What of the pieces the picture leaves out, in words."""
    steeper = sum(abs(grade) > report.drawn.grade[-1] for grade in report.drawn.piece_grade)
    words = f" Outside the picture, because steeper: {steeper} of {report.pieces} pieces." if steeper else ""
    inside = len(report.drawn.piece_grade) - steeper
    return words + (f" Of the others {drawn} are drawn, evenly chosen." if drawn < inside else "")


def _draw(unit: str, top: float, width: Width) -> Spec:
    edge = 45.0
    ticks = list(range(-40, 41, 10 if width == "wide" else 20))
    x = quantity(
        "grade", scale={"domain": [-edge, edge], "nice": False},
        axis={"title": "slope (per cent; down at the left, up at the right)", "values": ticks, "grid": False},
    )  # fmt: skip
    up = quantity("speed", scale={"domain": [0.0, top], "nice": False}, axis={"title": None, "tickCount": 6})
    middle = {"x": quantity("grade"), "y": quantity("middle")}
    layers = [
        layer("curve", "area", {"x": x, "y": quantity("least"), "y2": {"field": "most"}}, color=theme.BLUE_PALE),
        layer("curve", "area", {"x": x, "y": quantity("low"), "y2": {"field": "high"}}, color=theme.BLUE_MIDDLE),
        layer(
            "published", "line", {"x": x, "y": up, "detail": name("model")},
            color=GREY, strokeWidth=1,
        ),
        layer(
            "pieces", "point", {"x": x, "y": up},
            filled=True, color=theme.INK, size=14, opacity=0.45,
        ),
        layer("curve", "line", middle, color=theme.BLUE, strokeWidth=2, strokeDash=[4, 3]),
        layer("curve", "line", middle, "datum.seen", color=theme.BLUE, strokeWidth=2.5),
        layer(
            "curve", "text", {"x": {"value": 0}, "y": {"value": -12}},
            f"datum.grade == -{edge:g}", text=f"speed ({unit})", align="left", baseline="middle",
            color=theme.QUIET_INK, fontSize=theme.TEXT_PX[width], dx=-34,
        ),
    ]  # fmt: skip
    return chart(layers, width, HEIGHT_PX[width], MARGINS)
