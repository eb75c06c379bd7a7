"""What went on when in a recording: walks made by hand, whose truth is known."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking import fitting, recording, robust_fit, spells, walker
from handline.walking.recording import recording_of
from handline.walking.smoothed import SmoothedLine
from tests.referees.simulated_walker import Person, hills, recorded
from tests.walking.walks import START_S, jittered, kinds, line, said
from tests.walking.walks import recording as recording_at

# Judgements, not measurements: whoever moves one moves it here too, and says so in the changelog.
STATED = [
    (spells, "CLOCK_S", 5.0),
    (spells, "HALF_WINDOW_S", 30.0),
    (spells, "HALF_WINDOW_STEPS", 2.5),
    (spells, "STANDING_M_S", 0.15),
    (spells, "SHORTEST_PAUSE_S", 60.0),
    (spells, "WANDERING_M_S", 0.12),
    (spells, "WANDERING_WINDOWS", 4.0),
    (spells, "SHORTEST_WANDERING_S", 180.0),
    (spells, "PLACE_M", 15.0),
    (spells, "SLOWEST_WALK_M_S", 0.08),
    (spells, "FASTEST_WALK_M_S", 2.5),
    (spells, "FASTEST_CLIMB_M_S", 0.5),
    (spells, "SHORTEST_RIDE_S", 60.0),
    (spells, "SHORTEST_LIFT_S", 180.0),
    (spells, "RIDE_BREAK_S", 300.0),
    (spells, "CLIMB_WINDOWS", 2.0),
    (spells, "GAP_S", 120.0),
    (spells, "GAP_STEPS", 6.0),
    (spells, "PIECE_GAP_S", 30.0),
    (spells, "PIECE_GAP_STEPS", 2.0),
    (spells, "STAYED_M", 25.0),
    (spells, "LONG_STEP_STEPS", 4.0),
    (spells, "NEAR_S", 300.0),
    (recording, "PIECE_S", 120.0),
    (recording, "SHORTEST_PIECE_S", 60.0),
    (recording, "CHORD_S", 20.0),
    (recording, "POSITION_WINDOW_S", 20.0),
    (recording, "HEIGHT_WINDOW_S", 60.0),
    (recording, "GUARD_S", 15.0),
    (fitting, "NEW_DAY_S", 6 * 3600.0),
    (fitting, "BLOCK_S", 1200.0),
    (fitting, "FEWEST_BLOCKS", 5),
    (fitting, "FOLDS", 5),
    (fitting, "SHORTEST_WALK_S", 1200.0),
    (fitting, "USUAL_DAY_SD", 0.09),
    (fitting, "DAY_SD_COUNTS", 4.0),
    (fitting, "USUAL_ALIKE", 3.0),
    (fitting, "ALIKE_COUNTS", 5.0),
    (fitting, "CLIMB_SD_S_M", 2.0),
    (walker, "LEAST_SHARE", 0.5),
    (walker, "MOST_CREDIT_SHARE", 0.5),
    (robust_fit, "CLIPPED_AT", 3.0),
    (robust_fit, "SMALLEST_SD", 0.02),
]


@pytest.mark.parametrize(("room", "name", "stated"), STATED, ids=[name for _, name, _ in STATED])
def test_limit_is_as_stated(room: object, name: str, stated: float) -> None:
    assert getattr(room, name) == stated


# --- the averaged line ---------------------------------------------------------------------------------------------


def test_means_and_speeds_of_a_straight_line_are_exact() -> None:
    ramp = SmoothedLine(np.array([0.0, 10.0, 100.0]), np.array([0.0, 20.0, 200.0]))
    at = np.array([0.0, 3.0, 50.0, 99.0, 100.0])
    assert ramp.around(at, 30.0) == pytest.approx(2.0 * at)
    assert ramp.velocity_m_s(at, 30.0) == pytest.approx(np.full(5, 2.0))
    assert ramp.mean(np.array([10.0]), np.array([30.0])) == pytest.approx([40.0])


def test_the_mean_is_the_integral_of_the_broken_line() -> None:
    """By hand: up to 6 m in 2 s, level for 2 s, back in 1 s: 6 + 12 + 3 m s over 5 s."""
    broken = SmoothedLine(np.array([0.0, 2.0, 4.0, 5.0]), np.array([0.0, 6.0, 6.0, 0.0]))
    assert broken.mean(np.array([0.0]), np.array([5.0])) == pytest.approx([21.0 / 5.0])
    assert broken.mean(np.array([1.0]), np.array([3.0])) == pytest.approx([(4.5 + 6.0) / 2.0])


def test_where_somebody_stops_the_speed_is_half() -> None:
    stop = SmoothedLine(np.array([0.0, 100.0, 200.0]), np.array([0.0, 100.0, 100.0]))
    assert stop.velocity_m_s(np.array([70.0, 100.0, 130.0]), 30.0) == pytest.approx([1.0, 0.5, 0.0])


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


# --- gaps ----------------------------------------------------------------------------------------------------------


def without(points: tuple[np.ndarray, np.ndarray, np.ndarray], start_s: float, end_s: float):
    """The recording of these points without those between two times, and the index of the first one after."""
    time, north, height = points
    kept = (time - START_S <= start_s) | (time - START_S >= end_s)
    return (time[kept], np.zeros(kept.sum()), north[kept], height[kept]), int((time - START_S <= start_s).sum())


def test_no_point_for_a_while_and_far_on_is_lost_signal() -> None:
    arrays, _ = without(line([(3000.0, 1.2)]), 1000.0, 1400.0)
    found = recording_of(*arrays)
    assert said(found) == [("moving", 1000.0), ("lost signal", 400.0), ("moving", 1600.0)]
    assert found.spells[1].length_m == pytest.approx(480.0)
    assert found.moving_m == pytest.approx(3120.0, rel=0.01)


def test_no_point_for_a_while_at_one_place_is_a_pause() -> None:
    arrays, _ = without(line([(1000.0, 1.2), (900.0, 0.0), (1000.0, 1.2)]), 1000.0, 1900.0)
    assert said(recording_of(*arrays)) == [("moving", 1000.0), ("pause", 900.0), ("moving", 1000.0)]


def test_a_long_step_of_a_recorder_that_skips_is_a_pause() -> None:
    """A point every 12 m, as many recorders write; one step of them took 70 s."""
    place = np.arange(0.0, 1200.0, 12.0)
    time = START_S + place / 1.0 + np.where(place > 600.0, 58.0, 0.0)
    found = recording_of(time, np.zeros_like(place), place, np.full_like(place, 900.0))
    assert said(found) == [("moving", 600.0), ("pause", 70.0), ("moving", 576.0)]


def test_an_hour_without_a_point_and_far_away_is_a_ride() -> None:
    arrays, _ = without(line([(1500.0, 1.2), (3600.0, 12.0), (1500.0, 1.2)]), 1500.0, 5100.0)
    found = recording_of(*arrays)
    assert kinds(found) == ["moving", "faster than walking", "moving"]
    assert found.spent_s("faster than walking") == pytest.approx(3600.0, abs=60.0)


def test_between_two_pieces_the_recorder_was_off() -> None:
    """A gap of 100 s is no gap where the recorder only missed points, but is one where it was switched off."""
    arrays, first = without(line([(2000.0, 1.2)]), 1000.0, 1100.0)
    assert kinds(recording_of(*arrays)) == ["moving"]
    assert kinds(recording_of(*arrays, piece_starts=(0, first))) == ["moving", "lost signal", "moving"]


def test_between_two_pieces_at_one_place_it_stood() -> None:
    arrays, first = without(line([(1000.0, 1.2), (50.0, 0.0), (1000.0, 1.2)]), 1000.0, 1050.0)
    assert said(recording_of(*arrays, piece_starts=(0, first))) == [
        ("moving", 1000.0), ("pause", 50.0), ("moving", 1000.0)
    ]  # fmt: skip


def test_far_apart_points_are_not_lost() -> None:
    assert kinds(recording_at([(7200.0, 1.0)], 90.0)) == ["moving"]


# --- rides ---------------------------------------------------------------------------------------------------------


def test_a_drive_is_thrown_out_with_its_lights() -> None:
    drive = [(300.0, 15.0), (90.0, 0.0), (300.0, 15.0)]
    found = recording_at([(1800.0, 1.2), *drive, (1800.0, 1.2)])
    assert kinds(found) == ["moving", "faster than walking", "moving"]
    assert found.spent_s("faster than walking") == pytest.approx(690.0, abs=70.0)
    assert found.moving_m == pytest.approx(2 * 1800.0 * 1.2, rel=0.05)
    assert (found.pieces.run_m / found.pieces.time_s).max() < 1.35


def test_a_stop_between_two_rides_without_points_is_part_of_them() -> None:
    arrays, _ = without(line([(900.0, 1.2), (600.0, 12.0), (150.0, 0.0), (600.0, 12.0), (900.0, 1.2)]), 900.0, 1500.0)
    time, east, north, height = arrays
    kept = (time - START_S <= 1650.0) | (time - START_S >= 2250.0)
    found = recording_of(time[kept], east[kept], north[kept], height[kept])
    assert kinds(found) == ["moving", "faster than walking", "moving"]


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


# --- pieces --------------------------------------------------------------------------------------------------------


def test_pieces_are_as_near_to_two_minutes_as_they_can_be() -> None:
    assert recording_at([(1190.0, 1.2)]).pieces.time_s == pytest.approx(np.full(10, 119.0))
    assert recording_at([(1250.0, 1.2)]).pieces.time_s == pytest.approx(np.full(10, 125.0))


def test_heights_are_averaged_over_a_minute() -> None:
    """A step of 12 m, 10 s past the end of the second piece: 20 s of its minute lie above."""
    time, north, _ = line([(600.0, 1.2)])
    height = np.where(time - START_S < 250.0, 1000.0, 1012.0)
    found = recording_of(time, np.zeros_like(north), north, height)
    assert found.pieces.rise_m == pytest.approx([0.0, 4.0, 8.0, 0.0, 0.0], abs=0.15)


def test_pieces_never_reach_over_what_is_not_moving() -> None:
    found = recording_at([(700.0, 1.2), (300.0, 0.0), (1000.0, 1.2), (200.0, 9.0), (800.0, 1.2)])
    moving = [(spell.start_s, spell.end_s) for spell in found.spells if spell.kind == "moving"]
    ends = found.pieces.start_s + found.pieces.time_s
    for start_s, end_s in zip(found.pieces.start_s, ends, strict=True):
        assert any(first <= start_s and end_s <= last for first, last in moving)
    assert found.pieces.run_m / found.pieces.time_s == pytest.approx(1.2, rel=0.01)


def test_points_at_one_time_count_once_in_their_middle() -> None:
    time, north, height = line([(1200.0, 1.0)])
    twice = np.repeat(time, 2)
    east = np.tile([-5.0, 5.0], time.size)
    found = recording_of(twice, east, np.repeat(north, 2), np.repeat(height, 2))
    assert found.moving_m == pytest.approx(1200.0)


@pytest.mark.parametrize(
    ("time", "north", "says"),
    [
        ([0.0, 2.0, 1.0], [0.0, 1.0, 2.0], "must not fall"),
        ([5.0, 5.0], [0.0, 1.0], "two different times"),
        ([0.0, 1.0], [0.0, np.nan], "finite"),
        ([0.0, 1.0], [0.0, 1.0, 2.0], "one length"),
    ],
)
def test_what_is_no_recording_is_refused(time: list[float], north: list[float], says: str) -> None:
    zeros = np.zeros(len(time))
    with pytest.raises(ValueError, match=says):
        recording_of(time, zeros, north, zeros)


PARTS = st.lists(
    st.tuples(st.floats(5.0, 2000.0), st.sampled_from([0.0, 0.1, 0.5, 1.0, 2.0, 12.0])), min_size=1, max_size=8
)


@settings(deadline=None, max_examples=40)
@given(parts=PARTS, every_s=st.sampled_from([1.0, 7.0, 30.0]), shift_s=st.floats(0.0, 1e6), seed=st.integers(0, 99))
def test_spells_tile_the_recording_and_nothing_hangs_on_where_it_began(
    parts: list[tuple[float, float]], every_s: float, shift_s: float, seed: int
) -> None:
    time, north, height = line(parts, every_s)
    if time.size < 2:
        return
    noise = np.random.default_rng(seed).normal(0.0, 2.0, time.size)
    found = recording_of(time, noise, north, height)
    starts, ends = [spell.start_s for spell in found.spells], [spell.end_s for spell in found.spells]
    assert (starts[0], ends[-1]) == (time[0], time[-1])
    assert starts[1:] == ends[:-1]
    assert all(before.kind != after.kind for before, after in zip(found.spells[:-1], found.spells[1:], strict=True))
    assert found.moving_s + sum(found.spent_s(k) for k in ("pause", "lost signal", "faster than walking")) == (
        pytest.approx(found.total_s)
    )
    assert found.pieces.time_s.sum() <= found.moving_s + 1e-6
    moved = recording_of(time + shift_s, noise + 5000.0, north - 300.0, height)
    assert kinds(moved) == kinds(found)
    assert moved.moving_s == pytest.approx(found.moving_s, abs=1e-3)
