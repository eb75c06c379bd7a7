"""What cords, slings and ropes are made of, as far as heat is concerned."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType


@dataclass(frozen=True)
class Fibre:
    """One fibre. ``melting_C`` is the range published for it; where ``chars``, it falls apart there without melting.

    ``specific_heat_J_kgK`` and ``density_kg_m3`` are of the solid fibre at room temperature. ``source`` is that of the
    melting range, ``heat_source`` that of the other two.
    """

    key: str
    title: str
    melting_C: tuple[float, float]
    chars: bool
    specific_heat_J_kgK: float
    density_kg_m3: float
    source: str
    heat_source: str


def _fibres(*fibres: Fibre) -> Mapping[str, Fibre]:
    return MappingProxyType({fibre.key: fibre for fibre in fibres})


FIBRES = _fibres(
    Fibre("PA6", "polyamide 6", (220.0, 225.0), False, 1700.0, 1140.0, "fibre_melting", "fibre_heat"),
    Fibre("PA66", "polyamide 66", (250.0, 268.0), False, 1670.0, 1140.0, "fibre_melting", "fibre_heat"),
    Fibre("PET", "polyester", (255.0, 268.0), False, 1200.0, 1380.0, "fibre_melting", "fibre_heat"),
    Fibre("HMPE", "high-modulus polyethylene", (135.0, 150.0), False, 1850.0, 970.0, "fibre_melting", "fibre_heat"),
    Fibre("aramid", "aramid", (500.0, 500.0), True, 1400.0, 1440.0, "fibre_melting", "fibre_heat"),
)
