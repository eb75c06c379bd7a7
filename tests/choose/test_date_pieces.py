"""One piece of a season against plans of its dates: the same days, the same chances, the same light and line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from handline.choose.date_pieces import CLOSED, GOES, NIGHT, PUSH, WEATHER_FROM, DatePiece, SeasonAsked, do_dates
from handline.choose.season_dates import open_dates
from handline.day.file_checks import subject_problems
from handline.day.limits import kept_share
from handline.day.on_date import forecast_dates, set_up_on, trip_on, without_forecast
from handline.day.planning import simulate
from handline.day.rock_setting import Met, rock_met
from handline.day.setting import set_up
from handline.day.simulation import draw_days, walk
from handline.errors import TripError
from handline.trip.model import Trip
from handline.trip.reading import read_trip
from handline.weather.rock_state import STATES
from tests.choose.season_trips import COLD, season_trip
from tests.day.recordings import tamsin

EXAMPLES = Path(__file__).parents[2] / "examples"
HOUR_S = 3600.0
STARTS = tuple(HOUR_S * hour for hour in (0.0, 3.0, 4.5, 6.0, 9.0, 13.0))
DAYS = 300


def _days(trip: Trip, days: int = DAYS) -> Trip:
    return trip.model_copy(update={"about": trip.about.model_copy(update={"days": days})})


def _starting(trip: Trip, clock_s: float) -> Trip:
    """The trip that starts at a time on its date: at the trailhead, or from the camp."""
    if trip.night.out:
        return trip.model_copy(update={"night": trip.night.model_copy(update={"start_clock_s": clock_s})})
    return trip.model_copy(update={"about": trip.about.model_copy(update={"start_clock_s": clock_s})})


def _asked(trip: Trip, ways: tuple[str, ...], near: dt.date, *dates: dt.date) -> SeasonAsked:
    known = {way: set_up(without_forecast(trip_on(trip, near, way == NIGHT))) for way in ways}
    return SeasonAsked(
        trip=trip,
        known={(way, state): known[way] for way in ways for state in ("raised", "lowered")},
        open_dates=frozenset(open_dates(trip, dates)),
        forecast_dates=forecast_dates(trip, known[ways[0]].timezone, dates),
        ways=ways,
        start_clock_s=STARTS,
        days=trip.about.days,
    )


def _slippery(met: Sequence[Met]) -> list[float]:
    """On what share of days the rock is iced, wet or iced, and not dry on tying on, each the worse of up and down."""
    return [max(sum(leg.share[STATES.index(state) :]) for leg in met) for state in ("iced", "wet", "damp")]


@pytest.mark.parametrize("way", [PUSH, NIGHT])
@pytest.mark.parametrize("date", [dt.date(2027, 5, 24), dt.date(2027, 6, 5)])
def test_each_start_has_the_chance_of_a_plan_with_that_date_and_start(way: str, date: dt.date) -> None:
    """Brute force: each start is typed into the trip, set up anew and simulated as for a plan."""
    trip = _days(season_trip(limits='home_by = "16:00"'))
    found = do_dates(_asked(trip, (PUSH, NIGHT), dt.date(2027, 6, 20), date), DatePiece((date,)))
    ours = found["chance"][(PUSH, NIGHT).index(way), 0]
    assert 0.0 <= ours.min() < 0.5 < ours.max() < 1.0
    for start_s, chance in zip(STARTS, ours, strict=True):
        planned = simulate(set_up(_starting(trip_on(trip, date, way == NIGHT), start_s)))
        assert chance == pytest.approx(float(planned.kept["all"].mean()), abs=1e-12)


@pytest.mark.parametrize("way", [PUSH, NIGHT])
def test_the_rock_from_each_start_is_that_of_a_plan_with_that_start(way: str) -> None:
    """Brute force: nights of frost after showers, and slopes that dry by noon."""
    trip, date = _days(season_trip(more=COLD)), dt.date(2027, 7, 5)
    trip = trip.model_copy(update={"weather": trip.weather.model_copy(update={"rock": None})})
    found = do_dates(_asked(trip, (PUSH, NIGHT), dt.date(2027, 7, 17), date), DatePiece((date,)))
    ours = found["rock"][(PUSH, NIGHT).index(way), 0]
    assert (ours[:, 0] <= ours[:, 1]).all()
    assert (ours[:, 1] <= ours[:, 2]).all()
    assert ours[:, 0].max() > 0.2 > ours[:, 0].min()
    for start_s, rock in zip(STARTS, ours, strict=True):
        setting = set_up(_starting(trip_on(trip, date, way == NIGHT), start_s))
        draws = draw_days(setting.itinerary, DAYS, trip.about.seed)
        days = walk(setting.itinerary, draws, np.array([setting.trip.depart_clock_s]))
        met = rock_met(setting.itinerary, draws, days)
        assert len(met) == 2, "up and down"
        assert rock == pytest.approx(_slippery(met), abs=1e-12)


def test_the_camp_reached_too_late_counts_against_a_night_out() -> None:
    """Set out at 20:00 many are not at the camp before dark, however early they leave it."""
    trip = _days(season_trip())
    late = trip.model_copy(update={"night": trip.night.model_copy(update={"set_out_clock_s": 20 * HOUR_S})})
    date = dt.date(2027, 6, 5)
    on_time, too_late = (
        do_dates(_asked(one, (NIGHT,), date, date), DatePiece((date,)))["chance"][0, 0] for one in (trip, late)
    )
    setting = set_up(trip_on(late, date, night_out=True))
    planned = simulate(setting)
    assert planned.kept["camp_before_dark"].mean() < 0.9
    assert too_late.max() <= planned.kept["camp_before_dark"].mean() < on_time.max()


def test_who_comes_to_the_camp_after_the_start_leaves_it_on_coming() -> None:
    """Brute force again, for a party that sets out at ten at night and is at the camp past midnight."""
    trip = _days(season_trip(limits='home_by = "05:30"\ncamp_before_dark = false\nhome_before_dark = false'))
    late = trip.model_copy(update={"night": trip.night.model_copy(update={"set_out_clock_s": 22 * HOUR_S})})
    date = dt.date(2027, 6, 5)
    ours = do_dates(_asked(late, (NIGHT,), date, date), DatePiece((date,)))["chance"][0, 0]
    for start_s, chance in zip(STARTS[:3], ours, strict=False):
        setting = set_up(_starting(trip_on(late, date, night_out=True), start_s))
        planned = simulate(setting)
        assert (planned.days.arrive_clock_s[setting.camp.stays] > STARTS[0]).mean() > 0.25
        assert chance == pytest.approx(float(planned.kept["all"].mean()), abs=1e-12)
    assert 0.0 < ours[0] < 1.0


def test_all_else_of_a_date_is_its_plans() -> None:
    trip = read_trip(EXAMPLES / "petrel-slab" / "trip.toml", subject_problems)
    dates = (dt.date(2026, 12, 30), dt.date(2027, 2, 20), dt.date(2027, 4, 1))
    found = do_dates(_asked(_days(trip), (PUSH,), trip.about.date, *dates), DatePiece(dates))
    assert found["state"].tolist() == [GOES, GOES, CLOSED]
    assert np.isnan(found["chance"][0, 2]).all()
    assert np.isnan(found["storm"][2])
    for at, date in enumerate(dates[:2]):
        setting = set_up(trip_on(_days(trip), date, night_out=False))
        draws = draw_days(setting.itinerary, DAYS, trip.about.seed)
        days = walk(setting.itinerary, draws, np.array([setting.trip.depart_clock_s]))
        home_s = np.quantile(days.arrive_clock_s[-1], (0.1, 0.5, 0.9))
        assert found["home_clock_s"][0, at] == pytest.approx(home_s)
        assert found["planned_clock_s"][0, at] == trip.about.start_clock_s
        assert found["planned_rock"][0, at] == pytest.approx(_slippery(rock_met(setting.itinerary, draws, days)))
        assert found["storm"][at] == setting.storm_chance
        assert found["light_s"][at] == setting.light.civil_dusk_clock_s - setting.light.civil_dawn_clock_s
        assert found["weather_from"][at] == WEATHER_FROM["months"]
        kept = kept_share(setting.limits, setting.itinerary, walk(setting.itinerary, draws, np.array([[9 * HOUR_S]])),
                          setting.storm)["all"]  # fmt: skip
        assert found["error"][0, at, 4] == pytest.approx(float(kept.std() / np.sqrt(DAYS)))


def test_packs_that_settle_from_elsewhere_move_no_chance_by_more_than_a_day_in_the_many() -> None:
    """With a gear list the packs of a date are found from those of another: they agree to ten grams."""
    example = read_trip(EXAMPLES / "tamsin-dome" / "trip.toml", subject_problems)
    assert example.gear.items
    waits = example.crowd.model_copy(update={"wait_up_s": 600.0, "wait_down_s": 300.0})
    trip = _days(example.model_copy(update={"crowd": waits}), 400)
    date = dt.date(2027, 7, 16)
    found = do_dates(_asked(trip, (PUSH,), dt.date(2027, 7, 18), date), DatePiece((date,)))
    assert found["weather_from"][0] == WEATHER_FROM["forecast"]
    for start_s, chance in zip(STARTS[:4], found["chance"][0, 0], strict=False):
        planned = simulate(set_up(_starting(trip_on(trip, date, night_out=False), start_s)))
        # A start moves the hour in which they drink, and so their packs, a little too.
        assert chance == pytest.approx(float(planned.kept["all"].mean()), abs=0.01)


def test_how_dates_are_cut_into_pieces_changes_nothing() -> None:
    trip = _days(season_trip(), 100)
    dates = tuple(dt.date(2027, 5, 27) + dt.timedelta(days=i) for i in range(4))
    asked = _asked(trip, (PUSH, NIGHT), dt.date(2027, 6, 20), *dates)
    whole, alone = do_dates(asked, DatePiece(dates)), [do_dates(asked, DatePiece((date,))) for date in dates]
    for name in ("chance", "rock", "planned_rock"):
        assert np.concatenate([each[name] for each in alone], axis=1).tobytes() == whole[name].tobytes()
    assert whole["raised"].tolist() == [False, False, True, True]


def test_dates_of_a_forecast_are_those_it_has_hours_of() -> None:
    trip = tamsin()
    dates = [dt.date(2027, 7, day) for day in range(12, 23)]
    assert sorted(date.day for date in forecast_dates(trip, "America/Denver", dates)) == [16, 17, 18]
    assert forecast_dates(without_forecast(trip), "America/Denver", dates) == frozenset()


def test_a_forecast_that_is_not_there_is_no_reason_to_take_the_months(tmp_path: Path) -> None:
    trip = tamsin()
    known = set_up(without_forecast(trip))
    elsewhere = trip.read_from(tmp_path / "trip.toml", trip.sha256, {})
    with pytest.raises(TripError, match=r"forecast\.csv"):
        set_up_on(known, elsewhere)
    far = set_up_on(known, trip_on(trip, dt.date(2027, 8, 20), night_out=False))
    assert far.weather.source != "forecast"
    assert replace(far.limits, dark_clock_s=None) == replace(known.limits, dark_clock_s=None)
