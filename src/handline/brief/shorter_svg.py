"""A still picture in fewer bytes: without what nobody sees in an image, and no length told finer than 0.01 px."""

from __future__ import annotations

import re

# Roles and names for readers of a screen: they read the text beside the image, which tells more.
_UNSEEN = re.compile(r' (?:aria-[a-z]+|role|class|pointer-events|xmlns:xlink|version)="[^"]*"')
_EMPTY = re.compile(r'<path[^>]* d="(?:M0,0h0v0h0Z)?"[^>]*/>')
_EMPTY_GROUP = re.compile(r"<g(?: transform=\"translate\(0,0\)\")?></g>")
_LENGTHS = re.compile(r' (?:d|transform|[xy]2?|width|height|r|stroke-width|font-size|opacity)="[^"]*"')
_FINE = re.compile(r"-?\d*\.\d{3,}(?:e-?\d+)?")
_FONT = re.compile(r' font-family="([^"]*)"')
# The quotes of a value may be either; single ones need no more than themselves in an address.
_QUOTED = re.compile(r'="([^"\']*)"')


def shorter_svg(svg: str) -> str:
    """The same picture of an SVG text as Vega writes it."""
    # An image without a role is linked by what its name still says.
    short = _UNSEEN.sub("", svg.replace("xlink:href", "href"))
    short = _EMPTY.sub("", short)
    while (fewer := _EMPTY_GROUP.sub("", short)) != short:
        short = fewer
    short = _LENGTHS.sub(lambda lengths: _FINE.sub(_rounded, lengths[0]), short)
    return _QUOTED.sub(r"='\1'", _one_font(short))


def _rounded(number: re.Match[str]) -> str:
    return f"{float(number[0]):.2f}".rstrip("0").rstrip(".").replace("-0.", "-.").removeprefix("0") or "0"


def _one_font(svg: str) -> str:
    """The font of the first words for the whole picture, where it is that of all."""
    fonts = set(_FONT.findall(svg))
    if len(fonts) != 1:
        return svg
    # A name of letters and spaces needs no quotes.
    font = re.sub(r"'([A-Za-z ]+)'", r"\1", fonts.pop())
    return _FONT.sub("", svg).replace("<svg", f'<svg font-family="{font}"', 1)
