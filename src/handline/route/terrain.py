"""Heights from a terrain model: a GeoTIFF or HGT file draped under a track.

Needs the extra "dem" (rasterio).
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from handline.errors import Problem, TerrainError
from handline.quantity import in_both_units, show_height
from handline.route.counted import counted
from handline.route.geodesy import distance_m, unwrapped, wrapped
from handline.route.track import Array, Track, track_of
from handline.route.usable import refuse_unusable_positions

DRAPE_SPACING_M = 25.0
INSTALL_HINT = 'install it with: pip install "handline[dem]"'
MEND_COVER = "give a terrain model that covers the whole route"


def drape(track: Track, path: Path) -> Track:
    """The track with every height taken from a terrain model, and points between where its own are far apart.

    Parameters
    ----------
    track : Track
        Its own heights, if any, are put aside.
    path : Path
        A raster of heights in metres that names its coordinate system.

    Raises
    ------
    TerrainError
        rasterio is not installed, the file is missing or is no terrain model, or it does not cover the track.
    TrackError
        The positions of the track cannot be used.
    """
    refuse_unusable_positions(track)
    dense = _densified(track)
    heights = sample_terrain_m(path, dense.latitude_deg, dense.longitude_deg)
    missing = int(np.count_nonzero(np.isnan(heights)))
    if missing:
        first = int(np.argmax(np.isnan(heights)))
        raise TerrainError(
            Problem(
                "the terrain model has no height for part of the track",
                read=f"{missing} of {heights.size} points, the first at latitude {dense.latitude_deg[first]:.4f}, "
                f"longitude {dense.longitude_deg[first]:.4f}",
                mend=MEND_COVER,
                file=str(path),
            )
        )
    added = dense.size - track.size
    apart = in_both_units(DRAPE_SPACING_M, show_height)
    more = f", with {counted(added, 'point')} added so that none are over {apart} apart" if added else ""
    return replace(dense, elevation_m=heights).noted(f"heights taken from {path.name}{more}")


def sample_terrain_m(path: Path, latitude_deg: Array, longitude_deg: Array) -> Array:
    """Heights at places, bilinear between the middles of the cells.

    Parameters
    ----------
    path : Path
    latitude_deg, longitude_deg : (n,) arrays [deg]

    Returns
    -------
    (n,) array [m]
        NaN outside the middles of the outermost cells, and where one of the four cells around has no data.

    Raises
    ------
    TerrainError
        rasterio is not installed, the file is missing or is no terrain model.
    """
    with opened_terrain(path) as raster:
        return heights_at(raster, *cells_of(raster, latitude_deg, longitude_deg))


@contextmanager
def opened_terrain(path: Path) -> Iterator[Any]:
    """The raster of a terrain model, checked to be one, and closed afterwards. Raises TerrainError."""
    try:
        import rasterio
    except ImportError:
        raise TerrainError(
            Problem('reading a terrain model needs the extra "dem"', mend=INSTALL_HINT, file=str(path))
        ) from None
    if not path.is_file():
        raise TerrainError(
            Problem(
                "there is no such terrain model", mend="correct its name, or leave route.terrain out", file=str(path)
            )
        )
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # a file without a place on Earth is refused below, in our words
            with rasterio.open(path) as raster:
                _refuse_other_pictures(path, raster)
                yield raster
    except rasterio.errors.RasterioError as error:
        raise TerrainError(
            Problem(
                "this cannot be read as a terrain model",
                read=str(error)[:120],
                allowed="a GeoTIFF or HGT file of heights in metres",
                file=str(path),
            )
        ) from None


def _refuse_other_pictures(path: Path, raster: Any) -> None:
    problem = None
    if raster.crs is None:
        problem = Problem(
            "the terrain model does not say where on Earth it lies", mend="export it as GeoTIFF with its CRS"
        )
    elif raster.count != 1:
        problem = Problem("this looks like a picture, not heights", read=f"{raster.count} bands", allowed="one band")
    elif raster.transform.b or raster.transform.d:
        problem = Problem("the terrain model is rotated", mend="export it with north up")
    if problem:
        raise TerrainError(problem.at(file=path))


def cells_of(raster: Any, latitude_deg: Array, longitude_deg: Array) -> tuple[Array, Array]:
    """Column and row of each place, counted from the middle of the first cell."""
    from pyproj import Transformer

    to_raster = Transformer.from_crs("EPSG:4326", raster.crs.to_wkt(), always_xy=True)
    x, y = to_raster.transform(longitude_deg, latitude_deg)
    corner = raster.transform
    column = (np.asarray(x, dtype=float) - corner.c) / corner.a - 0.5
    return column, (np.asarray(y, dtype=float) - corner.f) / corner.e - 0.5


def heights_at(raster: Any, column: Array, row: Array) -> Array:
    """Heights between the middles of cells, any shape; only the part of the raster that is needed is read."""
    from rasterio.windows import Window

    heights = np.full(column.shape, np.nan)
    slack = 1e-6  # a place on the very middle of an edge cell, told in degrees, may come out a hair outside
    inside = (
        (column >= -slack) & (row >= -slack) & (column <= raster.width - 1 + slack) & (row <= raster.height - 1 + slack)
    )
    if not inside.any() or raster.width < 2 or raster.height < 2:
        return heights
    left = np.clip(np.floor(column[inside]).astype(int), 0, raster.width - 2)
    top = np.clip(np.floor(row[inside]).astype(int), 0, raster.height - 2)
    window = Window(left.min(), top.min(), np.ptp(left) + 2, np.ptp(top) + 2)
    cells = raster.read(1, window=window, masked=True).astype(float).filled(np.nan)
    cells = cells * raster.scales[0] + raster.offsets[0]
    share_x, share_y = column[inside] - left, row[inside] - top
    x, y = left - left.min(), top - top.min()
    heights[inside] = (
        cells[y, x] * (1 - share_x) * (1 - share_y)
        + cells[y, x + 1] * share_x * (1 - share_y)
        + cells[y + 1, x] * (1 - share_x) * share_y
        + cells[y + 1, x + 1] * share_x * share_y
    )
    return heights


def _densified(track: Track) -> Track:
    """The track with points added between its own, so that none are further apart than the draping needs."""
    along = distance_m(track.latitude_deg, track.longitude_deg)
    counts = np.maximum(np.ceil(np.diff(along) / DRAPE_SPACING_M).astype(int), 1)
    share = np.concatenate([np.arange(count) / count for count in counts] + [np.zeros(1)])
    index = np.concatenate((np.repeat(np.arange(counts.size), counts), [track.size - 1]))
    following = np.minimum(index + 1, track.size - 1)

    def between(values: Array) -> Array:
        own = values[index]
        return np.where(share == 0.0, own, own + share * (values[following] - own))

    own_point = np.flatnonzero(share == 0.0)
    return track_of(
        between(track.latitude_deg),
        wrapped(between(unwrapped(track.longitude_deg))),
        time_s=between(track.time_s),
        line=np.where(share == 0.0, track.line[index], 0),
        piece_starts=own_point[list(track.piece_starts)].tolist(),
        notes=track.notes,
        file=track.file,
    )
