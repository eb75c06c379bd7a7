"""Parts and knots against their published rows."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.line.arrest import ABSORBER_EN_958_2017
from handline.line.fibres import FIBRES
from handline.line.limits import cord_minimum_N
from handline.line.parts import (
    ABSORBER,
    ABSORBER_EN_958_2011,
    ABSORBER_EN_958_2024,
    CONNECTOR,
    CORD,
    HARNESS,
    KNOTS,
    PARTS,
    WHATS,
    Knot,
    knot_share,
)
from handline.sources import source
from tests.tables.published import read_table

MINIMA = read_table("part_minima")


@pytest.mark.parametrize("row", MINIMA, ids=lambda row: f"{row['part']}-{row['column']}")
def test_parts_are_the_published_ones(row: dict[str, str]) -> None:
    kind = PARTS[row["part"]]
    assert getattr(kind, row["column"]) == float(row["expected"])
    named = kind.stiffness_source if row["column"] == "stiffness_N" else kind.source
    if row["column"] not in ("opening_m", "usual_length_m"):
        assert named == row["source"]


def test_no_strength_or_stiffness_is_without_a_row() -> None:
    rows = {(row["part"], row["column"]) for row in MINIMA}
    for kind in PARTS.values():
        for column in ("strength_N", "stiffness_N", "across_N", "opening_m", "knotted_N"):
            assert getattr(kind, column) is None or (kind.key, column) in rows


@pytest.mark.parametrize("row", read_table("cord_minima"), ids=lambda row: row["diameter_mm"])
def test_cord_by_its_diameter(row: dict[str, str]) -> None:
    force_N = cord_minimum_N(float(row["diameter_mm"]) / 1000.0)
    assert force_N / 1000.0 == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def test_of_other_cord_the_standard_says_nothing() -> None:
    # EN 564 covers 4 to 8 mm only.
    assert np.isnan(cord_minimum_N([0.003, 0.003999, 0.008001, 0.0099])).all()
    assert cord_minimum_N([[0.004], [0.008]]).shape == (2, 1)


@pytest.mark.parametrize("row", read_table("knots"), ids=lambda row: row["knot"])
def test_what_knots_leave(row: dict[str, str]) -> None:
    knot = KNOTS[row["knot"]]
    assert knot.keeps_range == (float(row["low"]), float(row["expected"]))
    assert knot.keeps == knot.keeps_range[0]  # the low end counts
    assert knot.source == row["source"]


def test_every_knot_has_a_row_but_a_sewn_end() -> None:
    assert {row["knot"] for row in read_table("knots")} == set(KNOTS) - {"sewn"}
    assert (KNOTS["sewn"].keeps, KNOTS["sewn"].keeps_range) == (1.0, (1.0, 1.0))


def test_a_loop_counts_as_one_strand_or_as_both_with_the_knot() -> None:
    # Two strands through a double fisherman's would keep 2 x 0.68 of one: more than one strand, which counts.
    assert knot_share(PARTS["PA cord"], KNOTS["double fisherman's"]) == 1.0
    assert knot_share(PARTS["PA tape"], KNOTS["water knot"]) == 1.0
    assert knot_share(PARTS["dynamic-rope lanyard"], KNOTS["bowline"]) == 0.60
    # A knot that left 0.3 would leave both strands 2 x 0.3, less than one without it.
    poor = Knot("poor", "", 0.3, (0.3, 0.3), True, "knot_strength")
    assert knot_share(PARTS["PA cord"], poor) == pytest.approx(0.6, rel=1e-12)


def test_a_loop_rated_as_a_loop_has_no_second_strand() -> None:
    # EN 566 rates the closed sling: a water knot leaves 0.64 of its 22 kN, and in HMPE no knot leaves more than half.
    assert knot_share(PARTS["PA sling"], KNOTS["water knot"]) == 0.64
    assert knot_share(PARTS["HMPE sling"], KNOTS["water knot"]) == 0.5
    assert knot_share(PARTS["HMPE sling"], KNOTS["double fisherman's"]) == 0.5
    assert knot_share(PARTS["sewn chain"], KNOTS["double fisherman's"]) == 0.5
    # Of a part with nothing on it the strength is typed: for the whole of it, whatever it is.
    loops = {key for key, kind in PARTS.items() if kind.is_loop}
    assert loops == {"HMPE sling", "PA sling", "sewn chain", "daisy chain", "unmarked part"}


def test_no_knot_in_hmpe_is_trusted_with_more_than_a_girth_hitch() -> None:
    assert knot_share(PARTS["HMPE sling"], KNOTS["figure-eight loop"]) == 0.5
    assert knot_share(PARTS["PA sling"], KNOTS["figure-eight loop"]) == 0.8
    assert knot_share(PARTS["HMPE sling"], KNOTS["sewn"]) == 1.0


def test_editions_of_the_absorbers_standard() -> None:
    # EN 958:2011: 80 kg only, 6 kN, 1.2 m, 1.2 kN. Of 2024 no number was seen: the worse of 2011 and 2017 count.
    old, new, unseen = ABSORBER_EN_958_2011, ABSORBER_EN_958_2017, ABSORBER_EN_958_2024
    assert (old.ceiling_N, old.travel_m, old.activation_N) == (6000.0, 1.2, 1200.0)
    assert (old.lightest_kg, old.heaviest_kg) == (80.0, 80.0)
    assert unseen.travel_m == min(old.travel_m, new.travel_m)
    assert unseen.activation_N == max(old.activation_N, new.activation_N)
    for worse in ("ceiling_N", "wet_ceiling_N"):
        assert getattr(unseen, worse) == max(getattr(old, worse), getattr(new, worse))
    assert old.low_N == new.low_N == unseen.low_N
    assert old.wet_ceiling_N == new.wet_ceiling_N
    assert (unseen.lightest_kg, unseen.heaviest_kg) == (new.lightest_kg, new.heaviest_kg)
    assert {kind.absorber for kind in PARTS.values() if kind.what == ABSORBER} == {old, new, unseen}


def test_every_part_is_told_whole() -> None:
    for kind in PARTS.values():
        assert kind.what in WHATS
        assert source(kind.source).title
        assert kind.certified_for
        assert kind.not_for
        assert kind.usual_knot in KNOTS
        assert kind.fibre in {"", *FIBRES}
        assert (kind.stiffness_N is None) == (kind.stiffness_source == "")
        assert (kind.across_N is None) == (kind.what != CONNECTOR)
        if kind.what not in (CORD, ABSORBER):
            assert kind.strength_N is not None or kind.source == "unknown_strength"
        if kind.what in (CONNECTOR, ABSORBER, HARNESS):
            assert not kind.static
            assert kind.usual_length_m == 0.0


def test_what_is_not_meant_to_catch_a_fall() -> None:
    meant = {kind.key for kind in PARTS.values() if not kind.static}
    assert meant == {
        "dynamic-rope lanyard", "elastic arm", "plain arm", "connector B", "connector H", "connector K", "connector X",
        "absorber EN 958:2011", "absorber EN 958:2017", "absorber EN 958:2024", "sit harness", "full-body harness",
    }  # fmt: skip


def test_usual_lengths_are_what_the_docs_say() -> None:
    # Ours, no source: common lengths of what is sold.
    usual_m = {kind.key: kind.usual_length_m for kind in PARTS.values() if kind.usual_length_m}
    assert usual_m == {
        "HMPE sling": 0.6, "PA sling": 0.6, "PA tape": 0.6, "dynamic-rope lanyard": 0.8, "semi-static rope": 0.8,
        "textile lanyard": 0.8, "sewn chain": 0.9, "daisy chain": 0.9, "unmarked part": 0.6, "elastic arm": 0.9,
        "plain arm": 0.9,
    }  # fmt: skip


@pytest.mark.parametrize("row", read_table("fibres"), ids=lambda row: f"{row['fibre']}-{row['column']}")
def test_fibres(row: dict[str, str]) -> None:
    fibre = FIBRES[row["fibre"]]
    values = {"melts_from": fibre.melting_C[0], "melts_by": fibre.melting_C[1]}
    value = values[row["column"]] if row["column"] in values else getattr(fibre, row["column"])
    assert value == float(row["expected"])
    assert row["source"] in (fibre.source, fibre.heat_source)


def test_aramid_alone_chars() -> None:
    assert [fibre.key for fibre in FIBRES.values() if fibre.chars] == ["aramid"]
    assert not any(math.isnan(value) for fibre in FIBRES.values() for value in fibre.melting_C)
