"""The same trip and seed give the same bytes of JSON, whatever cores, threads, kept files and workers there are.

That another order of hashes changes nothing is told beside each command; here it is turned along with the rest.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from handline.choose.crew import THREADS_OF_LIBRARIES
from handline.weather.member_draws import related_normals

EXAMPLES = Path(__file__).parents[2] / "examples"
DATES = ("--from", "2027-12-30", "--to", "2028-01-01", "--days", "100", "--step", "3 h")


def _said(environment: dict[str, str], *command: object) -> bytes:
    """What handline prints in a process of its own."""
    run = [sys.executable, "-m", "handline", *map(str, command)]
    done = subprocess.run(run, capture_output=True, env={**os.environ, **environment}, timeout=300)
    assert done.returncode in (0, 1), done.stderr.decode()
    return done.stdout


def _threads(count: int) -> dict[str, str]:
    return {name: str(count) for name in THREADS_OF_LIBRARIES}


@pytest.fixture(params=["tamsin-dome", "petrel-slab"])
def trip(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """An example trip in a folder of its own, with fewer days."""
    folder = tmp_path / request.param
    shutil.copytree(EXAMPLES / request.param, folder, ignore=shutil.ignore_patterns("brief*"))
    file = folder / "trip.toml"
    text = file.read_text(encoding="utf-8")
    file.write_text(text.replace("\nseed = ", "\ndays = 1500\nseed = ", 1), encoding="utf-8")
    assert "days = 1500" in file.read_text(encoding="utf-8")
    return file


def test_threads_and_what_is_kept_change_no_byte_of_a_plan(trip: Path, tmp_path: Path) -> None:
    kept = {"HANDLINE_CACHE": str(tmp_path / "kept")}
    plan = ("plan", trip, "--json", "--out", tmp_path / "brief")
    cold = _said({**kept, **_threads(1), "PYTHONHASHSEED": "11"}, *plan)
    assert any((tmp_path / "kept").rglob("*")), "nothing was kept: the second run is as cold as the first"
    warm = _said({**kept, **_threads(2), "PYTHONHASHSEED": "12"}, *plan)
    assert cold.startswith(b"{")
    assert warm == cold


def test_workers_and_a_cluster_change_no_byte_of_a_season(tmp_path: Path) -> None:
    from distributed import LocalCluster

    dates = ("dates", EXAMPLES / "petrel-slab" / "trip.toml", *DATES, "--json")
    one = _said({"HANDLINE_CACHE": str(tmp_path / "one"), **_threads(1)}, *dates, "--workers", 1)
    two = _said({"HANDLINE_CACHE": str(tmp_path / "two"), **_threads(2)}, *dates, "--workers", 2)
    assert one.startswith(b"{")
    assert two == one
    with LocalCluster(
        n_workers=1, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address="127.0.0.1:0"
    ) as cluster:
        there = _said({"HANDLINE_CACHE": str(tmp_path / "there")}, *dates, "--dask", cluster.scheduler_address)
    assert there == one


@pytest.mark.parametrize("kept_share", [0.0, 0.6, 0.999])
def test_draws_that_hold_together_are_their_product_of_matrices(kept_share: float) -> None:
    """Referee: a Cholesky root of the correlations. Its product's last digits hang on the threads that share it."""
    members, steps = 40, 90
    between = np.abs(np.subtract.outer(np.arange(steps), np.arange(steps)))
    root = np.linalg.cholesky(kept_share**between)
    drawn = related_normals(np.random.default_rng(5), members, steps, kept_share)
    expected = np.random.default_rng(5).standard_normal((members, steps)) @ root.T
    np.testing.assert_allclose(drawn, expected, rtol=0.0, atol=1e-12)
