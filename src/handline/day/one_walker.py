"""Whether the points of a track are one person's: two people's points mixed together jump to and fro."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from handline.errors import Problem, TrackError
from handline.route.geodesy import plane_m
from handline.route.track import Track
from handline.walking.spells import FASTEST_WALK_M_S

# Common practice, no source: nearer to each other than this, two people on one way cannot be told from one.
APART_M = 20.0
LONGEST_STAY_POINTS = 5
FEWEST_RETURNS = 10
LEAST_SHARE = 0.01


def refuse_two_walkers(track: Track, path: Path) -> None:
    """Refuse a track that jumps away and back again and again, each time faster than anybody walks.

    Raises
    ------
    TrackError
        It does so ten times at least, and at one point in a hundred.
    """
    count, apart_m = returns(track)
    if count < FEWEST_RETURNS or count < LEAST_SHARE * track.size:
        return
    raise TrackError(
        Problem(
            "two people are mixed in one file, or the recorder jumped about: its points go to and fro",
            read=f"{count} jumps away and back, {apart_m:,.0f} m in the middle, faster than anybody walks",
            allowed="one person's recording in a file",
            mend="give one file for each person; leave out a recording that jumps about",
        ).at(file=path)
    )


def returns(track: Track) -> tuple[int, float]:
    """How often the track jumps away and back within a few points, and how far in the middle [m].

    A jump is a step of over 20 m, faster than 2.5 m/s; it is back where the next jump ends nearer to where the first
    began than half of its length.
    """
    if track.size < 3:
        return 0, 0.0
    middle = track.size // 2
    east, north = plane_m(
        track.latitude_deg, track.longitude_deg, float(track.latitude_deg[middle]), float(track.longitude_deg[middle])
    )
    step_m, step_s = np.hypot(np.diff(east), np.diff(north)), np.diff(track.time_s)
    jump = (step_m > APART_M) & (step_m > FASTEST_WALK_M_S * step_s)
    back = np.zeros(jump.size, dtype=bool)
    for stay in range(1, LONGEST_STAY_POINTS + 1):
        if jump.size <= stay:
            break
        off_m = np.hypot(east[stay + 1 :] - east[: -stay - 1], north[stay + 1 :] - north[: -stay - 1])
        first, last = jump[:-stay], jump[stay:]
        back[:-stay] |= first & last & (off_m < step_m[:-stay] / 2.0)
    count = int(np.count_nonzero(back))
    return count, float(np.median(step_m[back])) if count else 0.0
