"""Moving, standing and riding, told apart in a recording: walks made by hand, whose truth is known."""

from __future__ import annotations

import numpy as np
import pytest

from handline.walking.recording import recording_of
from tests.referees.simulated_walker import Person, hills, recorded
from tests.walking.walks import START_S, jittered, kinds, line, said
from tests.walking.walks import recording as recording_at

# --- moving and standing -------------------------------------------------------------------------------------------


def test_an_even_walk_is_one_spell_and_even_pieces() -> None:
    found = recording_at([(1200.0, 1.25)], climb=0.2)
    assert kinds(found) == ["moving"]
    assert (found.moving_s, found.total_s) == pytest.approx((1200.0, 1200.0))
    assert found.moving_m == pytest.approx(1500.0)
    assert found.pieces.time_s == pytest.approx(np.full(10, 120.0))
    assert found.pieces.run_m == pytest.approx(np.full(10, 150.0))
    assert found.pieces.rise_m == pytest.approx(np.full(10, 30.0))
    assert found.pieces.start_s == pytest.approx(START_S + np.arange(10) * 120.0)
    assert found.elevation_m == pytest.approx(1150.0, abs=3.0)


@pytest.mark.parametrize("every_s", [1.0, 5.0, 25.0, 40.0])
@pytest.mark.parametrize("jitter_m", [0.0, 3.0])
def test_a_pause_is_found_and_its_ends_with_it(every_s: float, jitter_m: float) -> None:
    points = line([(1500.0, 1.1), (420.0, 0.0), (1500.0, 1.1)], every_s)
    found = jittered(points, jitter_m)
    assert kinds(found) == ["moving", "pause", "moving"]
    assert found.spent_s("pause") == pytest.approx(420.0, abs=max(20.0, every_s))
    assert found.spells[1].start_s - START_S == pytest.approx(1500.0, abs=max(15.0, 1.2 * every_s))
    assert found.moving_m == pytest.approx(3300.0, rel=0.02)


def test_without_noise_the_ends_of_a_pause_are_exact() -> None:
    """As far as the clock of 5 s goes, however wide the window."""
    found = recording_at([(1500.0, 1.1), (425.0, 0.0), (1500.0, 0.7)], 25.0)
    assert [length for _, length in said(found)] == pytest.approx([1500.0, 425.0, 1500.0], abs=5.1)


def test_a_recorder_that_trembles_on_a_table_goes_nowhere() -> None:
    found = jittered(line([(3600.0, 0.0)]), 5.0)
    assert kinds(found) == ["pause"]
    assert (found.moving_s, found.moving_m, found.pieces.size) == (0.0, 0.0, 0)
    assert np.isnan(found.elevation_m)


@pytest.mark.parametrize("seed", range(5))
def test_a_recorder_whose_place_wanders_on_a_table_hardly_moves(seed: int) -> None:
    """Its error wanders by 4 m each way within a minute, and trembles by 2 m."""
    still = Person(level_s_m=1.0, stretch_sd=0.0, day_sd=0.0)
    rng = np.random.default_rng(seed)
    track = recorded(
        rng,
        still,
        hills(rng, 400.0),
        every_s=1.0,
        drift_m=4.0,
        jitter_m=2.0,
        pauses_an_hour=9.0,
        pause_s=(1800.0, 3600.0),
    )
    found = recording_of(track.time_s, track.east_m, track.north_m, track.height_m)
    assert found.moving_s - track.moving_s < 0.12 * track.paused_s + 60.0


def test_neither_jitter_nor_wandering_adds_much_length_or_climb() -> None:
    rng = np.random.default_rng(5)
    ground = hills(rng, 9000.0)
    track = recorded(rng, Person(), ground, every_s=1.0)
    found = recording_of(track.time_s, track.east_m, track.north_m, track.height_m)
    raw_m = float(np.hypot(np.diff(track.east_m), np.diff(track.north_m)).sum())
    raw_up_m, up_m = np.maximum(np.diff(track.height_m), 0.0).sum(), np.maximum(np.diff(ground.height_m), 0.0).sum()
    assert raw_m > 1.5 * 9000.0
    assert raw_up_m > 2.0 * up_m
    assert found.moving_m == pytest.approx(9000.0, rel=0.02)
    share = found.pieces.run_m.sum() / 9000.0
    assert np.maximum(found.pieces.rise_m, 0.0).sum() == pytest.approx(share * up_m, rel=0.05)


def test_a_short_stop_counts_as_walking() -> None:
    assert kinds(recording_at([(600.0, 1.2), (30.0, 0.0), (600.0, 1.2)])) == ["moving"]


def test_a_few_steps_during_a_rest_are_rest() -> None:
    found = recording_at([(900.0, 1.2), (300.0, 0.0), (12.0, 1.0), (300.0, 0.0), (900.0, 1.2)])
    assert kinds(found) == ["moving", "pause", "moving"]
    assert found.spent_s("pause") == pytest.approx(612.0, abs=20.0)


@pytest.mark.parametrize(
    "pottering",
    [
        pytest.param([(45.0, 0.5)], id="a few steps on, under a minute"),
        pytest.param([(55.0, 0.26), (55.0, -0.26)], id="there and back"),
    ],
)
def test_pottering_between_two_rests_is_rest(pottering: list[tuple[float, float]]) -> None:
    """Of somebody so slow that it is as fast as their walking."""
    walk = (1800.0, 0.4)
    assert kinds(recording_at([walk, (300.0, 0.0), *pottering, (300.0, 0.0), walk])) == ["moving", "pause", "moving"]


def test_walking_round_and_round_is_walking() -> None:
    """Once round in the two minutes over which a wandering recorder is watched."""
    time = np.arange(0.0, 1800.0)
    angle = 2.0 * np.pi * time / 120.0
    found = recording_of(START_S + time, 32.0 * np.cos(angle), 32.0 * np.sin(angle), np.full(time.size, 900.0))
    assert kinds(found) == ["moving"]


def test_the_stop_of_somebody_quick_is_a_stop() -> None:
    """Averaging smears a quick walk into it: 9 m in 100 s, but all at one place."""
    assert kinds(recording_at([(900.0, 1.7), (105.0, 0.0), (900.0, 1.7)])) == ["moving", "pause", "moving"]


def test_a_walk_between_two_rests_is_a_walk() -> None:
    found = recording_at([(900.0, 1.2), (300.0, 0.0), (240.0, 1.0), (300.0, 0.0), (900.0, 1.2)])
    assert kinds(found) == ["moving", "pause", "moving", "pause", "moving"]


def test_a_slow_climb_is_walking() -> None:
    """0.12 m/s on the map."""
    found = recording_at([(900.0, 1.0), (1200.0, 0.12), (900.0, 1.0)], climb=0.3)
    assert kinds(found) == ["moving"]


def test_creeping_too_slow_for_a_walk_is_a_pause() -> None:
    assert kinds(recording_at([(900.0, 1.0), (1200.0, 0.05), (900.0, 1.0)])) == ["moving", "pause", "moving"]


@pytest.mark.parametrize(("stop_s", "seen"), [(80.0, ["moving"]), (100.0, ["moving", "pause", "moving"])])
def test_stops_are_seen_from_about_a_minute_and_a_half(stop_s: float, seen: list[str]) -> None:
    assert kinds(recording_at([(900.0, 1.2), (stop_s, 0.0), (900.0, 1.2)])) == seen


def test_turning_back_is_no_pause() -> None:
    time, north, height = line([(1800.0, 1.0)])
    there_and_back = 900.0 - np.abs(north - 900.0)
    assert kinds(recording_of(time, np.zeros_like(north), there_and_back, height)) == ["moving"]


def test_switchbacks_are_walked() -> None:
    """Legs of 40 m, each 12 m further up the hill."""
    time = np.arange(0.0, 3600.0)
    along = time * 0.9
    east = 20.0 - np.abs((along % 80.0) - 40.0)
    found = recording_of(START_S + time, east, along * 0.3, 1000.0 + along * 0.15)
    assert kinds(found) == ["moving"]


# --- rides ---------------------------------------------------------------------------------------------------------


def test_a_drive_is_thrown_out_with_its_lights() -> None:
    drive = [(300.0, 15.0), (90.0, 0.0), (300.0, 15.0)]
    found = recording_at([(1800.0, 1.2), *drive, (1800.0, 1.2)])
    assert kinds(found) == ["moving", "faster than walking", "moving"]
    assert found.spent_s("faster than walking") == pytest.approx(690.0, abs=70.0)
    assert found.moving_m == pytest.approx(2 * 1800.0 * 1.2, rel=0.05)
    assert (found.pieces.run_m / found.pieces.time_s).max() < 1.35


def test_a_lift_is_thrown_out_though_it_is_slow() -> None:
    """2.3 m/s on the map, climbing 0.7 m/s: nobody climbs 2,500 m an hour."""
    time, north, _ = line([(1200.0, 1.2), (900.0, 2.3), (1200.0, 1.2)])
    height = 1000.0 + 0.3 * np.clip(north - 1440.0, 0.0, 2070.0)
    found = recording_of(time, np.zeros_like(north), north, height)
    assert kinds(found) == ["moving", "faster than walking", "moving"]


@pytest.mark.parametrize(
    ("climb_s", "kind"), [(215.0, ["moving"]), (270.0, ["moving", "faster than walking", "moving"])]
)
def test_a_steep_stretch_is_no_lift_until_it_lasts(climb_s: float, kind: list[str]) -> None:
    """0.6 m/s up; watched over a minute to each side, it must go on for four to count as three."""
    time, north, _ = line([(2000.0, 1.0)])
    height = 1000.0 + 0.6 * np.clip(time - START_S - 900.0, 0.0, climb_s)
    assert kinds(recording_of(time, np.zeros_like(north), north, height)) == kind


def test_hurrying_down_is_walking() -> None:
    assert kinds(recording_at([(1200.0, 2.2)], climb=-0.1)) == ["moving"]
