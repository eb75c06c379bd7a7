"""What a command loads: an allow-list, for whatever slips in by the way makes every start slower."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[2] / "examples"
PETREL, TAMSIN = (str(EXAMPLES / name / "trip.toml") for name in ("petrel-slab", "tamsin-dome"))

# Part of what stands in a venv or of an allowed package, under a name of its own.
_OF_OTHERS = ("__main__", "_cython", "cython_runtime", "_cyutility", "_sysconfigdata", "_distutils_hack")
NOTHING = {"handline"}
CLICK = NOTHING | {"click"}
MODEL = {"pydantic", "pydantic_core", "annotated_types", "typing_extensions", "typing_inspection"}
TRIP = CLICK | MODEL | {"numpy", "pyproj", "certifi", "defusedxml"}
SKY = TRIP | {"skyfield", "skyfield_data", "jplephem", "sgp4"}
COMPILED = {"numba", "llvmlite", "scipy", "yaml"}
SCREEN = {"rich", "pygments"}
TERRAIN = {"rasterio", "affine", "attr", "attrs", "pyparsing", "cligj"}
BRIEF = {"dateutil", "six", "icalendar", "jinja2", "markupsafe", "typst", "vl_convert", "tzdata"}

ALLOWED = {
    "--help": CLICK,
    "--version": CLICK,
    "line --help": CLICK,
    "plan --help": CLICK,
    "sources": CLICK,
    "schema": CLICK | MODEL,
    f"line {PETREL} --rock dry": TRIP | SCREEN,
    f"weather {PETREL}": SKY | SCREEN,
    f"load {PETREL}": SKY | SCREEN,
    f"plan {PETREL} --out OUT": SKY | SCREEN | BRIEF,
    f"crowd {TAMSIN} --days 20": SKY | SCREEN | COMPILED | TERRAIN,
}

RUN = """
import json, sys
from handline.cli import main
try:
    main(sys.argv[1:])
except SystemExit:
    pass
loaded = {name.partition(".")[0] for name in sys.modules} - set(sys.stdlib_module_names)
print(json.dumps(sorted(loaded)), file=sys.stderr)
"""


def _loaded(code: str, *arguments: str) -> set[str]:
    """The packages that are loaded after a run, without those of Python itself."""
    done = subprocess.run([sys.executable, "-c", code, *arguments], capture_output=True, text=True, check=True)
    names = json.loads(done.stderr.splitlines()[-1])
    return {name for name in names if not name.startswith(_OF_OTHERS)}


def test_the_package_alone_loads_nothing() -> None:
    alone = re.sub(r"from handline.cli(.|\n)*?pass\n", "import handline\n", RUN)
    assert "main" not in alone
    assert _loaded(alone) == NOTHING


@pytest.mark.parametrize("command", ALLOWED, ids=lambda command: command.replace(str(EXAMPLES), ""))
def test_a_command_loads_what_it_may(command: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    arguments = [str(tmp_path / "brief") if word == "OUT" else word for word in command.split(" ")]
    monkeypatch.setenv("HANDLINE_CACHE", str(tmp_path / "kept"))
    loaded = _loaded(RUN, *arguments)
    assert loaded - ALLOWED[command] == set()
    assert "handline" in loaded


def test_the_help_loads_no_other_part_of_our_own() -> None:
    code = RUN.replace('{name.partition(".")[0] for name in sys.modules}', "set(sys.modules)")
    assert {name for name in _loaded(code, "--help") if name.startswith("handline")} == {"handline", "handline.cli"}
