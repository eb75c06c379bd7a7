"""A body sliding down the line: how fast at any point below, and where it stops by itself."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handline.line.footing import G_M_S2
from handline.line.geometry import Line


def slide_acceleration_m_s2(angle_rad: ArrayLike, mu: ArrayLike) -> NDArray[np.float64]:
    """Acceleration of a sliding body: a = g (sin(angle) - mu cos(angle)); negative where friction brakes it.

    Parameters are slope [rad] and friction coefficient [-], broadcast together. Validity: 0 to 90 deg, contact kept.
    """
    angle = np.asarray(angle_rad, float)
    return G_M_S2 * (np.sin(angle) - np.asarray(mu, float) * np.cos(angle))


def specific_energy_J_kg(line: Line, at_m: ArrayLike, mu: ArrayLike) -> NDArray[np.float64]:
    """Integral of the acceleration along the line from its foot up to each place [J/kg].

    A body that starts at rest at p and reaches q below has v^2 / 2 = A(p) - A(q), as long as it never stopped between.
    Exact for sections of even slope. Places above the head carry the top section's slope on, places below the foot
    the lowest section's. Places and friction broadcast together.
    """
    angle_rad = np.asarray(line.section_angle_rad)
    height_m = _carried_on(line, at_m, np.sin(angle_rad))
    across_m = _carried_on(line, at_m, np.cos(angle_rad))
    return G_M_S2 * (height_m - np.asarray(mu, float) * across_m)


def _carried_on(line: Line, at_m: ArrayLike, of_section: NDArray[np.float64]) -> NDArray[np.float64]:
    """Integral of one value a section along the line, from its foot to each place."""
    length_m = np.asarray(line.section_length_m)
    edges_m = np.concatenate([[0.0], np.cumsum(length_m)])
    at_edges = np.concatenate([[0.0], np.cumsum(of_section * length_m)])
    at = np.asarray(at_m, float)
    above = np.maximum(0.0, at - edges_m[-1]) * of_section[-1]
    below = np.minimum(0.0, at) * of_section[0]
    return np.interp(at, edges_m, at_edges) + above + below


def slide_end_m(line: Line, start_m: ArrayLike, mu: ArrayLike) -> NDArray[np.float64]:
    """Where a body that slips at each place comes to rest by friction alone, and 0.0 where it reaches the foot.

    A body on a slope that friction holds does not start: its end is its start. Places and friction broadcast together.
    """
    start, friction = np.broadcast_arrays(np.asarray(start_m, float), np.asarray(mu, float))
    edges_m = np.concatenate([[0.0], np.cumsum(line.section_length_m)])
    end, energy, upper = np.zeros(start.shape), np.zeros(start.shape), start
    sliding = np.ones(start.shape, dtype=bool)
    for angle_rad, lower_m in zip(line.section_angle_rad[::-1], edges_m[-2::-1], strict=True):
        rate = slide_acceleration_m_s2(angle_rad, friction)
        here = sliding & (upper > lower_m)
        left = energy + rate * (upper - lower_m)
        held = here & (energy <= 0.0) & (rate <= 0.0)
        runs_dry = here & ~held & (left <= 0.0)
        end = np.where(held, upper, end)
        end = np.where(runs_dry, upper + np.divide(energy, rate, out=np.zeros(start.shape), where=rate != 0.0), end)
        sliding &= ~(held | runs_dry)
        energy, upper = np.where(here, left, energy), np.where(here, lower_m, upper)
    return end


def fastest_m_s(line: Line, start_m: ArrayLike, end_m: ArrayLike, mu: ArrayLike) -> NDArray[np.float64]:
    """Highest speed of a slide from rest at ``start_m`` to ``end_m``: at its end, or at a bend above a flatter part."""
    start, end = np.broadcast_arrays(np.asarray(start_m, float), np.asarray(end_m, float))
    fastest = slide_speed_m_s(line, start, end, mu)
    for bend_m in np.cumsum(line.section_length_m)[:-1]:
        passed = (end <= bend_m) & (bend_m <= start)
        fastest = np.where(passed, np.maximum(fastest, slide_speed_m_s(line, start, bend_m, mu)), fastest)
    return fastest


def slide_speed_m_s(line: Line, start_m: ArrayLike, end_m: ArrayLike, mu: ArrayLike) -> NDArray[np.float64]:
    """Speed at ``end_m`` of a body that slipped from rest at ``start_m`` above it; 0 where it stopped before."""
    gained = specific_energy_J_kg(line, start_m, mu) - specific_energy_J_kg(line, end_m, mu)
    return np.sqrt(2.0 * np.maximum(0.0, gained))
