"""From the trip file to walkers on ground: which keys reach which numbers."""

from __future__ import annotations

import numpy as np
import pytest

from handline.day.setting import Setting, set_up
from handline.errors import TripError
from tests.day.trips import typed_trip

MEMBERS = """
[[party.members]]
name = "Tove"
body_mass = "58 kg"
pack_mass = "6 kg"
fitness = "high"

[[party.members]]
name = "Bram"
body_mass = "90 kg"
pace = { model = "tobler_1993", time_factor = 1.3, climb = "1.5 min", spread = "7 %", pack_mass = "4 kg" }

[[party.members]]
name = "Neve"
"""


def with_ground(surface: str = "bare rock", start: str = "Gate", end: str = "Foot", more: str = "") -> Setting:
    part = f'\n[[route.ground]]\nfrom = "{start}"\nto = "{end}"\nsurface = "{surface}"\n{more}'
    return set_up(typed_trip(more=part))


def test_members_become_walkers() -> None:
    tove, bram, neve = set_up(typed_trip(more=MEMBERS)).walkers
    assert (tove.name, tove.body_mass_kg, tove.pack_mass_kg, tove.fitness) == ("Tove", 58.0, 6.0, "high")
    assert bram.pace is not None
    assert (bram.pace.time_factor, bram.pace.climb_s_m, bram.pace.sigma) == (1.3, pytest.approx(0.9), 0.07)
    assert bram.pace.carried_kg == 4.0
    # Left out: the party's own.
    assert (neve.body_mass_kg, neve.pack_mass_kg, neve.pace) == (85.0, 8.0, None)


def test_members_have_their_own_spread() -> None:
    itinerary = set_up(typed_trip(more=MEMBERS)).itinerary
    assert itinerary.walker_sigma.tolist() == [0.12, 0.07, 0.12]
    assert itinerary.alike() == ((0,), (1,), (2,))


def test_a_pace_of_the_party_counts_once() -> None:
    """It was recorded by the slowest already; who has a pace or fitness of their own stands beside it."""
    pace = 'pace = { time_factor = 1.2, spread = "6 %" }'
    alone = set_up(typed_trip(party=pace))
    assert [(walker.name, walker.body_mass_kg) for walker in alone.walkers] == [("the party", 60.0)]
    assert alone.itinerary.walker_sigma.tolist() == [0.06]
    assert alone.itinerary.size == 3
    beside = set_up(typed_trip(party=pace, more=MEMBERS))
    assert [walker.name for walker in beside.walkers] == ["Neve", "Tove", "Bram"]
    without = MEMBERS.replace('fitness = "high"\n', "")
    mates = set_up(typed_trip(party=pace, more=without))
    assert [walker.name for walker in mates.walkers] == ["the others", "Bram"]


def test_people_who_are_not_listed_are_light() -> None:
    assert {walker.body_mass_kg for walker in set_up(typed_trip()).walkers} == {60.0}
    typed = set_up(typed_trip(party='lightest_mass = "52 kg"'))
    assert {walker.body_mass_kg for walker in typed.walkers} == {52.0}
    # The fall still counts the heaviest.
    assert typed.body_mass_kg == 93.0


def test_the_heaviest_with_pack_falls() -> None:
    heavy = MEMBERS.replace('"6 kg"', '"45 kg"')
    assert set_up(typed_trip(more=heavy)).body_mass_kg == 58.0 + 45.0


def test_ground_counts_both_ways() -> None:
    plain, rough = set_up(typed_trip()), with_ground()
    ratio = rough.itinerary.walking_s[:, 0, :] / np.where(plain.itinerary.walking_s[:, 0, :] > 0.0, 1.0, np.nan)
    ratio /= plain.itinerary.walking_s[:, 0, :]
    # Legs: to the foot, the line, to the top and back, the line, back to the gate.
    assert ratio[:, 0] == pytest.approx(np.full(8, 2.5))
    assert ratio[:, 5] == pytest.approx(np.full(8, 2.5))
    assert ratio[:, [2, 3]] == pytest.approx(np.ones((8, 2)))


def test_ground_may_be_named_from_either_end() -> None:
    one, other = with_ground(), with_ground(start="Foot", end="Gate")
    assert np.array_equal(one.itinerary.walking_s, other.itinerary.walking_s)


def test_snow_slows_the_part_it_lies_on() -> None:
    plain, snowed = set_up(typed_trip()), with_ground("good path", "Head", "Top", 'snow = "20 cm"\n')
    legs = (snowed.itinerary.walking_s > 1.5 * plain.itinerary.walking_s).all(axis=(0, 1))
    assert legs.tolist() == [False, False, True, True, False, False]


@pytest.mark.parametrize("key", ["load", "altitude", "ground", "group", "tiring", "dark"])
def test_switches_reach_the_numbers(key: str) -> None:
    on = '\n[[route.ground]]\nfrom = "Gate"\nto = "Foot"\nsurface = "bog"\n'
    party = 'lightest_mass = "50 kg"\ngroup_per_person = "3 %"\ntiring_after = "1 h"'
    wide = typed_trip(party=party, more=on).model_copy()
    wide = wide.model_copy(update={"party": wide.party.model_copy(update={"size": 6})})
    factors = wide.party.factors.model_copy(update={key: False})
    off = wide.model_copy(update={"party": wide.party.model_copy(update={"factors": factors})})
    before, after = set_up(wide).itinerary, set_up(off).itinerary
    slower = (
        before.walking_s.sum() > after.walking_s.sum(),
        before.tiring_per_hour > after.tiring_per_hour,
        before.dark_factor > after.dark_factor,
    )
    assert sum(slower) == 1


def refused(**changes: str) -> str:
    with pytest.raises(TripError) as error:
        set_up(typed_trip(**changes))  # type: ignore[arg-type]
    return str(error.value)


def test_unknown_place_of_ground_is_named() -> None:
    text = refused(more='\n[[route.ground]]\nfrom = "Gate"\nto = "Fot"\n')
    assert "route.ground[0].to" in text
    assert 'did you mean "Foot"?' in text


def test_unknown_surface_is_named() -> None:
    text = refused(more='\n[[route.ground]]\nfrom = "Gate"\nto = "Foot"\nsurface = "bare rok"\n')
    assert "route.ground[0].surface" in text
    assert 'did you mean "bare rock"?' in text


def test_ground_without_length_is_refused() -> None:
    text = refused(more='\n[[route.ground]]\nfrom = "Foot"\nto = "Foot"\n')
    assert "route.ground[0].to" in text
    assert "no length" in text


def test_unknown_model_of_a_pace_is_named() -> None:
    text = refused(more=MEMBERS.replace("tobler_1993", "tobler"))
    assert "party.members[1].pace.model" in text
    assert "tobler_1993" in text


def test_the_lightest_is_not_heavier_than_the_heaviest() -> None:
    assert "party.lightest_mass" in refused(party='lightest_mass = "95 kg"')
