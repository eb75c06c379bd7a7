"""How hot each leg is, as wet bulb globe temperature on the careful side of the courses the weather may take."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.day.simulation import Floats
from handline.day.weather_setting import DayWeather
from handline.route.route import Route
from handline.weather.hours import HOUR_S
from handline.weather.index_registry import index

CAREFUL_QUANTILE = 0.90
"""Of the courses of weather, how many a leg is to be no hotter than. [our_heat_of_a_leg]"""

WARM_DAY_C = (78.0 - 32.0) / 1.8
"""Where the weather is not known: the first row of the drinking table, a warm day. [our_heat_of_a_leg]"""

# Two nights out and a day are the longest any plan here takes.
_HOURS = 72


@dataclass(frozen=True, eq=False)
class Heat:
    """WBGT of each leg by the hour, (legs, hours) [C], NaN where it is not known; no hours where nothing is."""

    first_clock_s: float
    wbgt_C: Floats

    def at(self, clock_s: Floats) -> Floats:
        """WBGT of each leg at its own time, (legs,); NaN where it is not known."""
        legs, hours = self.wbgt_C.shape
        hour = np.floor((clock_s - self.first_clock_s) / HOUR_S).astype(int)
        inside = (hour >= 0) & (hour < hours)
        found = np.full(legs, np.nan)
        found[inside] = self.wbgt_C[np.flatnonzero(inside), hour[inside]]
        return found


def heat_of_legs(route: Route, weather: DayWeather, start_clock_s: float) -> Heat:
    """The heat of each leg at the middle of its height, hour by hour from the start.

    Sources: bom_wbgt, our_heat_of_a_leg.
    """
    points = route.points
    middle_m = [0.5 * (points[leg.start].elevation_m + points[leg.end].elevation_m) for leg in route.legs]
    rows: dict[str, Floats] = {}
    first_clock_s = 0.0
    for height_m in middle_m:
        # A way back is as high as the way there: the same row, to the millimetre.
        if (key := f"{height_m:.3f}") in rows:
            continue
        hours = weather.at("", height_m)
        if hours is None:
            return Heat(0.0, np.empty((len(middle_m), 0)))
        first = max(0, int(np.floor((start_clock_s - hours.clock_s[0]) / HOUR_S)))
        shown = slice(first, first + _HOURS)
        first_clock_s = float(hours.clock_s[first])
        wbgt_C = index(
            "simple_wbgt", temperature_C=hours.temperature_C[:, shown], humidity_share=hours.humidity_share[:, shown]
        ).value
        rows[key] = np.quantile(wbgt_C, CAREFUL_QUANTILE, axis=0)
    return Heat(first_clock_s, np.stack([rows[f"{height_m:.3f}"] for height_m in middle_m]))
