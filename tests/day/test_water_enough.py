"""Whether the water is enough: against a plain loop, and what must hold at the ends."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from handline.day.load_setting import Carried, carry_settled
from handline.day.setting import set_up
from handline.day.simulation import Days, draw_days, walk
from handline.day.subjects import Setting
from handline.day.water_enough import water_enough
from handline.trip.reading import read_trip
from handline.walking.drinking import MOST_L_H
from tests.day.line_reports import TAMSIN
from tests.day.trips import night_trip, typed_trip

DAYS = 400


def _parts(trip) -> tuple[Setting, Carried, Days]:
    setting = set_up(trip)
    _, carried = carry_settled(
        setting.trip, setting.route, setting.weather, setting.itinerary, setting.packs, setting.camp
    )
    draws = draw_days(setting.itinerary, DAYS, 1)
    return setting, carried, walk(setting.itinerary, draws, np.array([setting.trip.depart_clock_s]))


def _plain(setting: Setting, carried: Carried, days: Days, seed: int) -> float:
    """Day by day, person by person, stretch by stretch, with the same draws."""
    thirst = np.random.default_rng([seed, 3]).standard_normal(DAYS)
    arrive = [np.broadcast_to(one, (DAYS,)) for one in days.arrive_clock_s]
    enough = 0
    for day in range(DAYS):
        dry = False
        for person in range(carried.need_L.centre.shape[0]):
            for stretch in carried.water.stretches:
                left_L = carried.water.leave_L[person, stretch.first]
                for leg in range(stretch.first, stretch.last):
                    middle_L, high_L = carried.need_L.centre[person, leg], carried.need_L.high[person, leg]
                    low_L, z = carried.need_L.low[person, leg], thirst[day]
                    begun_s = arrive[leg][day]
                    if setting.itinerary.night is not None and leg == setting.itinerary.night.passing:
                        begun_s = max(begun_s, setting.itinerary.night.start_clock_s)
                    lasts_s = arrive[leg + 1][day] - begun_s
                    loss_L = max(middle_L + z * (high_L - middle_L), low_L)
                    loss_L *= lasts_s / carried.day.duration_s[leg]
                    left_L -= min(loss_L, MOST_L_H * lasts_s / 3600.0)
                    there = carried.water.stations[leg + 1]
                    if leg + 1 <= stretch.last and not there.is_reliable:
                        left_L -= there.used_here_L
                dry |= left_L < 0.0
        enough += not dry
    return enough / DAYS


@pytest.mark.parametrize("trip", [typed_trip(), night_trip()], ids=["push", "night"])
def test_against_a_plain_loop(trip) -> None:
    setting, carried, days = _parts(trip)
    found = water_enough(carried, setting.itinerary, days, 5)
    assert found.share == pytest.approx(_plain(setting, carried, days, 5))
    assert 0.0 < found.share < 1.0
    assert found.error == pytest.approx(np.sqrt(found.share * (1.0 - found.share) / DAYS))


def test_more_water_is_never_worse_and_much_is_enough() -> None:
    shares = []
    for sure, reserve in ((0.5, "0 L"), (0.7, "0.5 L"), (0.99, "3 L")):
        setting, carried, days = _parts(typed_trip(more=f'\n[load]\nsure = {sure}\nreserve = "{reserve}"\n'))
        shares.append(water_enough(carried, setting.itinerary, days, 5).share)
    assert shares == sorted(shares)
    assert shares[-1] > 0.99


def test_who_wants_to_be_surer_is_never_less_sure_also_past_what_may_be_drunk_in_a_day() -> None:
    tamsin, shares, missed_L = read_trip(TAMSIN), [], []
    for sure in (0.6, 0.75, 0.9, 0.99):
        setting, carried, days = _parts(
            tamsin.model_copy(update={"load": tamsin.load.model_copy(update={"sure": sure})})
        )
        shares.append(water_enough(carried, setting.itinerary, days, 5).share)
        missed_L.append(float(carried.water.missed_L.max()))
    assert missed_L[0] == 0.0 < missed_L[-1]
    assert shares == sorted(shares)


def test_with_no_reserve_and_half_sure_it_is_about_a_coin() -> None:
    """The middle day and the middle thirst are what is carried for: half the days need more, to five points or so."""
    setting, carried, days = _parts(typed_trip(more='\n[load]\nsure = 0.5\nreserve = "0 L"\n'))
    assert water_enough(carried, setting.itinerary, days, 5).share == pytest.approx(0.5, abs=0.10)


def test_empty_bottles_are_never_enough() -> None:
    setting, carried, days = _parts(typed_trip())
    nothing = replace(carried, water=replace(carried.water, leave_L=np.zeros_like(carried.water.leave_L)))
    assert water_enough(nothing, setting.itinerary, days, 5).share == 0.0


def test_it_names_every_stretch() -> None:
    setting, carried, days = _parts(typed_trip())
    found = water_enough(carried, setting.itinerary, days, 5)
    assert found.stretches == tuple(stretch.words for stretch in carried.water.stretches)
    assert min(found.by_stretch) >= found.share
