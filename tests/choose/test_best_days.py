"""The best date of each way and state, from dates made by hand."""

from __future__ import annotations

import datetime as dt
from types import SimpleNamespace

from handline.choose.best_days import BestDay, best_days, on_best_days
from handline.choose.way_settings import WayWanted


def _way(way, value, *, meets=True, start=0.0, start_chance=0.9, unknown=()):
    window = (0.0, 1.0) if meets else None
    return SimpleNamespace(
        way=way,
        value_chance=value,
        window_clock_s=window,
        start_clock_s=start,
        start_chance=start_chance,
        permits_unknown=unknown,
    )


def _row(day, *ways, raised=True, closed=False, past=False, worth=1.0):
    return SimpleNamespace(date=f"2027-06-{day:02d}", raised=raised, closed=closed, past=past, worth=worth, ways=ways)


def _report(*rows):
    return SimpleNamespace(ways=("push", "night"), rows=rows)


def test_each_way_in_each_state_has_its_own_best_date():
    report = _report(
        _row(1, _way("push", 0.8), _way("night", 0.9), raised=False),
        _row(2, _way("push", 0.7), _way("night", 0.95), raised=False),
        _row(10, _way("push", 0.9), _way("night", 0.6)),
        _row(11, _way("push", 0.8), _way("night", 0.7), worth=0.5),
        _row(12, closed=True),
    )
    assert best_days(report) == (
        BestDay("push", "raised", dt.date(2027, 6, 10)),
        BestDay("push", "lowered", dt.date(2027, 6, 1)),
        BestDay("night", "raised", dt.date(2027, 6, 10)),
        BestDay("night", "lowered", dt.date(2027, 6, 2)),
    )


def test_what_meets_the_wanted_chance_goes_first_then_worth_counts_then_the_start():
    meets = _report(_row(1, _way("push", 0.9, meets=False)), _row(2, _way("push", 0.5)))
    worth = _report(_row(1, _way("push", 0.9), worth=0.5), _row(2, _way("push", 0.5)))
    # To two digits these are the same, and the later start decides.
    start = _report(_row(1, _way("push", 0.903, start=3600.0)), _row(2, _way("push", 0.897, start=7200.0)))
    equal = _report(_row(2, _way("push", 0.9)), _row(1, _way("push", 0.9)))
    past = _report(_row(1, _way("push", 0.9), past=True), _row(2, _way("push", 0.5)))
    untold = _report(_row(1, _way("push", 0.9, unknown=("Line permit",))), _row(2, _way("push", 0.3)))
    not_got = _report(_row(1, _way("push", 0.0)), _row(2, _way("push", 0.3, unknown=("Line permit",))))
    for report, day in ((untold, 2), (not_got, 2), (meets, 2), (worth, 2), (start, 2), (equal, 1), (past, 2)):
        assert best_days(report) == (BestDay("push", "raised", dt.date(2027, 6, day)),)
    assert best_days(_report(_row(1, closed=True))) == ()


def test_a_season_of_one_state_has_the_other_only_to_compare():
    day = dt.date(2027, 6, 10)
    push, night = BestDay("push", "raised", day), BestDay("night", "raised", day)
    lying = BestDay("push", "lowered", dt.date(2027, 6, 1))
    assert on_best_days((push, lying), True) == (WayWanted("push", day), WayWanted("push", lying.date))
    assert on_best_days((push, night), True) == (
        WayWanted("push", day), WayWanted("push", day, forced=True),
        WayWanted("night", day), WayWanted("night", day, forced=True),
    )  # fmt: skip
    assert on_best_days((push,), False) == (WayWanted("push", day),)
