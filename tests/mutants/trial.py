"""A private copy of the tree in which one number at a time is changed and the tests that see it are run."""

from __future__ import annotations

import ast
import contextlib
import importlib
import os
import re
import shutil
import signal
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

PACKAGE = "handline"
COPIED = ("src", "tests", "examples", "pyproject.toml", ".cache/real-track")
# What tests and rooms import from elsewhere: loaded once, before the copies of the process that try one change each.
WARM = (
    "numpy", "numpy.polynomial", "numba", "scipy.integrate", "scipy.optimize", "scipy.interpolate", "scipy.stats",
    "hypothesis.strategies", "hypothesis.extra.numpy", "pytest", "_pytest.assertion.rewrite", "pydantic", "pyproj",
    "skyfield.api", "dateutil.rrule", "holidays", "simpy", "ephem", "geographiclib.geodesic", "zoneinfo",
    "defusedxml.ElementTree", "pint", "jsonschema", "tomlkit",
)  # fmt: skip
GREEN, RED, HUNG, BROKEN = "green", "red", "hung", "broken"


@dataclass(frozen=True)
class Outcome:
    """What the tests said: green, red, hung or broken (nothing ran), the first red test, and how long it took [s]."""

    said: str
    by: str
    took_s: float


def copy_tree(root: Path, into: Path) -> None:
    """The parts of the tree that tests need; nothing of the tree itself is ever changed."""
    for part in COPIED:
        source, target = root / part, into / part
        if source.is_dir():
            shutil.copytree(source, target, ignore=shutil.ignore_patterns("__pycache__", "brief", "browser"))
        elif source.exists():
            shutil.copy2(source, target)
    # The room that makes the brief has the name of the folders left out of the examples.
    shutil.copytree(root / "src" / PACKAGE / "brief", into / "src" / PACKAGE / "brief", dirs_exist_ok=True)


def warm_up(tree: Path) -> None:
    """Make this process ready to be copied: libraries loaded, the package itself not."""
    os.environ["NUMBA_CACHE_DIR"] = str(tree / "numba")
    os.environ["PYTHONPATH"] = os.pathsep.join((str(tree / "src"), str(tree)))
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    sys.dont_write_bytecode = (
        False  # what is compiled once for pytest is used again; the changed module has its own time
    )
    os.chdir(tree)
    for module in WARM:
        with contextlib.suppress(ImportError):
            importlib.import_module(module)
    if PACKAGE in sys.modules:
        raise RuntimeError(f"{PACKAGE} is loaded already: a change to it would not be seen")
    sys.path[:0] = [str(tree / "src"), str(tree)]


class Trials:
    """pytest made ready once: each run of tests is a copy of this process, which loads the package for itself.

    It is a plugin of pytest, and does its work in the place of pytest's own main; in the copy it steps aside.
    """

    def __init__(self, tree: Path, work: Callable[[Trials], None]) -> None:
        self.tree = tree
        self._work = work
        self._in_copy = False
        self._config: pytest.Config | None = None

    def start(self) -> None:
        """Make pytest ready, do the work with it, and come back."""
        from hypothesis import settings

        settings.register_profile("mutants", deadline=None, database=None, derandomize=True)
        settings.load_profile("mutants")
        options = ["-x", "-q", "-s", "-rfE", "--tb=no", "-p", "no:cacheprovider", "-p", "_hypothesis_pytestplugin"]
        code = pytest.main([*options, f"--rootdir={self.tree}", str(self.tree / "tests" / "tables")], plugins=[self])
        if code != 0:
            raise RuntimeError(f"pytest could not be made ready: {code}")

    @pytest.hookimpl(tryfirst=True)
    def pytest_cmdline_main(self, config: pytest.Config) -> int | None:
        """In place of pytest's own main, but for the copies."""
        if self._in_copy:
            return None
        self._config = config
        self._work(self)
        return 0

    def run(self, tests: list[str], *, deselect: tuple[str, ...], limit_s: float, fresh: str = "") -> Outcome:
        """Run those test files in a copy of this process, in that order, up to the first red.

        ``fresh`` names a folder for kernels compiled anew, where the changed file holds kernels.
        """
        began, said_file = time.monotonic(), self.tree / "said.txt"
        kept = self.tree / "kept"
        shutil.rmtree(kept, ignore_errors=True)
        child = os.fork()
        if child == 0:
            self._be_the_copy(tests, deselect, kept, said_file, fresh)
        status: int | None = None
        while status is None:
            done, code = os.waitpid(child, os.WNOHANG)
            if done:
                status = code
            elif time.monotonic() - began > limit_s:
                os.kill(child, signal.SIGKILL)
                os.waitpid(child, 0)
                return Outcome(HUNG, "", time.monotonic() - began)
            else:
                time.sleep(0.01)
        return _outcome(os.waitstatus_to_exitcode(status), said_file, time.monotonic() - began)

    def _be_the_copy(self, tests: list[str], deselect: tuple[str, ...], kept: Path, said: Path, fresh: str) -> None:
        """What the copied process does; it never returns."""
        code = 70
        try:
            file = os.open(said, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
            os.dup2(file, 1)
            os.dup2(file, 2)
            os.environ["HANDLINE_CACHE"] = str(kept)
            if fresh:
                import numba

                os.environ["NUMBA_CACHE_DIR"] = fresh
                vars(numba.config)["CACHE_DIR"] = fresh  # what it read when it was loaded
            assert self._config is not None
            self._in_copy = True
            self._config.args = [str(self.tree / test) for test in tests]
            self._config.option.deselect = list(deselect)
            code = int(self._config.hook.pytest_cmdline_main(config=self._config))
            where = getattr(sys.modules.get(PACKAGE), "__file__", "") or ""
            if not where.startswith(str(self.tree)):
                print(f"the tests ran on {where}, not on the private copy")
                code = 71
        finally:
            sys.stdout.flush()
            os._exit(code)


def _outcome(code: int, said_file: Path, took_s: float) -> Outcome:
    said = said_file.read_text(errors="replace")
    first = re.search(r"^(?:FAILED|ERROR) (\S+)", said, re.MULTILINE)
    if code == 0:
        return Outcome(GREEN, "", took_s)
    if code in (1, 2) and first:
        return Outcome(RED, first[1], took_s)
    return Outcome(BROKEN, said[-2000:], took_s)


def tests_near(tree: Path, file: str) -> tuple[list[str], list[str]]:
    """A module's own tests, by their name, and the others of its room that import it, the shorter ones first."""
    folder = tree / "tests" / _room_of(file)
    module, stem = f"{PACKAGE}.{file.removesuffix('.py').replace('/', '.')}", Path(file).stem
    own, near = [], []
    for test in sorted(folder.glob("test_*.py"), key=lambda test: test.stat().st_size):
        if test.stem == f"test_{stem}" or test.stem == f"test_{stem}_digits":
            own.append(str(test.relative_to(tree)))
        elif module in _imports(test):
            near.append(str(test.relative_to(tree)))
    return (own, near) if own else (near[:1], near[1:])


def tests_of_room(tree: Path, file: str) -> list[str]:
    """Every test file of the module's room, those made for digits first."""
    tests = sorted((tree / "tests" / _room_of(file)).glob("test_*.py"), key=lambda test: "_digits" not in test.stem)
    return [str(test.relative_to(tree)) for test in tests]


def tests_beyond(tree: Path, file: str) -> list[str]:
    """The tests of other rooms that import the module, but for those that open pages."""
    module, room = f"{PACKAGE}.{file.removesuffix('.py').replace('/', '.')}", _room_of(file)
    tests = sorted((tree / "tests").glob("*/test_*.py"))
    asked = (test for test in tests if test.parent.name not in (room, "browser") and module in _imports(test))
    return [str(test.relative_to(tree)) for test in asked]


def _room_of(file: str) -> str:
    return file.split("/")[0] if "/" in file else "ground"


def _imports(test: Path) -> frozenset[str]:
    names = set()
    for node in ast.walk(ast.parse(test.read_bytes())):
        if isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
            names.update(f"{node.module}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Import):
            names.update(alias.name for alias in node.names)
    return frozenset(names)
