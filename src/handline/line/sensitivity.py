"""Which assumption moves the verdict: each thing that varies held at its low and at its high end, one at a time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from handline.line.audit import NO_STOP_SHARE, cases_of
from handline.line.friction import Rock
from handline.line.geometry import Line
from handline.line.slip_chances import BREAKS, ENDS, NOT_STOPPED, OVER_BY, SlipEnds, slip_ends
from handline.line.slip_draws import REACH_SHARE, STIFFNESS_SHARE, VARIED, Draws
from handline.line.tether import ABSORBING, GRIPPING, NONE, Tether

# A part breaks, or a stop is over the limit, in more of the slips than this: the tether does not do its job. Ours.
BAD_SHARE = 0.05


@dataclass(frozen=True)
class Moved:
    """What holding one thing at either end does to a tether in its first case.

    ``stopped`` is the chance of being stopped within the party's limit with no part broken; ``force_N`` the force nine
    in ten stops stay under. Verdicts are those of ``chance_verdict``.
    """

    what: str
    words: str
    low_says: str
    high_says: str
    stopped_low: float
    stopped_high: float
    force_low_N: float
    force_high_N: float
    verdict_low: str
    verdict_high: str

    @property
    def moves_verdict(self) -> bool:
        """Whether this one thing alone decides between two verdicts."""
        return self.verdict_low != self.verdict_high

    @property
    def swing(self) -> float:
        """How much of the chance hangs on it [1]."""
        return abs(self.stopped_high - self.stopped_low)


def chance_verdict(ends: SlipEnds, body_limit_N: float) -> str:
    """The gravest of "no stop", "breaks", "hurts", "holds" that more than a few slips come to.

    "no stop" over a tenth of slips not stopped, "breaks" over a twentieth with a broken part, "hurts" over a twentieth
    stopped over the limit on a body. Sources: our_slip_draws.
    """
    if float((ends.end == ENDS.index(NOT_STOPPED)).mean()) > NO_STOP_SHARE:
        return "no stop"
    if float((ends.end == ENDS.index(BREAKS)).mean()) > BAD_SHARE:
        return "breaks"
    return "hurts" if float((np.nan_to_num(ends.force_N) > body_limit_N * OVER_BY).mean()) > BAD_SHARE else "holds"


def stopped_share(ends: SlipEnds, body_limit_N: float) -> float:
    """The chance of being stopped within a limit on the body, no part broken [1]."""
    well = ~np.isin(ends.end, (ENDS.index(NOT_STOPPED), ENDS.index(BREAKS)))
    return float((well & (np.nan_to_num(ends.force_N) <= body_limit_N * OVER_BY)).mean())


def sensitivity(
    line: Line, tether: Tether, rock: Rock, mass_kg: tuple[float, float], body_limit_N: float, draws: Draws
) -> tuple[Moved, ...]:
    """Each thing that varies at its ends, the one that moves the chance most first.

    Parameters
    ----------
    line, tether, rock, mass_kg, draws
        As in ``slip_chances``.
    body_limit_N : float
        The party's limit on the force on a body [N].

    Returns
    -------
    tuple of Moved
        For the tether's first case: as it is meant to work. Empty with nothing attached.

    Validity: one thing at a time; what two of them do together may be more. Sources: our_slip_draws.
    """
    if tether.kind == NONE:
        return ()
    case = cases_of(tether, line)[0]
    says = _ends_in_words(tether, rock, mass_kg)
    rows = []
    for what, words in VARIED.items():
        # Where a slip starts is chance and no assumption.
        if what == "place" or (what == "braking" and tether.kind != ABSORBING):
            continue
        low, high = (slip_ends(line, tether, rock, case, mass_kg, draws.fixed(what, at)) for at in (0.0, 1.0))
        rows.append(
            Moved(
                what=what,
                words=words,
                low_says=says[what][0],
                high_says=says[what][1],
                stopped_low=stopped_share(low, body_limit_N),
                stopped_high=stopped_share(high, body_limit_N),
                force_low_N=_nine_in_ten_N(low),
                force_high_N=_nine_in_ten_N(high),
                verdict_low=chance_verdict(low, body_limit_N),
                verdict_high=chance_verdict(high, body_limit_N),
            )
        )
    return tuple(sorted(rows, key=lambda row: row.swing, reverse=True))


def _nine_in_ten_N(ends: SlipEnds) -> float:
    stopped_N = ends.force_N[np.isfinite(ends.force_N)]
    return float(np.quantile(stopped_N, 0.9)) if stopped_N.size else float("nan")


def _ends_in_words(tether: Tether, rock: Rock, mass_kg: tuple[float, float]) -> dict[str, tuple[str, str]]:
    """What each end means; quantities in SI, as they stand in the assumptions."""
    low_mu, high_mu = rock.mu_slide_range
    grips = tether.kind == GRIPPING
    return {
        "mass": (f"{mass_kg[0]:.0f} kg", f"{mass_kg[1]:.0f} kg"),
        "friction": (f"{low_mu:g}", f"{high_mu:g}"),
        "slack": ("level with the hitch", "climbed a reach above it") if grips else ("a reach behind", "a reach ahead"),
        "reach": (f"{REACH_SHARE[0]:.0%} of it", f"{REACH_SHARE[1]:.0%} of it"),
        "stiffness": (f"{STIFFNESS_SHARE[0]:.0%} of it", f"{STIFFNESS_SHARE[1]:.0%} of it"),
        "braking": ("as weakly as it may", "as hard as it may"),
    }
