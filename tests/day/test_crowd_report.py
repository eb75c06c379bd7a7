"""The crowd report against the days it is made of, counted here in another way."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from handline.day import crowd_findings, crowd_reporting
from handline.day.crowd_findings import waits_words
from handline.day.crowd_report import PartyWay, Window
from handline.day.crowd_reporting import crowd_report
from handline.day.crowd_setting import crowd_days, set_crowd, some_days
from handline.day.plan_json import result_json
from handline.day.setting import set_up
from tests.day.crowd_reports import COUNTED, crowded, tamsin_crowd
from tests.day.trips import typed_trip

DAYS = 60


@pytest.fixture(scope="module")
def days():
    """The same days, all at once."""
    return some_days(set_crowd(set_up(typed_trip(crowd=COUNTED)), DAYS), 0, DAYS)


def _upper(values, level: float) -> float:
    return float(np.quantile(values, level, method="higher"))


def test_rules_are_as_stated() -> None:
    assert (crowd_reporting.MOST_DELAY_S, crowd_reporting.BIN_S, crowd_reporting.USUAL_DAYS) == (900.0, 1800.0, 300)
    assert (crowd_findings.LONG_DELAY_S, crowd_findings.QUEUE_FROM) == (2700.0, 10)
    assert (crowd_reporting._HEAT_DAYS, crowd_reporting._HEAT_BIN_S, crowd_reporting._WHILE_S) == (50, 3600.0, 900.0)
    assert crowd_findings._WORTH_S == 600.0
    assert (crowd_findings.NO_WAIT_S, crowd_findings.LATE_FROM) == (30.0, 0.01)


def test_half_hours_are_those_of_the_days(days) -> None:
    report = crowded()
    for rows, passes in ((report.up, days.up), (report.down, days.down)):
        assert len(rows) >= 3
        for row in rows:
            here = (passes.join_clock_s >= row.from_clock_s) & (passes.join_clock_s < row.to_clock_s)
            assert row.passes == here.sum() >= 30
            for pair, values in (
                (row.wait_s, passes.wait_s),
                (row.on_line_s, passes.on_line_s),
                (row.stuck_s, passes.stuck_s),
                (row.above, passes.above_most),
            ):
                # At most 2,000 passes of a half hour are kept: an even sample.
                assert pair[0] == pytest.approx(_upper(values[here], 0.5), rel=0.05, abs=1.0)
                assert pair[1] == pytest.approx(_upper(values[here], 0.9), rel=0.05, abs=1.0)


def test_the_party_is_that_of_the_days(days) -> None:
    for way, passes in zip(crowded().party, (days.up, days.down), strict=True):
        first, off, enter = [], [], []
        for day in range(DAYS):
            ours = days.ours & (days.day == day)
            assert ours.sum() == 3
            first.append(passes.join_clock_s[ours].min())
            enter.append(passes.enter_clock_s[ours].min())
            off.append(passes.leave_clock_s[ours].max())
        wait_s, on_line_s = np.subtract(enter, first), np.subtract(off, enter)
        assert way.join_clock_s == pytest.approx(np.quantile(first, (0.1, 0.5, 0.9)))
        assert way.wait_s == pytest.approx((_upper(wait_s, 0.5), _upper(wait_s, 0.9)))
        assert way.on_line_s == pytest.approx((_upper(on_line_s, 0.5), _upper(on_line_s, 0.9)))
        assert way.alone_s[0] < way.on_line_s[0]
        assert way.added_s[1] > way.added_s[0] > 0.0


def test_last_off_and_throughput(days) -> None:
    report = crowded()
    assert report.clears_clock_s == pytest.approx([_upper(days.clears_clock_s, q) for q in (0.1, 0.5, 0.9)])
    assert report.late_share == 0.0
    for told, passes in zip(report.off_per_h, (days.up, days.down), strict=True):
        counted = np.bincount((passes.leave_clock_s // 1800.0).astype(int))
        assert told == pytest.approx(counted.max() * 2.0 / DAYS)
        assert told < min(report.capacity_per_h)


def test_people_present_at_a_clock(days) -> None:
    for clock, at_foot, on_line, _ in crowded().present[::4]:
        for told, spans in (
            (at_foot, [(days.up.join_clock_s, days.up.enter_clock_s)]),
            (on_line, [(p.enter_clock_s, p.leave_clock_s) for p in days.ways]),
        ):
            here = sum(((start <= clock) & (clock < end)).astype(int) for start, end in spans)
            a_day = np.sort(np.bincount(days.day, weights=here, minlength=DAYS))
            assert told == a_day[math.ceil(0.9 * DAYS) - 1]


def test_more_people_never_make_it_quicker_in_the_picture() -> None:
    report = crowded()
    numbers = sorted({cell.people for cell in report.heat})
    assert numbers == [28, 55, 82, 110, 165, 220]
    middle = [next(c.median_s for c in report.heat if (c.people, c.from_clock_s) == (n, 28800.0)) for n in numbers]
    assert middle == sorted(middle)
    assert middle[-1] > 1.5 * middle[0]
    row = [cell for cell in report.heat if cell.people == 110]
    crowd = set_crowd(set_up(typed_trip(crowd=COUNTED)), DAYS)
    chunks = list(crowd_days(crowd, report.provenance.heat_days))
    join_s = np.concatenate([chunk.up.join_clock_s for chunk in chunks])
    took_s = np.concatenate([chunk.up.leave_clock_s for chunk in chunks]) - join_s
    for cell in row:
        here = took_s[(join_s >= cell.from_clock_s) & (join_s < cell.to_clock_s)]
        assert (here.size >= 30) == math.isfinite(cell.median_s)
        if here.size >= 30:
            assert (cell.median_s, cell.long_s) == pytest.approx((_upper(here, 0.5), _upper(here, 0.9)))


def test_the_example_day_holds_everybodys_time(days) -> None:
    report = crowded()
    one = days.day == 0
    for told, passes in (("up", days.up), ("down", days.down)):
        in_bays_s = sum(
            getattr(cell, told) * (cell.to_clock_s - cell.from_clock_s) * _bays_in(report, cell)
            for cell in report.example
        )
        expected = np.sum(passes.on_line_s[one] - passes.stance_s[one])
        assert in_bays_s == pytest.approx(expected)
    assert all(0.0 <= cell.up <= 1.0 + 1e-9 and 0.0 <= cell.down <= 1.0 + 1e-9 for cell in report.example)


def _bays_in(report, cell) -> int:
    pieces = np.array_split(np.arange(report.bays), 12)
    starts = sorted({cell.from_m for cell in report.example})
    return pieces[starts.index(cell.from_m)].size


def test_windows_hold_what_they_promise() -> None:
    report = crowded()
    assert report.windows
    for window in report.windows:
        assert window.delay_s <= report.most_delay_s
        for row in report.up:
            if window.start_clock_s <= row.from_clock_s < window.end_clock_s:
                assert row.wait_s[1] <= window.delay_s
                assert row.stuck_s[1] <= window.delay_s


def test_same_trip_same_report_and_another_seed_another() -> None:
    trip = typed_trip(crowd=COUNTED)
    quick = {"days": 20, "pictures": False}
    one, again = (result_json(crowd_report(trip, **quick)) for _ in range(2))
    assert one == again
    assert result_json(crowd_report(typed_trip(crowd=COUNTED, seed=2), **quick)) != one


def test_findings_say_what_is_the_matter() -> None:
    rush = 'arrivals = [{ from = "08:10", to = "08:20", people = 200 }, { from = "11:00", to = "13:00", people = 9 }]'
    report = crowd_report(typed_trip(crowd=rush), days=20, pictures=False)
    keys = {finding.key: finding for finding in report.findings}
    assert {"crowd_delay_up", "crowd_full_foot", "crowd_typed_up", "crowd_above"} <= set(keys)
    assert report.level == keys["crowd_delay_up"].level == "heed"
    assert "The file types a wait of 5 min going up" in keys["crowd_typed_up"].sentence
    assert not any(re.search(r"\bsafe\b", finding.sentence, re.IGNORECASE) for finding in report.findings)
    quiet = crowd_report(typed_trip(crowd="people_per_day = 4"), days=20, pictures=False)
    assert not {finding.key for finding in quiet.findings} & {"crowd_delay_up", "crowd_full_foot", "crowd_late"}


def test_more_than_can_pass_in_a_day_is_told() -> None:
    slow = 'climb_rate = "0.5 m/min"\ndescend_rate = "0.5 m/min"'
    rush = 'arrivals = [{ from = "08:10", to = "08:20", people = 150 }]'
    report = crowd_report(typed_trip(line=slow, crowd=rush), days=20, pictures=False)
    late = next(finding for finding in report.findings if finding.key == "crowd_late")
    assert report.late_share == 1.0
    assert late.sentence.startswith("On 100 % of days the last people are off the line after midnight")


def test_waits_in_words() -> None:
    assert waits_words((0.0, 29.0)) == "do not wait on nine days in ten"
    assert waits_words((0.0, 120.0)) == "do not wait on half the days, and over 2 min on one day in ten"
    assert waits_words((60.0, 600.0)) == "wait 1 min or less on half the days, and over 10 min on one day in ten"


def test_the_example_trip() -> None:
    report = tamsin_crowd()
    assert (report.people, report.people_says) == (160, "the places of Tamsin line permit")
    assert (report.party_size, report.bays, report.come_share) == (6, 38, 0.9)
    assert report.comes_says.startswith("they start about 05:00, two in three within 1 h 15 min of it")
    assert len(report.rules) == 5
    assert all(assumption.source for assumption in report.assumptions)
    assert report.provenance.days == 40


def test_another_hour_is_of_the_waiting_alone() -> None:
    """Free in the evening: whether the day's limits allow it, the crowd does not know, and says so."""
    ways = tuple(
        PartyWay(way, (36_000.0,) * 3, (3600.0, 5400.0), (3600.0, 3600.0), (3600.0, 3600.0), (3600.0, 5400.0))
        for way in ("up", "down")
    )
    (found,) = crowd_findings._other_time(ways, (Window(61_200.0, 64_800.0, 120.0),))
    assert "between 17:00 and 18:00" in found.sentence
    assert "your limits may rule that hour out" in found.detail
    assert list(crowd_findings._other_time(ways, (Window(34_200.0, 37_800.0, 120.0),))) == [], (
        "its own hour is no other"
    )
