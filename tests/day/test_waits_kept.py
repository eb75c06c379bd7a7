"""What others cost the party, kept: the same crowd is simulated once, another one again."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from dataclasses import dataclass, fields, replace
from functools import lru_cache
from pathlib import Path

import numpy as np
import pytest

from handline.cache_folder import CACHE_VARIABLE, program_stamp
from handline.crowd.arrivals import ByHour, CrowdArrivals, OurParty, StartsAndWalk
from handline.crowd.rules import UP_WAITS, Climbers, CrowdLine
from handline.day import waits_kept as module
from handline.day.crowd_setting import CrowdSetting, set_crowd
from handline.day.line_wait import WaitByClock
from handline.day.party_waits import RANKS, PartyWaits, party_waits
from handline.day.setting import set_up
from handline.day.waits_kept import crowd_sha256, kept_waits
from tests.day.trips import typed_trip

CROWD = "people_per_day = 12"


@pytest.fixture(autouse=True)
def _own_cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The stamp stands still: an editor may save a file of the program meanwhile."""
    monkeypatch.setenv(CACHE_VARIABLE, str(tmp_path / "cache"))
    monkeypatch.setattr(module, "program_stamp", lambda: "this one")


@pytest.fixture
def simulated(monkeypatch: pytest.MonkeyPatch) -> list[CrowdSetting]:
    """Crowds that were simulated; waits are made up for the day here, another one each time."""
    asked: list[CrowdSetting] = []

    def made_up(crowd: CrowdSetting, told: object = None) -> PartyWaits:
        asked.append(crowd)
        half = np.arange(2.0 * RANKS).reshape(2, RANKS) / 3.0
        up = WaitByClock(1800.0 * np.arange(3.0), half + len(asked), half)
        return PartyWaits(up, replace(up, held_s=np.zeros((2, RANKS))))

    monkeypatch.setattr(module, "party_waits", made_up)
    return asked


@lru_cache(maxsize=16)
def _crowd(**typed: str) -> CrowdSetting:
    return set_crowd(set_up(typed_trip(**{"days": 100, "crowd": CROWD} | typed)), 1)


def _same(one: PartyWaits, other: PartyWaits) -> bool:
    return all(
        np.array_equal(getattr(getattr(one, way), field.name), getattr(getattr(other, way), field.name))
        for way in ("up", "down")
        for field in fields(WaitByClock)
    )


def test_the_same_values_come_back() -> None:
    told: list[float] = []
    first = kept_waits(_crowd(), lambda what, share: told.append(share))
    assert told[-1] == 1.0
    assert first.up.wait_s.shape[0] > 5
    assert (first.up.wait_s + first.up.held_s).max() > 0.0
    again = kept_waits(_crowd(), lambda what, share: pytest.fail("simulated again"))
    assert _same(first, again)
    assert _same(first, party_waits(_crowd()))


def test_what_the_crowd_does_not_depend_on_is_not_asked_again(simulated: list[CrowdSetting]) -> None:
    first = kept_waits(_crowd())
    assert _same(kept_waits(_crowd(limits="chance = 0.75")), first)
    assert _same(kept_waits(_crowd(wait="40 min")), first)
    assert _same(kept_waits(set_crowd(_crowd().setting, 7)), first)
    assert len(simulated) == 1


@pytest.mark.parametrize(
    "typed",
    [
        {"crowd": f'{CROWD}\npass_time = "16 s"'},
        {"crowd": "people_per_day = 13"},
        {"crowd": f"{CROWD}\nfreeze_chance = 0.03"},
        {"crowd": f'{CROWD}\nstarts = "06:30"'},
        {"line": 'climb_rate = "6 m/min"'},
        {"tether": "none"},
        {"rock": "wet"},
        {"seed": 2},
    ],
)
def test_another_crowd_is_another_question(simulated: list[CrowdSetting], typed: dict[str, str]) -> None:
    first = kept_waits(_crowd())
    assert not _same(kept_waits(_crowd(**typed)), first)
    assert len(simulated) == 2
    assert _same(kept_waits(_crowd()), first)
    assert len(simulated) == 2


def test_another_program_asks_again(simulated: list[CrowdSetting], monkeypatch: pytest.MonkeyPatch) -> None:
    assert module.program_stamp() != program_stamp()
    kept_waits(_crowd())
    monkeypatch.setattr(module, "program_stamp", program_stamp)
    kept_waits(_crowd())
    assert len(simulated) == 2


def test_every_number_of_a_crowd_is_in_the_hash() -> None:
    """Each field altered alone gives another hash; but those of the trip and the party's own clock do not."""
    crowd = _crowd()
    arrivals, comes, ours = crowd.arrivals, crowd.arrivals.comes, crowd.arrivals.ours
    assert isinstance(comes, StartsAndWalk)
    assert ours is not None
    hashes = {crowd_sha256(crowd)}
    altered: list[CrowdSetting] = [
        replace(crowd, hands_s=crowd.hands_s + 1.0),
        replace(crowd, hands_s=crowd.hands_s.astype(np.float32)),
        replace(crowd, people=crowd.people + 1),
    ]
    for name in ("bay_length_m", "pass_s", "places"):
        altered.append(replace(crowd, line=replace(crowd.line, **{name: getattr(crowd.line, name) + 1})))
    altered.append(replace(crowd, line=replace(crowd.line, yields=UP_WAITS)))
    altered.append(replace(crowd, line=replace(crowd.line, down_opens_clock_s=40_000.0)))
    for field in fields(Climbers):
        value = 0.5 * getattr(crowd.climbers, field.name) + 0.07
        altered.append(replace(crowd, climbers=replace(crowd.climbers, **{field.name: value})))
    for name in ("start_clock_s", "start_sigma_s", "walk_s", "walk_sigma"):
        altered.append(crowd.coming(replace(comes, **{name: getattr(comes, name) + 1.0})))
    altered.append(crowd.coming(replace(comes, weight=comes.weight[::-1])))
    altered.append(crowd.coming(ByHour(np.array([1.0]), np.array([2.0]), np.array([3.0]))))
    for name, value in (("people", 5), ("seed", 5), ("come_share", 0.5), ("party_of", 5), ("ours", None)):
        altered.append(replace(crowd, arrivals=replace(arrivals, **{name: value})))
    altered.append(replace(crowd, arrivals=replace(arrivals, ours=OurParty(ours.size + 1, ours.clock_s))))
    hashes |= {crowd_sha256(one) for one in altered}
    assert len(hashes) == 1 + len(altered)
    for kind, tried in ((CrowdLine, 5), (CrowdArrivals, 6), (StartsAndWalk, 5), (OurParty, 2), (CrowdSetting, 8)):
        assert len(fields(kind)) == tried  # a new field: alter it above too
    same = replace(crowd, setting=None, people_says="whoever", foot_leg=9)  # type: ignore[arg-type]
    same = replace(same, arrivals=replace(arrivals, ours=OurParty(ours.size, np.arange(3.0))))
    assert crowd_sha256(same) == crowd_sha256(crowd)


def test_a_new_field_is_in_the_hash_by_itself() -> None:
    @dataclass(frozen=True)
    class Hurried(Climbers):
        hurry: float = 0.0

    known = {field.name: getattr(_crowd().climbers, field.name) for field in fields(Climbers)}
    one, other = (replace(_crowd(), climbers=Hurried(**known, hurry=hurry)) for hurry in (0.0, 0.25))
    assert len({crowd_sha256(one), crowd_sha256(other), crowd_sha256(_crowd())}) == 3


def test_what_cannot_be_told_apart_is_refused() -> None:
    with pytest.raises(TypeError, match="no place in the hash"):
        crowd_sha256(replace(_crowd(), people={1, 2}))  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="no place in the hash"):
        crowd_sha256(replace(_crowd(), hands_s=np.array([object()])))


def _broken(whole: dict[str, dict[str, list[object]]]) -> list[str]:
    """What a file may hold that is not as it was written."""
    texts = ["", "marble", "[]", "3", "{}", '{"up": 1, "down": 2}', json.dumps(whole)[:-40], "\x00"]
    for name, value in (
        ("edges_clock_s", [0.0]),
        ("edges_clock_s", [0.0, 1.0]),
        ("edges_clock_s", [2.0, 1.0, 0.0]),
        ("wait_s", 3),
        ("wait_s", [[0.0] * RANKS, [0.0]]),
        ("wait_s", [[0.0] * RANKS, [-1.0] * RANKS]),
        ("held_s", [[0.0] * RANKS, [float("inf")] * RANKS]),
        ("held_s", [[0.0] * RANKS, [float("nan")] * RANKS]),
        ("held_s", [[0] * RANKS, [10**400] * RANKS]),
        ("held_s", [[0.0], [0.0]]),
        ("held_s", {"a": 1}),
        ("held_s", [["x"] * RANKS] * 2),
    ):
        texts.append(json.dumps(whole | {"down": whole["down"] | {name: value}}))
    return texts


def test_what_is_kept_and_cannot_be_is_simulated_again(simulated: list[CrowdSetting], tmp_path: Path) -> None:
    kept_waits(_crowd())
    (file,) = (tmp_path / "cache" / "waits").iterdir()
    texts = _broken(json.loads(file.read_text(encoding="utf-8")))
    for number, text in enumerate(texts, start=2):
        file.write_text(text, encoding="utf-8")
        kept_waits(_crowd())
        assert len(simulated) == number, text
        kept_waits(_crowd())
        assert len(simulated) == number, text
    file.write_bytes(b"\xff\xfe\x80")
    kept_waits(_crowd())
    assert len(simulated) == len(texts) + 2


def test_a_folder_that_cannot_be_written_is_no_error(
    simulated: list[CrowdSetting], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "a-file"
    file.write_text("here", encoding="utf-8")
    monkeypatch.setenv(CACHE_VARIABLE, str(file / "cache"))
    assert kept_waits(_crowd()).up.ranks == RANKS
    assert kept_waits(_crowd()).up.ranks == RANKS
    assert len(simulated) == 2


ASKED = f"""
import sys
from handline.day.crowd_setting import has_crowd, set_crowd
from handline.day import waits_kept
from handline.day.setting import set_up
from tests.day.trips import typed_trip

waits_kept.program_stamp = lambda: "this one"

def stop(what, share):
    raise SystemExit("simulated again")

setting = set_up(typed_trip(days=100, crowd={CROWD!r}))
assert has_crowd(setting)
print(waits_kept.kept_waits(set_crowd(setting, 1), stop).up.wait_s.size)
print(sorted(name for name in sys.modules if name == "numba" or name == "handline.crowd.kernel"))
"""


def test_reading_it_back_needs_no_kernel(simulated: list[CrowdSetting], tmp_path: Path) -> None:
    kept_waits(_crowd())
    root = Path(__file__).parents[2]
    paths = os.pathsep.join(filter(None, (str(root), os.environ.get("PYTHONPATH"))))
    done = subprocess.run(
        [sys.executable, "-c", ASKED],
        capture_output=True, text=True, check=False, cwd=root, env=os.environ | {"PYTHONPATH": paths},
    )  # fmt: skip
    assert done.stderr == ""
    assert done.stdout.splitlines() == [str(2 * RANKS), "[]"]
