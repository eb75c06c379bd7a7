"""The chance of all limits against the start: a curve with its band, what is wanted, and the starts worth knowing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from handline.brief.figures import theme
from handline.brief.figures.day_strip_sky import HOUR_S
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.vega_lite import Channel, Margins, chart, haloed, layer, name, quantity, view_width_px
from handline.day.plan_chances import ChancePlan, StartsPlan
from handline.quantity import say_clock, show_chance, show_clock, show_duration, show_share

_MARGINS: dict[Width, Margins] = {"wide": Margins(56, 6, 20, 44), "narrow": Margins(46, 6, 18, 42)}
_CURVE_PX: dict[Width, int] = {"wide": 230, "narrow": 200}
_ROW_PX = 17  # from one row of words over the curve to the next
_GAP_PX = 6.0  # between two words of one row
_STEP_H: dict[Width, int] = {"wide": 1, "narrow": 2}
_MOST_LABELS = 13  # hours with their clock along the axis
# The start may be far from the plan's: so much is shown on both sides, and so much past a start that is marked.
_REACH_S = 6.0 * HOUR_S
_ROOM_S = HOUR_S
_BAND_ERRORS = 1.96  # 19 in 20 of a normal error

Shown = tuple[float, float]
"""The first and the last start that are drawn [s after local midnight]."""


def start_chance_pictures(turned: ChancePlan) -> tuple[Picture, ...]:
    """The chance over the start; nothing where no limit was set."""
    return (start_chance_picture(turned.starts),) if turned.fails_first else ()


def start_chance_picture(starts: StartsPlan) -> Picture:
    """The chance of all limits over the start."""
    shown = shown_starts(starts)
    marked: dict[Width, list[Row]] = {width: _marks(starts, shown, width) for width in WIDTH_PX}
    return Picture(
        key="start-chance",
        title="The chance of all your limits, by start",
        caption=f"Tried every {show_duration(starts.clock_s[1] - starts.clock_s[0])}. Each start is taken "
        "as if no storm had begun by then. The sleep you lose is not counted; limits by the clock stay where they are.",
        alt=_alt(starts, shown),
        keys=(
            Key("curve-now", "all limits kept"),
            Key("curve-band", "how far the luck of the draw may put it off, 19 times in 20"),
            Key("curve-0", f"what you want: {show_share(starts.wanted)}"),
        ),
        specs={width: _draw(starts, shown, rows, width) for width, rows in marked.items()},
        datasets={
            "curve": list(_curve(starts, shown)),
            "wanted": [
                {"width": width, "from_h": shown[0] / HOUR_S, "to_h": shown[1] / HOUR_S, "at": 100.0 * starts.wanted}
                for width in WIDTH_PX
            ],
            "marks": [row for rows in marked.values() for row in rows],
        },
    )


def shown_starts(starts: StartsPlan) -> Shown:
    """Six hours on both sides of the planned start, and more where a start worth knowing lies farther off.

    Where the run of starts goes on past what was looked at it has no end to show.
    """
    looked = starts.clock_s[0], starts.clock_s[-1]
    ends = starts.window_clock_s or (starts.best_clock_s,)
    worth = [clock_s for clock_s in ends if clock_s not in looked]
    planned_s = starts.planned_clock_s
    first_s = min(planned_s - _REACH_S, *(clock_s - _ROOM_S for clock_s in worth), planned_s)
    last_s = max(planned_s + _REACH_S, *(clock_s + _ROOM_S for clock_s in worth), planned_s)
    return max(first_s, looked[0]), min(last_s, looked[1])


def _curve(starts: StartsPlan, shown: Shown) -> Iterator[Row]:
    for clock_s, share, error in zip(starts.clock_s, starts.share, starts.error, strict=True):
        if shown[0] <= clock_s <= shown[1]:
            off = _BAND_ERRORS * error
            yield {
                "clock_h": clock_s / HOUR_S,
                "share": 100.0 * share,
                # A normal error knows no ends; a chance ends at none and at all.
                "low": 100.0 * max(0.0, share - off),
                "high": 100.0 * min(1.0, share + off),
            }


# --- the marked starts ---------------------------------------------------------------------------------------------


def _worth_knowing(starts: StartsPlan, shown: Shown) -> list[tuple[float, str]]:
    """The clock of each start to mark, in order, and what it is; one that is two things is marked once."""
    told: dict[float, list[str]] = {starts.planned_clock_s: ["planned"]}
    if starts.window_clock_s is not None:
        first_s, last_s = starts.window_clock_s
        if first_s != starts.clock_s[0]:
            told.setdefault(first_s, []).append("first")
        if last_s != starts.clock_s[-1]:
            told.setdefault(last_s, []).append("last")
    told.setdefault(starts.best_clock_s, []).append("best")
    return [
        (clock_s, " and ".join(kinds)) for clock_s, kinds in sorted(told.items()) if shown[0] <= clock_s <= shown[1]
    ]


def _marks(starts: StartsPlan, shown: Shown, width: Width) -> list[Row]:
    """Each marked start with its words over the curve, in the first row where they touch no others."""
    room_px, text_px = view_width_px(width, _MARGINS[width]), theme.TEXT_PX[width]
    hour_px = room_px / ((shown[1] - shown[0]) / HOUR_S)
    taken_px: list[float] = []
    rows: list[Row] = []
    for clock_s, kinds in _worth_knowing(starts, shown):
        words = f"{kinds} {show_clock(clock_s)}"
        half_px = words_width_px(words, text_px) / 2.0
        mark_px = (clock_s - shown[0]) / HOUR_S * hour_px
        middle_px = max(half_px, min(mark_px, room_px - half_px))
        row = next((i for i, end in enumerate(taken_px) if end + _GAP_PX <= middle_px - half_px), len(taken_px))
        taken_px[row : row + 1] = [middle_px + half_px]
        rows.append(
            {
                "width": width,
                "kind": "planned" if "planned" in kinds else "best" if kinds == "best" else "end",
                "clock_h": clock_s / HOUR_S,
                "words_h": shown[0] / HOUR_S + middle_px / hour_px,
                "row": row,
                "share": 100.0 * _share_at(starts, clock_s),
                "words": words,
            }
        )
    return rows


def _share_at(starts: StartsPlan, clock_s: float) -> float:
    """On the curve as it is drawn: straight between two starts that were tried."""
    return float(np.interp(clock_s, starts.clock_s, starts.share))


def _alt(starts: StartsPlan, shown: Shown) -> str:
    """The sentence about starts, and the chance at every other hour that is drawn."""
    told = [
        f"{say_clock(clock_s)} {show_chance(share)}"
        for clock_s, share in zip(starts.clock_s, starts.share, strict=True)
        if shown[0] <= clock_s <= shown[1] and (clock_s - starts.planned_clock_s) % (2.0 * HOUR_S) == 0.0
    ]
    planned = f"Starting at {say_clock(starts.planned_clock_s)} as planned, all limits are kept on "
    best = f"the surest start is {say_clock(starts.best_clock_s)} with {show_chance(starts.best_share)}"
    return (
        f"{planned}{show_chance(_share_at(starts, starts.planned_clock_s))} of days; {best}. {starts.says} "
        f"By start: {', '.join(told)}."
    )


# --- drawing -------------------------------------------------------------------------------------------------------


def _draw(starts: StartsPlan, shown: Shown, marks: Sequence[Row], width: Width) -> Spec:
    head_px = _ROW_PX * (1 + max((row["row"] for row in marks), default=-1)) + 4
    height_px = head_px + _CURVE_PX[width]
    clock = {"domain": [shown[0] / HOUR_S, shown[1] / HOUR_S], "nice": False, "zero": False}
    share = {"domain": [0, 100], "range": [height_px, head_px], "nice": False}
    plain_x: Channel = {"scale": clock}
    x = quantity("clock_h", scale=clock, axis=_clock_axis(shown, width))
    y = quantity("share", scale=share, axis={"title": "per cent of days", "tickCount": 5, "domain": False})
    only = f"datum.width == '{width}'"
    wanted = {"x": quantity("from_h", **plain_x), "x2": {"field": "to_h"}, "y": quantity("at", scale=share)}
    layers = [
        layer(
            "curve", "area", {"x": x, "y": quantity("low", scale=share), "y2": {"field": "high"}},
            color=theme.BLUE_MIDDLE, aria=False,
        ),
        layer("wanted", "rule", wanted, only, color=theme.INK, strokeWidth=2, strokeDash=[8, 3], aria=False),
        layer("curve", "line", {"x": x, "y": y}, color=theme.BLUE, strokeWidth=2, aria=False),
        *_mark_layers(marks, plain_x, share, height_px, width),
        *_wanted_words(starts, shown, plain_x, share, width),
    ]  # fmt: skip
    return chart(layers, width, height_px, _MARGINS[width])


def _clock_axis(shown: Shown, width: Width) -> Channel:
    first_h, last_h = shown[0] / HOUR_S, shown[1] / HOUR_S
    step_h = _STEP_H[width]
    while (last_h - first_h) / step_h > (_MOST_LABELS if width == "wide" else _MOST_LABELS // 2):
        step_h += 1
    first = -(-int(first_h // 1) // step_h) * step_h
    other_days = [words for words, is_so in (("left of 00:00: the day before", first_h < 0.0),
                                             ("right of 00:00: the day after", last_h > 24.0)) if is_so]  # fmt: skip
    return {
        "values": [hour for hour in range(first, int(last_h // 1) + 1, step_h) if hour >= first_h],
        "labelExpr": "format((datum.value + 48) % 24, '02d') + ':00'",
        "title": f"start ({other_days[0]})" if len(other_days) == 1 else "start",
        "grid": False,
        "labelFlush": False,
    }


def _mark_layers(
    marks: Sequence[Row], plain_x: Channel, share: Channel, height_px: int, width: Width
) -> Iterator[Spec]:
    """A line down from the words of each marked start, its mark on the curve, and the words."""
    only, text_px = f"datum.width == '{width}'", theme.TEXT_PX[width]
    looks = {
        "planned": {"shape": "circle", "fill": theme.INK},
        "end": {"shape": "circle", "fill": theme.PAPER},
        "best": {"shape": "diamond", "fill": theme.PAPER},
    }
    at = {"x": quantity("clock_h", **plain_x), "y": quantity("share", scale=share)}
    rows = sorted({row["row"] for row in marks})
    for row in rows:
        down = {"x": at["x"], "y": {"value": (row + 1) * _ROW_PX - 1}, "y2": {"value": height_px}}
        yield layer("marks", "rule", down, f"{only} && datum.row == {row}", color=theme.QUIET_INK, aria=False)
    for kind in dict.fromkeys(row["kind"] for row in marks):
        yield layer(
            "marks", "point", at, f"{only} && datum.kind == '{kind}'",
            filled=True, stroke=theme.INK, strokeWidth=1.5, size=70, opacity=1, aria=False, **looks[kind],
        )  # fmt: skip
    for row in rows:
        words = {
            "x": quantity("words_h", **plain_x), "y": {"value": row * _ROW_PX + _ROW_PX // 2}, "text": name("words"),
        }  # fmt: skip
        yield from haloed(
            "marks", words, f"{only} && datum.row == {row}",
            baseline="middle", fontSize=text_px, fontWeight="bold",
        )  # fmt: skip


def _wanted_words(starts: StartsPlan, shown: Shown, plain_x: Channel, share: Channel, width: Width) -> Iterator[Spec]:
    """What is wanted, at the end of its line that the curve leaves more room, on the side where the curve is not."""
    text_px = theme.TEXT_PX[width]
    words = f"you want {show_share(starts.wanted)}"
    part_h = words_width_px(words, text_px) / view_width_px(width, _MARGINS[width]) * (shown[1] - shown[0]) / HOUR_S
    rows = [(row["clock_h"], row["share"] - 100.0 * starts.wanted) for row in _curve(starts, shown)]
    ends = {
        "from_h": [off for clock_h, off in rows if clock_h <= shown[0] / HOUR_S + part_h],
        "to_h": [off for clock_h, off in rows if clock_h >= shown[1] / HOUR_S - part_h],
    }
    end = max(ends, key=lambda field: min(map(abs, ends[field])))
    above = max(ends[end]) < 0.0
    at = {"x": quantity(end, **plain_x), "y": quantity("at", scale=share), "text": {"value": words}}
    yield from haloed(
        "wanted", at, f"datum.width == '{width}'",
        align="left" if end == "from_h" else "right", dx=4 if end == "from_h" else -4,
        baseline="bottom" if above else "top", dy=-4 if above else 5, fontSize=text_px,
    )  # fmt: skip
