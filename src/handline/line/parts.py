"""What tethers are made of: one registry of parts and one of knots, with what each is certified for and not meant for.

A part of which nobody can say what it holds stays in the list without a strength: a tether built with it counts as
breaking, and the output says why.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from handline.line.arrest import ABSORBER_EN_958_2017, Absorber
from handline.line.limits import LIMITS

SLING = "sling"
CORD = "cord"
ROPE = "rope"
CHAIN = "sewn chain"
CONNECTOR = "connector"
ABSORBER = "absorber"
HARNESS = "harness"
WHATS = (SLING, CORD, ROPE, CHAIN, CONNECTOR, ABSORBER, HARNESS)

# Effective EA, each at the stiff and so careful end of what is known; from drop tests, never from static elongation.
HMPE_N = 161e3
DYNAMIC_ROPE_N = 30.4e3
SEMI_STATIC_N = 61e3
PA_N = 80e3


@dataclass(frozen=True)
class PartKind:
    """One kind of part.

    Parameters
    ----------
    key, title, what : str
        As a trip file names it, as a sentence names it, and one of ``WHATS``.
    strength_N : float or None
        Least strength new and unknotted [N]; None where none is known. Cord has it by its diameter.
    stiffness_N : float or None
        Effective EA [N per unit strain]; None where it is not known to stretch, and then it counts as not stretching.
    static : bool
        Whether it is not meant to catch a fall by itself.
    certified_for, not_for : str
        What its standard tests it for, and what else it is not meant for besides catching a fall where ``static``. From
        memory but for the numbers.
    source, stiffness_source : str
        Keys of the strength and of the stiffness.
    usual_length_m, usual_knot
        What is meant where a file says nothing: its share of the reach [m], and how its end is usually tied.
    across_N : float or None
        Connectors: what counts when it is pulled across a stop [N]: the least of its ratings, but the whole of it for
        the class that is made for it.
    opening_m : float or None
        Connectors: the small end of usual gate openings [m], from memory [connector_openings].
    knotted_N : float or None
        The most that counts with a knot, where a standard says so [N].
    fibre : str
        Key of ``FIBRES``; "" where it is no fibre.
    absorber : Absorber or None
        What its edition promises.
    is_loop : bool
        Whether its strength is that of a closed loop, both strands: a knot that closes it adds no second one.
    """

    key: str
    title: str
    what: str
    strength_N: float | None
    stiffness_N: float | None
    static: bool
    certified_for: str
    not_for: str
    source: str
    stiffness_source: str = ""
    usual_length_m: float = 0.0
    usual_knot: str = "sewn"
    across_N: float | None = None
    opening_m: float | None = None
    knotted_N: float | None = None
    fibre: str = ""
    absorber: Absorber | None = None
    is_loop: bool = False


@dataclass(frozen=True)
class Knot:
    """What a knot or a girth hitch leaves of the strength, and the range it was reported in; the low end counts.

    ``closes_loop`` where it joins the ends of a cord or tape into a loop, whose two strands then share the load.
    ``words`` follow the name of the part.
    """

    key: str
    words: str
    keeps: float
    keeps_range: tuple[float, float]
    closes_loop: bool
    source: str


def _parts(*kinds: PartKind) -> Mapping[str, PartKind]:
    return MappingProxyType({kind.key: kind for kind in kinds})


def _knots(*knots: Knot) -> Mapping[str, Knot]:
    return MappingProxyType({knot.key: knot for knot in knots})


# The 2011 edition was tested with 80 kg and dry only; its wet ceiling is taken as the 2017 one's, low_N from memory.
ABSORBER_EN_958_2011 = Absorber(
    ceiling_N=6000.0,
    wet_ceiling_N=8000.0,
    low_N=3000.0,
    travel_m=1.2,
    activation_N=1200.0,
    lightest_kg=80.0,
    heaviest_kg=80.0,
    source="en_958_2011",
)
# The numbers of the 2024 edition were not seen: each is the worse of the two editions before it, masses as 2017. Ours.
ABSORBER_EN_958_2024 = Absorber(
    ceiling_N=6000.0,
    wet_ceiling_N=8000.0,
    low_N=3000.0,
    travel_m=1.2,
    activation_N=1300.0,
    lightest_kg=40.0,
    heaviest_kg=120.0,
    source="en_958_2024",
)

_ABOVE = "climbing above what it hangs on"
_KNOTTED_HMPE = "knots, which it loses more by than other slings"

PARTS = _parts(
    PartKind(
        "HMPE sling", "HMPE sling", SLING, LIMITS["sling"].force_N, HMPE_N, True,
        "22 kN new, sewn, straight pull", _KNOTTED_HMPE,
        LIMITS["sling"].source, "hmpe_drop_test", usual_length_m=0.6, usual_knot="girth hitch", fibre="HMPE",
        is_loop=True,
    ),
    PartKind(
        "PA sling", "PA sling", SLING, LIMITS["sling"].force_N, PA_N, True,
        "22 kN new, sewn, straight pull", _ABOVE,
        LIMITS["sling"].source, "pa_stiffness", usual_length_m=0.6, usual_knot="girth hitch", fibre="PA6", is_loop=True,
    ),
    PartKind(
        "PA tape", "PA tape", SLING, 10000.0, PA_N, True,
        "10 kN new, flat tape, one strand", "a knot with short ends, which creeps open",
        "en_565", "pa_stiffness", usual_length_m=0.6, usual_knot="water knot", fibre="PA6",
    ),
    PartKind(
        "PA cord", "PA cord", CORD, None, PA_N, True,
        "0.2 d^2 kN new, one strand, d from 4 to 8 mm", "sharp edges, and heat: a cable that runs through it melts it",
        "en_564", "pa_stiffness", usual_knot="double fisherman's", fibre="PA6",
    ),
    PartKind(
        "HMPE cord", "HMPE cord", CORD, None, HMPE_N, True,
        "0.2 d^2 kN new, one strand, d from 4 to 8 mm", "a hitch that may slip: it melts first of all",
        "en_564", "hmpe_drop_test", usual_knot="double fisherman's", fibre="HMPE",
    ),
    PartKind(
        "aramid cord", "aramid cord", CORD, None, HMPE_N, True,
        "0.2 d^2 kN new, one strand, d from 4 to 8 mm", "much bending, which wears it out unseen",
        "en_564", "aramid_stiffness", usual_knot="double fisherman's", fibre="aramid",
    ),
    PartKind(
        "dynamic-rope lanyard", "dynamic-rope lanyard", ROPE, LIMITS["lanyard"].force_N, DYNAMIC_ROPE_N, False,
        "a rope's first drops of 80 kg within 12 kN; 22 kN as a lanyard", "the free run to a far anchor",
        LIMITS["lanyard"].source, "dynamic_rope_stiffness", usual_length_m=0.8, usual_knot="figure-eight loop",
        fibre="PA6",
    ),
    PartKind(
        "semi-static rope", "semi-static rope", ROPE, 22000.0, SEMI_STATIC_N, True,
        "22 kN new, 15 kN with a knot (type A)", _ABOVE,
        "en_1891", "semi_static_stiffness", usual_length_m=0.8, usual_knot="figure-eight loop", knotted_N=15000.0,
        fibre="PA6",
    ),
    PartKind(
        "textile lanyard", "textile lanyard", SLING, LIMITS["lanyard"].force_N, PA_N, True,
        "22 kN new, up to 2 m, to hold a worker in place", "use without an absorber where a fall is possible",
        LIMITS["lanyard"].source, "pa_stiffness", usual_length_m=0.8, fibre="PA6",
    ),
    PartKind(
        "sewn chain", "chain of sewn loops", CHAIN, LIMITS["sling"].force_N, HMPE_N, True,
        "22 kN new, end to end", _ABOVE,
        LIMITS["sling"].source, "hmpe_drop_test", usual_length_m=0.9, usual_knot="girth hitch", fibre="HMPE",
        is_loop=True,
    ),
    PartKind(
        "daisy chain", "pocket of a daisy chain", CHAIN, None, HMPE_N, True,
        "aid climbing: one pocket bears body weight and little more", "more than body weight: a pocket may rip",
        "unknown_strength", "hmpe_drop_test", usual_length_m=0.9, usual_knot="girth hitch", fibre="HMPE",
        is_loop=True,
    ),
    PartKind(
        "unmarked part", "unmarked part", SLING, None, HMPE_N, True,
        "nothing that can be read on it", "anything that a life hangs on",
        "unknown_strength", "hmpe_drop_test", usual_length_m=0.6, is_loop=True,
    ),
    PartKind(
        "elastic arm", "elastic arm", SLING, LIMITS["arm_elastic"].force_N, PA_N, False,
        "an arm of a via-ferrata set, 12 kN after 50,000 cycles", "use without its absorber",
        LIMITS["arm_elastic"].source, "pa_stiffness", usual_length_m=0.9, fibre="PA6",
    ),
    PartKind(
        "plain arm", "arm of a via-ferrata set", SLING, 15000.0, PA_N, False,
        "an arm of a via-ferrata set, 15 kN", "use without its absorber",
        "en_958_2017", "pa_stiffness", usual_length_m=0.9, fibre="PA6",
    ),
    PartKind(
        "connector B", "class B connector", CONNECTOR, LIMITS["connector_long"].force_N, None, False,
        "20 kN along, 7 kN with its gate open and across", "a pull across a stop or over an edge",
        LIMITS["connector_long"].source, across_N=LIMITS["connector_across"].force_N, opening_m=0.018,
    ),
    PartKind(
        "connector H", "class H connector", CONNECTOR, 20000.0, None, False,
        "20 kN along, 6 kN with its gate open, 7 kN across", "a pull across a stop or over an edge",
        "en_12275", across_N=6000.0, opening_m=0.020,
    ),
    PartKind(
        "connector K", "class K connector", CONNECTOR, 25000.0, None, False,
        "25 kN along, 8 kN with its gate open, 7 kN across; made for a fixed cable and its stops",
        "a second climber between the same two stops", "en_12275", across_N=25000.0, opening_m=0.020,
    ),
    PartKind(
        "connector X", "class X connector", CONNECTOR, 18000.0, None, False,
        "18 kN along, 5 kN with its gate open, 7 kN across", "a pull across a stop or over an edge",
        "en_12275", across_N=5000.0, opening_m=0.015,
    ),
    PartKind(
        "absorber EN 958:2011", "absorber of the 2011 edition", ABSORBER, None, None, False,
        "80 kg, dry: 6 kN within 1.2 m", "bodies far from 80 kg, or a second slide",
        "en_958_2011", absorber=ABSORBER_EN_958_2011,
    ),
    PartKind(
        "absorber EN 958:2017", "absorber of the 2017 edition", ABSORBER, None, None, False,
        "40 to 120 kg: 6 kN dry, 8 kN wet, within 2.2 m", "a second slide",
        "en_958_2017", absorber=ABSORBER_EN_958_2017,
    ),
    PartKind(
        "absorber EN 958:2024", "absorber of the 2024 edition", ABSORBER, None, None, False,
        "numbers of this edition were not seen; the worse of the two before it count", "a second slide",
        "en_958_2024", absorber=ABSORBER_EN_958_2024,
    ),
    PartKind(
        "sit harness", "harness", HARNESS, LIMITS["harness"].force_N, None, False,
        "15 kN (type C)", "a fall head down with a heavy pack: a body may turn over in it", LIMITS["harness"].source,
    ),
    PartKind(
        "full-body harness", "full-body harness", HARNESS, 15000.0, None, False,
        "15 kN (type A)", "hanging for long", "en_12277",
    ),
)  # fmt: skip

KNOTS = _knots(
    Knot("sewn", "", 1.0, (1.0, 1.0), False, "typed"),
    Knot("figure-eight loop", "with a figure-eight loop", 0.80, (0.80, 0.80), False, "knot_strength"),
    Knot("double fisherman's", "tied with a double fisherman's", 0.68, (0.68, 0.68), True, "knot_strength"),
    Knot("bowline", "with a bowline", 0.60, (0.60, 0.90), False, "knot_strength"),
    Knot("water knot", "tied with a water knot", 0.64, (0.64, 0.64), True, "knot_strength"),
    Knot("girth hitch", "girth-hitched to the harness", 0.50, (0.50, 0.80), False, "simon_2020"),
)

# Fixed percentages mislead for HMPE, which is slippery: no knot in it is trusted with more than a girth hitch. Ours.
HMPE_KNOT_KEEPS = KNOTS["girth hitch"].keeps
# A closed loop has two strands, but how they share the load is not known: it counts as one strand without its knot,
# or as both with it, whichever is less. Ours.
LOOP_STRANDS = 2.0


def knot_share(kind: PartKind, knot: Knot) -> float:
    """What share of a part's strength counts with a knot [-].

    The low end of what it leaves; in HMPE no knot leaves more than a girth hitch; a loop of a part that is rated by
    the strand as ``LOOP_STRANDS`` says.
    Sources: knot_strength, simon_2020, our_loop_rule.
    """
    keeps = min(knot.keeps, HMPE_KNOT_KEEPS) if kind.fibre == "HMPE" and knot.keeps < 1.0 else knot.keeps
    return min(1.0, LOOP_STRANDS * keeps) if knot.closes_loop and not kind.is_loop else keeps
