"""How well letters stand out from their ground: the contrast ratio of WCAG 2.2."""

from __future__ import annotations

import re


def contrast(one: str, other: str) -> float:
    """The ratio of two colours as a browser tells them, "rgb(29, 29, 27)": from 1 to 21."""
    bright, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    parts = [int(part) / 255.0 for part in re.findall(r"\d+", colour)[:3]]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
