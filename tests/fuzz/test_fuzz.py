"""Two thousand inputs, the same ones every time; and that what watches them would see a fault."""

from __future__ import annotations

import math
import time
import warnings
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

from handline.day.planning import make_plan
from handline.errors import HandlineError, InputError, Problem
from handline.line.audit import Outcome
from tests.day.trips import typed_trip
from tests.fuzz import watched as watched_module
from tests.fuzz.entrances import FUZZED, Fuzzed, seen
from tests.fuzz.not_known import NOT_KNOWN, unflagged
from tests.fuzz.watched import Overrun, says_too_little, watched

INPUTS = 2_000


@pytest.fixture(scope="module", autouse=True)
def warm() -> None:
    """What is compiled once, before any input is timed."""
    make_plan(typed_trip(days=100))


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder for inputs that fail on purpose."""
    monkeypatch.setattr(watched_module, "KEPT", tmp_path)
    monkeypatch.setattr(watched_module, "ROOT", tmp_path)
    return tmp_path


@pytest.mark.parametrize("fuzzed", FUZZED, ids=lambda fuzzed: fuzzed.kind)
def test_no_input_is_a_traceback_a_hang_or_a_number_that_is_none(fuzzed: Fuzzed) -> None:
    count = INPUTS * fuzzed.of_thousand // 1000
    few = settings(
        max_examples=count, derandomize=True, deadline=None, database=None, suppress_health_check=list(HealthCheck)
    )
    before = dict(seen)
    few(given(fuzzed.inputs)(fuzzed.check))()
    # A fuzzer whose inputs are all turned away at the door tells nothing of the house.
    assert seen != before or fuzzed.kind == "toml"


def test_the_parts_are_the_whole() -> None:
    assert sum(fuzzed.of_thousand for fuzzed in FUZZED) == 1000


def test_what_is_raised_and_no_error_of_ours_is_a_fault_and_kept(kept: Path) -> None:
    def case() -> None:
        raise KeyError("x")

    with pytest.raises(AssertionError, match=r"KeyError: 'x'\nthe input is kept in trip-\w+\.toml"):
        watched("trip", b"[trip]", ".toml", case)
    (file,) = kept.iterdir()
    assert file.read_bytes() == b"[trip]"


def test_a_warning_is_a_fault(kept: Path) -> None:
    with pytest.raises(AssertionError, match="RuntimeWarning: overflow"):
        watched("trip", b"", ".toml", lambda: warnings.warn("overflow", RuntimeWarning, stacklevel=1))


@pytest.mark.parametrize(
    ("shorter", "busy"), [("LONGEST_S", lambda: sum(range(100_000))), ("LONGEST_CLOCK_S", lambda: time.sleep(0.01))]
)
def test_a_hang_is_a_fault(kept: Path, monkeypatch: pytest.MonkeyPatch, shorter: str, busy) -> None:
    monkeypatch.setattr(watched_module, shorter, 0.05)

    def case() -> None:
        try:
            while True:
                busy()
        except Exception:
            pytest.fail("a handler of Exception stops the watch")

    with pytest.raises(AssertionError, match="Overrun: longer than") as caught:
        watched("trip", b"", ".toml", case)
    assert isinstance(caught.value.__cause__, Overrun)


def test_an_error_must_say_where_and_what() -> None:
    good = InputError([Problem("too long", file="a/trip.toml", key="line.length")])
    assert says_too_little(good, "trip.toml") == ""
    assert says_too_little(InputError([]), None) == "an error without a problem"
    assert says_too_little(InputError([Problem(" ")]), None) == "a problem without words"
    assert says_too_little(InputError([Problem("too long")]), "trip.toml") == "a problem that does not name trip.toml"
    assert says_too_little(HandlineError(""), None) == "an error without words"


def test_a_number_that_is_none_is_found_where_nothing_says_why() -> None:
    plan = make_plan(typed_trip(days=100))
    assert unflagged(plan) == []
    assert unflagged(replace(plan, storm=replace(plan.storm, chance=math.nan))) == ["storm.chance"]
    bare = next(row for row in plan.line.tethers if row.name == "none")
    assert all(math.isnan(outcome.force_N[0]) for outcome in bare.outcomes)
    wrong: tuple[Outcome, ...] = tuple(replace(outcome, stopped_share=0.1) for outcome in bare.outcomes)
    line = replace(plan.line, tethers=(replace(bare, outcomes=wrong),))
    assert unflagged(replace(plan, line=line)) == ["line.tethers[].outcomes[].force_N[]"]
    assert all(known.why for known in NOT_KNOWN.values())
