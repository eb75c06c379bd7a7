"""A real Dask cluster on this computer: the same bytes as without it, and clear words where it cannot be used."""

from __future__ import annotations

import logging
import os
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import dask
import pytest
from distributed import LocalCluster

from handline.choose import dask_crew
from handline.choose.pieces_kept import pieces_kept
from handline.choose.spread_work import spread
from handline.errors import HandlineError, InputError, OutputError
from tests.choose.small_work import (
    SHARED,
    CountedOpening,
    DrawnPiece,
    Marked,
    as_bytes,
    count_shared,
    draw,
    draw_marked,
    marks,
    pieces,
)

pytestmark = pytest.mark.usefixtures("cache")


@pytest.fixture(scope="module")
def address() -> Iterator[str]:
    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 0}),
        LocalCluster(
            n_workers=2, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address="127.0.0.1:0"
        ) as cluster,
    ):
        yield cluster.scheduler_address


def test_the_same_bytes_in_order(address: str) -> None:
    work = pieces(7)[::-1]
    here = spread(work, draw, SHARED, job_key="here", workers=1)
    there = spread(work, draw, SHARED, job_key="there", dask=address)
    assert as_bytes(here) == as_bytes(there)


def test_what_is_shared_is_opened_once_a_worker(address: str, tmp_path: Path) -> None:
    opened = tmp_path / "opened"
    opened.mkdir()
    results = spread(pieces(30), count_shared, CountedOpening(str(opened)), job_key="job", dask=address)
    processes = {str(int(result["process"])) for result in results}
    assert str(os.getpid()) not in processes
    assert marks(opened) == sorted(processes)


def test_stopped_it_does_only_the_rest(address: str, tmp_path: Path, marked: Marked) -> None:
    def told(what: str, share: float) -> None:
        if share >= 0.25:
            raise KeyboardInterrupt

    work = pieces(24)
    with pytest.raises(KeyboardInterrupt):
        spread(work, draw_marked, marked, job_key="job", dask=address, told=told)
    kept = {piece.key for piece in work if pieces_kept("job").read(piece.key) is not None}
    assert len(kept) >= 6
    afterwards = tmp_path / "afterwards"
    afterwards.mkdir()
    results = spread(work, draw_marked, Marked(SHARED, str(afterwards)), job_key="job", dask=address)
    assert marks(afterwards) == sorted({piece.key for piece in work} - kept)
    assert [str(result["word"][0]) for result in results] == [piece.key for piece in work]


def test_a_failing_piece_names_itself(address: str, marked: Marked) -> None:
    work = [*pieces(3), DrawnPiece("day 3", 3, trouble="output")]
    with pytest.raises(OutputError, match="day 3: the disk is full"):
        spread(work, draw_marked, marked, job_key="job", dask=address)


def test_a_worker_that_ends_is_a_clear_error(address: str, marked: Marked) -> None:
    with pytest.raises(HandlineError, match=r"the cluster was lost, or its workers ended(.|\n)*pieces are kept"):
        spread([DrawnPiece("day 0", 0, trouble="ends")], draw_marked, marked, job_key="job", dask=address)


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        ("tcp://127.0.0.1:1", "no Dask scheduler answers there"),
        ("pigeon://127.0.0.1:1", "this is no address of a Dask scheduler: unknown address scheme"),
        ("127.0.0.1", "this is no address of a Dask scheduler: missing port"),
    ],
)
def test_an_address_where_nothing_answers(monkeypatch: pytest.MonkeyPatch, wrong: str, words: str) -> None:
    monkeypatch.setattr(dask_crew, "ANSWER_S", 0.2)
    with pytest.raises(InputError, match=words) as caught:
        spread(pieces(1), draw, SHARED, job_key="job", dask=wrong)
    assert f"[--dask]: {words}" in str(caught.value)
    assert f"read: {wrong}\n" in str(caught.value)


def test_a_cluster_without_workers(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(dask_crew, "ANSWER_S", 0.2)
    with (
        LocalCluster(n_workers=0, processes=True, host="127.0.0.1", dashboard_address="127.0.0.1:0") as empty,
        pytest.raises(InputError, match="the cluster has no worker"),
    ):
        spread(pieces(1), draw, SHARED, job_key="job", dask=empty.scheduler_address)


CLUSTER = """
import sys
from distributed import LocalCluster

if __name__ == "__main__":
    with LocalCluster(
        n_workers=1, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address="127.0.0.1:0"
    ) as cluster:
        print(cluster.scheduler_address, flush=True)
        sys.stdin.read()
"""


@pytest.fixture
def elsewhere(tmp_path: Path) -> Iterator[subprocess.Popen[str]]:
    """A cluster of processes of its own, which says its address and can be killed."""
    script = tmp_path / "cluster.py"
    script.write_text(CLUSTER, encoding="utf-8")
    with subprocess.Popen(
        [sys.executable, str(script)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
        start_new_session=True,
    ) as process:
        try:
            yield process
        finally:
            os.killpg(process.pid, signal.SIGKILL)


def test_the_scheduler_is_lost(
    elsewhere: subprocess.Popen[str], marked: Marked, capfd: pytest.CaptureFixture[str]
) -> None:
    """In the middle of the work: what is finished is kept, and nothing is printed beside the error."""
    assert elsewhere.stdout is not None
    address = elsewhere.stdout.readline().strip()

    def told(what: str, share: float) -> None:
        if share > 0.0:
            os.killpg(elsewhere.pid, signal.SIGKILL)

    work = pieces(200)
    with pytest.raises(HandlineError, match="the cluster was lost"):
        spread(work, draw_marked, marked, job_key="job", dask=address, told=told)
    assert any(pieces_kept("job").read(piece.key) is not None for piece in work)
    assert "Traceback" not in capfd.readouterr().err


def test_a_client_that_cannot_start_is_closed_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """None of its threads is left to whoever collects it later."""
    monkeypatch.setattr(dask_crew, "ANSWER_S", 0.2)
    before = threading.active_count()
    with pytest.raises(InputError) as caught:
        spread(pieces(1), draw, SHARED, job_key="job", dask="tcp://127.0.0.1:1")
    assert threading.active_count() == before
    assert caught.value.problems[0].read == "tcp://127.0.0.1:1"


def test_the_client_prints_no_traces_while_it_is_ours(address: str) -> None:
    log = logging.getLogger("distributed.client")
    with dask_crew.cluster(draw, SHARED, address):
        assert not log.isEnabledFor(logging.CRITICAL)
    assert log.isEnabledFor(logging.ERROR)


def test_without_the_extra(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(InputError, match=r'the extra "cluster"(.|\n)*pip install "handline\[cluster\]"'):
        spread(pieces(1), draw, SHARED, job_key="job", dask="tcp://127.0.0.1:1")


@pytest.mark.parametrize("error", [ModuleNotFoundError("x", name="rasterio"), RuntimeError("the graph cannot be read")])
def test_a_cluster_that_lacks_a_module(address: str, error: Exception) -> None:
    if isinstance(error, RuntimeError):
        error.__cause__ = ModuleNotFoundError("x", name="rasterio")
    with (
        pytest.raises(InputError, match="the cluster lacks the module rasterio"),
        dask_crew.cluster(draw, SHARED, address),
    ):
        raise error
