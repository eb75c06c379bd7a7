"""What cannot be reviewed: another place, a drive, too short a way, a trip without positions."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from handline.day.review import review
from handline.errors import TrackError, TripError
from tests.day.recordings import RECORDED
from tests.day.reviews import one_walk, partly
from tests.day.trips import typed_trip


def test_a_recording_of_another_place(folder: Path) -> None:
    with pytest.raises(TrackError) as refused:
        partly(folder, "elsewhere", one_walk(), shift_m=(9000.0, 0.0))
    (problem,) = refused.value.problems
    assert problem.what == "the recording never comes near the way of the plan"
    assert "mi off at the nearest" in (problem.read or "")
    assert "elsewhere.gpx" in (problem.file or "")


def test_a_drive_is_no_review(folder: Path) -> None:
    """The same way at thirty times the speed."""
    walked = one_walk()
    driven = replace(walked, clock_s=walked.clock_s[0] + (walked.clock_s - walked.clock_s[0]) / 30.0)
    with pytest.raises(TrackError) as refused:
        partly(folder, "driven", driven)
    (problem,) = refused.value.problems
    assert problem.what == "nothing but a drive: nobody walks so fast"
    assert "faster than walking" in (problem.read or "")
    assert "driven.gpx" in (problem.file or "")


def test_a_recording_between_two_places(folder: Path) -> None:
    walked = one_walk()
    start, end = (float(np.interp(at_m, walked.along_m, walked.clock_s)) for at_m in (4200.0, 5500.0))
    with pytest.raises(TrackError) as refused:
        partly(folder, "between", walked.between(start, end))
    assert "passes no two neighbouring places" in refused.value.problems[0].what
    assert refused.value.problems[0].read == "places passed: none"


def test_typed_legs_have_no_positions() -> None:
    with pytest.raises(TripError) as refused:
        review(typed_trip(days=100), RECORDED)
    (problem,) = refused.value.problems
    assert "no position" in problem.what
    assert "latitude and longitude" in (problem.allowed or "")
    assert "track" in (problem.mend or "")
    assert problem.key == "route.legs"
