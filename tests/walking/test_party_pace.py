"""Members on legs: the factors in their order against the pure formulas, and the whole against plain loops."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.errors import InputError
from handline.walking.altitude import altitude_factor
from handline.walking.load import load_factor
from handline.walking.mix import DEFAULT_MIX
from handline.walking.pace import walking_time
from handline.walking.party_pace import FACTORS, LegGround, party_times
from handline.walking.snow import snow_factor
from handline.walking.walker import LEAST_SHARE, OwnPace, Walker

ALONE = Walker("Tove", 60.0, 0.0)


def leg(*, run_m: float = 1000.0, rise_m: float = 100.0, elevation_m: float = 0.0, surface: float = 1.0,
        snow_m: float = np.nan) -> LegGround:  # fmt: skip
    """A leg of two even halves."""
    two = np.ones(2)
    return LegGround(
        run_m * two / 2, rise_m * two / 2, elevation_m * two, surface * two, snow_m * two, max(rise_m, 0.0)
    )


def one_model_s(walker: Walker, ground: LegGround, model: str = "tobler_1993", **more: object) -> float:
    return float(party_times([ground], [walker], {model: 1.0}, **more).time_s[0, 0, 0])  # type: ignore[arg-type]


def test_without_any_factor_it_is_the_published_mix() -> None:
    ground = leg()
    times = party_times([ground], [ALONE])
    for i, key in enumerate(DEFAULT_MIX):
        assert times.time_s[i, 0, 0] == pytest.approx(walking_time(key, ground.run_m, ground.rise_m).time_s, rel=1e-12)
    assert all((times.factor[key] == 1.0).all() for key in FACTORS)


def test_factors_apply_one_after_the_other() -> None:
    """By the pure formulas in a row: load at the model's speed, altitude at what is left, snow at what that leaves."""
    ground = leg(elevation_m=2300.0, snow_m=0.1)
    walker = Walker("Bram", 70.0, 14.0)
    plain_s = walking_time("tobler_1993", ground.run_m, ground.rise_m).time_s
    speed, grade = 1000.0 / plain_s, 0.1
    load = float(load_factor(speed, grade, body_mass_kg=70.0, pack_mass_kg=14.0, carried_kg=0.0).time_factor)
    thin = float(altitude_factor(2300.0).time_factor)
    snow = float(snow_factor(speed / load / thin, grade, 0.1, load_share=0.2).time_factor)
    times = party_times([ground], [walker], {"tobler_1993": 1.0})
    assert [float(times.factor[key][0, 0]) for key in ("load", "altitude", "snow")] == pytest.approx([load, thin, snow])
    assert times.time_s[0, 0, 0] == pytest.approx(plain_s * load * thin * snow)
    assert min(load, thin, snow) > 1.02


def test_the_slower_of_snow_and_ground_counts() -> None:
    snow_s = one_model_s(ALONE, leg(snow_m=0.1))
    assert one_model_s(ALONE, leg(snow_m=0.1, surface=1.25)) == pytest.approx(snow_s)
    plain_s = one_model_s(ALONE, leg())
    assert one_model_s(ALONE, leg(snow_m=0.1, surface=20.0)) == pytest.approx(20.0 * plain_s)


@pytest.mark.parametrize("key", ["load", "altitude", "snow", "ground", "group"])
def test_each_factor_can_be_switched_off(key: str) -> None:
    ground = leg(
        elevation_m=2300.0, snow_m=np.nan if key == "ground" else 0.05, surface=2.5 if key == "ground" else 1.0
    )
    party = [Walker("Bram", 70.0, 14.0)]
    on = party_times([ground], party, size=6, group_per_person=0.01)
    off = party_times([ground], party, size=6, group_per_person=0.01, on=frozenset(FACTORS) - {key})
    assert (on.factor[key] > 1.0).all()
    assert (off.factor[key] == 1.0).all()
    # The crews of two models carried more than this party: their load is no gain and no loss.
    slowed = (off.time_s < on.time_s).mean()
    assert slowed == (6 / 8 if key == "load" else 1.0)


def test_ground_multiplies_exactly() -> None:
    assert one_model_s(ALONE, leg(surface=1.67)) == pytest.approx(1.67 * one_model_s(ALONE, leg()))


def test_a_part_of_a_leg_on_rough_ground_counts_by_its_time() -> None:
    """Half of the leg by length on bare rock: two even halves, so the leg takes (1 + 2.5) / 2 times as long."""
    half = replace(leg(), surface_factor=np.array([1.0, 2.5]))
    assert one_model_s(ALONE, half) == pytest.approx(1.75 * one_model_s(ALONE, leg()))


def test_crews_of_the_model_carried_a_pack_already() -> None:
    walker = Walker("Bram", 70.0, 14.0)
    assert one_model_s(walker, leg(), "sullivan_2020_low") == pytest.approx(
        one_model_s(ALONE, leg(), "sullivan_2020_low")
    )
    assert one_model_s(walker, leg()) > 1.05 * one_model_s(ALONE, leg())


def test_fitness_takes_the_crews_at_its_rate() -> None:
    """Known fitness: both rates of the crews in the mix become its own; the others follow in proportion."""
    ground = leg()
    rate_s = {key: walking_time(f"sullivan_2020_{key}", ground.run_m, ground.rise_m).time_s for key in ("low", "high")}
    moderate_s = walking_time("sullivan_2020_moderate", ground.run_m, ground.rise_m).time_s
    for fitness in ("low", "high"):
        times = party_times([ground], [replace(ALONE, fitness=fitness)])
        by_key = dict(zip(times.mix.keys, times.time_s[:, 0, 0], strict=True))
        assert by_key["sullivan_2020_low"] == pytest.approx(rate_s[fitness])
        assert by_key["sullivan_2020_moderate"] == pytest.approx(rate_s[fitness])
        tobler_s = walking_time("tobler_1993", ground.run_m, ground.rise_m).time_s
        assert by_key["tobler_1993"] == pytest.approx(tobler_s * rate_s[fitness] / moderate_s)


def test_unknown_fitness_is_refused_with_the_choices() -> None:
    with pytest.raises(InputError, match="moderate"):
        Walker("Bram", 70.0, 0.0, fitness="hgih")


def test_own_pace_is_scale_and_climb() -> None:
    own = OwnPace("tobler_1993", 1.2, 0.9, 0.08, 0.0, 0.0)
    times = party_times([leg(), leg(rise_m=-100.0)], [replace(ALONE, pace=own)])
    up_s, down_s = (walking_time("tobler_1993", 1000.0, rise_m).time_s for rise_m in (100.0, -100.0))
    assert times.time_s[:, 0, 0] == pytest.approx(np.full(8, 1.2 * up_s + 90.0))
    assert times.time_s[:, 0, 1] == pytest.approx(np.full(8, 1.2 * down_s))
    assert times.sigma.tolist() == [0.08]


def test_own_pace_without_a_model_is_the_middle_of_the_mix() -> None:
    own = OwnPace(None, 1.1, 0.0, 0.08, 0.0, 0.0)
    times = party_times([leg()], [replace(ALONE, pace=own)])
    middle_s = float(times.mix.weights @ times.mix.time_s[:, 0])
    assert times.time_s[:, 0, 0] == pytest.approx(np.full(8, 1.1 * middle_s))


def test_credit_for_climbing_has_its_floor() -> None:
    own = OwnPace("tobler_1993", 1.0, -50.0, 0.08, 0.0, 0.0)
    assert one_model_s(replace(ALONE, pace=own), leg()) == pytest.approx(LEAST_SHARE * one_model_s(ALONE, leg()))


def test_recorded_with_a_pack_and_high_up_needs_no_factor_again() -> None:
    ground, own = leg(elevation_m=2300.0), OwnPace("tobler_1993", 1.0, 0.0, 0.08, 14.0, 2300.0)
    recorded = replace(Walker("Bram", 70.0, 14.0), pace=own)
    assert one_model_s(recorded, ground) == pytest.approx(one_model_s(ALONE, leg()))


def test_factors_multiply_to_the_whole_with_one_model() -> None:
    grounds = [leg(elevation_m=2600.0, surface=1.5), leg(rise_m=-250.0, snow_m=0.08)]
    times = party_times(grounds, [Walker("Bram", 70.0, 14.0)], {"rees_2004": 1.0}, size=6, group_per_person=0.01)
    product = np.prod([times.factor[key][0] for key in FACTORS], axis=0)
    assert times.time_s[0, 0] == pytest.approx(times.mix.time_s[0] * product)


def test_a_leg_without_ground_takes_no_time() -> None:
    nothing = LegGround(*(np.empty(0),) * 5, up_m=0.0)
    times = party_times([leg(), nothing], [ALONE])
    assert (times.time_s[:, 0, 1] == 0.0).all()
    assert all(times.factor[key][0, 1] in (1.0,) for key in FACTORS if key != "group")


@given(
    pack=st.floats(0.0, 25.0), more=st.floats(0.1, 15.0), rise=st.floats(-400.0, 400.0), height=st.floats(0.0, 3000.0)
)
def test_more_weight_never_makes_it_faster(pack: float, more: float, rise: float, height: float) -> None:
    ground = leg(rise_m=rise, elevation_m=height)
    light, heavy = (party_times([ground], [Walker("Bram", 70.0, kg)]).time_s for kg in (pack, pack + more))
    assert (heavy >= light * (1.0 - 1e-9)).all()


def test_a_step_without_length_does_not_spoil_the_others() -> None:
    ladder = replace(leg(elevation_m=2300.0), run_m=np.array([0.0, 1000.0]), rise_m=np.array([4.0, 100.0]))
    times = party_times([ladder, leg()], [Walker("Bram", 70.0, 14.0)])
    assert np.isfinite(times.time_s).all()
    assert "not_ground" in times.flags


def test_a_load_for_each_leg_is_that_leg_under_that_load() -> None:
    """Leg by leg the same as walking each one with its own pack, snow and all; an even load is the pack itself."""
    legs = [leg(), leg(rise_m=250.0, snow_m=0.1), leg(rise_m=-200.0)]
    loads_kg = (6.0, 15.0, 2.5)
    mixed = party_times(legs, [Walker("Bram", 70.0, 99.0, pack_by_leg_kg=loads_kg)])
    for j, (ground, load_kg) in enumerate(zip(legs, loads_kg, strict=True)):
        alone = party_times([ground], [Walker("Bram", 70.0, load_kg)])
        assert mixed.time_s[:, 0, j] == pytest.approx(alone.time_s[:, 0, 0], rel=1e-12)
        for key in FACTORS:
            assert mixed.factor[key][0, j] == pytest.approx(alone.factor[key][0, 0], rel=1e-12)
    even = party_times(legs, [Walker("Bram", 70.0, 99.0, pack_by_leg_kg=(6.0, 6.0, 6.0))])
    scalar = party_times(legs, [Walker("Bram", 70.0, 6.0)])
    assert np.array_equal(even.time_s, scalar.time_s)


def test_walkers_with_other_loads_are_not_taken_for_each_other() -> None:
    walkers = [Walker("Bram", 70.0, 6.0, pack_by_leg_kg=(6.0,)), Walker("Bram", 70.0, 6.0, pack_by_leg_kg=(16.0,))]
    times = party_times([leg()], walkers)
    # Some of the crews whose pace counts carried more than either.
    assert (times.time_s[:, 1] >= times.time_s[:, 0]).all()
    assert times.mix.weights @ times.time_s[:, 1, 0] > 1.05 * (times.mix.weights @ times.time_s[:, 0, 0])


def test_a_load_for_some_of_the_legs_is_refused() -> None:
    with pytest.raises(ValueError, match="one a leg"):
        party_times([leg(), leg()], [Walker("Bram", 70.0, 6.0, pack_by_leg_kg=(6.0,))])
