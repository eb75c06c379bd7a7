"""Reading PDF pages with poppler's tools. Where they are missing the tests skip and say so.

With HANDLINE_REQUIRE_POPPLER=1 they fail instead.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import numpy.typing as npt
import pytest

Pixels = npt.NDArray[np.int_]


def needs_poppler() -> None:
    """Skip, or fail where the tools must be there."""
    if shutil.which("pdftotext") is None:
        if os.environ.get("HANDLINE_REQUIRE_POPPLER") == "1":
            pytest.fail("pdftotext is missing and HANDLINE_REQUIRE_POPPLER=1")
        pytest.skip("pdftotext is missing: install Debian's poppler-utils to run the tests of the PDF pages")


def _run(tool: str, *arguments: str, pdf: bytes) -> bytes:
    needs_poppler()
    return subprocess.run([tool, *arguments], input=pdf, capture_output=True, check=True).stdout


def info_of(pdf: bytes) -> dict[str, str]:
    """What ``pdfinfo`` tells: "Pages", "Page size" ..."""
    lines = _run("pdfinfo", "-", pdf=pdf).decode().splitlines()
    return {name: value.strip() for name, _, value in (line.partition(":") for line in lines)}


def text_of(pdf: bytes, page: int | None = None) -> str:
    """The words in the order they are set, every space or line break as one space."""
    pages = [] if page is None else ["-f", str(page), "-l", str(page)]
    return " ".join(_run("pdftotext", "-raw", *pages, "-", "-", pdf=pdf).decode().replace("\u200b", "").split())


def word_boxes_of(pdf: bytes) -> list[tuple[float, float, float, float]]:
    """Left, top, right and bottom of every word as shares of its page."""
    boxes = []
    size = (1.0, 1.0)
    for line in _run("pdftotext", "-bbox", "-", "-", pdf=pdf).decode().splitlines():
        page = re.search(r'<page width="([\d.]+)" height="([\d.]+)"', line)
        word = re.search(r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)"', line)
        if page is not None:
            size = (float(page[1]), float(page[2]))
        elif word is not None:
            left, top, right, bottom = (float(value) for value in word.groups())
            boxes.append((left / size[0], top / size[1], right / size[0], bottom / size[1]))
    return boxes


def fonts_of(pdf: bytes) -> list[tuple[str, bool]]:
    """Every font by its name without the mark of its part, and whether it is in the file."""
    rows = _run("pdffonts", "-", pdf=pdf).decode().splitlines()[2:]
    return [(row.split()[0].partition("+")[2], row.split()[-5] == "yes") for row in rows]


def pixels_of(pdf: bytes, page: int, folder: Path, *, grey: bool) -> Pixels:
    """One page as pixels from 0 to 255: (rows, columns) in grey, else (rows, columns, 3)."""
    options = ["-gray"] if grey else []
    stem = folder / ("grey" if grey else "colour")
    _run("pdftoppm", "-r", "60", "-f", str(page), "-l", str(page), "-singlefile", *options, "-", str(stem), pdf=pdf)
    image = stem.with_suffix(".pgm" if grey else ".ppm").read_bytes()
    head = re.match(rb"P[56]\s(\d+)\s(\d+)\s255\s", image)
    assert head is not None
    columns, rows = int(head[1]), int(head[2])
    values = np.frombuffer(image, np.uint8, offset=head.end()).astype(int)
    return values.reshape(rows, columns) if grey else values.reshape(rows, columns, 3)
