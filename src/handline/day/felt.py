"""How cold or hot the day feels, on the careful side: wind chill in the cold, the heat index in the warm."""

from __future__ import annotations

import numpy as np

from handline.day.plan_weather import Felt
from handline.day.simulation import Floats
from handline.sources import source
from handline.weather.categories import FROSTBITE, HEAT, Category, category
from handline.weather.index_registry import INDICES, index

# The careful ends of the range over the courses of weather.
COLD_END, WARM_END = 0.10, 0.90
# Wind chill is made for up to this, and heat is looked at from this on; between them nothing is felt to speak of.
COLD_UP_TO_C, WARM_FROM_C = 10.0, 20.0


def felt_like(temperature_C: Floats, wind_m_s: Floats, humidity_share: Floats) -> Felt | None:
    """What it feels like over many courses, at their careful end; None where the weather is not known.

    Where the wind is too little for a wind chill, the air is as cold as it is. In air hotter than the heat index was
    made for, that of its hottest air counts, or the air itself where that is more: it feels like this at least.
    """
    known = np.isfinite(temperature_C) & np.isfinite(wind_m_s) & np.isfinite(humidity_share)
    if not known.any():
        return None
    air_C, wind, humidity = temperature_C[known], wind_m_s[known], humidity_share[known]
    if float(np.quantile(air_C, COLD_END)) <= COLD_UP_TO_C:
        chill = index("wind_chill", temperature_C=air_C, wind_m_s=wind).value
        value_C = float(np.quantile(np.where(np.isnan(chill), air_C, chill), COLD_END))
        return _felt("wind_chill", value_C, category(FROSTBITE.name, value_C))
    if float(np.quantile(air_C, WARM_END)) >= WARM_FROM_C:
        hottest_C = INDICES["heat_index"].limits["temperature_C"][1]
        heat = index("heat_index", temperature_C=np.minimum(air_C, hottest_C), humidity_share=humidity).value
        at_least_C = np.where(air_C > hottest_C, np.fmax(heat, air_C), heat)
        value_C = float(np.quantile(np.where(np.isnan(at_least_C), air_C, at_least_C), WARM_END))
        return _felt("heat_index", value_C, category(HEAT.name, value_C))
    mild = index("apparent_temperature", temperature_C=air_C, humidity_share=humidity, wind_m_s=wind)
    return Felt(INDICES["apparent_temperature"].title, float(np.nanmedian(mild.value)), "", source(mild.source).words)


def _felt(name: str, value_C: float, step: Category | None) -> Felt:
    entry = INDICES[name]
    says = "" if step is None else step.words
    return Felt(entry.title, value_C, says, source(entry.source if step is None else step.source).words)
