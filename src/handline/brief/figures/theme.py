"""Colours, type and axes of every picture.

Colours: Okabe & Ito, Color Universal Design (2008), and ColorBrewer's sequential YlOrBr and Blues; all hold for the
common kinds of colour blindness. Colour never speaks alone: shape, dash or words say the same.
"""

from __future__ import annotations

from typing import Any

from handline.brief.figures.picture import Width

INK = "#1d1d1b"
QUIET_INK = "#55534d"
RULE = "#d9d5ca"
PAPER = "#ffffff"
ROCK = "#e4dfd3"

ORANGE = "#E69F00"
GREEN = "#009E73"
BLUE = "#0072B2"
VERMILLION = "#D55E00"
YELLOW = "#F0E442"
SKY_BLUE = "#56B4E9"
# The same hue, dark enough for small words on paper.
VERMILLION_INK = "#a84a00"

# Tints of BLUE on paper, for the outer and the inner band of a fan.
BLUE_PALE = "#d3e5f1"
BLUE_MIDDLE = "#9fc8e2"

NIGHT = "#6b7484"
MOONLIGHT = "#ffffff"
# Pale enough for words in ink at the wet end.
WET_SCALE = ["#f7fbff", "#deebf7", "#c6dbef", "#9ecae1", "#6baed6"]
# ColorBrewer's Blues in five steps.
CHANCE_SCALE = ["#eff3ff", "#bdd7e7", "#6baed6", "#3182bd", "#08519c"]
STORM_SCALE = ["#ffffd4", "#fed98e", "#fe9929", "#d95f0e", "#993404"]

FONT = "Helvetica, Arial, 'Liberation Sans', sans-serif"
TEXT_PX: dict[Width, int] = {"wide": 12, "narrow": 11}

# How each verdict of a tether looks: colour, mark and dash say the same thing three times.
VERDICTS = ("holds", "hurts", "breaks", "no stop")
VERDICT_COLOUR = {"holds": GREEN, "hurts": ORANGE, "breaks": VERMILLION, "no stop": INK}
VERDICT_SHAPE = {"holds": "circle", "hurts": "triangle-up", "breaks": "cross", "no stop": "square"}
VERDICT_WORDS = {
    "holds": "stops the slip under the party's limit",
    "hurts": "stops the slip over the party's limit",
    "breaks": "a part may break",
    "no stop": "no stop: too many slips are not caught",
}


def config(width: Width) -> dict[str, Any]:
    """The Vega-Lite config of every picture at one width."""
    text_px = TEXT_PX[width]
    return {
        "background": PAPER,
        "font": FONT,
        "view": {"stroke": None},
        "axis": {
            "labelColor": INK,
            "labelFontSize": text_px,
            "titleColor": QUIET_INK,
            "titleFontSize": text_px,
            "titleFontWeight": "normal",
            "domainColor": QUIET_INK,
            "tickColor": QUIET_INK,
            "gridColor": RULE,
        },
        "text": {"color": INK, "fontSize": text_px},
    }
