"""A season of dates: which rows it has, what is closed or past, what is told and refused."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from handline.choose.date_permits import permits_of_dates
from handline.choose.date_rows import calendar_of, date_rows
from handline.choose.dates import dates_report
from handline.choose.dates_asked import dates_problems
from handline.choose.dates_report import RockFrom
from handline.errors import InputError, TripError
from handline.trip.reading import read_trip
from tests.choose.dates_found import SHORT, levels, row_on
from tests.choose.season_trips import FIRST, MONTHS, asked, push_report, season_report, season_trip
from tests.day.trips import typed_trip

EXAMPLES = Path(__file__).parents[2] / "examples"


# --- dates ---------------------------------------------------------------------------------------------------------


def test_every_date_asked_has_a_row_and_every_start_a_chance() -> None:
    report = season_report()
    assert [row.date for row in report.rows] == [(FIRST + dt.timedelta(days=i)).isoformat() for i in range(14)]
    assert [row.weekday for row in report.rows[:3]] == ["Monday", "Tuesday", "Wednesday"]
    assert report.starts_clock_s == tuple(3600.0 * hour for hour in range(2, 13))
    for row in report.rows:
        assert [on_date.way for on_date in row.ways] == ["push", "night"]
        for on_date in row.ways:
            assert len(on_date.chance) == len(on_date.error) == 11
    assert [row.raised for row in report.rows] == [False] * 5 + [True] * 9
    assert [row.date for row in report.rows if row.holiday] == ["2027-05-31"]
    assert row_on(report, "2027-05-31").holiday == "Memorial Day"
    assert [row.date for row in report.rows if row.weekend] == ["2027-05-29", "2027-05-30", "2027-06-05", "2027-06-06"]
    assert all((row.worth == 1.0) == row.weekend for row in report.rows)
    assert {row.worth for row in report.rows} == {0.5, 1.0}
    assert {row.weather_says for row in report.rows} == {"usual"}
    assert report.camp_name == "Camp"


def test_the_start_is_the_latest_that_meets_the_wanted_chance() -> None:
    for report in (season_report(), push_report()):
        for on_date in (on_date for row in report.rows for on_date in row.ways):
            chance = np.array(on_date.chance)
            at = report.starts_clock_s.index(on_date.start_clock_s)
            assert on_date.start_chance == chance[at]
            assert on_date.best_chance == chance.max()
            if on_date.window_clock_s is None:
                assert (chance < report.wanted_chance).all()
                assert on_date.start_chance == chance.max()
                continue
            assert chance[at] >= report.wanted_chance > chance[at + 1 :].max(initial=-1.0)
            first = report.starts_clock_s.index(on_date.window_clock_s[0])
            assert on_date.window_clock_s[1] == on_date.start_clock_s
            assert (chance[first : at + 1] >= report.wanted_chance).all()
            assert first == 0 or chance[first - 1] < report.wanted_chance


def test_the_window_is_the_run_of_starts_before_the_latest() -> None:
    """By hand: wet mornings keep the first starts out, and one start between."""
    chance = np.array([[[0.5, 0.95, 0.8, 0.9, 0.97, 0.92, 0.3]]])
    arrays = {
        "chance": chance,
        "error": chance / 100.0,
        "home_clock_s": np.zeros((1, 1, 3)),
        "planned_clock_s": np.full((1, 1), 3.5 * 3600.0),
        "planned_rock": np.array([[[0.2, 0.3, 0.4]]]),
        # The most ice of the run is met from its first start, and more of it still from one before the run.
        "rock": np.array([[[[0.1 * iced, 0.7, 0.8] for iced in (7, 6, 5, 4, 2, 1, 0)]]]),
    }
    arrays |= {name: np.zeros(1) for name in ("state", "storm", "light_s", "sunrise_clock_s", "weather_from")}
    arrays["raised"] = np.ones(1, bool)
    dates, starts = [dt.date(2027, 6, 5)], [3600.0 * hour for hour in range(7)]
    trip = season_trip()
    permits = permits_of_dates(trip, {dates[0]: "raised"}, ("push",), None)
    (row,) = date_rows(dates, ("push",), starts, 0.9, arrays, permits, calendar_of(trip, dates, None))
    (push,) = row.ways
    assert push.window_clock_s == (3 * 3600.0, 5 * 3600.0)
    assert (push.start_clock_s, push.start_chance, push.start_error) == (5 * 3600.0, 0.92, 0.0092)
    assert (push.best_clock_s, push.best_chance) == (4 * 3600.0, 0.97)
    assert push.rock == RockFrom(5 * 3600.0, pytest.approx(0.1), 0.7, 0.8)
    assert push.iciest_rock == RockFrom(3 * 3600.0, pytest.approx(0.4), 0.7, 0.8)
    assert push.planned_rock == RockFrom(3.5 * 3600.0, 0.2, 0.3, 0.4)
    for planned_s in (2.9 * 3600.0, 5.1 * 3600.0):
        arrays["planned_clock_s"][:] = planned_s
        (row,) = date_rows(dates, ("push",), starts, 0.9, arrays, permits, calendar_of(trip, dates, None))
        assert row.ways[0].planned_rock is None, "no start that meets the limits"
    (row,) = date_rows(dates, ("push",), starts, 0.99, arrays, permits, calendar_of(trip, dates, None))
    assert row.ways[0].rock == row.ways[0].iciest_rock == RockFrom(4 * 3600.0, pytest.approx(0.2), 0.7, 0.8)
    assert row.ways[0].planned_rock is None


def test_a_start_as_late_as_was_tried_says_so() -> None:
    report = dates_report(
        season_trip(), asked(dt.date(2027, 6, 2), dt.date(2027, 6, 2), ways="push", last_start="04:00")
    )
    assert report.best[0].reasons[0] == "Starts from 02:00 to 04:00 meet your limits, as late as was tried."


def test_closed_dates_are_told_and_never_best() -> None:
    report = push_report()
    closed = [row for row in report.rows if row.closed]
    assert [row.date for row in closed] == [f"2027-07-{day:02d}" for day in range(5, 11)]
    for row in closed:
        assert (row.ways, row.weather_says) == ((), "")
        assert np.isnan(row.storm_chance)
    assert not {row.date for row in closed} & {one.date for one in report.best}


def test_a_season_that_is_closed_all_through_is_refused() -> None:
    with pytest.raises(InputError, match=r"\[--from\]: the way is closed on every one of these dates") as refused:
        dates_report(season_trip(), asked(dt.date(2027, 7, 20), dt.date(2027, 7, 22)))
    assert "allowed: 20 May to 4 July" in str(refused.value)


def test_the_date_of_the_file_may_be_closed() -> None:
    trip = season_trip()
    assert trip.about.date == dt.date(2027, 7, 17)
    assert season_report().best


def test_a_southern_summer_over_the_new_year() -> None:
    trip = read_trip(EXAMPLES / "petrel-slab" / "trip.toml", dates_problems)
    report = dates_report(trip, asked(dt.date(2026, 12, 30), dt.date(2027, 1, 2)))
    assert report.ways == ("push",), "no camp, no night out"
    assert report.camp_name == ""
    light_s = [row.light_s for row in report.rows]
    assert light_s == sorted(light_s, reverse=True), "past midsummer, in December"
    assert all(on_date.permit_chance == 1.0 for row in report.rows for on_date in row.ways)
    assert "none_meets" not in levels(report)


def test_without_months_or_forecast_it_says_that_nothing_is_known() -> None:
    trip = typed_trip(weather="")
    report = dates_report(trip, asked(dt.date(2027, 7, 10), dt.date(2027, 7, 11)))
    assert {row.weather_says for row in report.rows} == {"assumed"}
    assert levels(report)["weather_assumed"] == "heed"


def test_days_before_today_are_past() -> None:
    report = dates_report(season_trip(), asked(*SHORT, ways="push"), today=dt.date(2027, 5, 30))
    assert [row.past for row in report.rows] == [True, True, False, False]
    assert {one.date for one in report.best} == {"2027-05-30", "2027-05-31"}
    assert report.provenance.today == "2027-05-30"
    over = dates_report(season_trip(), asked(*SHORT, ways="push"), today=dt.date(2027, 6, 2))
    assert levels(over)["all_past"] == "stop"
    assert over.headline == "None of these dates."


# --- what is told --------------------------------------------------------------------------------------------------


def test_notes_say_how_to_read_it() -> None:
    said = " ".join(season_report().notes)
    for words in (
        "the same 150 days (seed 1)", "At 90 % a chance is sure to within 2.4 points",
        "every 1 h 00 min from 02:00 to 12:00", "sleep is not in it", "the start is from the camp",
        "weekends and holidays are no fuller", "You prefer Saturday, Sunday; other dates count 50 %.",
    ):  # fmt: skip
        assert words in said
    assert "prefer" not in " ".join(push_report().notes)
    none = typed_trip(limits="off_line_before_storm = false\nhome_before_dark = false")
    assert any(
        "No limit was set" in note
        for note in dates_report(none, asked(dt.date(2027, 7, 10), dt.date(2027, 7, 11))).notes
    )


def test_what_was_asked_is_refused_before_any_work() -> None:
    with pytest.raises(InputError, match="no camp for a night out"):
        dates_report(typed_trip(), asked(dt.date(2027, 7, 10), dt.date(2027, 7, 11), ways="night"))
    with pytest.raises(TripError, match="not told: August"):
        dates_report(season_trip(more=MONTHS), asked(dt.date(2027, 7, 30), dt.date(2027, 8, 2)))


def test_a_season_that_hangs_on_a_missing_day_is_told() -> None:
    trip, dates = season_trip(more=MONTHS), asked(dt.date(2027, 6, 20), dt.date(2027, 6, 21))
    for section, key in (("season", "raised"), ("season", "open"), ("choice", "prefer")):
        words = {key: ("29 February to 30 June",)}
        odd = trip.model_copy(update={section: getattr(trip, section).model_copy(update=words)})
        with pytest.raises(TripError, match=rf"{section}\.{key}"):
            dates_report(odd, dates)
