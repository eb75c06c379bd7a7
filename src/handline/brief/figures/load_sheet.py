"""The sheet of the load curve: a panel for each way, beside each other on a wide one, stacked on a narrow one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from handline.brief.figures.picture import Width
from handline.brief.figures.vega_lite import Channel, Margins, quantity, view_width_px

MARGINS: dict[Width, Margins] = {"wide": Margins(34, 4, 2, 44), "narrow": Margins(30, 4, 2, 42)}
TITLE_PX = 22
"""Above each panel, for its name."""
MARK_PX = 19
"""One row of numbered marks, between the name and the curves."""
_CURVE_PX: dict[Width, int] = {"wide": 270, "narrow": 200}
_AXIS_PX = 52  # below a panel that stands over another one
_GAP_PX = 30  # between panels beside each other, for the right one's axis


@dataclass(frozen=True)
class Panel:
    """Where one way's curves stand [px], and where its scales end, in the units shown."""

    left_px: float
    right_px: float
    title_px: float
    top_px: float
    bottom_px: float
    most_distance: float
    most_mass: float

    def x(self, field: str, axis: Channel | None = None) -> Channel:
        scale = {"domain": [0.0, self.most_distance], "range": [self.left_px, self.right_px], "nice": False}
        return quantity(field, scale=scale, axis=axis)

    def y(self, field: str, axis: Channel | None = None) -> Channel:
        scale = {"domain": [0.0, self.most_mass], "range": [self.bottom_px, self.top_px], "nice": False}
        return quantity(field, scale=scale, axis=axis)

    def x_px(self, distance: float) -> float:
        """How far right a distance stands."""
        return self.left_px + (self.right_px - self.left_px) * distance / self.most_distance

    def y_px(self, mass: float) -> float:
        """How far down a mass stands."""
        return self.bottom_px - (self.bottom_px - self.top_px) * mass / self.most_mass


def pixel(field: str) -> Channel:
    """A channel that reads pixels of the sheet."""
    return quantity(field, scale=None, axis=None)


def curve_width_px(count: int, names_px: float, width: Width) -> float:
    """How wide the curves of each of so many ways are, with so much room for the names at their ends."""
    sheet_px = view_width_px(width, MARGINS[width])
    each_px = (sheet_px - _GAP_PX * (count - 1)) / count if _beside(count, width) else float(sheet_px)
    return each_px - names_px


def panels(
    mark_rows: Sequence[int], names_px: float, most_distance: float, most_mass: float, width: Width
) -> tuple[Panel, ...]:
    """The panels of one width; ``mark_rows`` says how many rows of marks each way has."""
    count, curve_px = len(mark_rows), curve_width_px(len(mark_rows), names_px, width)
    placed: list[Panel] = []
    for i in range(count):
        beside = i > 0 and _beside(count, width)
        left_px = placed[-1].right_px + names_px + _GAP_PX if beside else 0.0
        above_px = placed[-1].bottom_px + _AXIS_PX if i > 0 and not beside else 0.0
        # Beside each other both begin at one height; over each other each needs only its own rows.
        rows = max(mark_rows) if _beside(count, width) else mark_rows[i]
        top_px = above_px + TITLE_PX + MARK_PX * rows
        placed.append(
            Panel(
                left_px, left_px + curve_px, above_px + 0.4 * TITLE_PX, top_px, top_px + _CURVE_PX[width],
                most_distance, most_mass,
            )
        )  # fmt: skip
    return tuple(placed)


def _beside(count: int, width: Width) -> bool:
    return width == "wide" and count > 1
