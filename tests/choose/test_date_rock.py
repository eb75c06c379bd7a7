"""The rock of the date that is recommended: told beside it, and a stop where a plan would stop for it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from handline.choose.date_ranks import headline
from handline.choose.date_rock import best_rock, date_level, most_iced, rock_words
from handline.choose.dates import dates_report
from handline.choose.dates_report import BestDate, RockFrom
from handline.day import rock_setting, weather_findings
from tests.choose.dates_found import levels
from tests.choose.season_trips import COLD, asked, season_report, season_trip

REPORT = season_report()
START_S = 36_000.0
DRY = RockFrom(START_S, 0.0, 0.0, 0.0)


def _rock(iced: float, wet: float = 0.0, not_dry: float = 0.0, start_clock_s: float = START_S) -> RockFrom:
    return RockFrom(start_clock_s, iced, max(iced, wet), max(iced, wet, not_dry))


def _best(rock: RockFrom = DRY, planned: RockFrom | None = None, iciest: RockFrom | None = None) -> BestDate:
    return replace(REPORT.best[0], rock=rock, planned_rock=planned, iciest_rock=iciest or rock)


def _says(*best: BestDate) -> str:
    (finding,) = best_rock(best)
    return finding.sentence


@pytest.mark.parametrize(
    ("rock", "says"),
    [
        (_rock(0.22, 0.66, 0.98), "iced on 22 %, wet or iced on 66 %, not dry on 98 % of days"),
        (_rock(0.05, 0.05, 0.10), "iced on 5 %, not dry on 10 % of days"),
        (_rock(0.0, 0.4, 0.4), "wet on 40 % of days"),
        (_rock(0.0, 0.0, 0.1), "not dry on 10 % of days"),
        (_rock(1.0), "iced on over 99 % of days"),
        (DRY, "not dry on under 1 % of days"),
    ],
)
def test_each_share_is_told_once(rock, says):
    assert rock_words(rock) == says


@pytest.mark.parametrize(
    ("one", "level"),
    [
        (_best(), "note"),
        (_best(_rock(0.0199, 0.0, 0.0999)), "note"),
        (_best(_rock(0.02)), "heed"),
        (_best(_rock(0.0, 0.0, 0.10)), "heed"),
        (_best(_rock(0.0999)), "heed"),
        (_best(_rock(0.10)), "stop"),
        (_best(planned=_rock(0.10)), "stop"),
        (_best(planned=_rock(0.02)), "heed"),
        (_best(iciest=_rock(0.5)), "heed"),
    ],
)
def test_the_level_is_that_of_a_plan(one, level):
    assert date_level(one) == level
    assert [found.level for found in best_rock([one])] == ([] if level == "note" else [level])
    assert (rock_setting.COUNTS_FROM_SHARE, weather_findings.ICE_COUNTS_FROM) == (0.10, 0.02)


def test_the_finding_names_the_starts_it_speaks_of():
    one = _best(_rock(0.05, 0.44), _rock(0.20, 0.53, 0.98, 18_000.0), _rock(0.22, 0.5, 0.97, 22_800.0))
    assert _says(one) == (
        "31 May 2027 in one push, starting at 10:00: on tying on the rock is iced on 5 %, wet or iced on 44 % of days, "
        "the worse of up and down. From the planned start, 05:00: iced on 20 %, wet or iced on 53 %, not dry on 98 % "
        "of days. The most ice, from 06:20: iced on 22 %, wet or iced on 50 %, not dry on 97 % of days. On ice soles "
        "hold almost nothing: wait until it is gone, or go another day."
    )
    assert most_iced(one) == 0.20
    # The planned start is not told twice, nor where others find no more ice than those named.
    alone = _best(_rock(0.05), _rock(0.05), _rock(0.05, 0.1, 0.1, 30_000.0))
    assert _says(alone).endswith("iced on 5 % of days, the worse of up and down.")
    night = replace(alone, way="night")
    assert _says(night).startswith("31 May 2027 with a night out, leaving the camp at 10:00: on tying on")


def test_where_it_stops_it_says_where_else_to_look():
    iced = _best(_rock(0.3))
    other = replace(_best(_rock(0.05)), date="2027-06-03", way="night")
    assert _says(iced, iced, other).endswith(
        "The next of the best dates on which ice is no reason to stop: 3 June 2027 with a night out."
    )
    assert _says(iced, iced).endswith("On each of the other best dates ice is a reason to stop too.")
    assert "reason to stop" not in _says(other, iced)


def test_an_iced_date_is_not_said_to_be_one_to_leave_on():
    says, why = headline(REPORT.rows, (_best(_rock(0.3), _rock(0.22)),), 0.9)
    assert says == "Monday 31 May 2027, in one push: the rock is iced on 30 % of days."
    assert "this one ranks first: start by 10:00. But your limits say nothing of the rock." in why
    says, _ = headline(REPORT.rows, (_best(_rock(0.0999)),), 0.9)
    assert says == "Monday 31 May 2027, in one push: start by 10:00."


def test_a_season_of_frost_is_a_stop():
    trip = season_trip(more=COLD)
    trip = trip.model_copy(update={"weather": trip.weather.model_copy(update={"rock": None})})
    day = dt.date(2027, 7, 5)
    # Home early: no start that meets it is late enough for the ice to be gone.
    limits = trip.limits.model_copy(update={"home_by_clock_s": 13.0 * 3600.0})
    report = dates_report(trip.model_copy(update={"limits": limits}), asked(day, day, ways="push"))
    assert report.best[0].meets
    assert report.best[0].rock.iced > 0.10
    assert levels(report)["rock"] == report.level == "stop"
    assert report.findings[0].key == "rock"


@pytest.mark.parametrize("ways", ["push", "night"])
def test_what_the_grid_does_not_judge_is_always_said(ways):
    day = dt.date(2027, 6, 5)
    report = dates_report(season_trip(), asked(day, day, ways=ways))
    (finding,) = (finding for finding in report.findings if finding.key == "not_judged")
    assert finding.level == "heed"
    assert finding.sentence == (
        "This season's grid judges time, storms and permits, and neither the tether nor the rock's hold: plan the date "
        "before you go."
    )
    past = dates_report(season_trip(), asked(day, day, ways=ways), today=dt.date(2027, 7, 1))
    assert levels(past)["not_judged"] == "heed"
