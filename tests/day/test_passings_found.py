"""When a recorded party came to each place and went on, on a straight way by hand: one metre a second."""

from __future__ import annotations

import numpy as np
import pytest

from handline.day import passings_found as finding
from handline.day.passings_found import REACH_M, UNSEEN_S, Passed, Stand, clipped, stood_between
from handline.day.way_matched import Course
from handline.route.unrolling import Point


def points(*at_m: float) -> tuple[Point, ...]:
    return tuple(Point(f"P{i}", "place", "up", at, 0.0, 46.5, -113.5) for i, at in enumerate(at_m))


def course(time_s: np.ndarray, along_m: np.ndarray, leaps: tuple[int, ...] = (), length_m: float = 3000.0) -> Course:
    """On a line due north and, past its length, back."""
    north = np.where(along_m > length_m, 2 * length_m - along_m, along_m)
    return Course(time_s, along_m, np.zeros(time_s.size), north, np.array(leaps, dtype=np.int64), 0.0)


def passings_found(
    course: Course, points: tuple[Point, ...], stands: tuple[Stand, ...], line: int | None = None
) -> tuple[Passed, ...]:
    """The passings, with leg ``line`` as the fixed line."""
    return finding.passings_found(course, points, stands, [j == line for j in range(len(points) - 1)])


STEADY = np.arange(0.0, 6001.0, 10.0)


def test_steady_walking_passes_each_place_at_its_distance() -> None:
    found = passings_found(course(STEADY, STEADY), points(0, 1234, 3000, 4766, 6000), ())
    assert [passed.arrive_s for passed in found] == pytest.approx([0, 1234, 3000, 4766, 6000])
    assert all(passed.stood_s == 0.0 for passed in found)


def test_a_rest_near_a_place_is_a_stop_there() -> None:
    """Twenty minutes at 970 m, thirty metres before the place at 1000 m."""
    time = np.where(STEADY > 970.0, STEADY + 1200.0, STEADY)
    found = passings_found(course(time, STEADY), points(0, 1000, 6000), (Stand(970.0, 2170.0),))
    assert found[1].arrive_s == pytest.approx(970.0)
    assert found[1].leave_s == pytest.approx(2200.0, abs=0.1)  # it passes the place itself on going on
    assert found[1].stood_s == pytest.approx(1230.0, abs=0.1)


def test_a_rest_farther_off_is_none() -> None:
    time = np.where(STEADY > 900.0, STEADY + 1200.0, STEADY)
    found = passings_found(course(time, STEADY), points(0, 1000, 6000), (Stand(900.0, 2100.0),))
    assert found[1].arrive_s == pytest.approx(2200.0)
    assert found[1].stood_s == 0.0
    assert REACH_M < 1000.0 - 900.0


def test_two_rests_at_one_place_are_one_stop() -> None:
    stands = (Stand(990.0, 1290.0), Stand(1320.0, 1620.0))
    time = STEADY + np.where(STEADY > 990.0, 300.0, 0.0) + np.where(STEADY > 1020.0, 300.0, 0.0)
    found = passings_found(course(time, STEADY), points(0, 1000, 6000), stands)
    assert (found[1].arrive_s, found[1].leave_s) == (990.0, 1620.0)


def test_neighbours_share_no_rest() -> None:
    """Foot and head of a line 75 m apart: a wait at the foot is not one at the head, and the line is not a wait.

    A slow passage of 75 m in 750 s looks like standing still; past a sixth of the way it counts as the line.
    """
    along = np.concatenate(
        (np.arange(0.0, 1001.0, 10.0), np.arange(1007.5, 1076.0, 7.5), np.arange(1080.0, 3000.0, 10.0))
    )
    step = np.diff(along, prepend=0.0)
    speed = np.where((along > 1000.0) & (along <= 1075.0), 0.1, 1.0)
    time = np.cumsum(step / speed) + np.where(along > 1000.0, 1800.0, 0.0)
    long_stand = Stand(1000.0, 1000.0 + 1800.0 + 750.0)  # as a recorder sees it: all of it one stand
    foot, head = passings_found(course(time, along), points(0, 1000, 1075, 3000), (long_stand,))[1:3]
    assert foot.arrive_s == pytest.approx(1000.0)
    assert foot.leave_s == pytest.approx(2800.0 + 150.0, abs=10.0)  # 12.5 m of 75, and the next point
    assert head.arrive_s == pytest.approx(3550.0, abs=130.0)
    assert head.leave_s >= head.arrive_s >= foot.leave_s


def test_on_the_line_the_ends_follow_from_its_middle() -> None:
    """75 m in 750 s, all of it taken for standing: the wait of half an hour before it is told apart all the same."""
    along = np.concatenate(
        (np.arange(0.0, 1000.0, 10.0), np.arange(1000.0, 1075.1, 2.5), np.arange(1080.0, 3000.0, 10.0))
    )
    step = np.diff(along, prepend=0.0)
    speed = np.where((along > 1000.0) & (along <= 1075.0), 0.1, 1.0)
    time = np.cumsum(step / speed) + np.where(along > 1000.0, 1800.0, 0.0)
    all_of_it = Stand(1000.0, 1000.0 + 1800.0 + 750.0)
    foot, head = passings_found(course(time, along), points(0, 1000, 1075, 3000), (all_of_it,), line=1)[1:3]
    assert foot.arrive_s == pytest.approx(1000.0)
    assert foot.leave_s == pytest.approx(2800.0, abs=1.0)
    assert head.arrive_s == pytest.approx(3550.0, abs=1.0)
    assert head.stood_s < 30.0


def test_a_rest_at_the_head_is_no_part_of_the_line() -> None:
    along = np.concatenate(
        (np.arange(0.0, 1000.0, 10.0), np.arange(1000.0, 1075.1, 2.5), np.arange(1080.0, 3000.0, 10.0))
    )
    step = np.diff(along, prepend=0.0)
    speed = np.where((along > 1000.0) & (along <= 1075.0), 0.1, 1.0)
    time = np.cumsum(step / speed) + np.where(along > 1075.0, 600.0, 0.0)
    head = passings_found(course(time, along), points(0, 1000, 1075, 3000), (Stand(1750.0, 2350.0),), line=1)[2]
    assert (head.arrive_s, head.leave_s) == pytest.approx((1750.0, 2350.0), abs=1.0)


def test_what_lies_before_and_after_is_said() -> None:
    part = STEADY[(STEADY >= 1500.0) & (STEADY <= 4000.0)]
    found = passings_found(course(part, part), points(0, 1000, 2000, 3000, 5000, 6000), ())
    assert [passed.missing for passed in found] == [
        "before it began",
        "before it began",
        "",
        "",
        "after it ended",
        "after it ended",
    ]
    assert np.isnan(found[0].arrive_s)


def test_a_recording_that_begins_a_few_steps_late_has_the_place_all_the_same() -> None:
    part = STEADY[STEADY >= REACH_M - 10.0]
    found = passings_found(course(part, part), points(0, 3000, 6000), ())
    assert found[0].found
    assert found[0].leave_s == part[0]
    late = STEADY[STEADY >= REACH_M + 10.0]
    assert not passings_found(course(late, late), points(0, 3000, 6000), ())[0].found


def test_turning_back_leaves_out_what_lies_beyond() -> None:
    """Up to 1,500 m and back: from 1,500 the course leaps to 4,500, on the spot."""
    along = np.concatenate((np.arange(0.0, 1501.0, 10.0), np.arange(4500.0, 6001.0, 10.0)))
    leap = int(np.flatnonzero(np.diff(along) > 1000.0)[0]) + 1
    found = passings_found(
        course(np.arange(along.size) * 10.0, along, (leap,)), points(0, 1000, 2000, 3000, 4000, 5000, 6000), ()
    )
    assert [passed.missing for passed in found] == ["", "", *["turned back before"] * 3, "", ""]


def test_turning_just_short_of_a_place_is_being_there() -> None:
    along = np.concatenate((np.arange(0.0, 2961.0, 10.0), np.arange(3210.0, 6001.0, 10.0)))
    leap = int(np.flatnonzero(np.diff(along) > 200.0)[0]) + 1
    found = passings_found(course(np.arange(along.size) * 10.0, along, (leap,)), points(0, 3000, 6000), ())
    assert found[1].found
    assert found[1].arrive_s == pytest.approx(2960.0)


def test_without_a_signal_nobody_knows() -> None:
    keep = (STEADY <= 800.0) | (STEADY >= 1500.0)
    gap = course(STEADY[keep], STEADY[keep])
    assert UNSEEN_S < 700.0
    assert passings_found(gap, points(0, 1100, 6000), ())[1].missing == "not recorded there"
    # Just past the gap it is known again.
    assert passings_found(gap, points(0, 1495, 6000), ())[1].arrive_s == pytest.approx(1495.0)


def test_a_leap_that_moved_is_no_turning_back() -> None:
    along = np.concatenate((np.arange(0.0, 801.0, 10.0), np.arange(2600.0, 3001.0, 10.0)))
    leap = int(np.flatnonzero(np.diff(along) > 1000.0)[0]) + 1
    moved = Course(np.arange(along.size) * 10.0, along, along * 0.2, along, np.array([leap]), 0.0)
    assert passings_found(moved, points(0, 1500, 3000), ())[1].missing == "not recorded there"


def test_nobody_leaves_after_coming_to_the_next_place() -> None:
    """Few points: a stand that seems to last on to the next place is cut where the party came there."""
    sparse = np.array([0.0, 990.0, 1210.0, 3000.0])
    found = passings_found(course(sparse, sparse), points(0, 1000, 1200, 3000), (Stand(985.0, 1205.0),))
    assert (found[1].arrive_s, found[1].leave_s) == (990.0, 1200.0)
    assert (found[2].arrive_s, found[2].leave_s) == (1200.0, 1205.0)


def test_stood_between_cuts_at_both_ends() -> None:
    stands = (Stand(0.0, 100.0), Stand(200.0, 300.0), Stand(500.0, 600.0))
    assert stood_between(stands, 50.0, 250.0) == pytest.approx(100.0)
    assert [stand.start_s for stand in clipped(stands, 50.0, 250.0)] == [50.0, 200.0]
