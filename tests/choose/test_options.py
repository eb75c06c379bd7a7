"""The whole report: which ways stand beside each other, what is best, what is recommended, and what is said."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path
from types import SimpleNamespace

import pytest

from handline.choose import options
from handline.choose.options import options_report
from handline.choose.options_asked import Asked, asked_options
from handline.choose.pareto import beaten_by, steps_behind
from handline.choose.what_counts import WHAT_COUNTS, counted
from handline.day.chance_planning import NEAR_LATEST_S
from handline.day.file_checks import subject_problems
from handline.day.plan_json import result_json
from handline.day.planning import make_plan
from handline.errors import InputError, TripError
from handline.trip.reading import read_trip
from tests.choose.option_trips import a_permit, an_option, camp_trip
from tests.day.trips import typed_trip

PETREL = Path(__file__).parents[2] / "examples" / "petrel-slab" / "trip.toml"
FEW = ("one sling", "two slings", "absorbing lanyard")


def _asked(dates="planned", tethers=("two slings", "absorbing lanyard")):
    return Asked(dates, tethers, 300)


def _texts(report):
    """Everything a reader may see."""
    yield from (report.headline, report.dates_say, report.sides_say, *report.why, *report.notes, *report.cautions)
    yield from (change.says for change in report.changes)
    for side in report.sides:
        yield from (side.what, side.raised, side.lowered)
    for finding in report.findings:
        yield from (finding.sentence, finding.detail)
    for option in report.options:
        yield from (option.title, option.sentence, option.called_out, *option.against)


@pytest.fixture(scope="module")
def by_the_camp():
    return options_report(camp_trip(storm=True, limits='home_by = "14:00"'), _asked(tethers=FEW))


def test_every_way_state_and_tether_stands_there_once(by_the_camp):
    found = {(option.way, option.state, option.tether) for option in by_the_camp.options}
    assert found == {(w, s, t) for w in ("push", "night") for s in ("raised", "lowered") for t in FEW}
    keys = [option.key for option in by_the_camp.options]
    assert len(keys) == len(set(keys)) == len(found)
    assert [option.key for option in by_the_camp.options if option.as_planned] == ["push-raised-absorbing-lanyard"]
    assert {option.state for option in by_the_camp.options if option.state_on_date} == {"raised"}
    assert by_the_camp.dates_say.startswith("All on 17 July 2027, as planned: the line is raised that day (stands from")


def test_the_same_gives_the_same(by_the_camp):
    again = options_report(camp_trip(storm=True, limits='home_by = "14:00"'), _asked(tethers=FEW))
    assert result_json(again) == result_json(by_the_camp)


def test_as_planned_stands_there_with_another_start_where_it_misses_the_wanted_chance():
    trip = camp_trip(storm=True, limits='home_by = "13:00"')
    report = options_report(trip, _asked())
    plan = make_plan(trip.model_copy(update={"about": trip.about.model_copy(update={"days": 300})}))
    planned, other = (option for option in report.options if option.key.startswith("push-raised-absorbing"))
    assert (planned.as_planned, other.as_planned) == (True, False)
    assert other.key == f"{planned.key}-other-start"
    assert planned.chance == next(chance.share for chance in plan.chances if chance.key == "all") < 0.9
    assert planned.start_clock_s == trip.about.start_clock_s
    # The plan tells its last start to the minute; here it is one of the sweep's own.
    assert abs(other.start_clock_s - plan.turned.starts.window_clock_s[1]) <= NEAR_LATEST_S
    assert max(other.start_clock_s, plan.turned.starts.window_clock_s[1]) < planned.start_clock_s
    assert other.chance >= 0.9
    (finding,) = (finding for finding in report.findings if finding.key == "as_planned")
    assert finding.sentence == f"As planned: {planned.against[0]}."
    assert report.recommended.startswith("night"), "it may leave later than the push"


def test_what_is_best_is_beaten_by_nothing_that_can_be_done(by_the_camp):
    can = [option for option in by_the_camp.options if option.state_on_date]
    entries = WHAT_COUNTS.values()
    behind = steps_behind(counted(can), [e.more_is_better for e in entries], [e.least for e in entries])
    for option, by in zip(can, beaten_by(behind), strict=True):
        assert option.best == (by is None)
        assert option.beaten_by == ("" if by is None else can[by].key)
    compared = [option for option in by_the_camp.options if not option.state_on_date]
    assert compared
    by_key = {option.key: option for option in can}
    for option in compared:
        assert not option.best
        assert option.beaten_by == "" or by_key[option.beaten_by].best


def test_what_is_only_there_to_compare_is_never_best_and_beats_nothing():
    trip = camp_trip(storm=True, limits='home_by = "14:00"')
    options = options_report(trip, _asked(tethers=("friction hitch", "absorbing lanyard"))).options
    entries = WHAT_COUNTS.values()
    directions, least = [e.more_is_better for e in entries], [e.least for e in entries]
    behind = dict(zip((o.key for o in options), steps_behind(counted(options), directions, least), strict=True))
    can = [option for option in options if option.state_on_date]
    unbeaten = 0
    for option in (option for option in options if not option.state_on_date):
        # Against each that can be done, one by one.
        beaters = [
            one.key
            for one in can
            if one.best
            and (behind[one.key] <= behind[option.key]).all()
            and (behind[one.key] < behind[option.key]).any()
        ]
        assert not option.best
        assert option.beaten_by == (beaters[0] if beaters else "")
        unbeaten += not beaters
    assert unbeaten, "a lowered line is passed with fewer changeovers, so that less of the way up is untied"


def test_what_counts_points_the_right_way():
    good = an_option()
    worse = {
        "chance": {"chance": 0.93}, "permits": {"permit_chance": 0.95}, "slide": {"slide_m": (2.0, 4.5)},
        "force": {"force_N": (4000.0, 6000.0)}, "not_stopped": {"not_stopped_share": 0.08},
        "day": {"day_s": good.day_s + 900.0}, "pack": {"pack_kg": (7.0, 8.0, 9.0)}, "untied": {"untied_s": 60.0},
    }  # fmt: skip
    assert set(worse) == set(WHAT_COUNTS)
    entries = list(WHAT_COUNTS.values())
    for key, told in worse.items():
        behind = steps_behind(
            counted([good, an_option(**told)]), [e.more_is_better for e in entries], [e.least for e in entries]
        )
        expected = [float(entry.key == key) for entry in entries]
        assert behind.tolist() == [[0.0] * len(entries), expected], "a whole smallest difference worse, in this alone"
    nothing = an_option(slide_m=(50.0, 90.0), force_N=(float("nan"), float("nan")))
    assert WHAT_COUNTS["force"].value(nothing) == float("inf")
    assert WHAT_COUNTS["force"].value(an_option(slide_m=(0.0, 0.0), force_N=(float("nan"),) * 2)) == 0.0


def test_the_reasons_have_the_numbers(by_the_camp):
    best = next(option for option in by_the_camp.options if option.key == by_the_camp.recommended)
    assert by_the_camp.headline == "A night out, line raised, absorbing lanyard, leaving from the camp at 05:00."
    assert by_the_camp.why[0].startswith("All your limits hold in over 99 %")
    assert "you asked for 90 %, and the latest start that meets the wanted chance is" in by_the_camp.why[0]
    assert by_the_camp.why[1] == f"{best.tether_title}. {best.sentence}"
    assert by_the_camp.why[3].startswith("Of 12 ways side by side 6 can be done on their date, and 2 of those meet")
    assert by_the_camp.why[4].startswith("Next comes one push, line raised, absorbing lanyard: leaving at 05:00, with")
    assert not best.against
    assert all(option.against for option in by_the_camp.options if option.tether in ("one sling", "two slings"))


def test_raised_and_lowered_are_told_on_both_sides(by_the_camp):
    sides = {side.what: side for side in by_the_camp.sides}
    raised, lowered = (
        next(o for o in by_the_camp.options if (o.way, o.state, o.tether) == ("push", state, "absorbing lanyard"))
        for state in ("raised", "lowered")
    )
    assert by_the_camp.sides_say == "Raised: leaving at 05:00; lowered: leaving at 04:50."
    assert "leaving" not in sides["All limits kept"].raised, "the starts are told at the head"
    assert sides["Changeovers, one way"].raised == f"{raised.changeovers}"
    assert sides["Changeovers, one way"].speaks_for == "lowered"
    assert sides["Slide at worst"].speaks_for == sides["Slips not stopped within your limit"].speaks_for == "raised"
    assert "29 m" in sides["Slide at worst"].lowered
    assert lowered.slide_m[1] == pytest.approx(29.0, abs=0.5)
    assert sides["Permits"].speaks_for == sides["Hardest pull on the hands"].speaks_for == ""
    assert "only to compare" in sides["On"].lowered
    assert {"raised", "lowered"} <= {side.speaks_for for side in by_the_camp.sides}
    (care,) = (finding for finding in by_the_camp.findings if finding.key == "lowered_care")
    assert care.level == "heed"
    assert "25 m apart at most" in care.sentence
    assert "The land manager's rules come first" in care.sentence


def test_out_of_season_the_lowered_line_can_be_the_one_to_go_on():
    # Anchors as near as stanchions, and a permit only while it is raised.
    trip = camp_trip(date="2027-05-17", storm=True, limits='body_force = "8 kN"', more=a_permit('state = "raised"'))
    line = trip.line.model_copy(update={"anchors_m": tuple(float(at_m) for at_m in range(0, 101, 4))})
    report = options_report(trip.model_copy(update={"line": line}), _asked())
    assert report.recommended == "night-lowered-absorbing-lanyard"
    permits = next(side for side in report.sides if side.what == "Permits")
    assert (permits.lowered, permits.speaks_for) == ("no permit is needed", "lowered")
    assert permits.raised == "Line permit needed, got with a chance of 50 %: in person: as typed"


def test_without_a_camp_only_the_push_is_there_and_it_says_why():
    report = options_report(typed_trip(days=400, limits='home_by = "20:00"'), _asked())
    assert {option.way for option in report.options} == {"push"}
    assert any(note.startswith("No night out is set beside the push. No waypoint is a camp") for note in report.notes)


def test_without_a_season_it_counts_as_standing():
    report = options_report(typed_trip(days=400, limits='home_by = "20:00"'), _asked())
    assert {option.state for option in report.options if option.state_on_date} == {"raised"}
    assert "no season is typed, so it counts as standing" in report.dates_say
    assert "line_state_guessed" not in {finding.key for finding in report.findings}
    typed = options_report(typed_trip(days=400, line='state = "lowered"'), _asked())
    assert {option.state for option in typed.options if option.state_on_date} == {"lowered"}
    assert "as typed in the trip file" in typed.dates_say


def test_without_any_limit_every_start_keeps_them():
    limits = "off_line_before_storm = false\nhome_before_dark = false"
    report = options_report(typed_trip(days=400, limits=limits), _asked())
    for option in report.options:
        assert (option.chance, option.error, option.goes_on) == (1.0, 0.0, (True, True))
    assert "any later start that was looked at meets the wanted chance too" in report.why[0]


def test_a_single_clamped_cable_has_one_state_and_needs_no_permit():
    trip = read_trip(PETREL, subject_problems)
    report = options_report(trip, _asked())
    assert {(option.way, option.state) for option in report.options} == {("push", "raised")}
    assert (report.sides, report.sides_say) == ((), "")
    assert {option.permit_chance for option in report.options} == {1.0}
    assert "The cable is held by anchors alone: raised is its only state here." in report.notes
    assert "lowered_care" not in {finding.key for finding in report.findings}
    assert report.recommended == "push-raised-absorbing-lanyard"
    assert not any("other state" in note or "lowered" in note for note in report.notes if "Turned over" in note)


def test_a_plan_with_a_night_out_is_the_planned_one():
    trip = camp_trip(out=True, storm=True, days=300)
    report = options_report(trip, _asked())
    (planned,) = (option for option in report.options if option.as_planned)
    assert planned.way == "night"
    assert planned.chance == next(c.share for c in make_plan(trip).chances if c.key == "all")


def test_typed_packs_of_a_night_out_are_told_to_be_too_light():
    report = options_report(camp_trip(storm=True), _asked(tethers=("absorbing lanyard",)))
    assert any("No piece of gear is for the night" in note for note in report.notes)


def test_another_date():
    report = options_report(camp_trip(storm=True), _asked(dates=dt.date(2027, 5, 17)))
    assert not any(option.as_planned for option in report.options)
    assert {option.date for option in report.options} == {"2027-05-17"}
    assert report.dates_say.startswith("All on 17 May 2027: the line is lowered that day (stands only from 1 June")


def test_what_needs_a_permit_of_which_nothing_is_said_comes_last_and_that_is_told():
    untold = a_permit("night_out = true").replace('chance = "50 %"\n', "")
    report = options_report(camp_trip(storm=True, limits='home_by = "14:00"', more=untold), _asked())
    assert report.recommended == "push-raised-absorbing-lanyard"
    (finding,) = (finding for finding in report.findings if finding.key == "permits_unknown")
    assert finding.sentence.startswith(
        "Nothing is said of the chance of Line permit: what needs it is recommended only"
    )
    assert "nothing is said of the chance of Line permit" in report.why[-1]
    (change,) = (change for change in report.changes if change.says.startswith("With Line permit in hand: a night out"))
    assert change.to_key == "night-raised-absorbing-lanyard"
    held = untold.replace("held = false", "held = true")
    again = options_report(camp_trip(storm=True, limits='home_by = "14:00"', more=held), _asked())
    assert again.recommended == change.to_key


def test_a_permit_that_no_way_is_left_to_get():
    permit = a_permit("night_out = true").replace("chance", "days_before = 1\nchance")
    trip = camp_trip(storm=True, limits='home_by = "14:00"', more=permit)
    report = options_report(trip, _asked(), today=dt.date(2027, 7, 17))
    assert report.recommended.startswith("push")
    night = next(option for option in report.options if option.key == "night-raised-absorbing-lanyard")
    assert night.permit_chance == 0.0
    assert night.against[0].startswith("permit not held, and no way to get it is left")


def test_where_none_is_recommended_the_page_says_stop_and_why():
    report = options_report(camp_trip(date="2027-05-17", storm=True), _asked())
    assert (report.recommended, report.level) == ("", "stop")
    assert report.headline == "No way of doing it meets what you stated."
    *fails, order = report.why
    assert len(fails) == 4, "each way and state once"
    assert order.startswith("Nearest means, of each way, least grave for life: first a tether that stops a slip")
    for words, state in zip(fails, ("lowered", "raised", "lowered", "raised"), strict=True):
        assert f"line {state}" in words
        assert ("it would pass for protection" in words) == (state == "lowered")
        assert ("Nothing better is among these 2" in words) == (state == "lowered")
        assert ("the line is not raised on 17 May 2027" in words) == (state == "raised")


def test_a_closed_date_is_refused_at_its_key():
    closed = camp_trip(storm=True).season.model_copy(update={"open": ("1 June to 30 September",)})
    trip = camp_trip(storm=True).model_copy(update={"season": closed})
    with pytest.raises(TripError) as refused:
        options_report(trip, _asked(dates=dt.date(2027, 5, 17)))
    assert [problem.key for problem in refused.value.problems] == ["trip.date"]


def test_each_way_on_its_best_date(monkeypatch):
    import handline.choose.dates as dates

    def way(name, value):
        return SimpleNamespace(
            way=name,
            value_chance=value,
            window_clock_s=(0.0, 1.0),
            start_clock_s=0.0,
            start_chance=1.0,
            permits_unknown=(),
        )

    def row(date, raised, *ways):
        return SimpleNamespace(date=date, raised=raised, closed=False, past=False, worth=1.0, ways=ways)

    season = SimpleNamespace(
        ways=("push", "night"),
        rows=(
            row("2027-05-30", False, way("push", 0.9), way("night", 0.8)),
            row("2027-06-05", True, way("push", 0.9), way("night", 0.8)),
            row("2027-07-17", True, way("push", 0.8), way("night", 0.9)),
        ),
    )
    monkeypatch.setattr(dates, "dates_report", lambda trip, told, today: season)
    report = options_report(camp_trip(storm=True), _asked(dates="best"))
    found = {(option.way, option.state): option.date for option in report.options}
    assert found == {
        ("push", "raised"): "2027-06-05", ("push", "lowered"): "2027-05-30",
        ("night", "raised"): "2027-07-17", ("night", "lowered"): "2027-05-30",
    }  # fmt: skip
    assert all(option.state_on_date for option in report.options)
    assert "on 17 July 2027, line raised" in report.headline
    assert report.dates_say == options.ON_BEST_DAYS
    season.rows = ()
    with pytest.raises(InputError, match="no date of the season is left"):
        options_report(camp_trip(storm=True), _asked(dates="best"))


def test_days_and_seed_are_those_that_were_asked():
    trip = camp_trip(storm=True, seed=5)
    report = options_report(trip, asked_options(trip, None, "absorbing lanyard", "300"))
    assert (report.days, report.seed, report.version != "") == (300, 5, True)
    assert all(option.error > 0.0 for option in report.options if 0.0 < option.chance < 1.0)


def test_progress_is_told_and_can_stop_the_work():
    told = []
    options_report(
        camp_trip(), _asked(tethers=("absorbing lanyard",)), told=lambda what, share: told.append((what, share))
    )
    assert {"Reading the way", "Setting up one push", "Simulating days", "Turning things over"} <= {w for w, _ in told}
    assert all(0.0 <= share <= 1.0 for _, share in told)

    def stop(what, share):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        options_report(camp_trip(), _asked(), told=stop)


def test_nothing_is_ever_called_safe(by_the_camp):
    for text in _texts(by_the_camp):
        assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
