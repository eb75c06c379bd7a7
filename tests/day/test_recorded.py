"""Recorded tracks from files: what is refused, what is mended, and the real track."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from handline.day.one_walker import returns
from handline.day.pace_fitting import fit_tracks
from handline.day.recorded import Recorded, moment_words, read_recorded
from handline.errors import InputError, TrackError
from handline.route.gpx import read_gpx
from handline.walking.fitting import fit_pace
from tests.day.pace_tracks import DAY_S, START_S, UNUSABLE, gpx, straight, unusable, walk
from tests.real_track import real_track_path
from tests.tables.published import read_table


@pytest.mark.parametrize("case", UNUSABLE)
def test_what_is_no_walk_of_one_party_is_refused(tmp_path: Path, case: str) -> None:
    path, says = unusable(tmp_path)[case]
    with pytest.raises(TrackError) as refused:
        fit_tracks([path])
    for problem in refused.value.problems:
        assert problem.file == str(path)
        assert problem.mend
    for text in says:
        assert text in str(refused.value)


def test_every_case_is_listed(tmp_path: Path) -> None:
    assert tuple(unusable(tmp_path)) == UNUSABLE


def test_every_bad_file_is_told_at_once(tmp_path: Path) -> None:
    cases = unusable(tmp_path)
    paths = [cases["no times"][0], gpx(tmp_path / "good.gpx", straight(400)), cases["a drive"][0]]
    with pytest.raises(TrackError) as refused:
        fit_tracks(paths)
    assert [Path(problem.file or "").name for problem in refused.value.problems] == ["drawn.gpx", "drive.gpx"]


def test_no_track_at_all() -> None:
    with pytest.raises(InputError, match="no track was named"):
        fit_tracks([])


def test_two_files_of_the_same_time_are_two_people(tmp_path: Path) -> None:
    one, other = (
        gpx(tmp_path / "ada.gpx", straight(400)),
        gpx(tmp_path / "bo.gpx", straight(400, start_s=START_S + 600.0)),
    )
    with pytest.raises(TrackError) as refused:
        fit_tracks([other, one])
    problem = refused.value.problems[0]
    assert problem.file == str(other)
    assert "at the same time as ada.gpx" in problem.what
    assert problem.read == "56 min of both, from 2024-08-03 06:10 UTC"
    with pytest.raises(TrackError, match="or the same walk twice"):
        fit_tracks([one, one])


def test_a_few_points_far_off_are_not_two_people(tmp_path: Path) -> None:
    points = straight(800)
    for i in (100, 300, 500, 700):
        points[i] = (400.0, *points[i][1:])
    found = read_recorded(gpx(tmp_path / "spikes.gpx", points))
    assert "4 points far off the line left out" in " ".join(found.notes)
    assert found.recording.moving_m == pytest.approx(799 * 12.0, rel=0.01)


def test_how_often_it_jumps_to_and_fro(tmp_path: Path) -> None:
    """Two people 60 m apart, their points in turn: every step but the last is a jump, and the next one leads back."""
    mine, theirs = straight(100), straight(100, east_m=60.0, start_s=START_S + 5.0)
    both = sorted([*mine, *theirs], key=lambda point: point[3] or 0.0)
    count, apart_m = returns(read_gpx(gpx(tmp_path / "both.gpx", both)))
    assert count == 198
    assert apart_m == pytest.approx(math.hypot(60.0, 6.0), abs=6.5)
    near = sorted([*mine, *straight(100, east_m=12.0, start_s=START_S + 5.0)], key=lambda point: point[3] or 0.0)
    assert returns(read_gpx(gpx(tmp_path / "near.gpx", near))) == (0, 0.0)


def test_going_to_and_fro_at_a_walk_is_no_second_person(tmp_path: Path) -> None:
    """Steps of 30 m across the slope and back, each in 25 s."""
    points = [(30.0 * (i % 2), 3.0 * i, 1000.0 + i, START_S + 25.0 * i) for i in range(200)]
    assert returns(read_gpx(gpx(tmp_path / "across.gpx", points))) == (0, 0.0)


def test_pieces_in_the_wrong_order_are_put_right(tmp_path: Path) -> None:
    points = straight(600)
    right = read_recorded(gpx(tmp_path / "right.gpx", points[:300], points[320:]))
    turned = read_recorded(gpx(tmp_path / "turned.gpx", points[320:], points[:300]))
    assert "the 2 pieces put in the order of their times" in turned.notes
    assert turned.recording.spells == right.recording.spells
    assert [spell.kind for spell in right.recording.spells] == ["moving", "lost signal", "moving"]


def test_points_without_a_time_are_left_out_and_said(tmp_path: Path) -> None:
    points = [(e, n, h, t if i % 4 else None) for i, (e, n, h, t) in enumerate(straight(400))]
    found = read_recorded(gpx(tmp_path / "most.gpx", points))
    assert "100 points without a time left out" in found.notes
    assert found.track.size == 300


def test_heights_may_be_left_away_where_they_are_not_needed(tmp_path: Path) -> None:
    path = gpx(tmp_path / "flat.gpx", [(e, n, None, t) for e, n, _, t in straight(400)])
    found = read_recorded(path, heights=False)
    assert "no heights in the track: counted as level" in found.notes
    assert not found.recording.pieces.rise_m.any()
    high = read_recorded(gpx(tmp_path / "high.gpx", straight(400)), heights=False)
    assert high.recording.pieces.rise_m.min() > 0.0


def test_moments_in_words() -> None:
    assert moment_words(0.0) == "1970-01-01 00:00 UTC"
    assert moment_words(-1.0) == "1969-12-31 23:59 UTC"


def test_moving_time_of_a_simulated_day(tmp_path: Path) -> None:
    found = read_recorded(gpx(tmp_path / "day.gpx", walk(3, day=2, every_s=25.0)))
    assert found.recording.moving_m == pytest.approx(5000.0, rel=0.02)
    assert found.start_s == START_S + 2 * DAY_S


# --- the real track ------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def segments(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Recorded]:
    """The two timed segments of the real track, each as a file of its own."""
    text = real_track_path().read_text(encoding="utf-8")
    head, *pieces = text.split("<trkseg>")
    folder = tmp_path_factory.mktemp("real")
    found = {}
    for number in (2, 3):
        piece = pieces[number - 4].split("</trkseg>")[0]
        path = folder / f"segment-{number}.gpx"
        path.write_text(f"{head.split('<trk>')[0]}<trk><trkseg>{piece}</trkseg></trk></gpx>", encoding="utf-8")
        found[str(number)] = read_recorded(path)
    return found


@pytest.mark.parametrize("row", read_table("real_track_moving"), ids=lambda row: f"{row['segment']} {row['what']}")
def test_published_times(segments: dict[str, Recorded], row: dict[str, str]) -> None:
    recording = segments[row["segment"]].recording
    found_s = {"moving time": recording.moving_s, "whole time": recording.total_s}[row["what"]]
    assert found_s / 60.0 == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]))


@pytest.mark.parametrize(("known", "asked"), [("2", "3"), ("3", "2")])
def test_one_segment_predicts_the_other(segments: dict[str, Recorded], known: str, asked: str) -> None:
    """One mostly up, one mostly down: the moving time of the one lies in the 80 % band of the other's pace."""
    fit = fit_pace([segments[known].recording])
    walked = segments[asked].recording
    run, rise = walked.pieces.run_m, walked.pieces.rise_m
    # The edges of its spells are not in its pieces: they are walked like the rest.
    whole = walked.moving_m / float(run.sum())
    said = fit.predict(run * whole, rise * whole)
    low_s, high_s = said.band_s(0.80)
    assert low_s < walked.moving_s < high_s
    assert high_s / low_s < 1.75


def test_without_the_part_that_has_no_times(tmp_path: Path) -> None:
    found = read_recorded(real_track_path())
    assert found.track.size == 513
    assert "358 points without a time left out" in found.notes
    assert fit_pace([found.recording]).days == 1
