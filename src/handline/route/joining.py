"""Joining the pieces of a file into one track, and saying how far apart they were."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from handline.errors import Problem, TrackError
from handline.quantity import in_both_units, show_height
from handline.route.geodesy import between_m
from handline.route.track import Track, track_of

PIECES_SHOWN = 6
# Common practice, no source: a recorder that was off for longer than this was not on one walk.
FARTHEST_APART_M = 30_000.0


def joined(pieces: Sequence[Track], file: str | None = None, notes: Sequence[str] = ()) -> Track:
    """One track of all the pieces, straight across the space between them. ``pieces`` holds one at least."""
    starts = [0, *np.cumsum([piece.size for piece in pieces])[:-1].tolist()]
    said = list(notes)
    if len(pieces) > 1:
        between = [
            float(
                between_m(
                    before.latitude_deg[-1], before.longitude_deg[-1], after.latitude_deg[0], after.longitude_deg[0]
                )
            )
            for before, after in pairwise(pieces)
        ]
        if max(between) > FARTHEST_APART_M:
            raise TrackError(
                Problem(
                    "two pieces of the track lie too far apart to be one way",
                    read=f"{max(between) / 1000:,.1f} km",
                    allowed=f"up to {FARTHEST_APART_M / 1000:.0f} km",
                    mend="keep only the pieces you walk, in their order",
                    file=file,
                )
            )
        shown = ", ".join(in_both_units(length, show_height) for length in between[:PIECES_SHOWN])
        more = f" and {len(between) - PIECES_SHOWN} more" if len(between) > PIECES_SHOWN else ""
        said.append(
            f"{len(pieces)} pieces joined in the order of the file; straight across between them: {shown}{more}"
        )
    return track_of(
        np.concatenate([piece.latitude_deg for piece in pieces]),
        np.concatenate([piece.longitude_deg for piece in pieces]),
        np.concatenate([piece.elevation_m for piece in pieces]),
        time_s=np.concatenate([piece.time_s for piece in pieces]),
        line=np.concatenate([piece.line for piece in pieces]),
        piece_starts=starts,
        notes=said,
        file=file,
    )
