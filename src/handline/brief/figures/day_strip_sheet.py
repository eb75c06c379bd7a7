"""The sheet the day strip is drawn on: which clock time and height stands at which pixel."""

from __future__ import annotations

from dataclasses import dataclass

from handline.brief.figures.picture import Width
from handline.brief.figures.vega_lite import Margins, view_width_px

# Heights of the four strips above the highest place, which stands at 1, and of the wash behind the fan.
LIGHT_STRIP = (1.38, 1.45)
SUN_STRIP = (1.29, 1.36)
ROCK_STRIP = (1.20, 1.27)
STORM_STRIP = (1.11, 1.18)
WASH = (-0.09, 1.06)
HEIGHTS = (WASH[0], 1.46)
_HEIGHT_PX: dict[Width, int] = {"wide": 510, "narrow": 500}
_MARGINS: dict[Width, Margins] = {"wide": Margins(136, 8, 14, 28), "narrow": Margins(76, 8, 12, 26)}

_STEPS_H = (2, 4, 6, 12, 24)


@dataclass(frozen=True)
class Sheet:
    """One width of the day strip over one range of the clock."""

    clock_range_h: tuple[int, int]
    width: Width

    @property
    def margins(self) -> Margins:
        return _MARGINS[self.width]

    @property
    def width_px(self) -> int:
        return view_width_px(self.width, self.margins)

    @property
    def height_px(self) -> int:
        return _HEIGHT_PX[self.width]

    @property
    def hour_px(self) -> float:
        """How wide an hour is."""
        return self.width_px / (self.clock_range_h[1] - self.clock_range_h[0])

    def step_h(self, least_px: float) -> int:
        """The shortest step of whole hours that is at least so wide."""
        return next((step for step in _STEPS_H if step * self.hour_px >= least_px), _STEPS_H[-1])

    def at_px(self, clock_h: float, height: float) -> tuple[float, float]:
        """The pixel of a clock time and a height, from the upper left of the view."""
        up = (height - HEIGHTS[0]) / (HEIGHTS[1] - HEIGHTS[0])
        return (clock_h - self.clock_range_h[0]) * self.hour_px, (1.0 - up) * self.height_px

    def from_px(self, x_px: float, y_px: float) -> tuple[float, float]:
        """The clock time and the height of a pixel."""
        up = 1.0 - y_px / self.height_px
        return self.clock_range_h[0] + x_px / self.hour_px, HEIGHTS[0] + up * (HEIGHTS[1] - HEIGHTS[0])
