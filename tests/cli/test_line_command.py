"""handline line from the command line: on screen, on disk, as JSON, asked otherwise, and refused."""

from __future__ import annotations

import json
import re
from functools import partial
from pathlib import Path

import pytest

from tests.cli.command_line import PETREL, TAMSIN, assert_refused, run, run_in_a_process, when_changed

pytestmark = pytest.mark.usefixtures("hundred_columns")
_run = partial(run, "line")

ASKED = ("--state", "lowered", "--rock", "wet", "--mass", "95 kg", "--tether", "one sling", "--reach", "0.8 m")


def test_without_a_folder_nothing_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    beside = when_changed(TAMSIN.parent)
    code, text = _run(TAMSIN)
    assert code == 0
    assert "add --out FOLDER" in text
    assert list(tmp_path.iterdir()) == []
    assert when_changed(TAMSIN.parent) == beside


def test_hands_that_give_out_on_the_rock_of_the_day_are_to_be_heeded() -> None:
    assert "Hands: heed" in _run(PETREL)[1]
    assert "Hands: heed" not in _run(TAMSIN)[1]


def test_it_answers_on_one_screen_and_writes_the_page(tmp_path: Path) -> None:
    code, text = _run(TAMSIN, "--out", tmp_path)
    said = " ".join(text.split())
    assert code == 0
    for words in (
        "the Tamsin line raised rock dry", "HEED: This tether stops a slip", "absorbing lanyard (yours)",
        "× one sling", "would pass for protection and is not", "to 6.0 kN", "if not:",
        "Passing, raised 37 changeovers each way", "Passing, lowered 3 changeovers each way", "two who slip at one",
        "Rigid body, the careful side", "from memory", "Hands", "wet, up", "slack:", "braking:", "qualified guides",
        "line.html",
    ):  # fmt: skip
        assert words in said
    assert len(text.splitlines()) <= 55
    assert max(len(line) for line in text.splitlines() if not line.startswith("Page:")) <= 100
    assert not re.search(r"\bsafe\b", text, re.IGNORECASE)
    assert (tmp_path / "line.html").exists()


def test_what_is_no_protection_is_said_once() -> None:
    said = " ".join(_run(TAMSIN, "--state", "lowered")[1].split())
    assert said.count("runs free to the next anchor") == 1
    assert "It looks like protection and is not: it runs free" in said
    assert "It would pass for protection" not in said


def test_what_if_says_at_its_top_what_was_changed_and_leaves_the_file(tmp_path: Path) -> None:
    before = TAMSIN.read_bytes()
    code, text = _run(TAMSIN, *ASKED, "--out", tmp_path)
    assert code == 1
    top = " ".join(" ".join(text.splitlines()[:6]).split())
    assert top.startswith("the Tamsin line lowered rock wet")
    for words in (
        "Changed for this once", "the line lowered (the file: by season)",
        "wet rock (the file: as the weather makes it)", "209 lb",
        "one sling (the file: absorbing lanyard)", "a reach of 2.6 ft (the file: 3.0 ft)",
    ):  # fmt: skip
        assert words in top
    said = " ".join(text.split())
    assert "STOP: Do not count on this tether: it is no stop here." in said
    assert "tied to one strand, nothing holds you at 3 changeovers each way" in said
    assert len(text.splitlines()) <= 60
    assert TAMSIN.read_bytes() == before
    assert "Changed for this once" in (tmp_path / "line.html").read_text(encoding="utf-8")


def test_json_is_the_report(tmp_path: Path) -> None:
    code, text = _run(TAMSIN, *ASKED, "--json", "--out", tmp_path)
    told = json.loads(text)
    assert code == 1
    assert [change["option"] for change in told["changed"]] == ["--state", "--rock", "--mass", "--tether", "--reach"]
    assert (told["line"]["state"], told["line"]["rock"], told["level"]) == ("lowered", "wet", "stop")
    # 95 kg asked for, and what the gear list comes to on the way to the foot.
    assert 95.0 + 8.0 < told["body_mass_kg"] < 95.0 + 15.0
    chosen = told["line"]["tethers"][0]
    assert (chosen["name"], chosen["reach_m"]) == ("one sling", 0.8)
    for case in chosen["today"]:
        assert sum(case[f"{end}_share"] for end in ("stopped", "over", "breaks", "unstopped")) == pytest.approx(1.0)


def test_units_change_words_and_no_number(tmp_path: Path) -> None:
    (_, us), (_, si) = (_run(TAMSIN, "--units", units, "--out", tmp_path) for units in ("us", "si"))
    assert "315 ft of cable" in us
    assert "96 m of cable" in si
    assert "lbf" not in si
    shares = [re.findall(r"(?:over |under )?\d+ %", " ".join(text.split())) for text in (us, si)]
    assert shares[0] == shares[1]


def test_a_brake_and_a_hitch_say_both_cases(tmp_path: Path) -> None:
    code, text = _run(PETREL, "--tether", "autoblock hitch", "--out", tmp_path)
    assert code == 1
    assert "a brake for a hand that holds it, and no stop" in " ".join(text.split())
    _, text = _run(PETREL, "--tether", "friction hitch", "--out", tmp_path)
    row = next(line for line in text.splitlines() if "friction hitch (yours)" in line)
    assert row.count("%") == 5
    assert "Hang your weight on it" in " ".join(text.split())


def test_with_nothing_attached(tmp_path: Path) -> None:
    code, text = _run(TAMSIN, "--tether", "none", "--out", tmp_path)
    assert code == 1
    assert "STOP: Nothing is attached, and nothing stops a slip." in text
    assert "untied all the way" in text


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (("--rock", "wett"), ("[--rock]: unknown state of the rock", "read: wett", 'did you mean "wet"?')),
        (("--state", "up"), ("[--state]: unknown state of the line", "allowed: raised, lowered")),
        (("--mass", "95"), ("[--mass]: the number has no unit", '"80 kg" or "176 lb"')),
        (("--mass", "950 kg"), ("[--mass]: this mass is too large", "from 30 kg to 200 kg")),
        (("--reach", "0 m"), ("[--reach]: this length is too small", "from 0.1 m to 3 m")),
        (("--tether", "one slng"), ("[--tether]: unknown tether", 'did you mean "one sling"?')),
        (("--tether", "none", "--reach", "1 m"), ("[--reach]: with nothing attached",)),
    ],
)
def test_what_cannot_be_used_is_refused_plainly(args: tuple[str, ...], said: tuple[str, ...], tmp_path: Path) -> None:
    assert_refused(_run(TAMSIN, *args, "--out", tmp_path / "new"), said, tmp_path / "new")


def test_all_that_is_wrong_is_told_at_once(tmp_path: Path) -> None:
    code, text = _run(TAMSIN, "--rock", "slimy", "--mass", "2 t", "--out", tmp_path)
    assert code == 2
    assert "[--rock]" in text
    assert "[--mass]" in text
    assert "2 problems in all" in text


def test_same_bytes_in_another_process(tmp_path: Path) -> None:
    seeds, asked = ("1", "2"), ("line", TAMSIN, "--json")
    told = [run_in_a_process(seed, *asked, "--out", tmp_path / seed) for seed in seeds]
    pages = [(tmp_path / seed / "line.html").read_bytes() for seed in seeds]
    assert told[0] == told[1]
    assert pages[0] == pages[1]
