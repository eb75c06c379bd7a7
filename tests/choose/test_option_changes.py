"""Each change is applied to the trip file itself: then the recommendation really is the other one."""

from __future__ import annotations

import pytest

from handline.choose.options import options_report
from handline.choose.options_asked import Asked
from handline.day.planning import simulate
from handline.day.setting import set_up
from tests.choose.option_trips import a_permit, camp_trip

TETHERS = ("two slings", "absorbing lanyard")
HOME = 'home_by = "14:00"'


def _asked(trip):
    return Asked("planned", TETHERS, trip.about.days)


def _report(trip):
    return options_report(trip, _asked(trip))


def _recommended(report):
    """The recommended way, whatever its start."""
    return report.recommended.removesuffix("-other-start")


def _change(report, words):
    return next(change for change in report.changes if change.says.startswith(words))


def test_wanting_more_than_the_way_to_the_camp_allows():
    def trip(chance):
        # The camp is reached before dark on 95 % of days, a home before 14:00 is likelier by far: the night out is
        # recommended, until more is wanted than the walk to the camp allows.
        return camp_trip(night='set_out = "19:15"', limits=f'{HOME}\nchance = "{chance} %"')

    now = _report(trip(90))
    assert now.recommended == "night-raised-absorbing-lanyard"
    change = _change(now, "Wanting")
    assert change.to_key == "push-raised-absorbing-lanyard"
    percent = int(change.says.split()[1])
    assert 91 <= percent <= 99
    assert _recommended(_report(trip(percent))) == change.to_key
    assert _recommended(_report(trip(percent - 1))) == now.recommended
    assert f"leaving at {_started(_report(trip(percent)))}" in change.says
    assert not any(change.says.startswith("If ") and "enough" in change.says for change in now.changes)


def _started(report):
    start_s = next(option.start_clock_s for option in report.options if option.key == report.recommended)
    return f"{int(start_s // 3600):02d}:{int(start_s % 3600 // 60):02d}"


def test_where_nothing_is_recommended_what_would_be_enough():
    def trip(chance):
        # No push is permitted, and the camp is reached before dark on 95 % of days only.
        permit = a_permit("night_out = false", chance="0 %")
        return camp_trip(night='set_out = "19:15"', limits=f'{HOME}\nchance = "{chance} %"', more=permit)

    now = _report(trip(99))
    assert (now.recommended, now.level) == ("", "stop")
    change = _change(now, "If ")
    assert change.to_key == "night-raised-absorbing-lanyard"
    percent = int(change.says.split()[1])
    assert 90 <= percent < 99
    assert _recommended(_report(trip(percent))) == change.to_key
    assert _report(trip(percent + 1)).recommended == ""
    push, night = now.why[0], now.why[2]
    assert push == "One push, line raised, absorbing lanyard (the nearest of 3): its permit cannot be got."
    assert night.startswith("A night out, line raised, absorbing lanyard (the nearest of 2): your limits hold in 95.")
    assert now.findings[0].key == "none_recommended"


def test_a_permit_that_is_not_got():
    def trip(chance):
        return camp_trip(limits=HOME, more=a_permit("night_out = true", chance=chance))

    now = _report(trip("97 %"))
    assert now.recommended == "night-raised-absorbing-lanyard"
    change = _change(now, "Without Line permit: one push")
    assert change.to_key == "push-raised-absorbing-lanyard"
    assert _recommended(_report(trip("0 %"))) == change.to_key


def test_leaving_half_an_hour_later():
    def trip(start="05:00"):
        permit = a_permit("night_out = true", chance="60 %")
        return camp_trip(start=start, limits=HOME, more=permit)

    now = _report(trip())
    assert now.recommended == "push-raised-absorbing-lanyard"
    change = _change(now, "Leaving 30 min later")
    assert change.to_key == "night-raised-absorbing-lanyard"
    # The party as it would leave then, by the plan's own simulation: the push fails, the night out does not.
    kept = simulate(set_up(trip("05:30"))).kept["all"]
    assert kept.mean() < 0.9
    night = camp_trip(out=True, night='start = "05:30"', limits=HOME)
    assert simulate(set_up(night)).kept["all"].mean() >= 0.9


def test_wet_rock():
    def trip(rock):
        # Wet, the absorber brakes harder than this limit on a body.
        return camp_trip(limits=HOME, weather=f'rock = "{rock}"')

    now = _report(trip("dry"))
    change = _change(now, "On wet rock no way of doing it is recommended: a slip usually slides")
    assert change.to_key == ""
    assert "over your limit of 6.0 kN on a body" in change.says
    assert _report(trip("wet")).recommended == ""
    # With a higher limit wet rock changes nothing, and the notes say so.
    strong = camp_trip(limits='body_force = "8 kN"\nhome_by = "16:00"')
    assert not any("wet rock" in change.says for change in _report(strong).changes)
    assert "wet rock" in _report(strong).notes[0]
    assert _report(camp_trip(limits='body_force = "8 kN"\nhome_by = "16:00"', weather='rock = "wet"')).recommended


@pytest.mark.parametrize(("date", "state"), [("2027-07-17", "lowered"), ("2027-05-17", "raised")])
def test_the_line_in_its_other_state(date, state):
    now = _report(camp_trip(date=date, limits=HOME))
    change = _change(now, f"If the line were {state} that day")
    turned = camp_trip(date=date, limits=HOME, line=f'state = "{state}"')
    assert _recommended(_report(turned)) == change.to_key
    assert bool(change.to_key) == (state == "raised")


def test_what_changes_nothing_is_said_to_change_nothing():
    report = _report(camp_trip(limits='home_by = "20:00"\nbody_force = "8 kN"'))
    told = report.notes[0]
    assert (
        told == "Turned over without another recommendation: another wanted chance, leaving 30 min later and wet rock."
    )
    assert [change.says.split(" that day")[0] for change in report.changes] == ["If the line were lowered"]
