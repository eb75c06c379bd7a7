"""Who carries what."""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.errors import InputError
from handline.sources import source
from handline.walking.carried_flags import CARRIED_FLAGS
from handline.walking.packs import MARKS, SPLITS, GearItem, Member, pack
from tests.tables.published import read_table

PARTY = (Member("Ash", 80.0, 2.0), Member("Birch", 60.0, 1.0), Member("Cedar", 60.0, 1.0))
LIST = (
    GearItem("rope", 3.0, shared=True),
    GearItem("stove", 1.0, shared=True),
    GearItem("tarp", 0.5, count=2, shared=True),
    GearItem("jacket", 0.6),
    GearItem("socks", 0.1, count=2),
    GearItem("harness", 0.4, worn=True),
    GearItem("camera", 0.9, who="Birch"),
)


@pytest.mark.parametrize(
    ("split", "fair_kg"),
    [("even", [5 / 3] * 3), ("by body mass", [2.0, 1.5, 1.5]), ("by strength", [2.5, 1.25, 1.25])],
)
def test_the_share_of_each_rule_by_hand(split: str, fair_kg: list[float]) -> None:
    found = pack(PARTY, LIST, split=split)
    assert found.fair_kg == pytest.approx(fair_kg, abs=1e-12)


def test_a_pack_by_hand() -> None:
    found = pack(PARTY, LIST, split="by strength", food_kg=[0.8, 0.7, 0.6], water_L=[2.0, 1.5, 1.5])
    # The rope to Ash, who is then over; the stove to Birch, the first of two; the first tarp to Cedar, then one more.
    assert found.pieces == (("rope",), ("stove",), ("tarp", "tarp"))
    assert found.shared_kg == pytest.approx([3.0, 1.0, 1.0])
    assert found.own_kg == pytest.approx([0.8, 1.7, 0.8])
    assert found.worn_kg == pytest.approx([0.4] * 3)
    assert found.gear_kg == pytest.approx([3.8, 2.7, 1.8])
    assert found.pack_kg == pytest.approx([6.6, 4.9, 3.9])
    assert found.load_kg == pytest.approx([7.0, 5.3, 4.3])
    assert found.share == pytest.approx([0.0825, 4.9 / 60, 0.065])
    assert found.flags == ((), (), ())


def test_marks_are_data() -> None:
    found = pack(
        [Member(str(kg), 50.0) for kg in (10.0, 10.1, 15.0, 15.1, 50.1)],
        [],
        food_kg=[10.0, 10.1, 15.0, 15.1, 50.1],
    )
    assert found.flags == (
        (),
        ("pack_over_first_mark",),
        ("pack_over_first_mark",),
        ("pack_over_second_mark",),
        ("pack_over_second_mark", "load_over_body_mass"),
    )
    assert {flag for flags in found.flags for flag in flags} <= set(CARRIED_FLAGS)
    expected = {row["name"]: float(row["expected"]) for row in read_table("carried_numbers")}
    assert (expected["first mark"], expected["second mark"]) == MARKS
    assert source("practice_pack_marks").kind == "common practice"


def test_worn_gear_counts_as_load_but_not_as_pack() -> None:
    found = pack([Member("Ash", 50.0)], [GearItem("boots", 45.0, worn=True)], food_kg=6.0)
    assert found.flags == (("load_over_body_mass",),)


def test_who_has_no_strength_gets_no_shared_gear() -> None:
    found = pack([Member("Ash", 80.0, 0.0), Member("Birch", 60.0)], [GearItem("pot", 1.0, 5, shared=True)],
                 split="by strength")  # fmt: skip
    assert found.pieces == ((), ("pot",) * 5)
    assert found.fair_kg == pytest.approx([0.0, 5.0])
    party = [Member("Ash", 80.0, 0.0), Member("Birch", 60.0)]
    with_map = pack(party, [GearItem("pot", 1.0, shared=True), GearItem("map", 0.0, shared=True)], split="by strength")
    assert with_map.pieces == ((), ("pot", "map"))
    weightless = pack([Member("Ash", 80.0)], [GearItem("map", 0.0, shared=True)])
    assert weightless.pieces == (("map",),)


@given(
    bodies=st.lists(st.floats(40.0, 120.0), min_size=1, max_size=6),
    pieces=st.lists(st.tuples(st.floats(0.0, 8.0), st.integers(1, 3)), max_size=8),
    split=st.sampled_from(sorted(SPLITS)),
)
@settings(max_examples=150, deadline=None)
def test_every_piece_is_carried_once_and_nothing_is_lost(
    bodies: list[float], pieces: list[tuple[float, int]], split: str
) -> None:
    party = [Member(str(i), body) for i, body in enumerate(bodies)]
    items = [GearItem(f"item {i}", mass, count, shared=True) for i, (mass, count) in enumerate(pieces)]
    found = pack(party, items, split=split)
    handed = Counter(name for names in found.pieces for name in names)
    assert handed == Counter({item.name: item.count for item in items})
    mass = {item.name: item.mass_kg for item in items}
    for names, shared_kg in zip(found.pieces, found.shared_kg, strict=True):
        assert float(shared_kg) == pytest.approx(math.fsum(mass[name] for name in names), abs=1e-12)
    total = math.fsum(item.mass_kg * item.count for item in items)
    assert math.fsum(found.shared_kg) == pytest.approx(total, rel=1e-14, abs=1e-14)
    assert math.fsum(found.fair_kg) == pytest.approx(total, rel=1e-14, abs=1e-14)
    # Nobody is over the fair share by more than one piece.
    largest = max((item.mass_kg for item in items), default=0.0)
    assert bool(np.all(found.shared_kg <= found.fair_kg + largest + 1e-9))


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ({"members": []}, "one or more"),
        ({"members": [Member("Ash", 80.0), Member("Ash", 60.0)]}, "names of their own: Ash, Ash"),
        ({"items": [GearItem("hat", 0.1, who="Dogwood")]}, "hat: Dogwood; members are Ash, Birch, Cedar"),
        ({"food_kg": -0.1}, "food_kg must be"),
        ({"food_kg": [0.1, 0.2]}, "one for each of 3"),
        ({"water_L": math.nan}, "water_L must be"),
        ({"members": [Member("Ash", 80.0, 0.0)], "split": "by strength"}, "a strength above 0"),
    ],
)
def test_what_cannot_be_packed_is_refused(wrong: dict[str, Any], words: str) -> None:
    with pytest.raises(ValueError, match=words):
        pack(**({"members": PARTY, "items": LIST[:3]} | wrong))


@pytest.mark.parametrize(
    "wrong",
    [
        {"mass_kg": -0.1},
        {"mass_kg": math.nan},
        {"count": 0},
        {"shared": True, "worn": True},
        {"shared": True, "who": "Ash"},
    ],
)
def test_impossible_gear_is_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="hat: "):
        GearItem(**({"name": "hat", "mass_kg": 0.1} | wrong))


@pytest.mark.parametrize("wrong", [{"body_mass_kg": 0.0}, {"body_mass_kg": math.nan}, {"strength": -1.0}])
def test_impossible_members_are_refused(wrong: dict[str, Any]) -> None:
    with pytest.raises(ValueError, match="Ash: "):
        Member(**({"name": "Ash", "body_mass_kg": 80.0} | wrong))


def test_a_near_miss_is_suggested() -> None:
    with pytest.raises(InputError, match='did you mean "by strength"'):
        pack(PARTY, LIST, split="by strenght")
