"""What a way of attaching to a cable is, once its parts are put together."""

from __future__ import annotations

from dataclasses import dataclass

from handline.line.arrest import Absorber
from handline.line.hitches import Hitch

NONE = "none"
RUNNING = "running"
GRIPPING = "gripping"
ABSORBING = "absorbing"
KINDS = (NONE, RUNNING, GRIPPING, ABSORBING)


@dataclass(frozen=True)
class Part:
    """One part of a tether as it is really tied, what it holds, and by which source.

    ``known`` is False where nobody can say what it holds: then ``force_N`` is 0 and it counts as breaking. ``static``
    parts are not meant to catch a fall. ``certified_for`` and ``not_for`` are as in ``PARTS``.
    """

    words: str
    force_N: float
    source: str
    known: bool = True
    static: bool = False
    certified_for: str = ""
    not_for: str = ""


@dataclass(frozen=True)
class Cord:
    """The cord a hitch is tied with; ``fibre`` is a key of ``FIBRES``."""

    diameter_m: float
    fibre: str


@dataclass(frozen=True)
class Tether:
    """One way of attaching.

    ``kind`` is what it does in a slip: a brake that is no stop runs like a connector, and so is ``RUNNING``.
    ``reach_m`` is from the harness to the cable; ``stiffness_N`` is effective EA, with its source. ``arms`` is how many
    connectors or hitches are on the cable: with two, one is always on it at a changeover. ``changeover_s`` is the time
    to pass one stop. ``parts`` are all that must hold. ``hitch`` and ``cord`` are those of a tether that has one;
    ``backup`` is what runs behind the hitch and acts, with its own parts, where it slips. ``opening_m`` is the
    narrowest opening of its connectors, None where it has none, and ``opening_typed`` False where one of
    them is only the usual one of its class.
    """

    name: str
    title: str
    kind: str
    arms: int
    reach_m: float
    stiffness_N: float
    parts: tuple[Part, ...]
    changeover_s: float
    source: str
    absorber: Absorber | None = None
    hitch: Hitch | None = None
    cord: Cord | None = None
    backup: Tether | None = None
    opening_m: float | None = None
    opening_typed: bool = False

    @property
    def weakest(self) -> Part:
        """The part that goes first."""
        return min(self.parts, key=lambda part: part.force_N, default=Part("nothing", 0.0, "typed"))

    @property
    def unknown(self) -> tuple[Part, ...]:
        """Parts of which nobody can say what they hold, those of the backup too."""
        return tuple(part for part in self.every_part if not part.known)

    @property
    def every_part(self) -> tuple[Part, ...]:
        """Its parts, and those of the backup that are others."""
        behind = () if self.backup is None else self.backup.parts
        return (*self.parts, *(part for part in behind if part not in self.parts))

    @property
    def static_parts(self) -> tuple[Part, ...]:
        """Parts that would have to catch a fall and are not meant to: none behind an absorber."""
        return () if self.absorber is not None else tuple(part for part in self.every_part if part.static)

    @property
    def static(self) -> bool:
        """Whether a part would have to catch a fall that it is not meant to catch."""
        return bool(self.static_parts)

    @property
    def brake_only(self) -> bool:
        """Whether its hitch is a brake for a hand and no stop."""
        return self.hitch is not None and not self.hitch.is_stop
