"""Work beside the pages: each question once, told, stopped, bounded."""

from __future__ import annotations

import asyncio
import threading

import pytest

from handline.errors import InputError, Problem
from handline.web.work import MOST_WAITING, Bench, StoppedError, TooMuchError, finished


@pytest.fixture
def bench():
    one = Bench(most_kept=3)
    yield one
    one.close()


def _done(work) -> bool:
    return asyncio.run(finished(work, 20.0))


def test_the_same_question_is_worked_out_once(bench):
    made = []
    works = [bench.ask("key", "counting", lambda told: made.append(1) or "answer") for _ in range(5)]
    assert _done(works[0])
    assert {id(work) for work in works} == {id(works[0])}
    assert works[0].result() == "answer"
    assert bench.ask("key", "counting", lambda told: made.append(1)).result() == "answer"
    assert made == [1]


def test_what_went_wrong_is_told_and_tried_again(bench):
    def fail(told):
        raise InputError(Problem("no good"))

    work = bench.ask("key", "failing", fail)
    assert _done(work)
    with pytest.raises(InputError, match="no good"):
        work.result()
    again = bench.ask("key", "failing", lambda told: "mended")
    assert _done(again)
    assert again.result() == "mended"
    assert bench.known("key") == "mended"


def test_progress_is_told_and_stopping_stops_at_the_next_word(bench):
    begun, go_on = threading.Event(), threading.Event()

    def long(told):
        told("half of it", 0.5)
        begun.set()
        go_on.wait(20.0)
        told("never said", 0.9)

    work = bench.ask("key", "long", long)
    assert begun.wait(20.0)
    assert (work.doing, work.share) == ("half of it", 0.5)
    assert bench.numbered(work.number) is work
    work.stop()
    go_on.set()
    assert _done(work)
    with pytest.raises(StoppedError):
        work.result()
    assert work.doing == "half of it"


def test_what_waits_can_be_stopped_before_it_begins(bench):
    go_on, made = threading.Event(), []
    busy = [bench.ask(i, "busy", lambda told: go_on.wait(20.0)) for i in range(2)]
    waiting = bench.ask("late", "late", lambda told: made.append(1))
    waiting.stop()
    go_on.set()
    assert all(_done(work) for work in (*busy, waiting))
    assert made == []
    with pytest.raises(StoppedError):
        waiting.result()


def test_only_so_much_is_kept_and_what_was_asked_last_stays(bench):
    for i in range(6):
        assert _done(bench.ask(i, "one", lambda told, i=i: i))
        bench.ask(0, "the first again", lambda told: "made again")
    kept = [i for i in range(6) if bench.known(i) is not None]
    assert len(kept) <= 4
    assert 5 in kept
    assert bench.known(0) == 0


def test_too_much_at_once_is_refused(bench):
    go_on = threading.Event()
    works = [bench.ask(i, "waiting", lambda told: go_on.wait(20.0)) for i in range(MOST_WAITING)]
    with pytest.raises(TooMuchError, match="Wait a little"):
        bench.ask("one more", "waiting", lambda told: None)
    go_on.set()
    assert all(_done(work) for work in works)


def test_giving_up_the_watch_does_not_stop_the_work(bench):
    go_on = threading.Event()
    work = bench.ask("key", "long", lambda told: go_on.wait(20.0) and "done all the same")
    assert not asyncio.run(finished(work, 0.05))
    go_on.set()
    assert _done(work)
    assert work.result() == "done all the same"


def test_a_base_is_made_once_though_several_stand_on_it(bench):
    made, barrier = [], threading.Barrier(4)

    def make():
        made.append(1)
        return object()

    def ask(found):
        barrier.wait(20.0)
        found.append(bench.settled("base", make))

    found: list[object] = []
    threads = [threading.Thread(target=ask, args=(found,)) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(20.0)
    assert made == [1]
    assert len({id(one) for one in found}) == 1


def test_what_nobody_waits_for_any_more_is_not_begun(bench, monkeypatch):
    monkeypatch.setattr("handline.web.work.FORGOTTEN_AFTER_S", 0.0)
    go_on, made = threading.Event(), []
    busy = [bench.ask(i, "busy", lambda told: go_on.wait(20.0)) for i in range(2)]
    forgotten = bench.ask("left", "left behind", lambda told: made.append("forgotten"))
    waited = bench.ask("waited", "waited for", lambda told: made.append("waited for"))
    waited.watchers += 1
    go_on.set()
    assert all(_done(work) for work in (*busy, waited))
    assert forgotten.future.exception(timeout=20.0).__class__ is StoppedError
    assert made == ["waited for"]
    monkeypatch.undo()
    again = bench.ask("left", "left behind", lambda told: made.append("asked again"))
    assert _done(again)
    assert made == ["waited for", "asked again"]
