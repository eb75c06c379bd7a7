"""Weight -> pace -> hours -> water -> weight: what is conserved, what is monotone, and that it stands still."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from handline.day import load_setting
from handline.day.load_hours import middle_day
from handline.day.load_planning import plan_load
from handline.day.load_setting import Carried, carry, carry_settled, loads_of, set_load, settled_packs
from handline.day.setting import Setting, set_up
from handline.day.simulation import draw_days, walk
from handline.day.walking_setting import set_pace
from handline.trip.reading import read_trip
from handline.walking.drinking import MOST_L_DAY, MOST_L_H
from tests.day.load_trips import ITEMS, LISTED, load_trip, months

DEMOS = sorted((Path(__file__).parents[2] / "examples").glob("*/trip.toml"))


def carried(**changes: str) -> Carried:
    return carried_of(set_up(load_trip(**changes)))


def carried_of(setting: Setting) -> Carried:
    return carry_settled(setting.trip, setting.route, setting.weather, setting.itinerary, setting.packs)[1]


@pytest.mark.parametrize("demo", DEMOS, ids=lambda path: path.parent.name)
def test_no_litre_is_lost_on_the_demos(demo: Path) -> None:
    """What comes in at the sources is drunk or is left at the end; what is not drunk of the need is told as missing."""
    trip = read_trip(demo)
    found = carried_of(set_up(trip))
    water = found.water
    assert water.refill_L.sum(axis=1) == pytest.approx(water.drunk_L.sum(axis=1) + water.leave_L[:, -1])
    assert found.need_L.at(trip.load.sure) == pytest.approx(water.drunk_L + water.missed_L)
    assert (water.leave_L >= -1e-12).all()
    assert found.curve.food_kg[:, -1] == pytest.approx(0.0, abs=1e-9)
    assert found.curve.mass_kg == pytest.approx(
        found.curve.gear_kg + found.curve.food_kg + found.curve.water_kg, abs=1e-12
    )


@pytest.mark.parametrize("sure", ["60 %", "90 %", "99 %"])
@pytest.mark.parametrize("weather", ["", months("24 C", "38 C")])
def test_nobody_drinks_past_the_caps(sure: str, weather: str) -> None:
    found = carried(load=f'sure = "{sure}"', weather=weather, party='size = 2\nrest_per_hour = "20 min"')
    rate_L_h = found.water.drunk_L / (found.day.duration_s / 3600.0)
    assert rate_L_h.max() <= MOST_L_H * (1.0 + 1e-12)
    assert found.water.drunk_L.sum(axis=1).max() <= MOST_L_DAY + 1e-9


def test_surer_water_is_more_water() -> None:
    start = [carried(load=f'sure = "{sure}"').water.leave_L[0, 1] for sure in ("50 %", "75 %", "90 %")]
    assert start[0] < start[1] < start[2]


def test_warmer_days_need_no_less_and_at_last_more() -> None:
    need = [
        carried(weather=months(low, high)).need_L.centre.sum()
        for low, high in (("-10 C", "0 C"), ("5 C", "14 C"), ("14 C", "27 C"), ("22 C", "36 C"))
    ]
    assert need == sorted(need)
    assert need[0] == pytest.approx(need[1])
    assert need[1] < need[2] < need[3]


def test_unknown_weather_counts_as_a_warm_day() -> None:
    unknown, cool = carried(), carried(weather=months("2 C", "10 C"))
    assert np.isnan(unknown.wbgt_C).all()
    assert np.isfinite(cool.wbgt_C).all()
    assert (unknown.need_L.centre >= cool.need_L.centre).all()
    # Hard work: the first row of the table against half a litre an hour.
    assert unknown.burnt.work[0, 1] == 2
    assert unknown.need_L_h.centre[0, 1] == pytest.approx(0.75 * 0.946352946)


def test_hours_without_weather_count_as_warm_and_the_others_as_they_are() -> None:
    setting = set_up(load_trip(weather=months("2 C", "10 C")))
    hours = setting.weather.bases[0].hours
    noon = hours.clock_s >= 12 * 3600.0
    parts = ("temperature_C", "humidity_share", "wind_m_s", "cloud_share", "rain_mm")
    cut = replace(hours, **{part: np.where(noon, np.nan, getattr(hours, part)) for part in parts})  # type: ignore[arg-type]
    weather = replace(setting.weather, bases=(replace(setting.weather.bases[0], hours=cut),))
    found = carried_of(replace(setting, weather=weather))
    whole = carried_of(setting)
    later = found.day.middle_clock_s >= 12 * 3600.0
    assert 0 < later.sum() < later.size
    assert np.isnan(found.wbgt_C).tolist() == later.tolist()
    assert found.wbgt_C[~later] == pytest.approx(whole.wbgt_C[~later])


def test_the_middle_day_is_the_middle_of_the_simulated_days() -> None:
    """Referee: four thousand drawn days.

    The middle of eight pace models is their mean, which lies a little past the median of days that each walk by one;
    and a few hundredths more where legs remember each other.
    """
    for trip in (load_trip(), load_trip(party=LISTED), *map(read_trip, DEMOS)):
        setting = set_up(trip)
        itinerary, start_s = setting.itinerary, setting.trip.depart_clock_s
        days = walk(itinerary, draw_days(itinerary, 4000, 11), np.array([start_s]))
        median_s = np.array([np.median(arrive) for arrive in days.arrive_clock_s])
        middle = middle_day(itinerary, start_s)
        assert middle.arrive_clock_s - start_s == pytest.approx(median_s - start_s, rel=0.045, abs=240.0)
        assert middle.each_day_s == pytest.approx((middle.arrive_clock_s[-1] - start_s,))
        assert (middle.still_s >= 0.0).all()
        assert middle.night_s == 0.0


def test_typed_packs_hold_their_own_water_and_food() -> None:
    found = carried(party='size = 3\nbody_mass = "85 kg"\npack_mass = "9 kg"')
    assert found.pack_kg[:, 0] == pytest.approx(9.0)
    assert found.pack_kg[:, 1] == pytest.approx(9.0)
    assert found.too_light == ()
    light = carried(party='size = 3\nbody_mass = "85 kg"\npack_mass = "1 kg"')
    assert light.too_light == (0, 1, 2)
    assert light.gear_kg.tolist() == [0.0, 0.0, 0.0]
    assert (light.pack_kg[:, 1] > 1.0).all()


def test_typed_packs_leave_pace_and_line_as_they_were() -> None:
    """No gear list: nothing of the day may move, however the party drinks."""
    plain = set_up(load_trip())
    for load in ('reserve = "3 L"', 'sure = "99 %"\ntreatment = "filter"', 'bottles = "1 L"'):
        other = set_up(load_trip(load=load))
        assert np.array_equal(other.itinerary.walking_s, plain.itinerary.walking_s)
        assert other.body_mass_kg == plain.body_mass_kg == plain.trip.party.loaded_kg
        assert other.packs.load_kg is None
        assert [walker.pack_by_leg_kg for walker in other.walkers] == [None] * 3
    assert plan_load(plain).settling.words.startswith("Packs are as typed")


@pytest.mark.parametrize("party", ['size = 4\nbody_mass = "85 kg"', LISTED, LISTED + "pace = { time_factor = 1.1 }\n"])
def test_a_gear_list_settles_and_stands_still(party: str) -> None:
    setting = set_up(load_trip(party=party, items=ITEMS))
    settled, load_kg = setting.packs.settled, setting.packs.load_kg
    assert settled is not None
    assert load_kg is not None
    assert settled.settled, settled.words
    assert settled.iterations <= 10
    assert settled.ratio < 0.5 or settled.iterations <= 2
    subject, found = carry_settled(setting.trip, setting.route, setting.weather, setting.itinerary, setting.packs)
    assert loads_of(subject, found) == pytest.approx(load_kg, abs=0.011)
    assert [w.pack_by_leg_kg is not None for w in setting.walkers] == [True] * len(setting.walkers)


def test_it_settles_to_the_same_from_above() -> None:
    setting = set_up(load_trip(items=ITEMS))
    subject = set_load(setting.trip, setting.route, setting.weather)
    assert setting.packs.load_kg is not None
    load_kg = np.full_like(setting.packs.load_kg, 25.0)
    for _ in range(8):
        walked = replace(setting.itinerary, walking_s=set_pace(setting.trip, setting.route, load_kg).time_s)
        load_kg = loads_of(subject, carry(subject, middle_day(walked, setting.trip.about.start_clock_s), load_kg))
    assert load_kg == pytest.approx(setting.packs.load_kg, abs=0.03)


def test_heavier_gear_makes_a_longer_day_with_more_water() -> None:
    heavy_items = ITEMS.replace('"1.5 kg"', '"9 kg"')
    light, heavy = set_up(load_trip(items=ITEMS)), set_up(load_trip(items=heavy_items))
    assert carried_of(heavy).day.arrive_clock_s[-1] > carried_of(light).day.arrive_clock_s[-1] + 60.0
    assert carried_of(heavy).need_L.centre.sum() > 1.02 * carried_of(light).need_L.centre.sum()


def test_a_loop_that_does_not_settle_takes_the_heavier(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(load_setting, "MOST_STEPS", 1)
    setting = set_up(load_trip(items=ITEMS))
    assert setting.packs.settled is not None
    assert not setting.packs.settled.settled
    assert setting.packs.load_kg is not None
    assert (setting.packs.load_kg >= setting.packs.settled.values).all()
    load = plan_load(setting)
    assert not load.settling.settled
    assert "do not agree" in load.settling.words


def test_worn_gear_slows_but_is_not_in_the_pack() -> None:
    worn, packed = (set_up(load_trip(items=text)) for text in (ITEMS, ITEMS.replace("worn = true\n", "")))
    assert worn.packs.load_kg is not None
    assert packed.packs.load_kg is not None
    assert worn.packs.load_kg == pytest.approx(packed.packs.load_kg, abs=0.02)
    assert carried_of(packed).gear_kg - carried_of(worn).gear_kg == pytest.approx(1.2)


def test_who_is_not_listed_needs_as_the_heaviest() -> None:
    light, heavy = (carried(party=f'size = 2\nbody_mass = "{kg} kg"') for kg in (65, 100))
    assert heavy.burnt.day_J.centre[0] > 1.2 * light.burnt.day_J.centre[0]
    assert heavy.food_kg[0] > light.food_kg[0]


def test_rougher_ground_costs_more() -> None:
    bog = 'ground = [{ from = "Gate", to = "Creek", surface = "bog" }]'
    plain, deep = carried(), carried(route=bog)
    assert deep.burnt.energy_J.centre[0, 0] > 1.3 * plain.burnt.energy_J.centre[0, 0]
    assert deep.burnt.energy_J.centre[0, 1] == pytest.approx(plain.burnt.energy_J.centre[0, 1], rel=0.03)


def test_settled_packs_are_none_without_a_list() -> None:
    setting = set_up(load_trip())
    assert settled_packs(setting.trip, setting.route, setting.weather, setting.itinerary).load_kg is None
