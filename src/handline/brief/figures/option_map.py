"""Ways side by side: the chance of all limits across, the worst slide down; shape and number tell them apart."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import ceil, floor, sqrt

from handline.brief.figures import theme
from handline.brief.figures.day_strip_words import words_width_px
from handline.brief.figures.picture import WIDTH_PX, Key, Picture, Row, Spec, Width
from handline.brief.figures.shown_length import ShownLength, shown_length
from handline.brief.figures.vega_lite import Channel, Margins, chart, haloed, layer, name, quantity, view_width_px
from handline.choose.options_report import Option, OptionsReport
from handline.choose.options_words import WAY_SHORT, tether_words
from handline.quantity import show_chance, show_length, show_share

_MARGINS: dict[Width, Margins] = {"wide": Margins(52, 14, 18, 44), "narrow": Margins(44, 14, 14, 42)}
_HEIGHT_PX: dict[Width, int] = {"wide": 340, "narrow": 320}
# Marks nearer than this to each other are drawn as one, with the numbers of all.
_TOGETHER_PX = 7.0
_MARK_PX = 6.0
_RING_PX = 10.0
_CLEAR_PX = 3.0
_BOLD = 1.1  # bold words take so much more room
# The picture is at least so many points wide, and has so many beside the last mark.
_LEAST_POINTS, _ROOM_POINTS = 6.0, 1.0
_TICKS = (0, 1, 2, 5, 10, 20, 40, 80, 150, 250, 400, 700, 1000, 2000)
_TICKS_APART_PX = 18.0
# One shape and colour for each way and state.
LOOKS: dict[tuple[str, str], tuple[str, str]] = {
    ("push", "raised"): ("circle", theme.BLUE),
    ("push", "lowered"): ("square", theme.VERMILLION),
    ("night", "raised"): ("triangle-up", theme.BLUE),
    ("night", "lowered"): ("diamond", theme.VERMILLION),
}

Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Scales:
    """The chance across [per cent] and the worst slide down on a square-root scale [shown unit], in pixels."""

    least: float
    most: float
    longest: float
    width_px: float
    height_px: float

    def x_px(self, chance: float) -> float:
        return (chance - self.least) / (self.most - self.least) * self.width_px

    def y_px(self, slide: float) -> float:
        return sqrt(slide / self.longest) * self.height_px


@dataclass(frozen=True)
class Mark:
    """Some options that lie on one place: of one way and state, all beaten or none."""

    options: tuple[Option, ...]
    chance: float
    slide: float
    numbers: tuple[int, ...]

    @property
    def looks(self) -> tuple[str, str]:
        return self.options[0].way, self.options[0].state


def option_map(report: OptionsReport) -> Picture:
    """The picture of an options report."""
    shown, numbers = shown_length(report.units), _numbers(report.options)
    marks = {width: _marks(report, shown, numbers, width) for width in WIDTH_PX}
    return Picture(
        key="option-map",
        title="How surely your limits hold, and how far a slip goes at worst",
        caption="Better lies farther right and farther up. The numbers are the tethers; several at one mark lie there "
        "together, those of the recommended one in bold. A hollow mark is only there to compare: the line is not so on "
        "that date. Whether a tether stops the slip within your limit is not in this picture: see the tables.",
        alt=_alt(report),
        keys=tuple(_keys(report, numbers)),
        specs={width: _draw(report, shown, marks[width], width) for width in WIDTH_PX},
        datasets={
            "marks": [row for width in WIDTH_PX for row in _rows(report, marks[width], width)],
            "words": [row for width in WIDTH_PX for row in _words(report, shown, marks[width], width)],
            "wanted": [{"at": 100.0 * report.wanted_chance}],
        },
    )


def _numbers(options: Sequence[Option]) -> dict[str, int]:
    """A number for each tether, in the order of the page."""
    return {tether: number for number, tether in enumerate(dict.fromkeys(o.tether for o in options), 1)}


def _scales(report: OptionsReport, shown: ShownLength, width: Width) -> Scales:
    chances = [100.0 * option.chance for option in report.options] + [100.0 * report.wanted_chance]
    most = min(100.0, max(chances) + _ROOM_POINTS)
    least = max(0.0, min(floor(min(chances) - _ROOM_POINTS), most - _LEAST_POINTS))
    longest = max(1.0, max(shown.of(option.slide_m[1]) for option in report.options))
    return Scales(least, most, 1.05 * longest, view_width_px(width, _MARGINS[width]), _HEIGHT_PX[width])


def _marks(report: OptionsReport, shown: ShownLength, numbers: dict[str, int], width: Width) -> list[Mark]:
    """The options by place, the recommended one's mark last: on top."""
    scales = _scales(report, shown, width)
    marks: list[Mark] = []
    for option in report.options:
        chance, slide = 100.0 * option.chance, shown.of(option.slide_m[1])
        near = next((mark for mark in marks if _belongs(option, mark, scales, chance, slide)), None)
        if near is None:
            marks.append(Mark((option,), chance, slide, (numbers[option.tether],)))
            continue
        told = tuple(sorted({*near.numbers, numbers[option.tether]}))
        marks[marks.index(near)] = Mark((*near.options, option), near.chance, near.slide, told)
    return sorted(marks, key=lambda mark: _is_recommended(report, mark))


def _belongs(option: Option, mark: Mark, scales: Scales, chance: float, slide: float) -> bool:
    first = mark.options[0]
    alike = (option.way, option.state, option.best, option.state_on_date)
    near = max(abs(scales.x_px(chance) - scales.x_px(mark.chance)), abs(scales.y_px(slide) - scales.y_px(mark.slide)))
    return alike == (first.way, first.state, first.best, first.state_on_date) and near < _TOGETHER_PX


def _is_recommended(report: OptionsReport, mark: Mark) -> bool:
    return any(option.key == report.recommended for option in mark.options)


def _rows(report: OptionsReport, marks: Sequence[Mark], width: Width) -> Iterator[Row]:
    for mark in marks:
        first = mark.options[0]
        yield {
            "width": width,
            "looks": " ".join(mark.looks),
            "can": first.state_on_date,
            "best": first.best,
            "chance": mark.chance,
            "slide": mark.slide,
            "words": "; ".join(option.title for option in mark.options),
        }


# --- the numbers beside the marks ----------------------------------------------------------------------------------


def _words(report: OptionsReport, shown: ShownLength, marks: Sequence[Mark], width: Width) -> Iterator[Row]:
    """Each mark's numbers at the first place round it that is free; the recommended one's first of all."""
    scales, text_px = _scales(report, shown, width), theme.TEXT_PX[width]
    places = [(scales.x_px(mark.chance), scales.y_px(mark.slide)) for mark in marks]
    taken = [_round(place, mark.options[0].best) for place, mark in zip(places, marks, strict=True)]
    for mark, place in sorted(zip(marks, places, strict=True), key=lambda one: not _is_recommended(report, one[0])):
        recommended = _is_recommended(report, mark)
        words = ", ".join(str(number) for number in mark.numbers)
        words = f"{words}: recommended" if recommended and width == "wide" else words
        half_px = words_width_px(words, text_px) * (_BOLD if recommended else 1.0) / 2.0
        boxes = [box for box in _boxes(place, half_px, text_px / 2.0) if _inside(box, scales, width)]
        box = next((box for box in boxes if _free(box, taken)), boxes[0] if boxes else None)
        if box is None:
            continue
        taken.append(box)
        yield {
            "width": width,
            "words": words,
            "weight": "bold" if recommended else "normal",
            "x_px": (box[0] + box[2]) / 2.0,
            "y_px": (box[1] + box[3]) / 2.0,
        }


def _round(place: tuple[float, float], ringed: bool) -> Box:
    reach_px = _RING_PX if ringed else _MARK_PX
    return place[0] - reach_px, place[1] - reach_px, place[0] + reach_px, place[1] + reach_px


def _boxes(place: tuple[float, float], half_px: float, deep_px: float) -> Iterator[Box]:
    """Places for words round a mark, the nearest first."""
    x_px, y_px = place
    for far in range(4):
        beside_px, down_px = _RING_PX + _CLEAR_PX + half_px, far * (2.0 * deep_px + _CLEAR_PX)
        over_px = _RING_PX + _CLEAR_PX + deep_px + down_px
        for dx_px, dy_px in (
            (beside_px, down_px), (-beside_px, down_px), (beside_px, -down_px), (-beside_px, -down_px),
            (0.0, -over_px), (0.0, over_px),
        ):  # fmt: skip
            x, y = x_px + dx_px, y_px + dy_px
            yield x - half_px, y - deep_px, x + half_px, y + deep_px


def _inside(box: Box, scales: Scales, width: Width) -> bool:
    right_px = scales.width_px + _MARGINS[width].right
    return box[0] >= 0.0 and box[2] <= right_px and box[1] >= -_MARGINS[width].top and box[3] <= scales.height_px


def _free(box: Box, taken: Sequence[Box]) -> bool:
    return not any(
        box[0] < other[2] and other[0] < box[2] and box[1] < other[3] and other[1] < box[3] for other in taken
    )


# --- words -----------------------------------------------------------------------------------------------------


def _keys(report: OptionsReport, numbers: dict[str, int]) -> Iterator[Key]:
    there = {(option.way, option.state) for option in report.options}
    for way, state in LOOKS:
        if (way, state) in there:
            yield Key(f"option-{way}-{state}", f"{WAY_SHORT[way]}, line {state}")
    if any(not option.state_on_date for option in report.options):
        yield Key("option-compare", "hollow: only to compare")
    yield Key("option-best", "ringed: not beaten in everything that counts")
    yield Key("option-wanted", f"you want {show_share(report.wanted_chance)}")
    for tether, number in numbers.items():
        yield Key(f"number {number}", tether_words(tether))


def _alt(report: OptionsReport) -> str:
    said = [
        f"{option.title}{_marked(report, option)}: {show_chance(option.chance)}, worst slide "
        f"{show_length(option.slide_m[1], report.units)}."
        for option in report.options
    ]
    return f"You want {show_share(report.wanted_chance)}. {' '.join(said)}"


def _marked(report: OptionsReport, option: Option) -> str:
    marks = (
        ("recommended", option.key == report.recommended),
        ("not beaten", option.best),
        ("only to compare", not option.state_on_date),
    )
    told = ", ".join(words for words, is_so in marks if is_so)
    return f" ({told})" if told else ""


# --- drawing ---------------------------------------------------------------------------------------------------


def _draw(report: OptionsReport, shown: ShownLength, marks: Sequence[Mark], width: Width) -> Spec:
    scales, only = _scales(report, shown, width), f"datum.width == '{width}'"
    across = {"domain": [scales.least, scales.most], "nice": False, "zero": False}
    down = {"type": "sqrt", "domain": [0.0, scales.longest], "range": [0, scales.height_px], "nice": False}
    x: Channel = quantity("chance", scale=across, axis=_chance_axis(scales, width))
    y: Channel = quantity(
        "slide", scale=down, axis={"title": f"worst slide ({shown.unit})", "values": _ticks(scales), "domain": False}
    )
    at = {"x": x, "y": y}
    looks = [look for look in LOOKS if any(mark.looks == look for mark in marks)]
    wanted = {"x": quantity("at", scale=across), "y": {"value": 0}, "y2": {"value": scales.height_px}}
    layers = [
        layer("wanted", "rule", wanted, color=theme.INK, strokeWidth=2, strokeDash=[8, 3], aria=False),
        layer(
            "marks", "point", at, f"{only} && datum.best",
            filled=False, shape="circle", stroke=theme.INK, strokeWidth=1.5, size=420, opacity=1, aria=False,
        ),
        *(
            layer(
                "marks", "point", at, f"{only} && datum.looks == '{way} {state}' && {'' if can else '!'}datum.can",
                shape=LOOKS[way, state][0], fill=LOOKS[way, state][1] if can else theme.PAPER,
                stroke=LOOKS[way, state][1], strokeWidth=1.8, size=110, opacity=1, aria=False,
            )
            for way, state in looks
            for can in (False, True)
        ),
        *_number_layers(only, width),
    ]  # fmt: skip
    return chart(layers, width, round(scales.height_px), _MARGINS[width])


def _number_layers(only: str, width: Width) -> Iterator[Spec]:
    pixels = {"x": quantity("x_px", scale=None), "y": quantity("y_px", scale=None), "text": name("words")}
    for weight in ("normal", "bold"):
        yield from haloed(
            "words", pixels, f"{only} && datum.weight == '{weight}'",
            align="center", baseline="middle", fontSize=theme.TEXT_PX[width], fontWeight=weight,
        )  # fmt: skip


def _chance_axis(scales: Scales, width: Width) -> Channel:
    labels = 14 if width == "wide" else 7
    step = next(step for step in (1, 2, 5, 10, 20) if (scales.most - scales.least) / step <= labels)
    first = ceil(scales.least / step) * step
    return {
        "title": "chance of keeping all your limits (per cent)",
        "values": list(range(first, floor(scales.most) + 1, step)),
        "grid": True,
        "format": "d",
        "labelFlush": False,
    }


def _ticks(scales: Scales) -> list[int]:
    """Marks of the slide that are far enough from each other to be read."""
    ticks: list[int] = []
    for tick in _TICKS:
        if tick <= scales.longest and (not ticks or scales.y_px(tick) - scales.y_px(ticks[-1]) >= _TICKS_APART_PX):
            ticks.append(tick)
    return ticks
