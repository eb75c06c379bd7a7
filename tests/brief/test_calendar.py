"""The calendar file, read back with the icalendar library: RFC 5545 as others read it."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from functools import cache
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar
from icalendar.cal import Component

from handline.brief import calendar as ours
from handline.brief.calendar import calendar_of
from handline.brief.words import SLOWER_THAN_PLANNED
from handline.day.plan import PROBABILITIES, Plan
from handline.day.planning import make_plan
from handline.quantity import say_clock
from tests.day.permit_trips import CAMP, LINE, WALK_UP, permit_trip
from tests.day.trips import night_trip

DENVER = ZoneInfo("America/Denver")
OPENS_AT = LINE.replace('opens = "1 March"\n', 'opens = "1 March"\nopens_at = "08:00"\n')
ALL = OPENS_AT + WALK_UP + CAMP


@cache
def _plan(more: str = ALL, today: date | None = None) -> Plan:
    return make_plan(permit_trip(more), today=today)


def _events(plan: Plan) -> dict[str, Component]:
    events = Calendar.from_ical(calendar_of(plan)).walk("VEVENT")
    found = {str(event["SUMMARY"]): event for event in events}
    assert len(found) == len(events)
    return found


def _day(plan: Plan) -> Component:
    return _events(plan)[plan.name]


def test_it_is_a_calendar() -> None:
    plan = _plan()
    text = calendar_of(plan)
    calendar = Calendar.from_ical(text)
    assert (calendar["VERSION"], calendar["CALSCALE"]) == ("2.0", "GREGORIAN")
    assert str(calendar["PRODID"]).startswith("-//Handline//")
    assert calendar.errors == []
    for event in calendar.walk("VEVENT"):
        assert event.errors == []
        for key in ("UID", "DTSTAMP", "DTSTART", "SUMMARY", "DESCRIPTION"):
            assert key in event, key
        assert event.walk("VALARM")
        for alarm in event.walk("VALARM"):
            assert alarm["ACTION"] == "DISPLAY"
            assert str(alarm["DESCRIPTION"])
    lines = text.split(b"\r\n")
    assert lines[-1] == b""
    assert b"\n" not in text.replace(b"\r\n", b"")
    assert max(map(len, lines)) <= 75  # section 3.1, octets without the line break


def test_the_day_from_the_start_to_when_nine_in_ten_are_home() -> None:
    plan = _plan()
    event = _day(plan)
    assert event.decoded("DTSTART") == datetime(2027, 7, 17, 6, tzinfo=DENVER)
    assert event.decoded("DTSTART").tzinfo.utcoffset(None) == timedelta(0)
    home_s = plan.timetable[-1].arrive_clock_s[PROBABILITIES.index(0.90)]
    late = event.decoded("DTEND") - datetime(2027, 7, 17, tzinfo=DENVER) - timedelta(seconds=home_s)
    assert timedelta(0) <= late < timedelta(minutes=1)
    assert str(event["LOCATION"]) == "Gate"
    # Nobody typed where the gate lies: no numbers rather than those of the slab.
    assert "GEO" not in event


def test_a_phone_is_led_to_the_trailhead() -> None:
    plan = _plan()
    gate = replace(plan.timetable[0], latitude_deg=46.59, longitude_deg=-113.38)
    event = _day(replace(plan, timetable=(gate, *plan.timetable[1:])))
    assert (str(event["LOCATION"]), event["GEO"].to_ical()) == ("Gate", "46.59;-113.38")


def test_the_day_has_what_a_leader_wants_at_hand() -> None:
    plan = _plan()
    words = str(_day(plan)["DESCRIPTION"])
    for passing in plan.timetable[1:]:
        assert f"{passing.name} ({passing.way}): " in words
    assert "90 % of days, if no storm has begun" in words
    assert SLOWER_THAN_PLANNED in words
    assert plan.decision.headline in words
    assert f"Overdue from {say_clock(plan.contacts.overdue_clock_s)}: {plan.contacts.overdue_says}" in words
    assert "Permit: Line permit, not yet held, checked at Foot." in words
    assert "Camp permit" not in words
    for caution in plan.cautions:
        assert caution in words


def test_every_deadline_in_the_zone_of_the_trip() -> None:
    events = _events(_plan())
    assert set(events) == {
        "Three legs",
        "Line permit: it may be asked for",
        "Line permit: last day to apply",
        "Line permit: the draw is told",
        "Line permit: last day to pay",
        "Line permit: last day to pick it up",
        "Line permit: stand in line",
    }
    # Winter time on 1 March, summer time after: seven hours behind UTC, then six.
    opens = events["Line permit: it may be asked for"].decoded("DTSTART")
    assert (opens, opens.utcoffset()) == (datetime(2027, 3, 1, 15, tzinfo=UTC), timedelta(0))
    assert events["Line permit: last day to apply"].decoded("DTSTART") == datetime(2027, 3, 31, 22, tzinfo=UTC)
    assert events["Line permit: stand in line"].decoded("DTSTART") == datetime(2027, 7, 16, 7, tzinfo=DENVER)
    told = events["Line permit: the draw is told"]
    assert (told.decoded("DTSTART"), told.decoded("DTEND")) == (date(2027, 4, 12), date(2027, 4, 13))
    assert told["DTSTART"].params["VALUE"] == "DATE"
    for name, event in events.items():
        assert (event.get("TRANSP") == "TRANSPARENT") is (name != "Three legs")
    places = {name: str(event["LOCATION"]) for name, event in events.items() if "LOCATION" in event}
    assert places == {
        "Three legs": "Gate",
        "Line permit: stand in line": "the hut",
        "Line permit: last day to pick it up": "the hut",
    }
    paid = str(events["Line permit: last day to pay"]["DESCRIPTION"])
    assert "or it goes to others" in paid
    assert "42.00 USD for your party of 3" in paid


def _triggers(event: Component) -> list[timedelta]:
    return [alarm.decoded("TRIGGER") for alarm in event.walk("VALARM")]


def test_reminders_ahead_of_each() -> None:
    events = _events(_plan())
    whole = _triggers(events["Line permit: the draw is told"])
    start = datetime(2027, 4, 12)
    assert [start + trigger for trigger in whole] == [
        datetime(2027, 4, 5, 9), datetime(2027, 4, 11, 9), datetime(2027, 4, 12, 9),
    ]  # fmt: skip
    timed = _triggers(events["Line permit: last day to apply"])
    assert timed == [timedelta(days=-7), timedelta(days=-1), timedelta(hours=-2)]
    evening = events["Three legs"].decoded("DTSTART") + _triggers(events["Three legs"])[0]
    assert evening == datetime(2027, 7, 16, 18, tzinfo=DENVER)


def test_nothing_of_what_is_past() -> None:
    events = _events(_plan(ALL, date(2027, 4, 10)))
    assert "Line permit: last day to apply" not in events
    # Two days ahead: the reminder of a week is past, those of the day before and the day itself are not.
    assert len(_triggers(events["Line permit: the draw is told"])) == 2
    assert len(_triggers(events["Line permit: last day to pay"])) == 3
    assert set(_events(_plan(ALL, date(2027, 7, 17)))) == {"Three legs"}
    assert len(_triggers(_events(_plan(ALL, date(2027, 7, 16)))["Line permit: stand in line"])) == 1


def test_a_held_permit_has_only_to_be_picked_up() -> None:
    events = _events(_plan(LINE.replace("largest_party = 6", "held = true")))
    assert set(events) == {"Three legs", "Line permit: last day to pick it up"}
    assert "costs" not in str(events["Line permit: last day to pick it up"]["DESCRIPTION"])


def test_a_night_out_begins_the_day_before() -> None:
    event = _day(make_plan(night_trip()))
    assert event.decoded("DTSTART") == datetime(2027, 7, 16, 14, tzinfo=DENVER)
    assert event.decoded("DTEND").astimezone(DENVER).date() == date(2027, 7, 17)
    words = str(event["DESCRIPTION"])
    assert "Set out 14:00 the day before for the night at Camp. Leave 04:30 as planned" in words
    assert event.decoded("DTSTART") + _triggers(event)[0] == datetime(2027, 7, 15, 18, tzinfo=DENVER)


def test_the_same_plan_gives_the_same_bytes() -> None:
    assert calendar_of(_plan()) == calendar_of(make_plan(permit_trip(ALL)))
    assert _day(_plan()).decoded("DTSTAMP") == datetime(2027, 7, 17, tzinfo=UTC)
    assert _day(_plan(ALL, date(2027, 4, 10))).decoded("DTSTAMP") == datetime(2027, 4, 10, tzinfo=UTC)


def test_entries_keep_their_names_when_the_plan_changes() -> None:
    plan, later = _plan(), _plan(ALL, date(2027, 3, 20))
    first = {name: str(event["UID"]) for name, event in _events(plan).items()}
    assert len(set(first.values())) == len(first)
    for name, event in _events(replace(later, party_size=9)).items():
        assert str(event["UID"]) == first[name]
    other = {str(event["UID"]) for event in _events(replace(plan, date="2027-07-18")).values()}
    assert not other & set(first.values())
    # A later version must not double what a calendar has by now.
    assert str(_day(plan)["UID"]) == "48dff2c1-00a9-5dbe-8e37-9fe568ed376a"


def test_two_ways_that_open_are_two_entries() -> None:
    more = LINE + '[[permits.ways]]\nway = "first come"\nopens = "5 May"\n'
    events = Calendar.from_ical(calendar_of(_plan(more))).walk("VEVENT")
    opens = [event for event in events if "it may be asked for" in str(event["SUMMARY"])]
    assert len(opens) == len({str(event["UID"]) for event in opens}) == 2


@pytest.mark.parametrize("name", ["Überschreitung, Grat; »Süd«\\n", "a" * 79, "雪の尾根 " * 10])
def test_any_name_comes_back(name: str) -> None:
    plan = replace(_plan(), name=name)
    event = _day(plan)
    assert str(event["SUMMARY"]) == name


def test_a_guessed_zone_is_as_good() -> None:
    plan = replace(_plan(), zone="Etc/GMT+8", timezone="UTC-8, guessed")
    event = _day(plan)
    assert event.decoded("DTSTART") == datetime(2027, 7, 17, 14, tzinfo=UTC)
    assert "Clock times are UTC-8, guessed." in str(event["DESCRIPTION"])


def test_stated() -> None:
    """Reminders are common practice: whoever moves one moves it here too."""
    assert ours.DAYS_AHEAD == (7, 1)
    assert (
        timedelta(hours=9), timedelta(hours=2), timedelta(hours=6),
    ) == (ours.WHOLE_DAY_REMINDED, ours.BEFORE_A_TIME, ours.EVENING_BEFORE)  # fmt: skip
