"""The kernel against scipy's solve_ivp, against closed forms, and its energy against itself."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from handline.line import arrest_kernel
from handline.line.arrest import stopping_force_N
from handline.line.chain import Body, Chain, GivingPart
from handline.line.dynamic_arrest import Arrest, dynamic_arrest
from tests.referees.slip_ode import slip_ode

G = 9.80665
# One sample of everything a chain can be; what is left out of one is in the next.
BODIES = ("rigid", "spring", "spring and dashpot")


def _case(rng: np.random.Generator, body: str, parts: int) -> dict:
    """One case as the referee takes it."""
    giving = []
    for _ in range(parts):
        plateau = rng.uniform(300.0, 6000.0)
        opening = plateau * (rng.uniform(1.0, 2.0) if rng.random() < 0.4 else 1.0)
        giving.append((opening, plateau, rng.uniform(0.02, 2.2) if rng.random() < 0.7 else np.inf))
    dashpot = 10 ** rng.uniform(1.5, 3.7) if body == "spring and dashpot" else 0.0
    return {
        "mass": rng.uniform(40.0, 140.0),
        "angle": np.radians(rng.uniform(5.0, 90.0)),
        "mu": rng.uniform(0.0, 1.0),
        "speed": rng.uniform(0.0, 15.0),
        "springs": (
            10 ** rng.uniform(4.0, 5.3) / rng.uniform(0.2, 3.0),
            np.inf if rng.random() < 0.5 else 10 ** rng.uniform(5.0, 7.0),
        ),
        "giving": giving,
        "body": None if body == "rigid" else (10 ** rng.uniform(4.3, 5.7), dashpot),
    }


def _arrest(case: dict) -> Arrest:
    chain = Chain(
        strand_N=case["springs"][0],
        strand_m=1.0,
        stop_N_m=case["springs"][1],
        giving=tuple(GivingPart(*numbers) for numbers in case["giving"]),
        body=None if case["body"] is None else Body(*case["body"]),
    )
    return dynamic_arrest(chain, case["mass"], case["angle"], case["mu"], case["speed"])


@pytest.mark.parametrize("body", BODIES)
@pytest.mark.parametrize("parts", [0, 1, 2])
def test_against_integrating_the_motion(body: str, parts: int) -> None:
    """A thousandth of the peak was asked for; a millionth is held, so that a wrong digit anywhere shows."""
    rng = np.random.default_rng([parts, BODIES.index(body)])
    stopped = 0
    for _ in range(35):
        case = _case(rng, body, parts)
        arrest, referee = _arrest(case), slip_ode(**case)
        assert bool(arrest.never_stops) == (not referee.stops), case
        assert arrest.peak_force_N == pytest.approx(referee.peak_N, rel=1e-6), case
        if not referee.stops:
            continue
        stopped += 1
        energy, scale_J = arrest.energy, float(arrest.energy.motion_J + arrest.energy.height_J)
        assert arrest.travel_m == pytest.approx(referee.travel_m, rel=1e-5), case
        assert arrest.time_s == pytest.approx(referee.time_s, rel=1e-3), case
        assert energy.friction_J == pytest.approx(referee.friction_J, abs=1e-5 * scale_J), case
        assert energy.dashpot_J == pytest.approx(referee.dashpot_J, abs=1e-5 * scale_J), case
        for ours, theirs in zip(arrest.given_m, referee.given_m, strict=True):
            assert ours == pytest.approx(theirs, abs=1e-5 * referee.travel_m), case
        for ours, theirs in zip(energy.given_J, referee.given_J, strict=True):
            assert ours == pytest.approx(theirs, abs=1e-5 * scale_J), case
    assert stopped > 25


def _many(rng: np.random.Generator, count: int, body: str, hard: bool = False) -> tuple[Chain, tuple]:
    plateau_N = rng.uniform(300.0, 6000.0, (2, count))
    opening_N = plateau_N * rng.choice([1.0, 1.0, 1.3, 2.0], (2, count))
    giving = tuple(GivingPart(opening_N[i], plateau_N[i], rng.uniform(0.02, 2.0, count)) for i in range(2))
    dashpot = 10 ** rng.uniform(1.5, 4.0, count) if body == "spring and dashpot" else 0.0
    chain = Chain(
        strand_N=np.inf if hard else 10 ** rng.uniform(4.0, 5.3, count),
        strand_m=rng.uniform(0.2, 3.0, count),
        stop_N_m=np.inf if hard else 10 ** rng.uniform(5.0, 7.0, count),
        cable_N_m=np.inf if hard else 10 ** rng.uniform(6.0, 7.0, count),
        giving=giving,
        body=None if body == "rigid" else Body(10 ** rng.uniform(4.3, 5.7, count), dashpot),
    )
    slip = (
        rng.uniform(40.0, 140.0, count),
        rng.uniform(0.0, np.pi / 2, count),
        rng.uniform(0.0, 1.0, count),
        rng.uniform(0.0, 15.0, count),
    )
    return chain, slip


@pytest.mark.parametrize(("body", "hard"), [(body, False) for body in BODIES] + [("spring and dashpot", True)])
def test_energy_is_kept(body: str, hard: bool) -> None:
    chain, slip = _many(np.random.default_rng(3), 4000, body, hard)
    energy = dynamic_arrest(chain, *slip).energy
    into = energy.motion_J + energy.height_J
    stored = energy.stop_J + energy.cable_J + energy.strand_J + energy.body_J
    lost = energy.friction_J + energy.dashpot_J + sum(energy.given_J)
    assert np.all(np.isfinite(into))
    assert np.abs(into - stored - lost).max() <= 1e-5 * into.max()
    assert np.all(np.abs(into - stored - lost) <= 1e-5 * into)
    for part in (stored, energy.friction_J, energy.dashpot_J, *energy.given_J):
        assert np.all(part >= 0.0)


def test_springs_alone_are_the_closed_form() -> None:
    rng = np.random.default_rng(4)
    mass, angle, mu, speed = (rng.uniform(low, high, 2000) for low, high in ((40, 140), (0, 1.57), (0, 1), (0, 15)))
    strand, length, stop = 10 ** rng.uniform(4, 5.3, 2000), rng.uniform(0.2, 3, 2000), 10 ** rng.uniform(4, 7, 2000)
    arrest = dynamic_arrest(Chain(strand, length, stop_N_m=stop), mass, angle, mu, speed)
    a = G * (np.sin(angle) - mu * np.cos(angle))
    series_N_m = 1.0 / (length / strand + 1.0 / stop)
    expected = stopping_force_N(mass, a, 0.5 * mass * speed**2, series_N_m, 1.0)
    assert np.allclose(arrest.peak_force_N, expected, rtol=1e-10)
    assert np.allclose(arrest.stretch_m, expected / series_N_m, rtol=1e-10)
    assert np.allclose(arrest.deceleration_m_s2, expected / mass - a, rtol=1e-10, atol=1e-9)


def test_a_rigid_chain_on_a_damped_body_is_the_textbook_oscillator() -> None:
    """x'' + 2 d x' + w^2 x = a from x = 0: x = a/w^2 + exp(-d t)(C cos(q t) + S sin(q t)), a textbook solution."""
    rng = np.random.default_rng(5)
    for _ in range(40):
        mass, angle, speed = rng.uniform(40, 140), rng.uniform(0.5, 1.57), rng.uniform(0.5, 15)
        k, ratio = 10 ** rng.uniform(4.3, 5.7), rng.uniform(0.02, 0.9)
        c = 2.0 * ratio * np.sqrt(k * mass)
        arrest = dynamic_arrest(Chain(np.inf, 1.0, body=Body(k, c)), mass, angle, 0.2, speed)
        a = G * (np.sin(angle) - 0.2 * np.cos(angle))
        w, d = np.sqrt(k / mass), c / (2.0 * mass)
        q, rest = np.sqrt(w**2 - d**2), a / w**2
        t = np.linspace(0.0, 2.0 * np.pi / q, 400_001)
        C, S = -rest, (speed - d * rest) / q
        x = rest + np.exp(-d * t) * (C * np.cos(q * t) + S * np.sin(q * t))
        v = np.exp(-d * t) * ((S * q - d * C) * np.cos(q * t) - (C * q + d * S) * np.sin(q * t))
        stands = int(np.argmax(v <= 0.0))
        assert arrest.time_s == pytest.approx(t[stands], abs=2 * t[1])
        assert arrest.travel_m == pytest.approx(x[stands], rel=1e-8)
        assert arrest.peak_force_N == pytest.approx((k * x + c * v)[: stands + 1].max(), rel=1e-8)


def test_a_part_gives_by_hand() -> None:
    # 100 kg at 90 deg, K 100 kN/m, 2 m/s, gives at 3 kN. Taut to 0.03 m: 200 + 980.665 * 0.03 - 45 = 184.420 J are
    # left; (3000 - 980.665) N take them over 0.091327 m, in sqrt(2 * 184.420 / 100) / (30 - 9.80665) = 0.095106 s.
    chain = Chain(100e3, 1.0, giving=(GivingPart(3000.0, 3000.0, 0.2),))
    arrest = dynamic_arrest(chain, 100.0, np.pi / 2, 0.0, 2.0)
    before = dynamic_arrest(Chain(100e3, 1.0), 100.0, np.pi / 2, 0.0, 2.0)
    assert arrest.peak_force_N == pytest.approx(3000.0, rel=1e-12)
    assert arrest.given_m[0] == pytest.approx(0.091327, abs=1e-6)
    assert arrest.travel_m == pytest.approx(0.121327, abs=1e-6)
    assert arrest.energy.given_J[0] == pytest.approx(273.98, abs=0.01)
    # Time to the opening: from the swing about rest, w = sqrt(1000)/s, asin and acos by hand.
    w, rest = np.sqrt(1000.0), 980.665 / 100e3
    turn = np.hypot(rest, 2.0 / w)
    opening_s = (np.arcsin((0.03 - rest) / turn) + np.arcsin(rest / turn)) / w
    assert arrest.time_s == pytest.approx(opening_s + 0.095106, abs=1e-6)
    assert before.peak_force_N > arrest.peak_force_N


@pytest.mark.parametrize("body", [None, Body(1e9, 10.0)])
def test_a_part_runs_out_where_its_travel_ends(body: Body | None) -> None:
    # As above: (200 + 29.41995 - 45) J / 2019.335 N = 0.0913271 m are wanted, a little less or more is there.
    wanted_m = (200.0 + 980.665 * 0.03 - 45.0) / 2019.335
    travel_m = wanted_m * (1.0 + np.array([-1e-4, 1e-4]))
    chain = Chain(100e3, 1.0, giving=(GivingPart(3000.0, 3000.0, travel_m),), body=body)
    arrest = dynamic_arrest(chain, 100.0, np.pi / 2, 0.0, 2.0)
    assert arrest.ran_out[0].tolist() == [True, False]
    assert arrest.given_m[0] == pytest.approx([travel_m[0], wanted_m], rel=1e-5 if body else 1e-12)


def test_a_jerk_relaxes_the_chain_by_hand() -> None:
    # Opens at 3 kN, gives at 2 kN, K 100 kN/m: 0.01 m goes from the strand into the part at a mean of 2.5 kN.
    # Then 200 + 29.420 - 45 = 184.420 J against (2000 - 980.665) N: 0.180922 m more.
    chain = Chain(100e3, 1.0, giving=(GivingPart(3000.0, 2000.0, 0.5),))
    arrest = dynamic_arrest(chain, 100.0, np.pi / 2, 0.0, 2.0)
    assert arrest.peak_force_N == pytest.approx(3000.0, rel=1e-12)
    assert arrest.given_m[0] == pytest.approx(0.190922, abs=1e-6)
    assert arrest.energy.given_J[0] == pytest.approx(25.0 + 2000.0 * 0.180922, abs=0.01)
    assert arrest.energy.strand_J == pytest.approx(20.0, rel=1e-12)


def test_a_jerk_may_use_up_all_the_travel() -> None:
    # 4 mm of travel: the force falls from 3 kN to 2.6 kN and the part is out, at a mean of 2.8 kN.
    chain = Chain(100e3, 1.0, giving=(GivingPart(3000.0, 2000.0, 0.004),))
    arrest = dynamic_arrest(chain, 100.0, np.pi / 2, 0.0, 2.0)
    assert bool(arrest.ran_out[0])
    assert arrest.given_m[0] == pytest.approx(0.004, rel=1e-12)
    assert arrest.energy.given_J[0] == pytest.approx(2800.0 * 0.004, rel=1e-12)
    # What is left: 200 + 980.665 * 0.004 - 11.2 J against the springs.
    left_J = 200.0 + 980.665 * 0.004 - 11.2
    assert arrest.peak_force_N == pytest.approx(float(stopping_force_N(100.0, G, left_J, 100e3, 1.0)), rel=1e-12)


def test_two_parts_go_in_the_order_of_their_forces() -> None:
    weak, strong = GivingPart(2000.0, 2000.0, 0.05), GivingPart(3000.0, 3000.0, 0.5)
    one, other = (
        dynamic_arrest(Chain(100e3, 1.0, giving=order), 100.0, np.pi / 2, 0.0, 2.0)
        for order in ((weak, strong), (strong, weak))
    )
    assert one.given_m[0] == other.given_m[1] == pytest.approx(0.05, rel=1e-12)
    assert [bool(out) for out in one.ran_out] == [True, False]
    # 200 + 980.665 * (0.03 + 0.05) - 45 - 100 J are left for (3000 - 980.665) N.
    assert one.given_m[1] == pytest.approx((55.0 + 980.665 * 0.08) / 2019.335, rel=1e-9)
    assert other.given_m[0] == pytest.approx(float(one.given_m[1]), rel=1e-12)


def test_a_weak_dashpot_is_a_spring_and_a_strong_one_is_rigid() -> None:
    chain, slip = _many(np.random.default_rng(6), 300, "rigid")

    def peaks(body: Body | None) -> np.ndarray:
        return dynamic_arrest(Chain(chain.strand_N, chain.strand_m, giving=chain.giving, body=body), *slip).peak_force_N

    assert np.allclose(peaks(Body(1e5, 1e-3)), peaks(Body(1e5, 0.0)), rtol=1e-6)
    assert np.allclose(peaks(Body(1e5, 1e8)), peaks(None), rtol=1e-3)
    assert np.array_equal(peaks(Body(np.inf, 500.0)), peaks(None))


def test_a_body_that_creeps_comes_to_rest_under_its_own_pull() -> None:
    # Twice critical: from rest it sinks towards m g / k without ever swinging, until nothing moves: 80 g / 20e3.
    body = Body(20e3, 4.0 * np.sqrt(20e3 * 80.0))
    arrest = dynamic_arrest(Chain(np.inf, 1.0, body=body), 80.0, np.pi / 2, 0.0, 0.0)
    assert arrest.travel_m == pytest.approx(80.0 * G / 20e3, rel=1e-5)
    # The slow rate of x'' + 2 d x' + w^2 x is d - sqrt(d^2 - w^2); speed falls by a million in ln(1e6) of its times.
    w = np.sqrt(20e3 / 80.0)
    assert arrest.time_s == pytest.approx(np.log(1e6) / (w * (2.0 - np.sqrt(3.0))), rel=0.1)


def test_what_cannot_be_followed_is_refused() -> None:
    with pytest.raises(ArithmeticError, match="1 arrests could not be followed, the first is case 1"):
        dynamic_arrest(Chain(1e5, 1.0, body=Body(1e5, np.array([1e3, 1e-300]))), 80.0, 1.0, 0.3, 5.0)


def test_the_kernel_calls_nothing_outside_its_file() -> None:
    """Numba's cache on disk sees changes in this file alone."""
    tree = ast.parse(Path(arrest_kernel.__file__).read_text(encoding="utf-8"))
    named = [node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    named += [name.name for node in ast.walk(tree) if isinstance(node, ast.Import) for name in node.names]
    assert set(named) == {"__future__", "collections.abc", "math", "typing", "numpy", "numba", "numpy.typing"}


def test_where_nothing_can_be_kept_on_disk_it_still_compiles(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []

    def no_place(function: object = None, *, cache: bool = False) -> object:
        asked.append(cache)
        if cache:
            raise RuntimeError("cannot cache function: no locator available")
        return function

    monkeypatch.setattr(arrest_kernel, "njit", no_place)
    assert arrest_kernel._jit(abs) is abs
    assert asked == [True, False]


def test_numba_waits_until_it_is_needed() -> None:
    look = "import sys, handline.line.dynamic_arrest, handline.line.chain; print('numba' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"
