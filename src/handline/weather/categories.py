"""What cold and heat do to people, in words: one table each, with its limits.

Edges belong to the worse side, and where a source gives whole degrees what lies between two rows goes to the worse one.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
import numpy.typing as npt

from handline.errors import InputError, unknown_choice
from handline.weather.indices import celsius

NOT_KNOWN = -1
"""The rank of a value that is not known."""


@dataclass(frozen=True)
class Category:
    """One step of a scale. It begins at ``edge_C``, included, and goes to the next step's; ``source`` is the edge's."""

    key: str
    words: str
    edge_C: float
    source: str


@dataclass(frozen=True)
class Scale:
    """Steps from the mildest to the worst, for values of one of ``INDICES``; ``sign`` is -1 where colder is worse."""

    name: str
    index: str
    sign: float
    steps: tuple[Category, ...]


def _below(limit: float) -> float:
    """The highest number below a limit that itself still belongs to the milder step."""
    return math.nextafter(limit, -math.inf)


def _F(temperature: float) -> float:
    return float(celsius(temperature))


# The source gives whole degrees: to -9, -10 to -27, -28 to -39, -40 to -47, -48 to -54, and colder. Risk begins at -27
# in one place and at -28 in another.
FROSTBITE = Scale(
    name="frostbite",
    index="wind_chill",
    sign=-1.0,
    steps=(
        Category("unlikely", "frostbite is unlikely; wind and wet still wear a tired body down", math.inf,
                 "frostbite_memory"),
        Category("long_exposure", "cold: hours out in it with bare skin can end in frostbite or a body gone cold",
                 _below(-9.0), "frostbite_memory"),
        Category("10_to_30_min", "bare skin can freeze in 10 to 30 minutes: cover it all and watch each other's faces",
                 -27.0, "frostbite_2006"),
        Category("5_to_10_min", "bare skin can freeze in 5 to 10 minutes: no bare hands on the cable", _below(-39.0),
                 "frostbite_memory"),
        Category("2_to_5_min", "bare skin can freeze in 2 to 5 minutes: do not go out in it", _below(-47.0),
                 "frostbite_memory"),
        Category("2_min", "bare skin can freeze in 2 minutes or less: do not go out in it", _below(-54.0),
                 "frostbite_memory"),
    ),
)  # fmt: skip
"""Of the wind chill. Where there is too little wind for one, ask with the temperature of the air."""

# 125 F and 126 F are both printed for the last step.
HEAT = Scale(
    name="heat",
    index="heat_index",
    sign=1.0,
    steps=(
        Category("little", "heat is not the first worry; water still is", -math.inf, "heat_categories_memory"),
        Category("caution", "long work in this heat tires people: drink, and rest in shade", _F(80.0),
                 "heat_categories_memory"),
        Category("extreme_caution", "cramps and heat exhaustion can come: go slowly and rest in shade each hour",
                 _F(90.0), "heat_categories_memory"),
        Category("danger", "heat exhaustion is likely and heat stroke can come: climb in the cool hours or another day",
                 _F(103.0), "heat_categories_memory"),
        Category("extreme_danger", "heat stroke is near for anyone who works: do not climb in it", _F(125.0),
                 "heat_categories_memory"),
    ),
)  # fmt: skip
"""Of the heat index, which is that of shade: in full sun it is hotter."""

# The rows of the table of work and water, whose drinking stands in another room.
WORK_HEAT = Scale(
    name="work_heat",
    index="simple_wbgt",
    sign=1.0,
    steps=(
        Category("little", "heat does not yet slow steady work", -math.inf, "tb_med_507"),
        Category("begins", "heat begins to cost: drink every hour and ask the quiet ones", _F(78.0), "tb_med_507"),
        Category("slows", "hard work heats up those not used to it: shorten the steep spells", _F(82.0), "tb_med_507"),
        Category("wears", "everyone wears out sooner: rest in shade each hour", _F(85.0), "tb_med_507"),
        Category("strains", "work hard only if used to heat: wait for a cooler hour", _F(88.0), "tb_med_507"),
        Category("stops", "hard work can bring anyone down: stop, find shade and wait", _F(90.0), "tb_med_507"),
    ),
)  # fmt: skip
"""Of the simple WBGT: limits as published, words our own."""

SCALES: Mapping[str, Scale] = MappingProxyType({scale.name: scale for scale in (FROSTBITE, HEAT, WORK_HEAT)})


def ranks(scale_name: str, value_C: npt.ArrayLike) -> npt.NDArray[np.int64]:
    """Which step of a scale each value is in.

    Parameters
    ----------
    scale_name : str
        A key of ``SCALES``.
    value_C : array_like
        Values of the scale's index [C].

    Returns
    -------
    array, same shape
        The place in the scale's ``steps``, 0 for the mildest; ``NOT_KNOWN`` where the value is NaN.

    Raises
    ------
    InputError
        There is no such scale.

    Sources: those of the steps.
    """
    scale = _scale(scale_name)
    value = np.asarray(value_C, float)
    edges = np.array([step.edge_C for step in scale.steps]) * scale.sign
    place = np.searchsorted(edges, value * scale.sign, side="right") - 1
    return np.where(np.isnan(value), NOT_KNOWN, place).astype(np.int64)


def category(scale_name: str, value_C: float) -> Category | None:
    """The step of one value; None where it is NaN, which is no good news. Raises InputError as ``ranks``."""
    rank = int(ranks(scale_name, value_C))
    return None if rank == NOT_KNOWN else _scale(scale_name).steps[rank]


def _scale(name: str) -> Scale:
    try:
        return SCALES[name]
    except KeyError:
        raise InputError(unknown_choice("scale", name, tuple(SCALES))) from None
