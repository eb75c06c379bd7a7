"""The lock files: hashed, without a host, and the oldest versions are those that pyproject.toml says."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LOCKED = sorted((ROOT / "requirements").glob("*.txt"))
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def _pins(text: str) -> dict[str, set[str]]:
    pins: dict[str, set[str]] = {}
    for name, pinned in re.findall(r"^([a-z0-9._-]+)==([^\s;]+)", text, re.MULTILINE):
        pins.setdefault(name, set()).add(pinned)
    return pins


def _padded(version: str) -> tuple[str, ...]:
    """Its first three numbers: 2.9 is 2.9.0, and 2.9.0.post0 too."""
    return tuple([*version.strip().split("."), "0", "0"][:3])


@pytest.mark.parametrize("file", LOCKED, ids=lambda file: file.name)
def test_every_pin_has_its_hash_and_no_host(file: Path) -> None:
    text = file.read_text(encoding="utf-8")
    blocks = re.split(r"^(?=[a-z0-9._-]+==)", text, flags=re.MULTILINE)[1:]
    assert blocks
    for block in blocks:
        assert "--hash=sha256:" in block, block.splitlines()[0]
    assert not re.search(r"https?://|index-url|find-links", text)


@pytest.mark.parametrize("name", ["minimums.txt", "minimums-test.txt"])
def test_the_oldest_versions_are_those_we_say(name: str) -> None:
    """Where this fails a minimum was changed: run `make lock-minimums`, then `make minimums`."""
    pins = _pins((ROOT / "requirements" / name).read_text(encoding="utf-8"))
    asked = [*PROJECT["dependencies"], *(one for extra in PROJECT["optional-dependencies"].values() for one in extra)]
    for line in asked:
        package, least = line.split(">=")
        assert _padded(least) in {_padded(pin) for pin in pins[package.strip()]}, line
