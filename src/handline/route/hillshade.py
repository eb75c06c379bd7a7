"""Shaded ground: how bright each cell of a grid of heights is under a light from one side."""

from __future__ import annotations

import numpy as np

from handline.route.track import Array

LIGHT_FROM_DEG = 315.0
LIGHT_HEIGHT_DEG = 45.0
"""From the north-west, half way up: as maps are shaded. Common practice, no source (sources: practice_hillshade)."""


def grades(height_m: Array, cell_m: float) -> tuple[Array, Array]:
    """How steep the ground rises to the east and to the north, by Horn's weights.

    ::

        z a b c   of the rows to the north, here and to the south
          d . f   dz/deast  = ((c + 2 f + i) - (a + 2 d + g)) / (8 cell)
          g h i   dz/dnorth = ((a + 2 b + c) - (g + 2 h + i)) / (8 cell)

    Parameters
    ----------
    height_m : (rows, cols) [m]
        The first row is the southernmost.
    cell_m : float [m]

    Returns
    -------
    east, north : two (rows - 2, cols - 2) arrays [1]
        For the cells that have neighbours all round; NaN where one of the nine has no height.

    Notes
    -----
    Sources: horn_1981.
    """
    z = height_m
    west, middle, east = z[:, :-2], z[:, 1:-1], z[:, 2:]
    across = east - west
    to_east = (across[:-2] + 2.0 * across[1:-1] + across[2:]) / (8.0 * cell_m)
    rows = west + 2.0 * middle + east
    return to_east, (rows[2:] - rows[:-2]) / (8.0 * cell_m)


def hillshade(
    height_m: Array, cell_m: float, light_from_deg: float = LIGHT_FROM_DEG, light_height_deg: float = LIGHT_HEIGHT_DEG
) -> Array:
    """How much of the light falls on each cell: the cosine of the angle between the light and the ground's normal.

    ::

        shade = max(0, (sin h - cos h (p sin a + q cos a)) / sqrt(1 + p^2 + q^2))

    p and q are the grades to the east and to the north, a where the light comes from by the compass and h its height.
    Ground that is turned away from the light has 0: it is dark. Nothing throws a shadow on anything else.

    Parameters
    ----------
    height_m : (rows, cols) [m]
        The first row is the southernmost.
    cell_m : float [m]
    light_from_deg, light_height_deg : float [deg]

    Returns
    -------
    (rows - 2, cols - 2) array, 0 to 1
        As ``grades``. Level ground has sin h.

    Notes
    -----
    Sources: horn_1981, practice_hillshade.
    """
    to_east, to_north = grades(height_m, cell_m)
    azimuth, height = np.radians(light_from_deg), np.radians(light_height_deg)
    towards = to_east * np.sin(azimuth) + to_north * np.cos(azimuth)
    shade: Array = np.maximum(
        0.0, (np.sin(height) - np.cos(height) * towards) / np.sqrt(1.0 + to_east**2 + to_north**2)
    )
    return shade


def block_means(values: Array, size: int) -> Array:
    """The mean of each square block of cells, shape (rows // size, cols // size); NaN where one cell has none."""
    rows, cols = values.shape[0] // size, values.shape[1] // size
    means: Array = values[: rows * size, : cols * size].reshape(rows, size, cols, size).mean(axis=(1, 3))
    return means
