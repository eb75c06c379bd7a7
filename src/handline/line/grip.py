"""What hands hold: how hard people grip, what a glove makes of it on a steel cable, and for how long."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import ArrayLike, NDArray

from handline.line.friction import Rock
from handline.line.geometry import UP, WAYS
from handline.line.gravity import G_M_S2

# One hand on a handle lets go at this pull: along the handle, as on a cable up a slope, and across it; the second is
# the low end of what was measured. [young_2009]
ONE_HAND_BREAKAWAY_N = 435.0
ONE_HAND_BREAKAWAY_ACROSS_N = 668.0

_HOUR_S = 3600.0
# What a hand keeps up for an hour, as a share of its most: held without a break, and with breaks. [bjorksten_1977]
ENDURANCE_SHARE = 0.079
ENDURANCE_SHARE_WITH_BREAKS = 0.14
# Half of its most a hand holds for about this long. From memory. [our_endurance_curve]
HALF_HELD_S = 60.0
# How fast endurance falls with the share held: through the two points above, in a straight line on logarithmic scales.
_FALL = math.log(_HOUR_S / HALF_HELD_S) / math.log(0.5 / ENDURANCE_SHARE)

MORE_THAN_BOTH = 3
"""Stands for "both hands are not enough" where hands are counted."""


@dataclass(frozen=True)
class Grip:
    """How hard one hand of a median person squeezes at the strongest age; half of all people squeeze less."""

    key: str
    title: str
    published_kg: float
    source: str

    @property
    def force_N(self) -> float:
        """The squeeze [N]: the published figure is a weight in kilograms."""
        return self.published_kg * G_M_S2


def _grips(*grips: Grip) -> Mapping[str, Grip]:
    return MappingProxyType({grip.key: grip for grip in grips})


GRIPS = _grips(Grip("men", "median man", 51.0, "dodds_2014"), Grip("women", "median woman", 31.0, "dodds_2014"))

WEAKER = min(GRIPS.values(), key=lambda grip: grip.published_kg)
"""The norm that hands are judged by: the careful one."""


@dataclass(frozen=True)
class Glove:
    """A glove, or none.

    ``mu`` is its friction on a steel cable by the state of the rock, for a cable is as wet as the rock it lies on: the
    low, careful end of ``mu_range``. ``for_ways`` are the ways it is of use, "up", "down": up it should stick, down it
    should let the cable run and bear the rub; common practice, no source. [practice_gloves]
    """

    name: str
    title: str
    mu_range: Mapping[str, tuple[float, float]]
    for_ways: tuple[str, ...]
    note: str
    source: str

    @property
    def mu(self) -> Mapping[str, float]:
        """The low end for each state of the rock."""
        return {rock: low for rock, (low, _) in self.mu_range.items()}


BARE = "bare"
LEATHER = "leather"


def _glove(
    name: str,
    title: str,
    *,
    dry: tuple[float, float],
    wet: tuple[float, float],
    for_ways: tuple[str, ...],
    note: str,
) -> Glove:
    """Damp counts as wet: a film of water is enough. Ice makes all of them alike."""
    ranges = MappingProxyType({"dry": dry, "damp": wet, "wet": wet, "iced": _ON_ICE})
    return Glove(name, title, ranges, for_ways, note, "glove_friction")


# From memory, as a sole on ice: no figure for a hand on an iced cable was found.
_ON_ICE = (0.05, 0.2)


def _gloves(*gloves: Glove) -> Mapping[str, Glove]:
    return MappingProxyType({glove.name: glove for glove in gloves})


GLOVES = _gloves(
    _glove(
        BARE, "bare hands", dry=(0.3, 0.5), wet=(0.2, 0.4), for_ways=(),
        note="broken strands cut, and a hand that slides burns",
    ),
    _glove(
        LEATHER, "leather gloves", dry=(0.4, 0.6), wet=(0.3, 0.4), for_ways=WAYS,
        note="they hold less than rubber and bear a sliding cable",
    ),
    _glove(
        "rubber-coated", "rubber-coated gloves", dry=(0.5, 0.9), wet=(0.35, 0.6), for_ways=(UP,),
        note="they stick, which helps up; down they grab, and the coating tears",
    ),
    _glove(
        "knitted", "knitted gloves", dry=(0.2, 0.4), wet=(0.15, 0.35), for_ways=(),
        note="wool or fleece on steel hardly holds",
    ),
)  # fmt: skip

FLAGS: Mapping[str, str] = MappingProxyType(
    {
        "beyond_both_hands": "more than both hands of a median woman hold",
        "over_an_hour": "held longer than anyone measured: past an hour the curve is only carried on",
    }
)


@dataclass(frozen=True)
class HandLoad:
    """What a pull means for hands in one glove on one state of the rock.

    ``breakaway_share`` is of the pull at which one hand lets go, ``squeeze_N`` what one hand alone must squeeze, and
    the grip shares are of what one hand of a median man or woman squeezes at most. ``hands`` is how many the pull
    takes, judged by the weaker norm: 0 where the feet hold, 1, 2, or 3 where both are not enough. The endurances are
    those of both hands sharing the pull without a break; infinite where there is none, 0 where they cannot hold it.
    ``flags`` are keys of ``FLAGS``.
    """

    rock: str
    glove: str
    breakaway_share: float
    squeeze_N: float
    grip_share_men: float
    grip_share_women: float
    hands: int
    endurance_men_s: float
    endurance_women_s: float
    flags: tuple[str, ...]


def squeeze_N(pull_N: ArrayLike, mu_glove: ArrayLike) -> NDArray[np.float64]:
    """How hard one hand must squeeze a cable that it holds by friction alone.

    N = T / (2 mu): fingers press on one side, the palm on the other, and each side holds mu N.

    Parameters
    ----------
    pull_N, mu_glove : array_like
        Pull along the cable [N]; friction of hand or glove on steel [-], above 0; broadcast together.

    Returns
    -------
    ndarray
        The squeeze [N], which is what a grip dynamometer reads.

    Raises
    ------
    ValueError
        A friction of 0 or less: no squeeze would hold.

    Validity
    --------
    A smooth straight cable. Strands, a hand wrapped round and a hook of the fingers hold a little more.

    Sources
    -------
    Coulomb friction; mu from glove_friction.
    """
    mu = np.asarray(mu_glove, float)
    if not np.all(mu > 0):
        raise ValueError("the friction of a glove is above 0")
    return np.asarray(pull_N, float) / (2.0 * mu)


def endurance_s(share: ArrayLike, hour_share: float = ENDURANCE_SHARE) -> NDArray[np.float64]:
    """How long a hand holds a share of its most.

    t = 3600 s (share_1h / share)^n for shares up to 1, with n from a minute at half of the most; nothing is held above.

    Parameters
    ----------
    share : array_like
        Share of the most the hand can do [-].
    hour_share : float
        The share kept up for an hour: ``ENDURANCE_SHARE``, or ``ENDURANCE_SHARE_WITH_BREAKS`` for hands that let go
        in turn.

    Returns
    -------
    ndarray
        Time [s], same shape: infinite at a share of 0, 0 above 1.

    Validity
    --------
    Measured at an hour only (7.9 % sustained, 14 % with breaks). Between there and half of the most the curve is ours;
    under the hour's share it is carried on, which callers flag as "over_an_hour". No share is held for ever.

    Notes
    -----
    Sources: bjorksten_1977, our_endurance_curve.
    """
    held = np.asarray(share, float)
    with np.errstate(divide="ignore", over="ignore"):  # next to no pull is held next to for ever: infinite is right
        time_s = _HOUR_S * (hour_share / held) ** _FALL
    return np.where(held > 1.0, 0.0, time_s)


def both_hands_share(pull_N: ArrayLike, mu_glove: float, grip: Grip) -> NDArray[np.float64]:
    """What each hand gives, as a share of its most, when both share a pull; above 1 they cannot hold it. [-]

    The larger of the squeeze against the grip and the pull against the breakaway of one hand, for half the pull.

    Notes
    -----
    Sources: dodds_2014, young_2009, glove_friction.
    """
    half_N = np.asarray(pull_N, float) / 2.0
    return np.maximum(squeeze_N(half_N, mu_glove) / grip.force_N, half_N / ONE_HAND_BREAKAWAY_N)


def hand_load(pull_N: float, glove: Glove, rock: Rock) -> HandLoad:
    """What a pull means for hands in this glove on this rock.

    Parameters
    ----------
    pull_N : float
        Pull along the cable [N], 0 or more.
    glove, rock
        What is on the hands, and the state of the rock, which is that of the cable.

    Notes
    -----
    Sources: dodds_2014, young_2009, bjorksten_1977, glove_friction, our_endurance_curve.
    """
    mu = glove.mu[rock.name]
    one_N = float(squeeze_N(pull_N, mu))
    shares = {key: float(both_hands_share(pull_N, mu, grip)) for key, grip in GRIPS.items()}
    endures_s = {key: float(endurance_s(share)) for key, share in shares.items()}
    one_share = max(one_N / WEAKER.force_N, pull_N / ONE_HAND_BREAKAWAY_N)
    flags = []
    if shares[WEAKER.key] > 1.0:
        flags.append("beyond_both_hands")
    if any(_HOUR_S < time_s < math.inf for time_s in endures_s.values()):
        flags.append("over_an_hour")
    return HandLoad(
        rock=rock.name,
        glove=glove.name,
        breakaway_share=pull_N / ONE_HAND_BREAKAWAY_N,
        squeeze_N=one_N,
        grip_share_men=one_N / GRIPS["men"].force_N,
        grip_share_women=one_N / GRIPS["women"].force_N,
        hands=_hands(one_share),
        endurance_men_s=endures_s["men"],
        endurance_women_s=endures_s["women"],
        flags=tuple(flags),
    )


def _hands(one_share: float) -> int:
    """How many hands a pull takes that asks ``one_share`` of the most of one: two hold twice as much."""
    return min(MORE_THAN_BOTH, math.ceil(one_share))
