"""A season of dates is the same bytes whoever does it, and goes on where it was stopped."""

from __future__ import annotations

import datetime as dt
import multiprocessing
from dataclasses import replace
from pathlib import Path

import pytest

from handline.choose import dates as dates_room
from handline.choose.dates import dates_report
from handline.day.plan_json import result_json
from tests.choose.season_trips import FIRST, asked, season_trip


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
