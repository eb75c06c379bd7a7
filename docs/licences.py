"""The page of licences: of every package that Handline runs on, as its metadata says, and of what it carries along.

The packages are those of the lock files, whatever machine reads them, so that the page is the same everywhere. No
version stands in it: a licence that changes with a version shows as a change of the page.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError, distribution
from pathlib import Path

ROOT = Path(__file__).parents[1]
LOCKED = ROOT / "requirements" / "test.txt"
OWN = "handline (pyproject.toml)"
EXTRAS: Mapping[str, str] = {"rasterio": "dem", "distributed": "cluster"}
"""Packages that only an extra asks for."""

ACCEPTED = frozenset({
    "0BSD", "Apache-2.0", "Apache-2.0 WITH LLVM-exception", "Bitstream-Vera", "BSD-2-Clause", "BSD-3-Clause", "CC0-1.0",
    "ISC", "MIT", "MIT-0", "MPL-2.0", "OFL-1.1", "PSF-2.0", "Unlicense", "Zlib",
})  # fmt: skip
"""What may be used by a program under the MIT licence that is given on. MPL-2.0 asks that changes to its own files stay
open; Handline changes none."""

FIELD: Mapping[str, str] = {
    "MIT": "MIT",
    "PSFL": "PSF-2.0",
    "MPL-2.0": "MPL-2.0",
    "Apache-2.0": "Apache-2.0",
    "Apache 2.0": "Apache-2.0",
    "BSD-2-Clause": "BSD-2-Clause",
    "BSD-3-Clause": "BSD-3-Clause",
}
"""What older metadata says in its licence field, where that can mean only one licence."""
CLASSIFIER: Mapping[str, str] = {"MIT License": "MIT"}

READ: Mapping[str, str] = {
    "click-plugins": "BSD-3-Clause",
    "cligj": "BSD-3-Clause",
    "colorama": "BSD-3-Clause",
    "importlib-metadata": "Apache-2.0",
    "jinja2": "BSD-3-Clause",
    "lazy-importer": "Apache-2.0",
    "numba": "BSD-2-Clause",
    "numpy": "BSD-3-Clause AND 0BSD AND MIT AND Zlib AND CC0-1.0",
    "partd": "BSD-3-Clause",
    "python-dateutil": "Apache-2.0 OR BSD-3-Clause",
    "rasterio": "BSD-3-Clause",
    "zict": "BSD-3-Clause",
    "zipp": "MIT",
}
"""Read in the licence file of the package: its metadata does not say it in one word, or not every machine has it."""


@dataclass(frozen=True)
class Carried:
    """What is not asked of a package at run time but given on: by us, or inside a brief."""

    what: str
    where: str
    licence: str
    said_by: str


_MEMORY = "from memory"
CARRIED = (
    Carried("htmx", "in the package, with its licence beside it", "0BSD", "its licence file"),
    Carried("Vega, Vega-Lite, Vega-Embed, Vega's expression interpreter", "in brief.html", "BSD-3-Clause", _MEMORY),
    Carried("D3, which Vega is built on", "in brief.html", "ISC", _MEMORY),
    Carried("Libertinus Serif", "letters of it in PDF files", "OFL-1.1", _MEMORY),
    Carried("Liberation Sans", "letters of it in PDF files", "OFL-1.1", _MEMORY),
    Carried("DejaVu Sans Mono", "letters of it in PDF files", "Bitstream-Vera", _MEMORY),
)
"""What Handline gives on that others wrote."""


@dataclass(frozen=True)
class Licence:
    """The licence of one package, and who asks for the package."""

    package: str
    spdx: str | None
    extra: str
    parents: tuple[str, ...]


def licences() -> list[Licence]:
    """Every package that a run, or an extra, may need."""
    parents = _parents()
    runs = _reached(parents, OWN)
    needed_by = {extra: _reached(parents, root) | {root} for root, extra in EXTRAS.items()}
    without = _reached({name: asking - set(EXTRAS) for name, asking in parents.items() if name not in EXTRAS}, OWN)
    found = []
    for name in sorted(runs):
        only_for = [extra for extra, names in needed_by.items() if name in names and name not in without]
        asking = tuple(sorted(parent for parent in parents[name] if parent in runs or parent == OWN))
        found.append(Licence(name, spdx_of(name), " or ".join(sorted(only_for)), asking))
    return found


def spdx_of(package: str) -> str | None:
    """The licence as an SPDX expression; None where nobody knows it."""
    if package in READ:
        return READ[package]
    try:
        about = distribution(package).metadata
    except PackageNotFoundError:
        return None
    if about.get("License-Expression"):
        return str(about.get("License-Expression"))
    if (about.get("License") or "") in FIELD:
        return FIELD[about.get("License")]
    said = [line.rpartition(" :: ")[2] for line in about.get_all("Classifier") or () if line.startswith("License")]
    return CLASSIFIER.get(said[0]) if len(said) == 1 else None


def is_accepted(spdx: str) -> bool:
    """Whether every licence of an expression, or one of those to choose from, is accepted."""
    return all(
        any(one.strip(" ()") in ACCEPTED for one in part.split(" OR ")) for part in re.split(r" AND ", spdx)
    )  # fmt: skip


def _parents() -> dict[str, set[str]]:
    """Who asks for each locked package, as the lock file says below it."""
    asking: dict[str, set[str]] = {}
    name = ""
    for line in LOCKED.read_text(encoding="utf-8").splitlines():
        if found := re.match(r"([a-z0-9._-]+)==", line):
            name = found[1]
            asking.setdefault(name, set())
        elif found := re.match(r"    # (?:via|  )\s*(\S.*)$", line):
            asking[name].add(found[1])
    return asking


def _reached(parents: Mapping[str, set[str]], root: str) -> set[str]:
    """All packages that a root needs, straight or through others."""
    reached: set[str] = set()
    while more := {name for name, asking in parents.items() if asking & (reached | {root})} - reached:
        reached |= more
    return reached


def licences_page() -> str:
    """The licences as a page."""
    rows = [
        "# Licences\n",
        "Handline is under the MIT licence. It is given on without the packages that it runs on: an installer fetches "
        "them, each with its own licence, as its metadata or its licence file says. All may be used by a program "
        "under the MIT licence; a test refuses a package whose licence is not known or not among "
        f"{', '.join(sorted(ACCEPTED))}. Wheels of some packages hold compiled libraries of others, whose licences lie "
        "inside those wheels.\n",
        "| package | licence | only for | asked for by |\n|---|---|---|---|",
    ]
    for one in licences():
        asking = ", ".join(parent.replace(OWN, "Handline") for parent in one.parents)
        extra = f"the extra `{one.extra}`" if one.extra else ""
        rows.append(f"| {one.package} | {one.spdx or '**not known**'} | {extra} | {asking} |")
    rows.append("\n## What is carried along\n\n| what | where | licence | as said by |\n|---|---|---|---|")
    rows += [f"| {carried.what} | {carried.where} | {carried.licence} | {carried.said_by} |" for carried in CARRIED]
    rows.append(
        "\nTools for tests and checks are not in this list: Handline runs without them and does not give them on."
    )
    return "\n".join(rows) + "\n"
