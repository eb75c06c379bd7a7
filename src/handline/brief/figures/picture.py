"""What every picture of the brief is: two widths of one drawing, its key, and the same in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

Spec = dict[str, Any]
Row = dict[str, Any]
Width = Literal["wide", "narrow"]

# The two widths a picture is drawn for [px]: a desktop column or a printed page, and a phone.
WIDTH_PX: dict[Width, int] = {"wide": 718, "narrow": 334}


@dataclass(frozen=True)
class Key:
    """One entry of the key under a picture: a swatch (a class in brief.css) and what it stands for."""

    swatch: str
    words: str


@dataclass(frozen=True)
class Picture:
    """One picture. ``alt`` says its main numbers for a reader who cannot see it; the specs are Vega-Lite.

    ``datasets`` belong to both specs; ``complete`` puts them in.
    """

    key: str
    title: str
    caption: str
    alt: str
    keys: tuple[Key, ...]
    specs: dict[Width, Spec]
    datasets: dict[str, list[Row]]

    def complete(self, width: Width) -> Spec:
        """The spec of one width with its data: what a Vega-Lite renderer takes."""
        return {**self.specs[width], "datasets": self.datasets}
