"""Tethers from their parts: reach, stiffness and weakest part by hand, and what cannot be put together."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.errors import InputError, Problem
from handline.line.hitches import HITCHES
from handline.line.parts import PARTS
from handline.line.tether_building import CHANGEOVER_S, Link, build_tether, with_strength
from handline.line.tethers import ABSORBING, GRIPPING, NONE, RUNNING, TETHERS, USUAL_HITCH, Tether

SLING = (Link("HMPE sling"), Link("connector B"))
HITCH = (Link("PA cord"), Link("PA sling"))
STRETCHY = [kind.key for kind in PARTS.values() if kind.stiffness_N is not None]


def running(*links: Link, **typed: float) -> Tether:
    return build_tether("own", "own", RUNNING, 1, links, **typed)  # type: ignore[arg-type]


def problems(*args: object, **more: object) -> list[Problem]:
    with pytest.raises(InputError) as refused:
        build_tether("own", "own", *args, **more)  # type: ignore[arg-type]
    return list(refused.value.problems)


def test_reach_is_the_sum_and_stiffness_is_in_series() -> None:
    # By hand: 0.6 m of EA 161 kN and 0.9 m of EA 30.4 kN give 0.6 / 161e3 + 0.9 / 30.4e3 = 3.333197e-5 m/N; on the
    # 1.6 m with a connector of 0.1 m, which does not stretch, that is an EA of 48,002 N.
    tether = running(Link("HMPE sling"), Link("dynamic-rope lanyard", length_m=0.9), Link("connector K", length_m=0.1))
    assert tether.reach_m == pytest.approx(1.6)
    assert tether.stiffness_N == pytest.approx(1.6 / 3.333197e-5, rel=1e-6)
    assert tether.source == "dynamic_rope_stiffness"  # of what gives most


def test_one_part_keeps_its_own_stiffness() -> None:
    assert running(*SLING).stiffness_N == 161e3
    assert running(Link("HMPE sling", length_m=1.2), Link("connector B")).stiffness_N == pytest.approx(161e3)


def test_what_is_typed_goes_before_what_the_parts_give() -> None:
    tether = running(*SLING, reach_m=0.9, stiffness_N=70e3)
    assert (tether.reach_m, tether.stiffness_N, tether.source) == (0.9, 70e3, "typed")
    part = running(Link("HMPE sling", stiffness_N=70e3))
    assert (part.stiffness_N, part.source) == (70e3, "typed")


@given(st.lists(st.tuples(st.sampled_from(STRETCHY), st.floats(0.05, 1.5)), min_size=1, max_size=5))
def test_a_chain_is_between_its_softest_and_stiffest_part(parts: list[tuple[str, float]]) -> None:
    tether = running(*(Link(part, length_m=length_m) for part, length_m in parts))
    stiffness_N = [PARTS[part].stiffness_N or 0.0 for part, _ in parts]
    assert min(stiffness_N) * (1 - 1e-9) <= tether.stiffness_N <= max(stiffness_N) * (1 + 1e-9)
    assert tether.reach_m == pytest.approx(sum(length_m for _, length_m in parts))
    gives = sum(length_m / (PARTS[part].stiffness_N or np.inf) for part, length_m in parts)
    assert tether.reach_m / tether.stiffness_N == pytest.approx(gives)


@given(st.lists(st.sampled_from([*PARTS]), min_size=1, max_size=6), st.sampled_from(STRETCHY))
def test_a_part_more_never_makes_it_stronger(parts: list[str], more: str) -> None:
    links = [Link(part) for part in parts if PARTS[part].absorber is None]
    before = running(Link("PA sling"), *links)
    assert running(Link("PA sling"), *links, Link(more)).weakest.force_N <= before.weakest.force_N


def test_connectors_across_a_stop_and_along() -> None:
    # EN 12275: B 20/7/7, H 20/6/7, K 25/8/7, X 18/5/7: closed, gate open, minor axis. Class K is made for a stop.
    for letter, along_N, across_N in (("B", 20e3, 7e3), ("H", 20e3, 6e3), ("K", 25e3, 25e3), ("X", 18e3, 5e3)):
        across = running(Link("PA sling"), Link(f"connector {letter}")).parts[1]
        hangs = build_tether("own", "own", GRIPPING, 1, (*HITCH, Link(f"connector {letter}")), hitch=USUAL_HITCH)
        assert (across.force_N, hangs.parts[2].force_N) == (across_N, along_N)
        assert across.words.endswith("pulled across the stop")


def test_a_stamp_does_not_help_a_connector_across_a_stop() -> None:
    stamped = running(Link("PA sling"), Link("connector B", strength_N=24e3)).parts[1]
    assert (stamped.force_N, stamped.source) == (7e3, "en_12275")
    weak = running(Link("PA sling"), Link("connector B", strength_N=4e3)).parts[1]
    assert (weak.force_N, weak.source) == (4e3, "typed")


def test_knots_take_their_share() -> None:
    def force_N(*args: object, **more: object) -> float:
        return running(Link(*args, **more)).parts[0].force_N  # type: ignore[arg-type]

    assert force_N("HMPE sling") == 11e3  # girth-hitched: 0.5 x 22 kN
    assert force_N("HMPE sling", knot="sewn") == 22e3
    assert force_N("dynamic-rope lanyard") == pytest.approx(17.6e3)
    assert force_N("dynamic-rope lanyard", knot="bowline") == pytest.approx(13.2e3)
    # EN 1891 promises 15 kN with a knot, less than 0.8 x 22; a bowline leaves less still.
    assert force_N("semi-static rope") == 15e3
    assert force_N("semi-static rope", knot="bowline") == pytest.approx(13.2e3)
    assert force_N("semi-static rope", knot="sewn") == 22e3
    assert force_N("semi-static rope", strength_N=30e3) == pytest.approx(24e3)
    # EN 564, 5 mm: 5 kN, a loop counted as one strand; 0.6 of it on one strand with a bowline.
    assert force_N("PA cord", length_m=0.3, diameter_m=0.005) == pytest.approx(5e3)
    assert force_N("PA cord", length_m=0.3, diameter_m=0.005, knot="bowline") == pytest.approx(3e3)


def test_a_harness_is_always_there() -> None:
    assert [part.words for part in running(*SLING).parts][-1] == "harness"
    full = running(*SLING, Link("full-body harness"))
    assert [part.words for part in full.parts].count("harness") == 0
    assert full.parts[-1].force_N == 15e3


@pytest.mark.parametrize(
    "link", [Link("unmarked part"), Link("daisy chain"), Link("PA cord", length_m=0.5, diameter_m=0.003)]
)
def test_a_part_of_unknown_strength_counts_as_breaking(link: Link) -> None:
    tether = running(Link("PA sling"), link)
    assert tether.weakest.force_N == 0.0
    assert tether.unknown == (tether.weakest,)
    assert "of unknown strength" in tether.weakest.words
    assert tether.weakest.source == "unknown_strength"


def test_a_typed_strength_stands_in_for_what_is_not_known() -> None:
    assert running(Link("unmarked part", strength_N=9e3, knot="sewn")).weakest.force_N == 9e3
    tether = with_strength(running(Link("PA sling"), Link("unmarked part"), Link("connector X")), 8e3)
    assert tether.unknown == ()
    assert tether.weakest.force_N == 5e3  # the connector, known to be weaker, goes on counting
    assert with_strength(running(Link("PA sling"), Link("unmarked part")), 8e3).weakest.force_N == 8e3


def test_a_brake_runs_and_a_backup_stays_on_the_cable() -> None:
    brake = build_tether("own", "own", GRIPPING, 1, HITCH, hitch=HITCHES["autoblock"])
    assert (brake.kind, brake.brake_only) == (RUNNING, True)
    backed = build_tether("own", "own", GRIPPING, 1, HITCH, hitch=USUAL_HITCH, backup=TETHERS["one sling"])
    assert (backed.kind, backed.arms, backed.brake_only) == (GRIPPING, 2, False)
    # Common practice: 25 s for the hitch and 6 s for the connector behind it.
    assert backed.changeover_s == 31.0
    assert backed.parts == build_tether("own", "own", GRIPPING, 1, HITCH, hitch=USUAL_HITCH).parts
    assert len(backed.every_part) == len(backed.parts) + 2  # the backup's sling and connector; one harness


def test_openings_of_what_goes_round_the_cable() -> None:
    typed = running(Link("PA sling"), Link("connector B", opening_m=0.021))
    assert (typed.opening_m, typed.opening_typed) == (0.021, True)
    both = running(Link("PA sling"), Link("connector B", opening_m=0.021), Link("connector X"))
    assert (both.opening_m, both.opening_typed) == (0.015, False)
    # A hitch's connector hangs on the cord; its backup's goes round the cable.
    hitch = (*HITCH, Link("connector X"))
    assert build_tether("own", "own", GRIPPING, 1, hitch, hitch=USUAL_HITCH).opening_m is None
    backed = build_tether("own", "own", GRIPPING, 1, hitch, hitch=USUAL_HITCH, backup=TETHERS["one sling"])
    assert (backed.opening_m, backed.opening_typed) == (0.018, False)


def test_static_parts_count_but_behind_an_absorber() -> None:
    assert running(*SLING).static
    assert not running(Link("dynamic-rope lanyard"), Link("connector B")).static
    links = (Link("HMPE sling"), Link("elastic arm"), Link("absorber EN 958:2011"))
    assert not build_tether("own", "own", ABSORBING, 2, links).static


def test_an_edition_is_a_part() -> None:
    links = (Link("elastic arm"), Link("absorber EN 958:2011"))
    absorber = build_tether("own", "own", ABSORBING, 2, links).absorber
    assert absorber is PARTS["absorber EN 958:2011"].absorber


def test_seconds_of_a_changeover() -> None:
    # Common practice, no source.
    assert CHANGEOVER_S == {
        (RUNNING, 1): 6.0, (RUNNING, 2): 10.0, (ABSORBING, 1): 6.0, (ABSORBING, 2): 10.0, (GRIPPING, 1): 25.0,
        (GRIPPING, 2): 50.0,
    }  # fmt: skip
    assert build_tether("own", "own", RUNNING, 2, SLING, changeover_s=4.0).changeover_s == 4.0


def test_what_cannot_be_put_together() -> None:
    hitch = USUAL_HITCH
    assert "has no reach" in problems(RUNNING, 1, [Link("connector B")])[0].what
    assert "has no reach" in problems(RUNNING, 1, SLING, reach_m=0.0)[0].what
    assert "nothing in this tether stretches" in problems(RUNNING, 1, [Link("connector B", length_m=0.2)])[0].what
    assert "has an absorber" in problems(ABSORBING, 2, SLING)[0].what
    assert "only an absorbing tether" in problems(RUNNING, 2, [*SLING, Link("absorber EN 958:2017")])[0].what
    assert "there is none among the parts" in problems(GRIPPING, 1, SLING, hitch=hitch)[0].what
    assert "no other has one" in problems(RUNNING, 1, HITCH, hitch=hitch)[0].what
    assert "no other has one" in problems(GRIPPING, 1, HITCH)[0].what
    for backup in ("none", "friction hitch", "autoblock hitch"):
        found = problems(GRIPPING, 1, HITCH, hitch=hitch, backup=TETHERS[backup])
        assert found[0].read == backup
    assert "a backup is a running connector" in problems(RUNNING, 1, SLING, backup=TETHERS["one sling"])[0].what
    assert len(problems(ABSORBING, 2, SLING, backup=TETHERS["one sling"])) == 2  # all at once


def test_the_list_is_made_of_its_parts() -> None:
    # Reach [m], EA [N], weakest [N], arms: as before the parts, and the new ones by hand from the same parts.
    rows = {
        name: (tether.reach_m, tether.stiffness_N, tether.weakest.force_N, tether.arms)
        for name, tether in TETHERS.items()
    }
    assert rows == {
        "none": (0.0, 0.0, 0.0, 0),
        "one sling": (0.6, 161e3, 7e3, 1),
        "two slings": (0.6, 161e3, 7e3, 2),
        "rope lanyard": (0.8, 30.4e3, 7e3, 2),
        "sewn chain": (0.9, 161e3, 7e3, 2),
        "friction hitch": (0.8, 80e3, 7.2e3, 1),
        "two friction hitches": (0.8, 80e3, 7.2e3, 2),
        "hitch with backup": (0.8, 80e3, 7.2e3, 2),
        "autoblock hitch": (0.8, 80e3, 7.2e3, 1),
        "absorbing lanyard": (0.9, 80e3, 12e3, 2),
    }
    assert TETHERS["hitch with backup"].backup is TETHERS["one sling"]
    assert TETHERS["autoblock hitch"].kind == RUNNING
    assert TETHERS["none"].kind == NONE
