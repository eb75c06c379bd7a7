"""The permits of the Plan: needed and why, what to do next, deadlines as seen from a day, the chance that is left."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from handline.day.permit_planning import chance_on, permits_together, plan_permits
from handline.day.permit_setting import permit_rules, permits_on
from handline.day.plan import Permit
from handline.day.plan_json import plan_json
from handline.day.planning import make_plan
from handline.season.draw_chances import walk_up
from handline.trip.model import Trip
from tests.day.permit_trips import CAMP, LINE, WALK_UP, permit_trip

NIGHT = "\n[night]\nout = true\n"


def _permits(more: str = LINE + WALK_UP + CAMP, today: date | None = None, state: str = "raised") -> dict[str, Permit]:
    return {permit.name: permit for permit in plan_permits(permit_trip(more), state, today)}


def _line(today: date | None = None, more: str = LINE + WALK_UP) -> Permit:
    return _permits(more, today)["Line permit"]


def test_needed_and_why() -> None:
    found = _permits()
    assert [(permit.needed, permit.why) for permit in found.values()] == [
        (True, "Needed from 1 June to last Sunday of September, while the cables stand."),
        (False, "Only for a night out."),
    ]
    lying = _permits(state="lowered")["Line permit"]
    assert (lying.needed, lying.why) == (False, "Only while the cables stand.")
    assert (lying.ways, lying.deadlines, lying.chance, lying.next) == ((), (), None, ())
    others = {
        "": "Needed on any day.",
        "needed = { size_from = 4 }": "Only for parties of 4 or more.",
        "needed = { size_from = 2, size_to = 4 }": "Needed for parties of 2 to 4.",
        "needed = { size_to = 4 }": "Needed for parties of up to 4.",
        "needed = { size_to = 3 }": "Needed for parties of up to 3.",
        "needed = { size_from = 3 }": "Needed for parties of 3 or more.",
        "needed = { night_out = false }": "Needed without a night out.",
        'needed = { state = "lowered" }': "Only while the cables lie on the rock.",
        'needed = { periods = ["1 May to 1 June", "1 August to 1 September"] }':
            "Only from 1 May to 1 June or from 1 August to 1 September.",
        'needed = { periods = ["29 February to 1 June"], night_out = true }':
            "Only from 29 February to 1 June, for a night out.",
    }  # fmt: skip
    for keys, why in others.items():
        assert _permits(f'\n[[permits]]\nname = "P"\n{keys}\n')["P"].why == why


def test_a_permit_that_another_is_given_with() -> None:
    more = LINE.replace('pick_up_at = "the hut"', 'needs = ["Camp permit"]') + CAMP
    camp = _permits(more)["Camp permit"]
    assert (camp.needed, camp.why) == (True, "Given together with Line permit.")


def test_a_night_out_needs_the_camp() -> None:
    found = _permits(LINE + WALK_UP + CAMP + NIGHT + '[[waypoints]]\nname = "Gate"\nkind = "camp"\n')
    assert [permit.needed for permit in found.values()] == [True, True]
    assert found["Camp permit"].why == "Needed for a night out."
    assert found["Camp permit"].ways == ("Who asks first gets it, from 8 April 2027 at 08:00 on.",)


def test_how_to_get_it_and_what_it_costs() -> None:
    line = _line()
    assert line.ways == (
        "By draw: apply from 1 March 2027 to 31 March 2027 at 16:00; the result is told on 12 April 2027.",
        "In person at the hut: 16 July 2027 at 07:00.",
    )
    assert line.fee == (
        "12.00 USD per person and 6.00 USD per application: 42.00 USD for your party of 3, with one application."
    )
    choices = LINE.replace("result =", "date_choices = 3\napplications_per_party = 2\nresult =")
    assert (
        _line(more=choices)
        .ways[0]
        .endswith("An application names up to 3 dates, best first. Your party may hand in 2 applications.")
    )
    euros = LINE.replace('currency = "USD", per = "application"', 'currency = "EUR", per = "party"')
    assert _line(more=euros).fee.endswith(": 36.00 USD and 6.00 EUR for your party of 3.")


@pytest.mark.parametrize(
    ("today", "steps", "gone"),
    [
        (None, ("Apply from 1 March 2027 to 31 March 2027 at 16:00.",
                "Failing that, stand in line at the hut on 16 July 2027 at 07:00."), False),
        (date(2027, 2, 27), ("Apply from 1 March 2027 (in 2 days) to 31 March 2027 at 16:00.",
                             "Failing that, stand in line at the hut on 16 July 2027 at 07:00 (in 139 days)."), False),
        (date(2027, 3, 1), ("Apply by 31 March 2027 at 16:00 (in 30 days).",
                            "Failing that, stand in line at the hut on 16 July 2027 at 07:00 (in 137 days)."), False),
        (date(2027, 3, 31), ("Apply by 31 March 2027 at 16:00 (today).",
                             "Failing that, stand in line at the hut on 16 July 2027 at 07:00 (in 107 days)."), False),
        (date(2027, 4, 1), ("If you applied, look the draw up on 12 April 2027 (in 11 days).",
                            "Failing that, stand in line at the hut on 16 July 2027 at 07:00 (in 106 days)."), False),
        (date(2027, 4, 12), ("If you applied, look the draw up on 12 April 2027 (today).",
                             "Failing that, stand in line at the hut on 16 July 2027 at 07:00 (in 95 days)."), False),
        (date(2027, 4, 22), ("If you were drawn, pay by 22 April 2027 (today).",
                             "Failing that, stand in line at the hut on 16 July 2027 at 07:00 (in 85 days)."), False),
        (date(2027, 4, 13), ("If you were drawn, pay by 22 April 2027 (in 9 days).",
                             "Failing that, stand in line at the hut on 16 July 2027 at 07:00 (in 94 days)."), False),
        (date(2027, 4, 23), ("Stand in line at the hut on 16 July 2027 at 07:00 (in 84 days).",), False),
        (date(2027, 7, 16), ("Stand in line at the hut on 16 July 2027 at 07:00 (today).",), False),
        (date(2027, 7, 17), (), True),
    ],
)  # fmt: skip
def test_what_to_do_next(today: date | None, steps: tuple[str, ...], gone: bool) -> None:
    line = _line(today)
    assert (line.next, line.gone) == (steps, gone)


def test_first_come_stays_open_until_the_day() -> None:
    camp = CAMP.replace("needed = { night_out = true }", "")
    told = {today: _permits(camp, today)["Camp permit"] for today in
            (date(2027, 4, 7), date(2027, 4, 8), date(2027, 4, 9), date(2027, 7, 17), date(2027, 7, 18))}  # fmt: skip
    assert [permit.next for permit in told.values()] == [
        ("Ask for it from 8 April 2027 at 08:00 (in 1 day).",),
        ("Ask for it from 8 April 2027 at 08:00 (today).",),
        ("Ask for it now, it has been open since 8 April 2027.",),
        ("Ask for it now, it has been open since 8 April 2027.",),
        (),
    ]
    assert [permit.gone for permit in told.values()] == [False, False, False, False, True]


def test_deadlines_without_a_day_are_neither_past_nor_far() -> None:
    assert {(one.days_left, one.past, one.missed) for one in _line().deadlines} == {(None, None, False)}


def test_deadlines_as_seen_from_a_day() -> None:
    seen = {one.what: one for one in _line(date(2027, 4, 1)).deadlines}
    assert [*seen] == ["opens", "closes", "result", "pay by", "walk-up", "pick up"]
    assert [one.date for one in seen.values()] == [
        "2027-03-01", "2027-03-31", "2027-04-12", "2027-04-22", "2027-07-16", "2027-07-16",
    ]  # fmt: skip
    assert [one.days_left for one in seen.values()] == [-31, -1, 11, 21, 106, 106]
    assert [one.past for one in seen.values()] == [True, True, False, False, False, False]
    assert [one.missed for one in seen.values()] == [False, True, False, False, False, False]
    assert (seen["closes"].clock_s, seen["result"].clock_s) == (16 * 3600.0, None)


def test_a_permit_that_is_held_has_only_to_be_picked_up() -> None:
    line = _line(date(2027, 7, 1), LINE.replace("largest_party = 6", "held = true"))
    assert [one.what for one in line.deadlines] == ["pick up"]
    assert (line.next, line.chance, line.gone) == (
        ("Pick it up at the hut by 16 July 2027 (in 15 days).",),
        None,
        False,
    )
    on_the_day = _line(date(2027, 7, 16), LINE.replace("largest_party = 6", "held = true"))
    assert on_the_day.next == ("Pick it up at the hut by 16 July 2027 (today).",)
    after = _line(date(2027, 7, 17), LINE.replace("largest_party = 6", "held = true"))
    assert (after.next, after.gone) == ((), False)
    assert after.deadlines[0].missed


def test_the_chance_is_that_of_what_is_still_ahead() -> None:
    in_line = float(walk_up(8, 10, 3, 2).chance)
    whole, told, last, over = (
        _line(day).chance for day in (None, date(2027, 4, 13), date(2027, 7, 16), date(2027, 7, 17))
    )
    assert whole is not None
    assert told is not None
    assert last is not None
    assert over is not None
    assert whole.share > told.share == last.share == pytest.approx(in_line)
    assert over.share == 0.0
    assert over.says == "No way is left"
    alone = _line(date(2027, 4, 13), LINE).chance
    assert alone is None  # drawn or not: the party knows, and has to pay


def test_together() -> None:
    camp = CAMP.replace("needed = { night_out = true }", "").replace(
        'opens_at = "08:00"', 'opens_at = "08:00", chance = 0.5'
    )
    permits = plan_permits(permit_trip(LINE + camp), "raised")
    both = permits_together(permits)
    assert both is not None
    assert permits[0].chance is not None
    assert both.share == pytest.approx(0.5 * permits[0].chance.share)
    assert permits_together(plan_permits(permit_trip(CAMP), "raised")) is None
    held = plan_permits(permit_trip(LINE.replace("largest_party = 6", "held = true") + camp), "raised")
    assert permits_together(held) == held[1].chance


def _chance_on(trip: Trip, day: date, size: int = 3, state: str = "raised") -> float | None:
    found = chance_on(trip, permits_on(permit_rules(trip), day, state, False, size))  # type: ignore[arg-type]
    return None if found is None else found.share


def test_the_chance_on_other_dates() -> None:
    held = permit_trip(LINE.replace("largest_party = 6", "held = true\nlargest_party = 6"))
    july = held.about.date
    assert _chance_on(held, july) == 1.0
    assert _chance_on(held, date(2027, 10, 20)) == 1.0
    assert _chance_on(held, july, state="lowered") == 1.0
    other = _chance_on(held, july + timedelta(days=1))
    assert other is not None
    assert 0.0 < other < 1.0
    assert _chance_on(held, july + timedelta(days=1), size=7) == 0.0
    unsaid = permit_trip(LINE.replace("applicants", "rates = [] #"))
    assert _chance_on(unsaid, july) is None
    late = permit_trip(LINE.replace('"1 June to', '"1 April to'))
    assert _chance_on(late, date(2027, 4, 5)) is None  # before the result is told


def test_the_plan_is_the_same_whatever_the_day_unless_it_is_told() -> None:
    trip = permit_trip()
    plain, again = make_plan(trip), make_plan(trip)
    assert plan_json(plain) == plan_json(again)
    assert plain.provenance.today is None
    seen = make_plan(trip, today=date(2027, 4, 1))
    assert seen.provenance.today == "2027-04-01"
    assert seen.permits[0].deadlines[1].days_left == -1
    assert seen.timetable == plain.timetable
    assert seen.permits_together == plain.permits_together
    assert plan_json(seen) == plan_json(make_plan(trip, today=date(2027, 4, 1)))
    assert (plain.zone, plain.timezone) == ("America/Denver", "America/Denver")
