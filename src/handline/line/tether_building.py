"""A tether from its parts: its reach, how stiff it is, and which part goes first."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from handline.errors import InputError, Problem
from handline.line.hitches import Hitch
from handline.line.limits import cord_minimum_N
from handline.line.parts import (
    ABSORBER,
    CONNECTOR,
    CORD,
    HARNESS,
    KNOTS,
    PARTS,
    Knot,
    PartKind,
    knot_share,
)
from handline.line.tether import ABSORBING, GRIPPING, RUNNING, Cord, Part, Tether

USUAL_CORD_DIAMETER_M = 0.006
UNKNOWN_WORDS = " of unknown strength"
# Seconds to pass one stop, for one and for two on the cable. [practice_line_rate]
CHANGEOVER_S = {
    (RUNNING, 1): 6.0,
    (RUNNING, 2): 10.0,
    (ABSORBING, 1): 6.0,
    (ABSORBING, 2): 10.0,
    (GRIPPING, 1): 25.0,
    (GRIPPING, 2): 50.0,
}


@dataclass(frozen=True)
class Link:
    """One part of a tether to be built, by its key in ``PARTS``. What is None is as usual for the part.

    ``length_m`` is its share of the reach; ``knot`` a key of ``KNOTS``, how its end is tied; ``strength_N`` and
    ``stiffness_N`` are typed for this very part, the strength new and without its knot.
    """

    part: str
    length_m: float | None = None
    knot: str | None = None
    diameter_m: float | None = None
    opening_m: float | None = None
    strength_N: float | None = None
    stiffness_N: float | None = None

    @property
    def kind(self) -> PartKind:
        return PARTS[self.part]

    @property
    def reach_m(self) -> float:
        return self.kind.usual_length_m if self.length_m is None else self.length_m

    @property
    def tied(self) -> Knot:
        return KNOTS[self.kind.usual_knot if self.knot is None else self.knot]

    @property
    def cord_m(self) -> float:
        return USUAL_CORD_DIAMETER_M if self.diameter_m is None else self.diameter_m


def build_tether(
    name: str,
    title: str,
    kind: str,
    arms: int,
    links: Sequence[Link],
    *,
    reach_m: float | None = None,
    stiffness_N: float | None = None,
    hitch: Hitch | None = None,
    backup: Tether | None = None,
    changeover_s: float | None = None,
) -> Tether:
    """A way of attaching from its parts.

    Reach is the sum of the parts' lengths. They stretch in series, k = 1 / sum(L / EA), which is given as one effective
    EA = k L on the whole reach L; a part that is not known to stretch counts as not stretching, the stiff and careful
    side. Each part counts with its least strength and what its knot leaves of it; connectors that run down on a stop
    count as if pulled across it. Without a harness among the parts a sit harness is meant.

    Parameters
    ----------
    name, title : str
        What it is called, and in a sentence.
    kind : str
        ``RUNNING``, ``GRIPPING`` or ``ABSORBING``.
    arms : int
        1 or 2 of them on the cable; a backup comes on top.
    links : sequence of Link
        The parts of one arm, in any order.
    reach_m, stiffness_N : float, optional
        Typed for the whole, in place of what the parts give [m], [N per unit strain].
    hitch, backup : optional
        Of a gripping tether: the hitch, and the running tether behind it.
    changeover_s : float, optional
        Time to pass one stop; else as ``CHANGEOVER_S`` says, a backup added.

    Returns
    -------
    Tether
        A hitch that is a brake and no stop gives a tether that runs.

    Raises
    ------
    InputError
        No reach; nothing in it stretches; an absorbing tether without an absorber, or another with one; a backup that
        is no running tether, or has a hitch itself; no cord for a hitch. Each says how to mend it.

    Validity
    --------
    New parts, tied as said. Age, wear, wet and edges weaken them by shares that are not in here.

    Sources
    -------
    Of each part and knot in ``PARTS`` and ``KNOTS``; practice_line_rate for the seconds.
    """
    acts_as = RUNNING if hitch is not None and not hitch.is_stop else kind
    _refuse(kind, links, hitch, backup)
    long_m = sum(link.reach_m for link in links)
    whole_m = long_m if reach_m is None else reach_m
    if not whole_m > 0.0:
        raise InputError(
            Problem(
                "this tether has no reach",
                read=f"{whole_m:g} m",
                allowed="more than 0 m from the harness to the cable",
                mend="give a part its length, or the tether its reach",
            )
        )
    stretch, source = _stiffness(links, long_m)
    if stiffness_N is not None:
        stretch, source = stiffness_N, "typed"
    if not math.isfinite(stretch):
        raise InputError(
            Problem(
                "nothing in this tether stretches, so no force can be computed for it",
                mend="add the sling, cord or rope it is made of, or type its stiffness",
            )
        )
    absorber = next((link.kind.absorber for link in links if link.kind.what == ABSORBER), None)
    # A connector of a hitch hangs on its cord and not on the cable.
    parts = _parts(links, runs=hitch is None)
    openings = [link for link in links if link.kind.what == CONNECTOR and hitch is None]
    cord = next((link for link in links if link.kind.what == CORD), None) if hitch is not None else None
    seconds = CHANGEOVER_S[kind, arms] if changeover_s is None else changeover_s
    if backup is not None:
        seconds += backup.changeover_s if changeover_s is None else 0.0
    return Tether(
        name=name,
        title=title,
        kind=acts_as,
        arms=arms if backup is None else arms + backup.arms,
        reach_m=whole_m,
        stiffness_N=stretch,
        parts=parts,
        changeover_s=seconds,
        source=source,
        absorber=absorber,
        hitch=hitch,
        cord=None if cord is None else Cord(cord.cord_m, cord.kind.fibre),
        backup=backup,
        opening_m=min((_opening_m(link) for link in openings), default=backup.opening_m if backup else None),
        opening_typed=all(link.opening_m is not None for link in openings) and (backup is None or backup.opening_typed),
    )


def with_strength(tether: Tether, strength_N: float) -> Tether:
    """The tether with a strength typed for the whole of it [N].

    It stands in for parts of which nothing is known; parts known to be weaker go on counting.
    """
    typed = Part("tether as typed", strength_N, "typed")
    return replace(tether, parts=(*(part for part in tether.parts if part.known), typed))


def _refuse(kind: str, links: Sequence[Link], hitch: Hitch | None, backup: Tether | None) -> None:
    """Everything that cannot be put together like this."""
    problems = []
    absorbers = [link for link in links if link.kind.what == ABSORBER]
    if kind == ABSORBING and not absorbers:
        problems.append(Problem("an absorbing tether has an absorber among its parts", mend="add one, by its edition"))
    if kind != ABSORBING and absorbers:
        problems.append(
            Problem("only an absorbing tether has an absorber", read=absorbers[0].part, mend='write kind = "absorbing"')
        )
    if (hitch is not None) != (kind == GRIPPING):
        problems.append(Problem("a gripping tether has a hitch, and no other has one", mend="name its hitch"))
    if hitch is not None and not any(link.kind.what == CORD for link in links):
        problems.append(Problem("a hitch is tied with a cord, and there is none among the parts", mend="add the cord"))
    if backup is not None and (kind != GRIPPING or backup.kind not in (RUNNING, ABSORBING) or backup.hitch is not None):
        problems.append(
            Problem(
                "a backup is a running connector behind a hitch",
                read=backup.name,
                mend="name a running tether, and give a backup to a gripping one only",
            )
        )
    if problems:
        raise InputError(problems)


def _stiffness(links: Sequence[Link], long_m: float) -> tuple[float, str]:
    """Effective EA of the parts in series on their whole length [N], and the source of what gives most."""
    gives = []
    for link in links:
        stiffness_N = link.kind.stiffness_N if link.stiffness_N is None else link.stiffness_N
        if stiffness_N is not None and link.reach_m > 0.0:
            source = link.kind.stiffness_source if link.stiffness_N is None else "typed"
            gives.append((link.reach_m / stiffness_N, source))
    if not gives:
        return math.inf, "typed"
    _, source = max(gives)
    return long_m / sum(give_m_N for give_m_N, _ in gives), source


def _parts(links: Sequence[Link], *, runs: bool) -> tuple[Part, ...]:
    """Each part as it is tied, the harness at the end; absorbers hold what their arms hold."""
    tied = [_tied(link, runs=runs) for link in links if link.kind.what != ABSORBER]
    if not any(link.kind.what == HARNESS for link in links):
        tied.append(_tied(Link("sit harness"), runs=runs))
    return tuple(tied)


def _tied(link: Link, *, runs: bool) -> Part:
    kind, knot = link.kind, link.tied
    across = kind.what == CONNECTOR and runs
    new_N = _new_strength_N(link, across=across)
    known = not math.isnan(new_N)
    share = knot_share(kind, knot)
    force_N = new_N * share
    if kind.knotted_N is not None and link.strength_N is None and knot.keeps < 1.0:
        force_N = min(force_N, kind.knotted_N)
    name = f"{link.cord_m * 1000.0:g} mm {kind.title}" if kind.what == CORD else kind.title
    words = f"{name} pulled across the stop" if across else f"{name} {knot.words}".rstrip()
    as_typed = link.strength_N is not None and new_N == link.strength_N
    source = "typed" if as_typed else knot.source if share < 1.0 else kind.source
    return Part(
        words=words if known else f"{words}{UNKNOWN_WORDS}",
        force_N=force_N if known else 0.0,
        source=source if known else "unknown_strength",
        known=known,
        static=kind.static,
        certified_for=kind.certified_for,
        not_for=kind.not_for,
    )


def _new_strength_N(link: Link, *, across: bool) -> float:
    """Least strength of one strand, new and without its knot [N]; NaN where none is known."""
    kind = link.kind
    if across and kind.across_N is not None:
        # A typed strength is the one stamped on it, along; across a stop the class goes on counting.
        return kind.across_N if link.strength_N is None else min(link.strength_N, kind.across_N)
    if link.strength_N is not None:
        return link.strength_N
    if kind.what == CORD:
        return float(cord_minimum_N(link.cord_m))
    return math.nan if kind.strength_N is None else kind.strength_N


def _opening_m(link: Link) -> float:
    usual_m = link.kind.opening_m if link.opening_m is None else link.opening_m
    return math.inf if usual_m is None else usual_m
