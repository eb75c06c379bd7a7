"""How hard the Earth pulls: typed once, for every force of this room."""

from __future__ import annotations

# Standard gravity [m/s2], by definition.
G_M_S2 = 9.80665
