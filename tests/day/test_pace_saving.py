"""Saving the pace of a reviewed day: the plan's middle then walks it, and the rest of the file is as it was."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from handline.day.file_checks import subject_problems
from handline.day.pace_saving import save_pace
from handline.day.pace_update import PaceUpdate
from handline.day.setting import set_up
from handline.day.simulation import draw_days, walk
from handline.day.time_parts import planned_by_light_s
from handline.errors import TripError
from handline.trip.reading import read_trip
from tests.day.recordings import TAMSIN, tamsin_text

SLOWER = PaceUpdate(
    planned_walking_s=30_000.0,
    recorded_walking_s=36_000.0,
    factor=1.17,
    low=1.05,
    high=1.30,
    prior_sigma=0.2,
    sigma=0.06,
    day_sigma=0.08,
)


@pytest.fixture
def trip_file(tmp_path: Path) -> Path:
    """The example with few days, its comments and all."""
    for name in ("track.gpx", "terrain.tif", "forecast.csv"):
        shutil.copy(TAMSIN.parent / name, tmp_path / name)
    path = tmp_path / "trip.toml"
    path.write_text(tamsin_text(), encoding="utf-8")
    return path


def middle_walking_s(path: Path) -> float:
    setting = set_up(read_trip(path, subject_problems))
    about = setting.trip.about
    days = walk(
        setting.itinerary, draw_days(setting.itinerary, about.days, about.seed), np.array([about.start_clock_s])
    )
    legs = [j for j, leg in enumerate(setting.route.legs) if not leg.is_line]
    return float(np.median(np.sum([planned_by_light_s(setting, days, j) for j in legs], axis=0)))


def test_the_plan_walks_the_saved_pace_and_comments_stay(trip_file: Path) -> None:
    before, text = middle_walking_s(trip_file), trip_file.read_text(encoding="utf-8")
    saved = save_pace(read_trip(trip_file, subject_problems), SLOWER)
    assert middle_walking_s(trip_file) / before == pytest.approx(1.17, rel=3e-3)
    assert saved.spread == pytest.approx(0.1)  # 0.06 and 0.08 in quadrature
    trip = read_trip(trip_file, subject_problems)
    assert trip.party.pace is not None
    assert trip.party.pace.time_factor == saved.time_factor
    assert trip.party.pace.spread == pytest.approx(0.1)
    assert trip.party.pace.model is None
    now = trip_file.read_text(encoding="utf-8")
    assert [line for line in now.splitlines() if line and line not in text.splitlines()] == [
        "[party.pace]",
        f"time_factor = {saved.time_factor:g}",
        'spread = "10.0 %"',
    ]
    assert [line for line in text.splitlines() if line not in now.splitlines()] == []


def test_saving_again_starts_from_the_saved_pace(trip_file: Path) -> None:
    first = save_pace(read_trip(trip_file, subject_problems), SLOWER)
    second = save_pace(read_trip(trip_file, subject_problems), replace(SLOWER, factor=1.0))
    assert second.time_factor == pytest.approx(first.time_factor, rel=3e-3)


def test_a_model_and_its_climb_stay(trip_file: Path) -> None:
    text = trip_file.read_text(encoding="utf-8")
    pace = '[party.pace]\nmodel = "tobler_1993"  # as fitted\ntime_factor = 1.2\nclimb = "1 min"\n\n[tethers]'
    trip_file.write_text(text.replace("[tethers]", pace, 1), encoding="utf-8")
    before = middle_walking_s(trip_file)
    save_pace(read_trip(trip_file, subject_problems), SLOWER)
    trip = read_trip(trip_file, subject_problems)
    assert trip.party.pace is not None
    assert (trip.party.pace.model, trip.party.pace.climb_s) == ("tobler_1993", 60.0)
    assert "# as fitted" in trip_file.read_text(encoding="utf-8")
    assert middle_walking_s(trip_file) / before == pytest.approx(1.17, rel=3e-3)


def test_members_with_paces_of_their_own_are_not_overruled(trip_file: Path) -> None:
    text = trip_file.read_text(encoding="utf-8")
    member = '[[party.members]]\nname = "Ann"\n[party.members.pace]\ntime_factor = 1.1\n\n[tethers]'
    trip_file.write_text(text.replace("size = 6\n", "").replace("[tethers]", member, 1), encoding="utf-8")
    before = trip_file.read_bytes()
    with pytest.raises(TripError) as refused:
        save_pace(read_trip(trip_file, subject_problems), SLOWER)
    assert refused.value.problems[0].read == "Ann"
    assert refused.value.problems[0].key == "party.members"
    assert trip_file.read_bytes() == before


def test_nothing_learned_is_nothing_saved(trip_file: Path) -> None:
    before = trip_file.read_bytes()
    with pytest.raises(TripError, match="there is no pace to save"):
        save_pace(read_trip(trip_file, subject_problems), None)
    assert trip_file.read_bytes() == before


def test_a_pace_out_of_all_reason_leaves_the_file_as_it_was(trip_file: Path) -> None:
    before = trip_file.read_bytes()
    with pytest.raises(TripError):
        save_pace(read_trip(trip_file, subject_problems), replace(SLOWER, factor=60.0))
    assert trip_file.read_bytes() == before
