"""The sheet of the sketch map: one scale both ways, north up."""

from __future__ import annotations

from dataclasses import dataclass

from handline.brief.figures.picture import WIDTH_PX, Width
from handline.brief.figures.placed_words import Box, Point
from handline.day.plan_map import MapPlan

EDGE_PX = 6
"""Between the view and the picture's edge."""
_MOST_HEIGHT_PX = 520


@dataclass(frozen=True)
class MapSheet:
    """One width of the map. Places are east and north of its middle [m]; a view too wide has paper beside."""

    plan: MapPlan
    width: Width

    @property
    def width_px(self) -> int:
        return WIDTH_PX[self.width] - 2 * EDGE_PX

    @property
    def px_per_m(self) -> float:
        return min(self.width_px / self.plan.width_m, _MOST_HEIGHT_PX / self.plan.height_m)

    @property
    def height_px(self) -> int:
        return round(self.plan.height_m * self.px_per_m)

    @property
    def half_m(self) -> Point:
        """From the middle to the edges of the view, across and up."""
        return 0.5 * self.width_px / self.px_per_m, 0.5 * self.height_px / self.px_per_m

    def at_px(self, east_m: float, north_m: float) -> Point:
        """The pixel of a place, from the upper left of the view."""
        across_m, up_m = self.half_m
        return (east_m + across_m) * self.px_per_m, (up_m - north_m) * self.px_per_m

    def from_px(self, x_px: float, y_px: float) -> Point:
        """The place of a pixel [m]."""
        across_m, up_m = self.half_m
        return x_px / self.px_per_m - across_m, up_m - y_px / self.px_per_m

    @property
    def plan_px(self) -> Box:
        """The sheet of the plan on the view."""
        left, top = self.at_px(-0.5 * self.plan.width_m, 0.5 * self.plan.height_m)
        return left, top, self.width_px - left, self.height_px - top

    def inside(self, box: Box) -> bool:
        """Whether a box is on the view."""
        return box[0] >= 0.0 and box[1] >= 0.0 and box[2] <= self.width_px and box[3] <= self.height_px
