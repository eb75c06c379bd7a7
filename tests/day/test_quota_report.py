"""People a day against waiting: chances and bands recomputed from the days, and what must hold of the curves."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy import stats

from handline.crowd.knee import knee
from handline.day import quota_reporting
from handline.day.crowd_setting import set_crowd, some_days
from handline.day.plan_json import result_json
from handline.day.quota_reporting import quota_report
from handline.day.setting import set_up
from handline.errors import TripError
from tests.day.crowd_reports import COUNTED, quota
from tests.day.trips import typed_trip


def test_rules_are_as_stated() -> None:
    assert (quota_reporting.ACCEPTED, quota_reporting.USUAL_LIMIT_S, quota_reporting.MOST_TIMES) == (0.05, 2700.0, 3)
    assert (quota_reporting._STARTS_TIMES, quota_reporting._ENTRY_LEVELS) == (2.0, (0.05, 0.95))
    assert (quota_reporting._LEAST_RISE, quota_reporting._GROUPS, quota_reporting._NUMBERS) == (0.05, 10, 12)
    assert (quota_reporting.USUAL_QUOTA_DAYS, quota_reporting.FEWEST_QUOTA_DAYS) == (60, 60)
    # Outside: Student's t with 9 degrees of freedom.
    assert abs(quota_reporting._T_95 - stats.t.ppf(0.975, 9)) < 5e-4
    # With the fewest days a chance that is never seen stays within what is accepted; with fewer it would not.
    assert 1.0 - 0.05 ** (1.0 / 60) < quota_reporting.ACCEPTED < 1.0 - 0.05 ** (1.0 / 58)


def test_the_numbers_tried() -> None:
    assert [point.people for point in quota().curves[0].points] == list(range(15, 181, 15))
    assert {tuple(p.people for p in curve.points) for curve in quota().curves} == {tuple(range(15, 181, 15))}


def test_a_point_is_that_of_its_days() -> None:
    crowd = set_crowd(set_up(typed_trip(crowd=COUNTED)), 1).without_us().with_people(165)
    days = some_days(crowd, 0, 60)
    assert not days.ours.any()
    assert np.diff(days.arrivals.day_first).tolist() == [165] * 60
    wait_s = days.up.wait_s + days.down.wait_s
    on_line_s = days.up.on_line_s + days.down.on_line_s
    group = days.day % 10
    over = [np.mean(wait_s[group == g] > 1800.0) for g in range(10)]
    high_s = [np.quantile(on_line_s[group == g], 0.95, method="higher") for g in range(10)]
    point = next(point for point in quota().curves[0].points if point.people == 165)
    for band, values in ((point.over, over), (point.on_line_s, high_s)):
        low, high = stats.t.interval(0.95, 9, np.mean(values), stats.sem(values))
        assert band == pytest.approx((max(low, 0.0), np.mean(values), high), rel=1e-3)
    assert point.wait_s == pytest.approx(np.mean(wait_s))
    assert 0.1 < point.over[1] < 0.9


def test_the_curve_rises_and_its_knee_and_limit_are_on_it() -> None:
    for curve in quota().curves[:4]:
        over = [point.over[1] for point in curve.points]
        assert over[0] == 0.0
        assert curve.points[0].over == (0.0, 0.0, pytest.approx(1.0 - 0.05 ** (1 / 60)))
        assert all(later >= earlier - 0.02 for earlier, later in pairwise(over))
        people = [point.people for point in curve.points]
        at = knee(people, over)
        assert curve.knee == (people[at] if at is not None and over[-1] - over[0] >= 0.05 else None)
        inside = [point.people for point in curve.points if point.over[2] <= 0.05]
        assert curve.within == max(n for n in inside if {p for p in people if p <= n} <= set(inside))
    now = quota().curves[0]
    assert now.knee is not None
    assert now.knee_range[0] <= now.knee <= now.knee_range[1]


def test_other_ways_are_told_and_help_or_harm() -> None:
    report = quota()
    assert [curve.key for curve in report.curves] == ["now", "spread", "timed", "yields", "one way"]
    now, spread, _, yields, gate = (curve.points[-1].wait_s for curve in report.curves)
    assert spread < now < yields < gate
    # Who is early waits above for the opening, with however few people: nearly everybody, and nobody within the limit.
    assert report.curves[4].points[0].over[1] > 0.5
    assert report.curves[4].within is None
    assert report.curves[3].words == "in a bay: who goes up waits until the bay is free"
    assert {"quota_spread", "quota_timed", "quota_yields"} <= {finding.key for finding in report.findings}
    one_way = quota_report(typed_trip(crowd=f'{COUNTED}\nyields = "up waits"'), most=30, days=60)
    assert one_way.curves[3].words == "in a bay: they pass each other in the bay"


def test_now_over_the_limit_is_a_finding() -> None:
    report = quota()
    assert report.people_now == 110
    found = next(finding for finding in report.findings if finding.key == "quota_now")
    assert found.level == report.level == "heed"
    assert "At 105 people a day" in found.sentence
    quiet = quota_report(typed_trip(crowd="people_per_day = 4"), days=60)
    assert [point.people for point in quiet.curves[0].points] == list(range(1, 13))
    assert quiet.curves[0].knee is None
    assert quiet.curves[0].knee_range is None
    assert quiet.curves[0].within == 12
    assert "the most tried" in quiet.headline


def test_a_most_answers_where_the_file_is_silent() -> None:
    with pytest.raises(TripError, match="nothing says how many people"):
        quota_report(typed_trip())
    report = quota_report(typed_trip(), most=24, days=60)
    assert [point.people for point in report.curves[0].points] == list(range(2, 25, 2))


def test_too_few_to_tell_anything_is_told() -> None:
    with pytest.raises(TripError, match="on some days nobody does") as refused:
        quota_report(typed_trip(crowd='people_per_day = 4\nshare_who_come = "2 %"'), most=4, days=60)
    assert refused.value.problems[0].key == "crowd.share_who_come"
    # A few numbers too small to tell of are left out, the rest stands.
    report = quota_report(typed_trip(crowd='people_per_day = 4\nshare_who_come = "5 %"'), most=60, days=60)
    assert report.curves[0].points[0].people > 5
    assert report.curves[0].points[-1].people == 60


def test_the_same_however_many_cores(monkeypatch: pytest.MonkeyPatch) -> None:
    trip = typed_trip(crowd=COUNTED)
    told = []
    for cores in (1, 4):
        monkeypatch.setattr("os.cpu_count", lambda cores=cores: cores)
        told.append(result_json(quota_report(trip, most=36, days=60)))
    assert told[0] == told[1]
