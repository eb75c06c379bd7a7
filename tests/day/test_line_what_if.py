"""What if: changes of one call, told in words, refused as in a trip file; the trip itself stays as it is."""

from __future__ import annotations

import pytest

from handline.day.line_what_if import WhatIf, with_changes
from handline.errors import InputError
from tests.day.line_reports import tamsin_trip
from tests.day.trips import typed_trip

MEMBERS = """
[[party.members]]
name = "Ann"
body_mass = "70 kg"
pack_mass = "5 kg"

[[party.members]]
name = "Bo"
body_mass = "100 kg"
pack_mass = "12 kg"

[[party.members]]
name = "Cy"
body_mass = "60 kg"
pack_mass = "8 kg"
"""


def test_nothing_asked_changes_nothing() -> None:
    trip = tamsin_trip()
    assert with_changes(trip, WhatIf()) == (trip, ())


def test_everything_asked_is_there_and_told() -> None:
    trip = tamsin_trip()
    before = trip.model_dump()
    asked, changes = with_changes(trip, WhatIf("lowered", "wet", "95 kg", "one sling", "0.8 m"))
    assert (asked.line.state, asked.weather.rock) == ("lowered", "wet")
    assert (asked.tethers.chosen, asked.tethers.reach_m) == ("one sling", 0.8)
    assert asked.party.loaded_kg == pytest.approx(95.0 + trip.party.pack_mass_kg)
    assert [change.option for change in changes] == ["--state", "--rock", "--mass", "--tether", "--reach"]
    assert [change.file_says for change in changes] == [
        "by season", "as the weather makes it", "the heaviest 187 lb", "absorbing lanyard", "3.0 ft",
    ]  # fmt: skip
    assert changes[2].now == "everyone on the line weighs 209 lb with clothes, packs on top"
    assert trip.model_dump() == before


def test_the_same_as_in_the_file_is_no_change() -> None:
    trip = tamsin_trip()
    assert with_changes(trip, WhatIf(tether="absorbing lanyard", reach="3 ft"))[1] == ()


def test_a_typed_rock_asked_for_again_is_no_change() -> None:
    assert with_changes(typed_trip(rock="wet"), WhatIf(rock="wet"))[1] == ()


def test_a_mass_is_everybody_s_and_packs_come_on_top() -> None:
    trip = typed_trip(more=MEMBERS)
    asked, changes = with_changes(trip, WhatIf(mass="95 kg"))
    assert asked.party.masses_kg == asked.party.light_masses_kg == (95.0, 95.0, 95.0)
    assert asked.party.packs_kg == (5.0, 12.0, 8.0)
    assert changes[0].file_says == "the heaviest 100 kg"


def test_a_typed_reach_belongs_to_the_tether_of_the_file() -> None:
    asked, _ = with_changes(tamsin_trip(), WhatIf(tether="one sling"))
    assert asked.tethers.reach_m is None
    asked, _ = with_changes(tamsin_trip(), WhatIf(rock="wet"))
    assert asked.tethers.reach_m == pytest.approx(0.9144)


@pytest.mark.parametrize(
    ("what_if", "key", "said"),
    [
        (WhatIf(state="lowerd"), "--state", ('did you mean "lowered"', "raised, lowered")),
        (WhatIf(state="by season"), "--state", ("raised, lowered",)),
        (WhatIf(rock="wett"), "--rock", ('did you mean "wet"', "dry, damp, wet, iced")),
        (WhatIf(tether="one slng"), "--tether", ('did you mean "one sling"', "friction hitch")),
        (WhatIf(mass="950 kg"), "--mass", ("too large", "from 30 kg to 200 kg")),
        (WhatIf(mass="80"), "--mass", ("no unit", '"80 kg"')),
        (WhatIf(mass="80 m"), "--mass", ("not a unit of mass",)),
        (WhatIf(reach="0 m"), "--reach", ("too small", "from 0.1 m to 3 m")),
        (WhatIf(reach="20 ft"), "--reach", ("too large", "0.328 ft to 9.84 ft")),
        (WhatIf(tether="none", reach="1 m"), "--reach", ("with nothing attached", "add --tether NAME")),
    ],
)
def test_what_cannot_be_used_names_its_option(what_if: WhatIf, key: str, said: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as refused:
        with_changes(tamsin_trip(), what_if)
    (problem,) = refused.value.problems
    assert problem.key == key
    assert all(words in str(problem) for words in said)


def test_the_limits_are_those_of_the_file() -> None:
    for mass in ("30 kg", "200 kg", "66.1387 lb"):
        assert with_changes(tamsin_trip(), WhatIf(mass=mass))[1]


def test_all_problems_at_once() -> None:
    with pytest.raises(InputError) as refused:
        with_changes(tamsin_trip(), WhatIf("up", "slimy", "1 t", "rope", "1"))
    assert [problem.key for problem in refused.value.problems] == ["--state", "--rock", "--tether", "--mass", "--reach"]


def test_tethers_of_the_file_are_known() -> None:
    own = '\n[[tethers.own]]\nname = "my chain"\nkind = "running"\n'
    asked, changes = with_changes(typed_trip(more=own), WhatIf(tether="my chain"))
    assert asked.tethers.chosen == "my chain"
    assert changes[0].now == "tied on with: my chain"
