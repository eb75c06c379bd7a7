"""The package as one file: built without git, installed where nothing is, run by who may write nowhere."""

from __future__ import annotations

import ctypes
import os
import shutil
import subprocess
import sys
import sysconfig
import venv
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ARCHIVED = ("src", "pyproject.toml", "README.md", "LICENSE")
PR_CAPBSET_DROP, CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH = 24, 1, 2  # linux/prctl.h, linux/capability.h
NO_ACCOUNT = """
import pwd
def unknown(uid):
    raise KeyError(uid)
pwd.getpwuid = unknown
from handline.cli import main
main()
"""

pytest.importorskip("hatchling", reason="the tool that builds the wheel is not installed here")


@dataclass(frozen=True)
class Installed:
    """A wheel, and a Python of its own that has it in a place nobody may write to."""

    wheel: Path
    python: Path
    site: Path

    def run(self, *words: str, home: Path | None, folder: Path) -> subprocess.CompletedProcess[str]:
        """Run Python in a folder, as somebody who may write to it and to nothing else here."""
        env = {"PATH": os.environ["PATH"], "LANG": "C.UTF-8"}
        if home is not None:
            env["HOME"] = str(home)
        may_all = hasattr(os, "geteuid") and os.geteuid() == 0
        return subprocess.run(
            [self.python, *words],
            cwd=folder,
            env=env,
            preexec_fn=_as_anybody if may_all else None,
            capture_output=True,
            text=True,
            timeout=300,
        )


def _as_anybody() -> None:
    """From here on what may not be written cannot be written, though one is root."""
    libc = ctypes.CDLL(None, use_errno=True)
    for right in (CAP_DAC_OVERRIDE, CAP_DAC_READ_SEARCH):
        if libc.prctl(PR_CAPBSET_DROP, right, 0, 0, 0) != 0:
            raise OSError(ctypes.get_errno(), "a right of root cannot be given up")


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Installed]:
    base = tmp_path_factory.mktemp("supply")
    tree = base / "tree"
    for name in ARCHIVED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, tree / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            tree.mkdir(exist_ok=True)
            shutil.copy(source, tree / name)
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--quiet"]
    building = [*pip, "wheel", "--no-deps", "--no-build-isolation", "--no-index", "--wheel-dir", str(base), str(tree)]
    subprocess.run(building, check=True, env={**os.environ, "GIT_CEILING_DIRECTORIES": str(base)})
    (wheel,) = base.glob("*.whl")
    venv.create(base / "empty", with_pip=False)
    python = base / "empty" / "bin" / "python"
    site = Path(sysconfig.get_path("purelib", vars={"base": str(base / "empty"), "platbase": str(base / "empty")}))
    # What Handline runs on is where this test runs; how it is installed there, in the tree, is not taken over.
    (site / "others.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    into = [sys.executable, "-m", "pip", "--python", str(python), "--disable-pip-version-check", "--quiet", "install"]
    subprocess.run([*into, "--no-deps", "--no-index", str(wheel)], check=True)
    _may_write(base / "empty", allowed=False)
    yield Installed(wheel, python, site)
    _may_write(base / "empty", allowed=True)


def _may_write(folder: Path, *, allowed: bool) -> None:
    for path in (folder, *folder.rglob("*")):
        if not path.is_symlink():
            path.chmod(path.stat().st_mode | 0o200 if allowed else path.stat().st_mode & ~0o222)


@pytest.fixture
def away(tmp_path: Path) -> Path:
    """A folder far from the tree, with a trip in it."""
    shutil.copytree(ROOT / "examples" / "petrel-slab", tmp_path / "trip")
    return tmp_path


@pytest.fixture
def locked_home(tmp_path: Path) -> Path:
    home = tmp_path / "home"
    home.mkdir()
    home.chmod(0o555)
    return home


def test_every_file_of_the_package_is_in_the_wheel(installed: Installed) -> None:
    source = ROOT / "src"
    there = {path.relative_to(source).as_posix() for path in source.rglob("*") if path.is_file()}
    there = {name for name in there if "__pycache__" not in name and ".egg-info" not in name}
    with zipfile.ZipFile(installed.wheel) as wheel:
        packed = {name for name in wheel.namelist() if ".dist-info/" not in name}
        beside = [name.partition(".dist-info/")[2] for name in wheel.namelist() if ".dist-info/" in name]
    assert packed == there
    for name in ("sources.toml", "py.typed", "brief/templates/card.typ", "brief/templates/brief.css"):
        assert f"handline/{name}" in packed
    assert "licenses/LICENSE" in beside
    # What we give on of others has its licence beside it.
    static = [name for name in packed if name.startswith("handline/web/static/htmx")]
    assert sorted(name.rpartition(".")[2] for name in static) == ["js", "txt"]


def test_what_is_run_is_what_was_installed(installed: Installed, away: Path) -> None:
    told = installed.run("-c", "import handline; print(handline.__file__)", home=away, folder=away)
    assert Path(told.stdout.strip()).is_relative_to(installed.site), told.stderr


def test_its_place_and_the_home_cannot_be_written(installed: Installed, away: Path, locked_home: Path) -> None:
    for path in (installed.site / "handline" / "x", locked_home / "x"):
        told = installed.run("-c", f"open({str(path)!r}, 'w')", home=locked_home, folder=away)
        assert "PermissionError" in told.stderr


def test_a_plan_is_made_where_nothing_but_its_folder_can_be_written(
    installed: Installed, away: Path, locked_home: Path
) -> None:
    words = ("-m", "handline", "plan", "trip/trip.toml", "--out", "brief")
    told = installed.run(*words, home=locked_home, folder=away)
    assert told.returncode == 0, told.stderr
    assert not list(locked_home.iterdir())
    for name in ("brief.html", "card.pdf", "home.pdf", "plan.gpx", "plan.ics", "plan.json"):
        assert (away / "brief" / name).stat().st_size > 500


def test_the_web_pages_are_found_in_the_installed_package(installed: Installed, away: Path, locked_home: Path) -> None:
    asking = (
        "from pathlib import Path\nfrom handline.web.plain_pages import _static, _static_names\n"
        "from handline.web.shell import load_template\n"
        "assert all(_static(name) for name in _static_names())\nassert load_template('trips.html')\nprint('found')"
    )
    told = installed.run("-c", asking, home=locked_home, folder=away)
    assert told.stdout.strip() == "found", told.stderr


def test_a_plan_is_made_by_who_has_no_home_at_all(installed: Installed, away: Path) -> None:
    """As in a container that runs under a number without an account."""
    told = installed.run("-c", NO_ACCOUNT, "plan", "trip/trip.toml", "--out", "brief", home=None, folder=away)
    assert told.returncode == 0, told.stderr
