"""A season of dates: the same bytes whoever does it, what is closed or past, permits, ranks, and what to act on."""

from __future__ import annotations

import datetime as dt
import multiprocessing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from handline.choose import dates as dates_room
from handline.choose.date_permits import permits_of_dates
from handline.choose.date_ranks import best_dates, headline
from handline.choose.date_rows import calendar_of, date_rows
from handline.choose.dates import dates_report
from handline.choose.dates_asked import dates_problems
from handline.choose.dates_report import DatesReport, WayOnDate
from handline.day.on_date import trip_on
from handline.day.permit_planning import permits_together, plan_permits
from handline.day.plan_json import result_json
from handline.errors import InputError, TripError
from handline.trip.model import Trip
from handline.trip.reading import read_trip
from tests.choose.season_trips import FIRST, MONTHS, PERMITS, SEASON, asked, push_report, season_report, season_trip
from tests.day.trips import typed_trip

EXAMPLES = Path(__file__).parents[2] / "examples"
SHORT = dt.date(2027, 5, 28), dt.date(2027, 5, 31)


def _keys(report: DatesReport) -> dict[str, str]:
    return {finding.key: finding.level for finding in report.findings}


def _row(report: DatesReport, date: str):
    return next(row for row in report.rows if row.date == date)


def _held(trip: Trip, date: dt.date) -> Trip:
    permits = tuple(permit.model_copy(update={"held": permit.name == "Line permit"}) for permit in trip.permits)
    about = trip.about.model_copy(update={"date": date})
    return trip.model_copy(update={"permits": permits, "about": about})


# --- who does it ---------------------------------------------------------------------------------------------------


@pytest.mark.usefixtures("cache")
def test_one_worker_and_two_give_the_same_bytes(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    trip, long = season_trip(), (dt.date(2027, 5, 27), dt.date(2027, 5, 31))  # three pieces
    one = dates_report(trip, asked(*long, workers="1"))
    monkeypatch.setenv("HANDLINE_CACHE", str(cache / "other"))
    assert result_json(dates_report(trip, asked(*long, workers="2"))) == result_json(one)
    assert multiprocessing.active_children() == []


@pytest.mark.usefixtures("cache")
def test_a_cluster_gives_the_same_bytes(cache: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from distributed import LocalCluster

    trip, short = season_trip(), (dt.date(2027, 5, 28), dt.date(2027, 5, 29))
    one = dates_report(trip, asked(*short))
    monkeypatch.setenv("HANDLINE_CACHE", str(cache / "other"))
    with LocalCluster(
        n_workers=1, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address="127.0.0.1:0"
    ) as cluster:
        there = dates_report(trip, replace(asked(*short), workers=None, dask=cluster.scheduler_address))
    assert result_json(there) == result_json(one)


@pytest.mark.usefixtures("cache")
def test_stopped_in_the_middle_it_does_only_the_rest(monkeypatch: pytest.MonkeyPatch) -> None:
    trip, long = season_trip(), (FIRST, FIRST + dt.timedelta(days=11))
    done: list[str] = []

    def counted(shared, piece):
        done.append(piece.key)
        return do_dates(shared, piece)

    do_dates = dates_room.do_dates
    monkeypatch.setattr(dates_room, "do_dates", counted)

    def stop(what: str, share: float) -> None:
        if what == "Days of the season" and share > 0.3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        dates_report(trip, asked(*long, ways="push"), stop)
    assert len(done) == 2
    report = dates_report(trip, asked(*long, ways="push"))
    assert len(done) == len(set(done)) == 6, "only the rest, once each"
    again = dates_report(trip, asked(*long, ways="push"))
    assert len(done) == 6, "the same again is only read"
    assert result_json(again) == result_json(report)
    dates_report(trip, asked(*long, ways="push", days="110"))
    assert len(done) == 12, "other days are other work"


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
    assert _row(report, "2027-05-31").holiday == "Memorial Day"
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
        "not_dry": np.zeros((1, 1)),
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
    assert "none_meets" not in _keys(report)


def test_without_months_or_forecast_it_says_that_nothing_is_known() -> None:
    trip = typed_trip(weather="")
    report = dates_report(trip, asked(dt.date(2027, 7, 10), dt.date(2027, 7, 11)))
    assert {row.weather_says for row in report.rows} == {"assumed"}
    assert _keys(report)["weather_assumed"] == "heed"


def test_days_before_today_are_past() -> None:
    report = dates_report(season_trip(), asked(*SHORT, ways="push"), today=dt.date(2027, 5, 30))
    assert [row.past for row in report.rows] == [True, True, False, False]
    assert {one.date for one in report.best} == {"2027-05-30", "2027-05-31"}
    assert report.provenance.today == "2027-05-30"
    over = dates_report(season_trip(), asked(*SHORT, ways="push"), today=dt.date(2027, 6, 2))
    assert _keys(over)["all_past"] == "stop"
    assert over.headline == "None of these dates."


# --- permits -------------------------------------------------------------------------------------------------------


def test_permits_are_those_of_a_plan_of_the_date() -> None:
    """Referee: the permits of a plan, for each date, way and state of the line."""
    trip, report = season_trip(), season_report()
    for row in report.rows:
        for on_date in row.ways:
            night = on_date.way == "night"
            there = trip_on(trip, dt.date.fromisoformat(row.date), night)
            planned = plan_permits(there, "raised" if row.raised else "lowered")
            needed = [permit for permit in planned if permit.needed]
            assert on_date.permits == tuple(permit.name for permit in needed)
            together = permits_together(planned)
            if night:
                assert together is None
                assert on_date.permits_unknown == ("Camp permit",)
                assert on_date.permit_chance is on_date.both_chance is None
                assert on_date.known_permit_chance == ({False: 0.3, True: 0.1}[row.weekend] if row.raised else 1.0)
                assert on_date.value_chance == on_date.known_permit_chance * on_date.best_chance
            else:
                expected = 1.0 if not needed else together.share
                assert on_date.permit_chance == pytest.approx(expected)
                assert on_date.both_chance == pytest.approx(expected * on_date.best_chance)


def test_a_permit_that_is_held_is_held_for_one_date() -> None:
    trip = _held(season_trip(), dt.date(2027, 5, 30))
    report = dates_report(trip, asked(*SHORT, ways="push"))
    chances = {row.date: row.ways[0].permit_chance for row in report.rows if row.raised}
    assert chances == {"2027-05-29": 0.1, "2027-05-30": 1.0, "2027-05-31": 0.3}
    assert report.best[0].date == "2027-05-30"
    (found,) = report.lists
    assert set(found.dates) == {"2027-05-29", "2027-05-31"}, "what is held need not be drawn"
    assert any("held for 30 May 2027" in note for note in report.notes)


def test_deadlines_are_seen_from_the_day_it_is() -> None:
    trip = season_trip()
    before = dates_report(trip, asked(*SHORT, ways="push"), today=dt.date(2027, 3, 20))
    assert not [key for key in _keys(before) if key.startswith("deadline_past")]
    assert (
        "Apply by 31 March 2027 (in 11 days)"
        in next(f for f in before.findings if f.key == "next:Line permit").sentence
    )
    closed = dates_report(trip, asked(*SHORT, ways="push"), today=dt.date(2027, 4, 3))
    assert _keys(closed)["deadline_past:Line permit"] == "heed"
    assert closed.lists == (), "nobody can apply any more"
    told = dates_report(trip, asked(*SHORT, ways="push"), today=dt.date(2027, 5, 1))
    assert all(one.permit_chance == 0.0 for one in told.best if one.raised)


def test_where_no_permit_is_left_it_is_a_stop() -> None:
    trip = season_trip(more=MONTHS + SEASON + PERMITS.replace('needed = { state = "raised" }\n', ""))
    report = dates_report(trip, asked(*SHORT, ways="push"), today=dt.date(2027, 5, 1))
    assert _keys(report)["none_permitted"] == "stop"
    assert report.level == "stop"
    assert report.headline == "No permit is left to get."
    assert "permit that can no longer be got" in report.why


def test_a_date_that_can_be_had_goes_before_one_whose_permit_is_gone_though_the_cables_lie() -> None:
    report = dates_report(season_trip(), asked(*SHORT, ways="push"), today=dt.date(2027, 5, 1))
    assert [one.raised for one in report.best] == sorted(one.raised for one in report.best)
    assert not report.best[0].raised
    assert report.why.endswith("The cables lie on the rock then.")
    assert _keys(report)["lying"] == "heed"
    assert "none_permitted" not in _keys(report)


def test_a_deadline_after_the_date_leaves_the_chance_unknown() -> None:
    """The draw is told on 12 April: of a date in March nobody can say."""
    trip = season_trip(more=MONTHS + PERMITS.replace('needed = { state = "raised" }\n', ""))
    found = permits_of_dates(trip, {dt.date(2027, 3, 20): "raised", dt.date(2027, 6, 20): "raised"}, ("push",), None)
    march, june = found[dt.date(2027, 3, 20), "push"], found[dt.date(2027, 6, 20), "push"]
    assert (march.chance, march.unknown) == (None, ("Line permit",))
    assert "12 April" in march.says
    assert june.chance == pytest.approx(0.1)


# --- ranks ---------------------------------------------------------------------------------------------------------


def test_ranks_follow_the_stated_order() -> None:
    report = season_report()
    assert [one.rank for one in report.best] == list(range(1, 12))
    assert [one.raised for one in report.best] == [True] * 8 + [False] * 3
    standing = [float(f"{one.value:.2g}") for one in report.best[:8]]
    assert standing == sorted(standing, reverse=True)
    for one in report.best:
        row = _row(report, one.date)
        on_date = next(on_date for on_date in row.ways if on_date.way == one.way)
        assert one.value == pytest.approx(on_date.best_chance * on_date.known_permit_chance * row.worth)
    # By hand: a weekday has 0.3 of a permit and counts a half, a weekend 0.1 and counts whole.
    assert [one.weekday in ("Saturday", "Sunday") for one in report.best[:8]] == [False] * 5 + [True] * 3
    assert {one.way for one in report.best} == {"push"}, "a night out needs a permit of unknown chance"
    assert _keys(report)["permit_unknown"] == "heed"
    assert _keys(report)["lying"] == "note"


def _ranked(report: DatesReport, change) -> list[str]:
    rows = tuple(replace(row, ways=tuple(change(row, on_date) for on_date in row.ways)) for row in report.rows)
    return [one.date for one in best_dates(rows, report.ways, report.starts_clock_s[-1], preferring=False)]


def test_a_date_that_does_not_meet_the_limits_comes_last_whatever_its_permit() -> None:
    report, odd = season_report(), "2027-06-02"

    def change(row, on_date: WayOnDate) -> WayOnDate:
        if row.date == odd:
            sure = {"permit_chance": 1.0, "known_permit_chance": 1.0, "permits_unknown": (), "both_chance": 1.0}
            return replace(on_date, window_clock_s=None, **sure)
        return on_date

    assert odd in [one.date for one in report.best]
    assert odd not in _ranked(report, change)


def test_of_alike_dates_the_later_start_comes_first() -> None:
    report, late = season_report(), "2027-06-03"

    def change(row, on_date: WayOnDate) -> WayOnDate:
        return replace(on_date, start_clock_s=on_date.start_clock_s + (1800.0 if row.date == late else 0.0))

    assert _ranked(report, change)[0] == late


def test_where_no_date_meets_the_limits_it_is_a_stop_and_the_surest_come_first() -> None:
    report = push_report()
    assert _keys(report)["none_meets"] == "stop"
    assert report.headline == "No date meets your limits."
    assert not any(one.meets for one in report.best)
    surest = max(on_date.best_chance for row in report.rows for on_date in row.ways)
    assert float(f"{report.best[0].best_chance:.2g}") == float(f"{surest:.2g}")
    assert report.best[0].reasons[0].startswith("No start meets your limits: the surest start, ")


def test_the_answer_names_date_way_and_start() -> None:
    report = season_report()
    words, why = headline(report.rows, report.best, report.wanted_chance)
    first = report.best[0]
    assert words == "Monday 31 May 2027, in one push: start by 10:00."
    assert first.start_clock_s == 10 * 3600.0
    assert why.startswith("14 of 14 dates have a start that meets your limits in 90 % of days")
    assert why.endswith("The chance of its permits is 30 %.")
    partly = replace(first, permit_chance=None, permits_unknown=("Camp permit",))
    assert headline(report.rows, (partly,), 0.9)[1].endswith("The chance of its permits is 30 % at most.")
    unknown = replace(partly, known_permit_chance=1.0)
    assert headline(report.rows, (unknown,), 0.9)[1].endswith("The chance of its permits is not known.")
    night = replace(first, way="night", permit_chance=1.0, known_permit_chance=1.0)
    words, why = headline(report.rows, (night,), 0.9)
    assert "with a night out: leave the camp by 10:00." in words
    assert why.endswith("ranks first.")


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
