"""handline quota from the command line: on screen, on disk, as JSON, and refused."""

from __future__ import annotations

import json
import re
from functools import partial
from pathlib import Path

import pytest

from tests.cli.command_line import PETREL, TAMSIN, assert_refused, run

pytestmark = pytest.mark.usefixtures("hundred_columns")
_run = partial(run, "quota")


def test_it_answers_on_one_screen_and_writes_the_page(tmp_path: Path) -> None:
    code, text = _run(PETREL, "--people", 120, "--limit", "20 min", "--out", tmp_path / "new")
    said = " ".join(text.split())
    assert code == 0
    for words in (
        "Now 120 (as asked, whatever the file says)", "wait over 20 min", "people a day at most 5 % wait over 20 min",
        "The knee, from where each more costs more, is at", "starts spread twice as wide", "timed entry, evenly from",
        "who goes up waits until the bay is free", "farthest below the straight line", "One-way hours",
        "real people do worse", "qualified guides", "quota.html",
    ):  # fmt: skip
        assert words in said
    assert len(re.findall(r"^ +\d+ .*%.*min", text, re.MULTILINE)) == 12
    assert text.count("  knee\n") == 1 or len(re.findall(r"min\)? +knee\s*$", text, re.MULTILINE)) == 1
    assert max(len(line) for line in text.splitlines() if not line.startswith("Page:")) <= 100
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert (tmp_path / "new" / "quota.html").exists()


def test_json_is_the_report() -> None:
    code, text = _run(TAMSIN, "--people", 36, "--json", "--units", "si")
    told = json.loads(text)
    assert code == 0
    assert (told["limit_s"], told["people_now"], told["units"]) == (2700.0, 160, "si")
    assert [point["people"] for point in told["curves"][0]["points"]] == list(range(3, 37, 3))
    assert told["provenance"]["days"] == 60


def test_who_does_not_say_how_many_is_told_what_to_type() -> None:
    code, text = _run(PETREL)
    assert code == 2
    assert "add --people 120" in text


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--limit", "45"), ("[--limit]: the number has no unit", '"45 min" or "2 h 30 min"')),
        (("--limit", "0 min"), ("[--limit]: this duration is too small", "from 1 min to 12 h")),
        (("--limit", "12 kg"), ("[--limit]",)),
        (("--days", "59"), ("[--days]: this number is too small", "from 60 to 20,000")),
        (("--people", "-1", "--limit", "x"), ("[--people]", "[--limit]", "2 problems in all")),
    ],
)
def test_what_cannot_be_used_is_refused_plainly(args: tuple[str, ...], said: tuple[str, ...], tmp_path: Path) -> None:
    assert_refused(_run(TAMSIN, *args, "--out", tmp_path / "new"), said, tmp_path / "new")
