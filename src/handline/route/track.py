"""A recorded or drawn track: where it goes, how high, when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Indices = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Track:
    """Points in the order of the file, joined into one line.

    ``elevation_m`` and ``time_s`` (seconds since 1970, UTC) are NaN where the file gives none. ``line`` is the line of
    the file a point stands on, 0 where it is not known. ``piece_starts`` are the first points of the pieces that were
    joined. ``notes`` say what was done to the file's content, with numbers.
    """

    latitude_deg: Array
    longitude_deg: Array
    elevation_m: Array
    time_s: Array
    line: Indices
    piece_starts: tuple[int, ...] = (0,)
    notes: tuple[str, ...] = ()
    file: str | None = None

    @property
    def size(self) -> int:
        return int(self.latitude_deg.size)

    def take(self, kept: Indices, *notes: str) -> Track:
        """The track of these points only, in this rising order, with more notes."""
        starts = np.searchsorted(kept, self.piece_starts)
        return replace(
            self,
            latitude_deg=self.latitude_deg[kept],
            longitude_deg=self.longitude_deg[kept],
            elevation_m=self.elevation_m[kept],
            time_s=self.time_s[kept],
            line=self.line[kept],
            piece_starts=tuple(sorted({int(start) for start in starts if start < kept.size})),
            notes=self.notes + notes,
        )

    def backward(self, *notes: str) -> Track:
        """The same track walked the other way, with more notes."""
        last = self.size - 1
        ends = [start - 1 for start in self.piece_starts[1:]]
        return replace(
            self,
            latitude_deg=self.latitude_deg[::-1],
            longitude_deg=self.longitude_deg[::-1],
            elevation_m=self.elevation_m[::-1],
            time_s=self.time_s[::-1],
            line=self.line[::-1],
            piece_starts=(0, *(last - end for end in reversed(ends))),
            notes=self.notes + notes,
        )

    def noted(self, *notes: str) -> Track:
        """The same track with more notes."""
        return replace(self, notes=self.notes + notes) if notes else self


def track_of(
    latitude_deg: Sequence[float] | Array,
    longitude_deg: Sequence[float] | Array,
    elevation_m: Sequence[float] | Array | None = None,
    *,
    time_s: Sequence[float] | Array | None = None,
    line: Sequence[int] | Indices | None = None,
    piece_starts: Sequence[int] = (0,),
    notes: Sequence[str] = (),
    file: str | None = None,
) -> Track:
    """A track from plain sequences; what is not given is NaN (or line 0).

    Raises
    ------
    ValueError
        The sequences differ in length.
    """
    latitude = np.asarray(latitude_deg, dtype=float)
    missing = np.full(latitude.shape, np.nan)
    arrays = (
        np.asarray(longitude_deg, dtype=float),
        missing if elevation_m is None else np.asarray(elevation_m, dtype=float),
        missing if time_s is None else np.asarray(time_s, dtype=float),
        np.zeros(latitude.shape, dtype=np.int64) if line is None else np.asarray(line, dtype=np.int64),
    )
    if any(array.shape != latitude.shape for array in arrays):
        raise ValueError("the sequences of a track differ in length")
    longitude, elevation, time, lines = arrays
    return Track(latitude, longitude, elevation, time, lines, tuple(piece_starts), tuple(notes), file)
