"""The permits of a season of dates, against those of a plan of each, and what to act on."""

from __future__ import annotations

import datetime as dt

import pytest

from handline.choose.date_permits import permits_of_dates
from handline.choose.dates import dates_report
from handline.day.on_date import trip_on
from handline.day.permit_planning import permits_together, plan_permits
from handline.trip.model import Trip
from tests.choose.dates_found import SHORT, levels
from tests.choose.season_trips import MONTHS, PERMITS, SEASON, asked, season_report, season_trip


def _held(trip: Trip, date: dt.date) -> Trip:
    permits = tuple(permit.model_copy(update={"held": permit.name == "Line permit"}) for permit in trip.permits)
    about = trip.about.model_copy(update={"date": date})
    return trip.model_copy(update={"permits": permits, "about": about})


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
    assert not [key for key in levels(before) if key.startswith("deadline_past")]
    assert (
        "Apply by 31 March 2027 (in 11 days)"
        in next(f for f in before.findings if f.key == "next:Line permit").sentence
    )
    closed = dates_report(trip, asked(*SHORT, ways="push"), today=dt.date(2027, 4, 3))
    assert levels(closed)["deadline_past:Line permit"] == "heed"
    assert closed.lists == (), "nobody can apply any more"
    told = dates_report(trip, asked(*SHORT, ways="push"), today=dt.date(2027, 5, 1))
    assert all(one.permit_chance == 0.0 for one in told.best if one.raised)


def test_where_no_permit_is_left_it_is_a_stop() -> None:
    trip = season_trip(more=MONTHS + SEASON + PERMITS.replace('needed = { state = "raised" }\n', ""))
    report = dates_report(trip, asked(*SHORT, ways="push"), today=dt.date(2027, 5, 1))
    assert levels(report)["none_permitted"] == "stop"
    assert report.level == "stop"
    assert report.headline == "No permit is left to get."
    assert "permit that can no longer be got" in report.why


def test_a_date_that_can_be_had_goes_before_one_whose_permit_is_gone_though_the_cables_lie() -> None:
    report = dates_report(season_trip(), asked(*SHORT, ways="push"), today=dt.date(2027, 5, 1))
    assert [one.raised for one in report.best] == sorted(one.raised for one in report.best)
    assert not report.best[0].raised
    assert report.why.endswith("The cables lie on the rock then.")
    assert levels(report)["lying"] == "heed"
    assert "none_permitted" not in levels(report)


def test_a_deadline_after_the_date_leaves_the_chance_unknown() -> None:
    """The draw is told on 12 April: of a date in March nobody can say."""
    trip = season_trip(more=MONTHS + PERMITS.replace('needed = { state = "raised" }\n', ""))
    found = permits_of_dates(trip, {dt.date(2027, 3, 20): "raised", dt.date(2027, 6, 20): "raised"}, ("push",), None)
    march, june = found[dt.date(2027, 3, 20), "push"], found[dt.date(2027, 6, 20), "push"]
    assert (march.chance, march.unknown) == (None, ("Line permit",))
    assert "12 April" in march.says
    assert june.chance == pytest.approx(0.1)
