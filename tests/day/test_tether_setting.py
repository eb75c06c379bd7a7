"""Tethers of the party's own: parts, hitches, backups, and every way to type them wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from handline.day.file_checks import subject_problems
from handline.day.plan import Finding
from handline.day.planning import make_plan
from handline.day.tether_setting import set_tethers
from handline.errors import TripError
from handline.line.tethers import GRIPPING, RUNNING, TETHERS, Tether
from handline.trip.reading import read_trip_text
from tests.day.trips import LEGS, typed_trip


def own(kind: str, *parts: str, keys: str = "") -> str:
    text = f'\n[[tethers.own]]\nname = "ours"\nkind = "{kind}"\n{keys}\n'
    return text + "".join(f"[[tethers.own.parts]]\n{part}\n" for part in parts)


def ours(more: str) -> Tether:
    return set_tethers(typed_trip(more=more))["ours"]


def refused(more: str) -> str:
    with pytest.raises(TripError) as error:
        set_tethers(typed_trip(more=more))
    return str(error.value)


def found(tether: str, key: str, **changes: str) -> Finding | None:
    plan = make_plan(typed_trip(tether=tether, days=100, **changes))  # type: ignore[arg-type]
    return next((finding for finding in plan.findings if finding.key == key), None)


def test_the_list_comes_first_and_as_it_is() -> None:
    known = set_tethers(typed_trip(more=own("running")))
    assert [*known] == [*TETHERS, "ours"]
    assert all(known[name] is TETHERS[name] for name in TETHERS)


def test_parts_are_put_together() -> None:
    tether = ours(
        own(
            "running",
            'part = "HMPE sling"\nlength = "60 cm"\nknot = "girth hitch"',
            'part = "dynamic-rope lanyard"\nlength = "90 cm"\nknot = "bowline"',
            'part = "connector K"\nlength = "10 cm"\nopening = "21 mm"',
            keys="arms = 2",
        )
    )
    assert (tether.kind, tether.arms, tether.changeover_s) == (RUNNING, 2, 10.0)
    assert tether.reach_m == pytest.approx(1.6)
    # By hand: 1.6 / (0.6 / 161e3 + 0.9 / 30.4e3).
    assert tether.stiffness_N == pytest.approx(48_001.98, abs=0.05)
    assert tether.weakest.force_N == 11e3
    assert (tether.opening_m, tether.opening_typed) == (0.021, True)


def test_what_is_typed_for_the_whole_and_for_a_part() -> None:
    tether = ours(
        own(
            "running",
            'part = "unmarked part"\nstrength = "18 kN"\nstiffness = "50 kN"\nlength = "0.5 m"\nknot = "sewn"',
            'part = "connector K"',
            keys='reach = "0.7 m"\nstrength = "9 kN"',
        )
    )
    assert (tether.reach_m, tether.stiffness_N, tether.weakest.force_N) == pytest.approx((0.7, 50e3, 9e3))
    assert ours(own("running", keys='stiffness = "70 kN"')).stiffness_N == 70e3


def test_without_parts_a_kind_is_as_usual() -> None:
    running, gripping, absorbing = (ours(own(kind)) for kind in ("running", "gripping", "absorbing"))
    assert running.parts == TETHERS["one sling"].parts
    assert (gripping.parts, gripping.hitch) == (TETHERS["friction hitch"].parts, TETHERS["friction hitch"].hitch)
    assert absorbing.absorber == TETHERS["absorbing lanyard"].absorber
    assert (running.arms, gripping.arms, absorbing.arms) == (1, 1, 2)
    typed = ours(own("running", keys='strength = "12 kN"'))
    assert [part.force_N for part in typed.parts] == [12e3]


def test_hitches_and_backups() -> None:
    tether = ours(
        own("gripping", 'part = "PA cord"\ndiameter = "7 mm"', 'part = "PA sling"', keys='hitch = "klemheist"')
    )
    assert tether.hitch is not None
    assert tether.cord is not None
    assert (tether.kind, tether.hitch.key, tether.cord.diameter_m) == (GRIPPING, "klemheist", 0.007)
    assert ours(own("gripping", keys='hitch = "autoblock"')).kind == RUNNING
    assert ours(own("gripping", keys='backup = "rope lanyard"')).backup is TETHERS["rope lanyard"]


def test_a_backup_may_be_an_own_tether_wherever_it_stands() -> None:
    behind = '\n[[tethers.own]]\nname = "behind"\nkind = "running"\nreach = "1.1 m"\n'
    known = set_tethers(typed_trip(more=own("gripping", keys='backup = "behind"') + behind))
    assert known["ours"].backup is known["behind"]
    assert [*known][-2:] == ["ours", "behind"]


@pytest.mark.parametrize(
    ("more", "key", "said"),
    [
        (own("running", 'part = "HMPE slign"'), "parts[0].part", 'did you mean "HMPE sling"?'),
        (own("running", 'part = "PA sling"\nknot = "bowlin"'), "parts[0].knot", 'did you mean "bowline"?'),
        (own("gripping", keys='hitch = "prusick"'), "hitch", 'did you mean "prusik"?'),
        (own("gripping", keys='backup = "one slng"'), "backup", 'did you mean "one sling"?'),
        (own("running", keys='hitch = "prusik"'), "hitch", "only a gripping tether has a hitch"),
        (own("absorbing", keys='backup = "one sling"'), "backup", "only a gripping tether has a backup"),
        (own("running", 'part = "PA sling"\ndiameter = "9 mm"'), "parts[0].diameter", "only a cord has this key"),
        (own("running", 'part = "PA sling"\nopening = "20 mm"'), "parts[0].opening", "only a connector has this key"),
        (own("running", 'part = "connector K"'), "own[0]", "has no reach"),
        (own("running", 'part = "connector K"\nlength = "9 cm"\nstiffness = "1 kN"'), "own[0]", "from 0.1 m to 3 m"),
        (own("running", *['part = "PA sling"\nlength = "2 m"'] * 2), "own[0]", "from 0.1 m to 3 m"),
        (own("running", 'part = "connector K"\nlength = "20 cm"'), "own[0]", "nothing in this tether stretches"),
        (own("absorbing", 'part = "elastic arm"'), "own[0]", "has an absorber among its parts"),
        (own("gripping", 'part = "PA sling"'), "own[0]", "there is none among the parts"),
        (own("gripping", keys='backup = "hitch with backup"'), "own[0]", "a running connector behind a hitch"),
        (own("gripping", keys='backup = "ours"'), "own[0]", "this backup has a backup itself"),
    ],
)
def test_what_is_typed_wrong(more: str, key: str, said: str) -> None:
    text = refused(more)
    for part in ("trip.toml:", f"{key}]", said):
        assert part in text


def test_all_of_it_at_once_and_with_the_rest_of_the_file() -> None:
    more = own("running", 'part = "slin"\nknot = "nkot"', 'part = "PA cord"\nopening = "2 cm"')
    text = LEGS.format(
        days=100, seed=1, route="", line="", party="", tether="lasso", wait="5 min", crowd="", rock="dry", weather="",
        limits="",
    )  # fmt: skip
    with pytest.raises(TripError) as error:
        read_trip_text(text + more, Path("three-legs") / "trip.toml", subject_problems)
    keys = {problem.key for problem in error.value.problems}
    assert keys == {
        "tethers.chosen", "tethers.own[0].parts[0].part", "tethers.own[0].parts[0].knot",
        "tethers.own[0].parts[1].opening",
    }  # fmt: skip
    assert all(problem.line for problem in error.value.problems)


def test_the_typed_reach_is_the_chosen_ones() -> None:
    trip = typed_trip(tether="rope lanyard")
    tethers = trip.tethers.model_copy(update={"reach_m": 1.2})
    known = set_tethers(trip.model_copy(update={"tethers": tethers}))
    assert (known["rope lanyard"].reach_m, known["one sling"].reach_m) == (1.2, 0.6)


# --- what the day says of them -------------------------------------------------------------------------------------


def test_a_part_of_unknown_strength_is_a_finding() -> None:
    more = own("running", 'part = "daisy chain"', 'part = "connector K"')
    finding = found("ours", "part_unknown", more=more)
    assert finding is not None
    assert "pocket of a daisy chain" in finding.sentence
    assert found("ours", "tether", more=more) is not None  # counts as breaking
    known = own("running", 'part = "daisy chain"\nstrength = "20 kN"', 'part = "connector K"')
    assert found("ours", "part_unknown", more=known) is None


def test_a_static_part_is_a_finding() -> None:
    assert found("one sling", "tether_static") is not None
    assert found("rope lanyard", "tether_static") is None
    assert found("absorbing lanyard", "tether_static") is None
    # On a slope where nothing slides nothing has to catch: 11 deg, under the 24 deg of friction 0.45.
    trip = typed_trip(tether="one sling", days=100)
    gentle = make_plan(trip.model_copy(update={"line": trip.line.model_copy(update={"angle_rad": 0.2})}))
    assert "tether_static" not in {finding.key for finding in gentle.findings}


def test_a_brake_is_a_stop() -> None:
    finding = found("autoblock hitch", "brake_only")
    assert finding is not None
    assert finding.level == "stop"
    assert found("friction hitch", "brake_only") is None


@pytest.mark.parametrize(
    ("cable", "level"), [("6 mm", "stop"), ("5 mm", "stop"), ("8 mm", "heed"), ("9 mm", None), ("16 mm", None)]
)
def test_the_cord_rule_in_a_plan(cable: str, level: str | None) -> None:
    finding = found("friction hitch", "hitch_cord", line=f'cable_diameter = "{cable}"')
    assert (None if finding is None else finding.level) == level


def test_water_ways_and_heat() -> None:
    assert found("friction hitch", "hitch_wet") is None
    wet = found("friction hitch", "hitch_wet", rock="wet")
    assert wet is not None
    assert "may not grip" in wet.sentence
    assert wet.detail == "Friction of cord on it 0.15 to 0.35; on a dry one 0.25 to 0.45."
    up_only = own("gripping", keys='hitch = "klemheist"')
    way = found("ours", "hitch_way", more=up_only)
    assert way is not None
    assert "the way down" in way.sentence
    assert found("friction hitch", "hitch_way") is None
    heat = found("friction hitch", "hitch_heat")
    assert heat is not None
    # By hand: 93 kg at 44 deg and mu 0.45 pull 912.018 (0.694658 - 0.45 x 0.719340) = 338.32 N; the cord takes
    # 13.0142 J/K; 200 K of it with a quarter of the section: 1.92 m, and eight times that: 15.4 m.
    assert "within 2 to 15 m" in heat.sentence
    assert found("one sling", "hitch_heat") is None


def test_a_connector_that_may_not_go_round() -> None:
    assert found("one sling", "connector_opening") is None
    assert found("one sling", "connector_opening", line='cable_diameter = "18 mm"') is not None
    measured = own("running", 'part = "PA sling"', 'part = "connector B"\nopening = "22 mm"')
    assert found("ours", "connector_opening", more=measured, line='cable_diameter = "18 mm"') is None


def test_an_edition_that_was_not_seen_is_said() -> None:
    more = own("absorbing", 'part = "elastic arm"', 'part = "absorber EN 958:{}"')
    assert found("ours", "absorber_edition", more=more.format(2024)) is not None
    assert found("ours", "absorber_edition", more=more.format(2017)) is None


def test_the_test_with_body_weight_is_set_against_a_slip() -> None:
    finding = found("friction hitch", "hitch_unproven")
    assert finding is not None
    # 93 kg x 9.80665 x sin 44 deg = 633.5 N.
    assert "holds up to 0.6 kN; a slip asks for up to 11.1 kN" in finding.detail
