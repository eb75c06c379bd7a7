"""A job spread over workers: the same bytes whoever does it, and what a stop, an error and a lost worker leave."""

from __future__ import annotations

import multiprocessing
import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext
from pathlib import Path

import click
import numpy as np
import pytest

from handline.cache_folder import CACHE_VARIABLE
from handline.choose import spread_work
from handline.choose.crew import THREADS_OF_LIBRARIES, Crew, InThisProcess
from handline.choose.piece import Do
from handline.choose.pieces_kept import pieces_kept
from handline.choose.spread_work import spread, workers_ahead
from handline.errors import HandlineError, InputError, OutputError, Problem
from tests.choose.small_work import (
    SHARED,
    CountedOpening,
    DrawnPiece,
    Marked,
    as_bytes,
    count_shared,
    draw,
    draw_marked,
    draw_or_meet,
    marks,
    objects,
    pieces,
)

ROOT = Path(__file__).parents[2]


pytestmark = pytest.mark.usefixtures("cache")


def stop_after(share: float, error: BaseException) -> Callable[[str, float], None]:
    def told(what: str, done: float) -> None:
        if done >= share:
            raise error

    return told


def kept_keys(job_key: str, work: list[DrawnPiece]) -> list[str]:
    kept = pieces_kept(job_key)
    return sorted(piece.key for piece in work if kept.read(piece.key) is not None)


def gone(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return True
    return False


def test_one_worker_and_two_give_the_same_bytes_in_order() -> None:
    work = pieces(7)[::-1]
    one, two = (spread(work, draw, SHARED, job_key=f"job {n}", workers=n) for n in (1, 2))
    assert as_bytes(one) == as_bytes(two)
    assert [int(result["count"]) for result in two] == [6, 5, 4, 3, 2, 1, 0]


def test_told_from_nothing_to_all() -> None:
    told: list[tuple[str, float]] = []
    spread(pieces(4), draw, SHARED, job_key="job", what="dates", workers=1, told=lambda *now: told.append(now))
    assert told == [("dates", 0.0), ("dates", 0.25), ("dates", 0.5), ("dates", 0.75), ("dates", 1.0)]


def test_told_while_a_piece_takes_long(monkeypatch: pytest.MonkeyPatch, marked: Marked) -> None:
    """Two workers take far longer to start than this: a wish to stop is heard before any piece is done."""
    monkeypatch.setattr(spread_work, "TOLD_EVERY_S", 0.001)
    told: list[float] = []

    def twice_nothing(what: str, share: float) -> None:
        told.append(share)
        if told == [0.0, 0.0]:
            raise click.Abort

    with pytest.raises(click.Abort):
        spread(pieces(4), draw_marked, marked, job_key="job", workers=2, told=twice_nothing)


def test_nothing_to_do() -> None:
    assert spread([], draw, SHARED, job_key="job") == []


@pytest.mark.parametrize(("workers", "error"), [(1, KeyboardInterrupt()), (2, KeyboardInterrupt()), (2, click.Abort())])
def test_stopped_in_the_middle_it_does_only_the_rest(marked: Marked, workers: int, error: BaseException) -> None:
    work, folder = pieces(12), Path(marked.folder)
    with pytest.raises(type(error)):
        spread(work, draw_marked, marked, job_key="job", workers=workers, told=stop_after(0.25, error))
    kept = kept_keys("job", work)
    assert 3 <= len(kept) < len(work)
    if workers == 1:
        assert marks(folder) == kept == ["day 0", "day 1", "day 2"]
    for file in folder.iterdir():
        file.unlink()
    told: list[float] = []
    results = spread(
        work, draw_marked, marked, job_key="job", workers=workers, told=lambda what, share: told.append(share)
    )
    assert marks(folder) == sorted({piece.key for piece in work} - set(kept))
    assert told[0] == pytest.approx(len(kept) / 12)
    assert [str(result["word"][0]) for result in results] == [piece.key for piece in work]
    assert as_bytes([{name: result[name] for name in ("sum", "view")} for result in results]) == as_bytes(
        [
            {name: result[name] for name in ("sum", "view")}
            for result in spread(work, draw, SHARED, job_key="anew", workers=1)
        ]
    )


def test_what_is_done_and_not_yet_fetched_is_kept_at_a_stop(monkeypatch: pytest.MonkeyPatch) -> None:
    """A crew that has done three pieces, one of them in vain, by the time the first of them is told."""

    @contextmanager
    def three_at_once(do: Do[object, DrawnPiece], shared: object, workers: int) -> Iterator[Crew[DrawnPiece]]:
        yield Crew(lambda piece: InThisProcess().submit(do, shared, piece), ahead=3)

    monkeypatch.setattr(spread_work, "pool_of_processes", three_at_once)
    work = [DrawnPiece("day 0", 0), DrawnPiece("day 1", 1, trouble="output"), *pieces(5)[2:]]
    with pytest.raises(click.Abort):
        spread(work, draw_or_meet, SHARED, job_key="job", workers=2, told=stop_after(0.1, click.Abort()))
    assert kept_keys("job", work) == ["day 0", "day 2"]


def test_no_process_is_left_after_a_stop(marked: Marked) -> None:
    work = pieces(40)
    with pytest.raises(KeyboardInterrupt):
        spread(work, draw_marked, marked, job_key="job", workers=2, told=stop_after(0.5, KeyboardInterrupt()))
    kept = pieces_kept("job")
    processes = {int(read["process"]) for piece in work if (read := kept.read(piece.key)) is not None}
    assert processes
    assert os.getpid() not in processes
    assert all(gone(process) for process in processes)


def test_finished_pieces_go_or_stay(cache: Path, marked: Marked) -> None:
    work, folder = pieces(3), Path(marked.folder)
    spread(work, draw_marked, marked, job_key="job", workers=1)
    assert list((cache / "grids").iterdir()) == []
    first = spread(work, draw_marked, marked, job_key="job", workers=1, keep_when_done=True)
    assert len(marks(folder)) == 6
    again = spread(work, draw_marked, marked, job_key="job", workers=2, keep_when_done=True)
    assert len(marks(folder)) == 6
    assert as_bytes(again) == as_bytes(first)


def test_a_broken_kept_piece_is_done_again(marked: Marked) -> None:
    work, folder = pieces(3), Path(marked.folder)
    first = spread(work, draw_marked, marked, job_key="job", workers=1, keep_when_done=True)
    broken = pieces_kept("job")._file("day 1")
    broken.write_bytes(broken.read_bytes()[:-40])
    again = spread(work, draw_marked, marked, job_key="job", workers=1, keep_when_done=True)
    assert marks(folder) == ["day 0", "day 1", "day 1", "day 2"]
    assert as_bytes(again) == as_bytes(first)


def test_without_a_folder_to_keep_in_it_works_all_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blocked = tmp_path / "a file"
    blocked.write_text("", encoding="utf-8")
    expected = spread(pieces(2), draw, SHARED, job_key="job", workers=1)
    monkeypatch.setenv(CACHE_VARIABLE, str(blocked))
    assert as_bytes(spread(pieces(2), draw, SHARED, job_key="job", workers=1)) == as_bytes(expected)


@pytest.mark.parametrize("workers", [1, 2])
@pytest.mark.parametrize(
    ("trouble", "kind", "words"),
    [
        ("input", InputError, "[trip.date]: day 5: no light that day\n    read: polar night\nday 5: no way"),
        ("output", OutputError, "day 5: the disk is full"),
    ],
)
def test_a_failing_piece_names_itself_and_the_others_are_kept(
    marked: Marked, workers: int, trouble: str, kind: type[HandlineError], words: str
) -> None:
    work = pieces(5)
    failing = [*work, DrawnPiece("day 5", seed=5, trouble=trouble)]
    with pytest.raises(kind) as caught:
        spread(failing, draw_marked, marked, job_key="job", workers=workers)
    assert type(caught.value) is kind
    assert str(caught.value) == words
    kept = kept_keys("job", work)
    assert set(kept) <= {piece.key for piece in work}
    assert len(kept) >= 5 - (workers - 1)  # another worker may still have been at its last piece


def test_a_fault_of_the_program_says_in_which_piece(marked: Marked) -> None:
    for workers in (1, 2):
        work = [DrawnPiece("day 0", 0), DrawnPiece("day 1", 1, trouble="fault")]
        with pytest.raises(ZeroDivisionError) as caught:
            spread(work, draw_marked, marked, job_key=f"job {workers}", workers=workers)
        assert caught.value.__notes__ == ["in the piece day 1"]


def test_a_worker_that_ends_is_a_clear_error(marked: Marked) -> None:
    work = [DrawnPiece("day 0", 0), DrawnPiece("day 1", 1, trouble="ends")]
    with pytest.raises(HandlineError, match=r"ended before its piece was done(.|\n)*--workers 1"):
        spread(work, draw_marked, marked, job_key="job", workers=2)


BORN_DYING = """
import numpy as np
from handline.choose.spread_work import spread, workers_ahead
from handline.errors import HandlineError
from tests.choose.small_work import draw, pieces

try:
    spread(pieces(6), draw, np.zeros(100_000), job_key="job", workers=2)
except HandlineError as error:
    print(error)
"""


def test_workers_that_cannot_be_born_are_a_clear_error_whatever_they_share(tmp_path: Path) -> None:
    """A script that says nothing of __main__ is run again by each worker, which may not have workers of its own."""
    script = tmp_path / "unguarded.py"
    script.write_text(BORN_DYING, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, str(script)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), *filter(None, sys.path)])},
        timeout=120,
    )
    assert "ended before its piece was done" in done.stdout
    assert 'under if __name__ == "__main__":' in done.stdout


def test_without_a_place_for_the_job_it_is_a_clear_error(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "nowhere"))
    with pytest.raises(HandlineError, match=r"no file could be written for the workers(.|\n)*--workers 1"):
        spread(pieces(3), draw, SHARED, job_key="job", workers=2)


def test_nothing_is_left_beside_what_is_kept(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    spread(pieces(3), draw, SHARED, job_key="job", workers=2)
    assert list(tmp_path.glob("handline-*")) == []


def test_workers_ahead_give_the_same_bytes_and_wait_for_what_is_shared() -> None:
    with workers_ahead(draw, 7, 2, None) as begin:
        assert begin is not None
        ahead = spread(pieces(7), draw, SHARED, job_key="ahead", workers=2, begin=begin)
    assert as_bytes(ahead) == as_bytes(spread(pieces(7), draw, SHARED, job_key="alone", workers=1))
    assert multiprocessing.active_children() == []
    for count, workers, dask in ((7, 1, None), (1, 2, None), (7, None, "tcp://127.0.0.1:1")):
        with workers_ahead(draw, count, workers, dask) as begin:
            assert begin is None


@pytest.mark.parametrize("error", [None, KeyboardInterrupt(), InputError([Problem("no such day")])])
def test_workers_ahead_that_are_not_needed_are_gone(error: BaseException | None) -> None:
    """All was kept, or the preparation came to an end before there was anything to share."""
    with nullcontext() if error is None else pytest.raises(type(error)), workers_ahead(draw, 7, 2, None):
        if error is not None:
            raise error
    assert multiprocessing.active_children() == []


def test_what_cannot_be_asked() -> None:
    with pytest.raises(InputError, match=r"\[--workers\](.|\n)*read: 0"):
        spread(pieces(1), draw, SHARED, job_key="job", workers=0)
    with pytest.raises(InputError, match="leave --workers or --dask"):
        spread(pieces(1), draw, SHARED, job_key="job", workers=2, dask="tcp://127.0.0.1:1")
    with pytest.raises(ValueError, match="the same key"):
        spread([*pieces(1), *pieces(1)], draw, SHARED, job_key="job")
    with pytest.raises(TypeError, match="days holds Python objects"):
        spread(pieces(1), objects, SHARED, job_key="job", workers=1)


def test_what_is_shared_is_opened_once_a_worker(tmp_path: Path) -> None:
    opened = tmp_path / "opened"
    opened.mkdir()
    results = spread(pieces(30), count_shared, CountedOpening(str(opened)), job_key="job", workers=2)
    processes = sorted({str(int(result["process"])) for result in results})
    assert marks(opened) == processes


def test_the_environment_is_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in THREADS_OF_LIBRARIES:
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("OMP_NUM_THREADS", "3")
    before = dict(os.environ)
    handler = signal.getsignal(signal.SIGINT)
    (one, _) = spread(pieces(2), threads_set, SHARED, job_key="job", workers=2)
    assert one["set"].tolist() == ["3" if name == "OMP_NUM_THREADS" else "1" for name in THREADS_OF_LIBRARIES]
    assert dict(os.environ) == before
    assert signal.getsignal(signal.SIGINT) == handler
    assert signal.SIGINT not in signal.pthread_sigmask(signal.SIG_BLOCK, set())


def threads_set(shared: object, piece: DrawnPiece) -> dict[str, np.ndarray]:
    return {"set": np.array([os.environ[name] for name in THREADS_OF_LIBRARIES])}


# Whoever runs the tests in the background has Ctrl-C ignored, and a child would inherit that.
ENDLESS = """
import signal, sys, time
from handline.choose.spread_work import spread, workers_ahead
from tests.choose.endless_work import endless
from tests.choose.small_work import SHARED, pieces

if __name__ == "__main__":
    signal.signal(signal.SIGINT, signal.default_int_handler)
    try:
        spread(pieces(6), endless, SHARED, job_key="job", workers=int(sys.argv[1]))
    except KeyboardInterrupt:
        print("stopped", flush=True)
"""


@pytest.mark.parametrize(
    ("workers", "sent", "said"),
    [(2, signal.SIGINT, "stopped\n"), (1, signal.SIGINT, "stopped\n"), (2, signal.SIGKILL, "")],
)
def test_ctrl_c_and_a_kill_leave_no_process(tmp_path: Path, workers: int, sent: signal.Signals, said: str) -> None:
    """A terminal sends Ctrl-C to all processes of the job. What they print ends only when the last of them has."""
    script = tmp_path / "endless.py"
    script.write_text(ENDLESS, encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, str(script), str(workers)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env={
            **os.environ,
            "PYTHONPATH": os.pathsep.join([str(ROOT), *filter(None, sys.path)]),
            "TMPDIR": str(tmp_path),
        },
        start_new_session=True,
    ) as process:
        assert process.stdout is not None
        try:
            assert process.stdout.readline() == "at work\n"
            if sent == signal.SIGINT:
                os.killpg(process.pid, sent)
            else:
                process.send_signal(sent)
            out, err = process.communicate(timeout=30)
        except BaseException:
            os.killpg(process.pid, signal.SIGKILL)
            raise
    assert out.replace("at work\n", "") == said
    assert list(tmp_path.glob("handline-*")) == []
    if sent == signal.SIGINT:
        assert err == ""
    assert len(list((tmp_path / "cache" / "grids").iterdir())) == 1
