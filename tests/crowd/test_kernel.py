"""The kernel against SimPy, against queues with a closed form, and against what must hold on any line."""

from __future__ import annotations

import ast
import itertools
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.crowd.draws import draw_climbers
from handline.crowd.rules import DOWN, UP, YIELDS, Arrivals, CrowdLine
from handline.crowd.simulate import CrowdDays, follow_days, simulate_days
from handline.line.geometry import bays as line_bays
from handline.line.geometry import build_line
from handline.line.passage import passage
from tests.crowd.lines import CLIMBERS, a_line, a_morning, one_day
from tests.referees.simpy_line import simpy_day
from tests.tables.published import read_table


def _hold_against_simpy(days: CrowdDays, service_s: np.ndarray, top_s: np.ndarray) -> None:
    line, clock = days.line, days.arrivals.clock_s
    order = np.argsort(clock, kind="stable")
    waits = YIELDS[line.yields].waits
    referee = simpy_day(
        clock[order].tolist(), service_s[order].tolist(), top_s[order].tolist(), line.places.tolist(), line.pass_s,
        None if waits < 0 else waits, line.down_opens_clock_s,
    )  # fmt: skip
    times = days.bay_times
    assert times is not None
    for climber, i in zip(referee, order, strict=True):
        for way, passes in enumerate(days.ways):
            walked = range(line.bays) if way == UP else range(line.bays)[::-1]
            enter, leave = climber.enter[way], climber.leave[way]
            bays = range(line.bays)
            assert times.enter_clock_s[i, way] == pytest.approx([enter[k] for k in bays], abs=1e-6)
            assert times.leave_clock_s[i, way] == pytest.approx([leave[k] for k in bays], abs=1e-6)
            assert passes.join_clock_s[i] == pytest.approx(climber.join[way], abs=1e-6)
            assert passes.enter_clock_s[i] == pytest.approx(enter[walked[0]], abs=1e-6)
            assert passes.leave_clock_s[i] == pytest.approx(leave[walked[-1]], abs=1e-6)
            assert passes.meetings[i] == climber.met[way]
            assert passes.above_mean[i] == pytest.approx(np.mean(climber.above[way]), abs=1e-9)
            assert passes.above_most[i] == max(climber.above[way])
            at_nodes = sum(enter[there] - leave[here] for here, there in itertools.pairwise(walked))
            assert passes.stance_s[i] == pytest.approx(at_nodes, abs=1e-6)


@pytest.mark.parametrize("yields", YIELDS)
@pytest.mark.parametrize("whole_seconds", [False, True])
@pytest.mark.parametrize("one_way_hours", [False, True])
def test_against_simpy(yields: str, whole_seconds: bool, one_way_hours: bool) -> None:
    """On whole seconds much happens at the same moment, so the order of rule 6 is held to as well."""
    rng = np.random.default_rng([list(YIELDS).index(yields), whole_seconds])
    met = stood = 0.0
    for _ in range(60):
        bays, people = int(rng.integers(1, 8)), int(rng.integers(1, 40))
        line = CrowdLine(np.ones(bays), rng.integers(0, 3, bays + 1), float(rng.choice([0.0, 3.0, 7.0])), yields)
        if one_way_hours:
            line = replace(line, down_opens_clock_s=float(rng.integers(0, 8 * people)))
        clock, service = rng.uniform(0.0, 7.0 * people, people), rng.exponential(6.0, (people, 2, bays))
        top = rng.uniform(0.0, 60.0, people)
        if whole_seconds:
            clock, service, top = np.floor(clock), np.floor(service), np.floor(top)
        days = one_day(line, clock, service, top)
        _hold_against_simpy(days, service, top)
        met += days.up.meetings.sum()
        stood += days.up.held_s.sum() + days.down.held_s.sum()
    assert met > 0
    assert stood > 0


def test_before_it_opens_for_them_nobody_comes_down() -> None:
    """By hand: up by 10 s and 30 s, no stay; the line opens for coming down at 100 s, and both waited for it."""
    line = CrowdLine(np.ones(1), np.zeros(2, int), 0.0, down_opens_clock_s=100.0)
    days = one_day(line, np.array([0.0, 20.0]), np.full((2, 2, 1), 10.0), np.zeros(2))
    assert days.down.join_clock_s.tolist() == [10.0, 30.0]
    assert days.down.enter_clock_s.tolist() == [100.0, 110.0]
    assert days.down.wait_s.tolist() == [90.0, 80.0]
    assert days.up.meetings.tolist() == [0.0, 0.0]


def test_a_crowd_as_drawn_against_simpy() -> None:
    line, arrivals = a_line(12), a_morning(1, 90)
    days = simulate_days(line, CLIMBERS, arrivals, seed=5, keep_bays=True)
    drawn = draw_climbers(line, CLIMBERS, arrivals, seed=5)
    _hold_against_simpy(days, drawn.service_s, drawn.top_s)
    assert days.up.wait_s.max() > 600.0
    assert days.down.meetings.sum() > 100


@pytest.mark.parametrize("row", read_table("queues"), ids=lambda row: f"{row['system']} {row['rho']}")
def test_one_bay_is_the_queue_of_the_textbooks(row: dict[str, str]) -> None:
    """Random arrivals at the foot of one bay, nobody held up by who comes down. Little: people from waits."""
    people, rho, cs2 = 1_000_000, float(row["rho"]), float(row["cs2"])
    rng = np.random.default_rng(len(row["system"]))
    mean_s = 60.0
    clock = np.cumsum(rng.exponential(mean_s / rho, people))
    service = np.zeros((people, 2, 1))
    # A gamma of shape 1/Cs^2 has that squared coefficient of variation; 1 is the exponential.
    service[:, UP, 0] = rng.gamma(1.0 / cs2, mean_s * cs2, people) if cs2 else mean_s
    days = one_day(CrowdLine(np.ones(1), np.zeros(2, int), 0.0), clock, service, keep_bays=False)
    in_all = "both" in row["system"] or "minutes" in row["system"]
    seconds = float(np.mean(days.up.wait_s + (days.up.on_line_s if in_all else 0.0)))
    told = seconds / 60.0 if row["unit"] == "min" else seconds * rho / mean_s
    assert told == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


def _tandem(clock: np.ndarray, service: np.ndarray, places: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """When everybody enters and leaves each bay, one way, by the recursion of a tandem line with blocking.

    Who has finished leaves a bay once the one so many before them as there are places has entered the next; with no
    place, once the next bay is theirs.
    """
    people, bays = service.shape
    enter, leave = np.zeros((people, bays)), np.zeros((people, bays))
    for i in range(people):
        for k in range(bays):
            before = leave[i - 1, k] if i else -np.inf
            if k == 0:
                enter[i, k] = max(clock[i], before)
            elif places[k]:
                ahead = enter[i - places[k], k] if i >= places[k] else -np.inf
                leave[i, k - 1] = max(enter[i, k - 1] + service[i, k - 1], ahead)
                enter[i, k] = max(leave[i, k - 1], before)
            else:
                leave[i, k - 1] = enter[i, k] = max(enter[i, k - 1] + service[i, k - 1], before)
        leave[i, -1] = enter[i, -1] + service[i, -1]
    return enter, leave


@pytest.mark.parametrize("seed", range(8))
def test_one_way_is_the_tandem_recursion(seed: int) -> None:
    rng = np.random.default_rng(seed)
    bays, people = 6, 80
    places = rng.integers(0, 3, bays + 1)
    clock, service = np.sort(rng.uniform(0.0, 700.0, people)), rng.exponential(8.0, (people, 2, bays))
    days = one_day(CrowdLine(np.ones(bays), places, 0.0), clock, service, top_s=100.0)
    assert days.bay_times is not None
    enter, leave = _tandem(clock, service[:, UP], places)
    assert days.bay_times.enter_clock_s[:, UP] == pytest.approx(enter, abs=1e-8)
    assert days.bay_times.leave_clock_s[:, UP] == pytest.approx(leave, abs=1e-8)
    # With nothing to pay for meeting, the way down is a line of its own, from the head.
    enter, leave = _tandem(leave[:, -1] + 100.0, service[:, DOWN, ::-1], places[::-1])
    assert days.bay_times.enter_clock_s[:, DOWN, ::-1] == pytest.approx(enter, abs=1e-8)
    assert days.bay_times.leave_clock_s[:, DOWN, ::-1] == pytest.approx(leave, abs=1e-8)


def test_alone_it_is_the_passage_of_the_line() -> None:
    """One climber with nobody there, every rest taken, against the bays and the passage of the room of the line."""
    line = build_line(
        state="raised",
        section_length_m=(40.0, 56.0),
        section_angle_rad=(0.6, 0.85),
        anchor_m=(0.0, 20.0, 50.0, 96.0),
        stanchion_spacing_m=2.7,
        cables=2,
        cable_diameter_m=0.016,
        stance_m=(20.0, 50.0),
    )
    bays = line_bays(line)
    places = [0, *(1 if bay.stance_m else 0 for bay in bays)]
    crowd_line = CrowdLine(np.array([bay.length_m for bay in bays]), np.array(places), 8.0)
    climbers = type(CLIMBERS)(up_m_s=0.2, down_m_s=0.25, changeover_s=6.0, rest_chance=1.0, rest_s=60.0, top_s=1800.0)
    days = simulate_days(crowd_line, climbers, Arrivals(np.array([30_000.0]), np.array([0, 1])), seed=3)
    for passes, way, rate in ((days.up, "up", 0.2), (days.down, "down", 0.25)):
        alone = passage(line, way, rate_m_s=rate, arms=2, changeover_s=6.0, stance_rest_s=60.0)
        assert passes.on_line_s[0] == pytest.approx(alone.climber_s, abs=1e-8)
        assert passes.wait_s[0] == 0.0
        assert passes.held_s[0] == 0.0
        assert passes.stance_s[0] == 0.0
        assert passes.above_most[0] == 0.0
    assert days.down.join_clock_s[0] == days.up.leave_clock_s[0] + 1800.0
    assert days.clears_clock_s[0] == days.down.leave_clock_s[0]


def test_capacity_is_one_over_the_slowest_bay() -> None:
    people, service_s = 50, np.array([10.0, 25.0, 40.0, 15.0])
    service = np.broadcast_to(service_s, (people, 2, 4)).copy()
    days = one_day(CrowdLine(np.ones(4), np.zeros(5, int), 0.0), np.zeros(people), service, top_s=10_000.0)
    assert np.diff(np.sort(days.up.leave_clock_s)) == pytest.approx(40.0)
    assert np.diff(np.sort(days.down.leave_clock_s)) == pytest.approx(40.0)


def test_a_meeting_costs_both_and_yielding_one() -> None:
    """By hand: one comes down from 100 s on, another goes up from 105 s on, one bay of 20 s each way."""
    clock, service, top = np.array([0.0, 105.0]), np.full((2, 2, 1), 20.0), np.array([80.0, 500.0])
    seen = {}
    for yields in YIELDS:
        days = one_day(CrowdLine(np.ones(1), np.zeros(2, int), 8.0, yields), clock, service, top)
        seen[yields] = (days.down.leave_clock_s[0], days.up.enter_clock_s[1], days.up.leave_clock_s[1])
    assert seen["pass"] == (128.0, 105.0, 133.0)
    assert seen["up waits"] == (120.0, 120.0, 140.0)
    assert seen["down waits"] == (128.0, 105.0, 133.0)


def test_who_stands_blocked_is_passed_too() -> None:
    """By hand: the second up has finished bay 0 at 20 s and waits for bay 1, free at 60 s; somebody comes down past."""
    line = CrowdLine(np.ones(2), np.zeros(3, int), 8.0)
    clock = np.array([0.0, 10.0, 15.0])
    service = np.zeros((3, 2, 2))
    service[:, UP] = [[1.0, 1.0], [2.0, 50.0], [5.0, 3.0]]
    service[0, DOWN] = [4.0, 1.0]
    service[1:, DOWN] = 1.0
    days = one_day(line, clock, service, np.array([55.0, 900.0, 900.0]))
    times = days.bay_times
    assert times is not None
    # Down from 57 s: the meeting in bay 1 makes that 66 s instead of 58, and its other side 70 instead of 62.
    assert times.leave_clock_s[0, DOWN].tolist() == [78.0, 66.0]
    assert times.leave_clock_s[1, UP].tolist() == [12.0, 70.0]
    # In bay 0 at 66 s the third, blocked since 20 s, is passed until 74 s, past the moment when bay 1 is free.
    assert times.leave_clock_s[2, UP].tolist() == [74.0, 77.0]
    assert days.up.held_s[2] == 54.0
    assert days.up.meetings.tolist() == [0.0, 1.0, 1.0]
    assert days.down.meetings.tolist() == [2.0, 0.0, 0.0]


@settings(max_examples=60, deadline=None)
@given(
    seed=st.integers(0, 10_000),
    bays=st.integers(1, 6),
    people=st.integers(0, 40),
    yields=st.sampled_from(sorted(YIELDS)),
)
def test_what_holds_on_any_line(seed: int, bays: int, people: int, yields: str) -> None:
    rng = np.random.default_rng(seed)
    places = rng.integers(0, 3, bays + 1)
    line = CrowdLine(np.ones(bays), places, 5.0, yields)
    service = rng.exponential(6.0, (people, 2, bays))
    days = one_day(line, rng.uniform(0.0, 400.0, people), service, rng.uniform(0.0, 99.0, people))
    times = days.bay_times
    assert times is not None
    for way, passes in enumerate(days.ways):
        # Everybody who came is off the line, and every second of theirs is told of.
        assert np.all(passes.wait_s >= 0.0)
        assert passes.on_line_s == pytest.approx(passes.service_s + passes.held_s + passes.stance_s, abs=1e-7)
        assert np.all(passes.held_s >= 0.0)
        assert np.all(passes.stance_s >= 0.0)
        order = np.argsort(passes.enter_clock_s, kind="stable")
        enter, leave = times.enter_clock_s[order, way], times.leave_clock_s[order, way]
        # First come, first served, and nobody overtakes; one of each way to a bay.
        assert np.all(np.diff(passes.join_clock_s[order]) >= 0.0)
        assert np.all(enter[1:] >= leave[:-1])
        assert np.all(leave >= enter + service[order, way] - 1e-9)
        for node in range(1, bays):
            here, there = (node - 1, node) if way == UP else (node, node - 1)
            # Who leaves the bay behind finds at most so many waiting, themselves included, as there are places.
            waiting = np.array([np.sum(enter[: i + 1, there] > leave[i, here]) for i in range(people)])
            assert np.all(waiting <= places[node])
    assert np.all(days.down.join_clock_s >= days.up.leave_clock_s)
    assert days.up.meetings.sum() == days.down.meetings.sum()


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 10_000), people=st.integers(1, 40), more=st.integers(1, 10))
def test_more_people_never_help_on_one_way(seed: int, people: int, more: int) -> None:
    """Nobody who came before is on any bay earlier with more people there; those who add up only meet for nothing."""
    rng = np.random.default_rng(seed)
    bays = 5
    line = CrowdLine(np.ones(bays), rng.integers(0, 3, bays + 1), 0.0)
    clock, service = rng.uniform(0.0, 400.0, people + more), rng.exponential(6.0, (people + more, 2, bays))
    few = one_day(line, clock[:people], service[:people])
    many = one_day(line, clock, service)
    assert few.bay_times is not None
    assert many.bay_times is not None
    assert np.all(many.bay_times.leave_clock_s[:people, UP] >= few.bay_times.leave_clock_s[:, UP] - 1e-9)


@pytest.mark.parametrize("yields", YIELDS)
def test_more_people_never_shorten_the_mean_wait(yields: str) -> None:
    """Both ways, the same people and draws first, over many days: on one day a meeting more may help somebody."""
    line, days, most = a_line(yields=yields), 150, 80
    clock = a_morning(days, most).clock_s.reshape(days, most)
    waits = []
    for people in (20, 40, 60, 80):
        arrivals = Arrivals(clock[:, :people].ravel(), np.arange(days + 1) * people)
        crowd = simulate_days(line, CLIMBERS, arrivals, seed=2)
        waits.append(np.mean(crowd.up.delay_s + crowd.down.delay_s))
    assert np.all(np.diff(waits) > 0.0)


def test_days_do_not_touch_each_other() -> None:
    """A day alone, and the same between an empty one and another."""
    line, arrivals = a_line(), a_morning(2, 30)
    first = np.array([0, 30, 30, 60])
    three = Arrivals(arrivals.clock_s, first)
    drawn = draw_climbers(line, CLIMBERS, three, seed=1)
    days = follow_days(line, three, drawn)
    alone = follow_days(line, three.some(2, 1), type(drawn)(drawn.service_s[30:], drawn.top_s[30:]))
    assert np.array_equal(days.up.leave_clock_s[30:], alone.up.leave_clock_s)
    assert np.isnan(days.clears_clock_s[1])
    assert days.clears_clock_s[0] == days.down.leave_clock_s[:30].max()


def test_the_kernel_calls_nothing_of_ours_from_elsewhere() -> None:
    """Numba's cache does not see an edit in another file."""
    from handline.crowd import kernel

    tree = ast.parse(Path(kernel.__file__).read_text(encoding="utf-8"))
    modules = [node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    assert modules
    assert not [module for module in modules if module and module.startswith("handline")]


def test_without_the_option_numba_keeps_to_itself_the_days_are_the_same(tmp_path: Path) -> None:
    """A later numba may drop it: then a day takes longer, and is no other."""
    from handline.crowd import kernel

    code = """
import sys, types
import numba.core.cpu
numba.core.cpu.CPUTargetOptions = types.SimpleNamespace()
from handline.crowd import kernel
from tests.crowd.test_kernel import two_mornings
assert not kernel._NO_COUNT
sys.stdout.buffer.write(two_mornings())
"""
    told = subprocess.run(
        [sys.executable, "-c", code], check=True, capture_output=True, cwd=Path(__file__).parents[2],
        env={**os.environ, "NUMBA_CACHE_DIR": str(tmp_path)},
    ).stdout  # fmt: skip
    assert kernel._NO_COUNT == {"_nrt": False}
    assert told == two_mornings()


def two_mornings() -> bytes:
    days = simulate_days(a_line(), CLIMBERS, a_morning(2, 60), seed=5)
    return days.up.held_s.tobytes() + days.down.leave_clock_s.tobytes()


def test_numba_waits_until_it_is_needed() -> None:
    code = "import sys, handline.crowd.simulate, handline.crowd.tables; sys.exit('numba' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
