"""A day recorded in part: stopped early, begun late, turned back, with gaps."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.day.recordings import Walk, tamsin_setting
from tests.day.reviews import HOUR_S, missing, one_walk, partly

# Up to the summit the way has 7 passings, and 13 in all.
SUMMIT = 6


def test_one_that_stopped_early(folder: Path) -> None:
    walked = one_walk()
    reviewed = partly(folder, "early", walked.between(walked.clock_s[0], 8.0 * HOUR_S))
    found = [passing for passing in reviewed.passings if not passing.missing]
    assert not reviewed.whole
    assert len(found) >= 3
    assert missing(reviewed) == [""] * len(found) + ["after it ended"] * (13 - len(found))
    assert any("ends" in note and "not reviewed" in note for note in reviewed.notes)
    assert "over the legs that were recorded" in reviewed.headline
    assert sum(leg.time.recorded_s is not None for leg in reviewed.legs) == len(found) - 1


def test_one_that_began_late(folder: Path) -> None:
    walked = one_walk()
    camp_s = float(np.interp(16_500.0, walked.along_m, walked.clock_s))
    reviewed = partly(folder, "late", walked.between(camp_s, walked.clock_s[-1]))
    assert missing(reviewed) == ["before it began"] * 11 + ["", ""]
    assert [passing.way for passing in reviewed.passings if not passing.missing] == ["down", "down"]
    assert any("begins" in note for note in reviewed.notes)
    assert reviewed.total.recorded_s == pytest.approx(reviewed.legs[-1].time.recorded_s)


def test_one_that_turned_back_before_the_top(folder: Path) -> None:
    """Up to 9,000 m, between the camp and the Lower Step, and home again."""
    walked = one_walk()
    up = walked.between(walked.clock_s[0], float(np.interp(9000.0, walked.along_m, walked.clock_s)))
    length = tamsin_setting().route.length_m
    down_m = np.linspace(length - 9000.0, length, 40)
    down_s = up.clock_s[-1] + 0.001 + np.linspace(0.0, 8.0 * HOUR_S, 40)  # at once: nobody goes over the top between
    reviewed = partly(
        folder, "turned", Walk(np.concatenate((up.clock_s, down_s)), np.concatenate((up.along_m, down_m)))
    )
    assert missing(reviewed) == ["", "", "", *["turned back before"] * 7, "", "", ""]
    assert reviewed.passings[10].way == "down"
    turned = next(note for note in reviewed.notes if "turned back" in note)
    assert "after Aldermere Camp" in turned
    assert "Lower Step (up)" in turned
    # The two legs up and the two down are reviewed; the turn itself is no leg of the plan.
    assert [leg.time.recorded_s is not None for leg in reviewed.legs] == [True, True, *[False] * 8, True, True]
    assert len(reviewed.course_clock_s) > 100


def test_one_that_went_up_only_is_not_taken_for_the_way_down(folder: Path) -> None:
    walked = one_walk()
    reviewed = partly(
        folder, "up", walked.between(walked.clock_s[0], float(np.interp(11_058.0, walked.along_m, walked.clock_s)))
    )
    assert missing(reviewed)[: SUMMIT + 1] == [""] * (SUMMIT + 1)
    assert set(missing(reviewed)[SUMMIT + 1 :]) == {"after it ended"}


def test_a_long_gap_is_said_and_teaches_nothing(folder: Path) -> None:
    """No signal from the camp's far side half way to the Lower Step: the leg's time counts, its pace does not."""
    walked = one_walk()
    gap = tuple(float(np.interp(at_m, walked.along_m, walked.clock_s)) for at_m in (6700.0, 8600.0))
    reviewed = partly(folder, "gap", walked, gaps_s=[gap])  # type: ignore[list-item]
    plain = partly(folder, "plain", walked)
    assert reviewed.whole
    assert reviewed.legs[2].unsure == "long without a signal"
    assert reviewed.legs[2].time.recorded_s == pytest.approx(plain.legs[2].time.recorded_s, abs=60.0)
    assert any("long without a signal" in note for note in reviewed.notes)
    assert reviewed.pace is not None
    assert plain.pace is not None
    assert reviewed.pace.planned_walking_s < plain.pace.planned_walking_s
    assert "recorded whole" in reviewed.pace_says


def test_a_gap_over_a_place_leaves_it_out(folder: Path) -> None:
    walked = one_walk()
    gap = tuple(float(np.interp(at_m, walked.along_m, walked.clock_s)) for at_m in (5700.0, 6600.0))
    reviewed = partly(folder, "gap-camp", walked, gaps_s=[gap])  # type: ignore[list-item]
    assert missing(reviewed)[2] == "not recorded there"
    assert not reviewed.whole
    assert reviewed.legs[1].time.recorded_s is None
    assert any("Aldermere Camp (up) not reviewed" in note for note in reviewed.notes)
