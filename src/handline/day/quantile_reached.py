"""Where a recorded time stands among the simulated ones."""

from __future__ import annotations

from handline.day.simulation import Floats

# Times this near to each other are one and the same: no recording says better when somebody passed a place.
# Common practice, no source.
TIE_S = 30.0


def share_below(simulated_s: Floats, recorded_s: float, tie_s: float = TIE_S) -> float:
    """The share of simulated times that were shorter (or earlier) than the recorded one.

    share = (number shorter + half the number as long) / number

    Parameters
    ----------
    simulated_s : (n,) array [s]
    recorded_s : float [s]
    tie_s : float [s]
        Times within so much of the recorded one count as equal: half below, half above.

    Returns
    -------
    float, 0 to 1
        0 or 1 only where the recorded time lies outside all simulated ones. A plan without spread that is met exactly
        gives 0.5.
    """
    shorter = float((simulated_s < recorded_s - tie_s).mean())
    as_long = float((abs(simulated_s - recorded_s) <= tie_s).mean())
    return shorter + as_long / 2.0
