"""What the ground under the feet does to walking time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from handline.errors import InputError, unknown_choice


@dataclass(frozen=True)
class Surface:
    """A kind of ground.

    ``time_factor`` is how many times longer it takes than on a good path [1]; ``source`` a key of sources.toml.
    """

    key: str
    words: str
    time_factor: float
    source: str = "de_gruchy_2017"


_SURFACES = (
    Surface("good path", "a good path", 1.00),
    Surface("meadow", "a meadow or a flat trail", 1.25),
    Surface("open ground", "open ground above the trees", 1.50),
    Surface("stony trail", "a bad or stony trail, or no path", 1.67),
    Surface("bog", "a bog", 1.79),
    Surface("bare rock", "bare rock", 2.50),
    Surface("stream", "a stream or a swamp", 5.00),
)

SURFACES: Mapping[str, Surface] = MappingProxyType({surface.key: surface for surface in _SURFACES})
"""Time factors of walking [1]; they must not be mixed with the energy coefficients of ``ENERGY_TERRAIN_N``."""


def surface(key: str) -> Surface:
    """The ground with this key. Raises InputError that lists the choices and the near miss."""
    try:
        return SURFACES[key]
    except KeyError:
        raise InputError(unknown_choice("kind of ground", key, tuple(SURFACES))) from None
