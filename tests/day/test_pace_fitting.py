"""The PaceReport from files, and a pace written into a trip file."""

from __future__ import annotations

import difflib
import math
import re
import shutil
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from handline.day.cautions import CAUTIONS
from handline.day.pace_fitting import fit_tracks
from handline.day.pace_into_trip import save_pace
from handline.day.pace_report import PaceReport
from handline.day.recorded import read_recorded
from handline.day.setting import set_up
from handline.errors import InputError, TripError
from handline.sources import sources
from handline.trip.reading import read_trip
from handline.walking.fitting import fit_pace
from handline.walking.registry import PACE_MODELS
from tests.day.pace_tracks import DAY_S, START_S, gpx, straight, walk

EXAMPLES = Path(__file__).parents[2] / "examples"
TRIP = """\
# Our trip.
[trip]
date = 2027-07-17

[route]
track = "track.gpx"

[line]
length = "120 m"
angle = "45 deg"

[party]                     # the people
body_mass = "85 kg"         # the heaviest

[[party.members]]
name = "Ada"                # leads

[[party.members]]
name = "Bo"
pack_mass = "9 kg"

[limits]
chance = "90 %"             # as sure as that
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two walks on two days, the second with a ride and a gap."""
    path = tmp_path_factory.mktemp("walks")
    gpx(path / "first.gpx", walk(1))
    second = walk(2, day=1)
    ride = [(second[-1][0] + 140.0 * i, second[-1][1], second[-1][2], second[-1][3] + 10.0 * i) for i in range(1, 60)]
    gpx(path / "second.gpx", [*second[:200], *second[240:], *ride])
    return path


@pytest.fixture(scope="module")
def report(folder: Path) -> PaceReport:
    return fit_tracks([folder / "second.gpx", folder / "first.gpx"], pack_mass_kg=8.0)


@pytest.fixture
def trip(tmp_path: Path) -> Path:
    shutil.copy(EXAMPLES / "petrel-slab" / "track.gpx", tmp_path / "track.gpx")
    path = tmp_path / "trip.toml"
    path.write_text(TRIP, encoding="utf-8")
    return path


def test_the_report_says_what_was_recorded(report: PaceReport) -> None:
    assert [track.file for track in report.tracks] == ["first.gpx", "second.gpx"]
    assert (report.days, report.pack_mass_kg, report.surface) == (2, 8.0, "good path")
    assert report.tracks[0].moving_m == pytest.approx(5000.0, rel=0.03)
    assert report.moving_s == pytest.approx(sum(track.moving_s for track in report.tracks))
    assert report.tracks[0].start.startswith("2024-08-03 06:00")
    assert 1300.0 < report.elevation_m < 1700.0
    assert report.cautions == CAUTIONS


def test_what_was_thrown_out_is_said_with_numbers(report: PaceReport) -> None:
    second = report.tracks[1]
    assert second.ride_s == pytest.approx(590.0, abs=60.0)
    assert second.ride_m == pytest.approx(59 * 140.0, rel=0.1)
    assert second.lost_s == pytest.approx(410.0, abs=20.0)
    said = " ".join(report.thrown_out)
    assert "1 spell faster than walking, 10 min in all over 8." in said
    assert "1 gap without a signal, 7 min in all over 0." in said


def test_several_gaps_are_told_in_the_plural(tmp_path: Path) -> None:
    points = straight(900)
    gappy = [*points[:200], *points[260:500], *points[560:]]
    said = " ".join(fit_tracks([gpx(tmp_path / "gappy.gpx", gappy)]).thrown_out)
    assert "2 gaps without a signal, " in said


def test_a_walk_without_any_pause_says_so(tmp_path: Path) -> None:
    found = fit_tracks([gpx(tmp_path / "through.gpx", straight(400))])
    assert "No pause of a minute and a half or more was seen" in found.thrown_out
    notes = " ".join(found.notes)
    for words in (
        "One day only",
        "Hardly any steep climb",
        "Hardly any steep descent",
        "pack was not told",
        "--surface",
        "Walking by lamp",
    ):
        assert words in notes


def test_every_number_has_its_spread(report: PaceReport) -> None:
    low, high = report.time_factor_band
    assert low < report.time_factor < high
    assert report.climb_band_s_100m[0] < report.climb_s_100m < report.climb_band_s_100m[1]
    for speed in report.speeds:
        assert 0.0 < speed.low_m_s < speed.middle_m_s < speed.high_m_s
    for one in report.walks:
        assert one.low_s < one.middle_s < one.high_s
    assert report.spread**2 > report.day_sd**2 + 0.9 * report.unsure_sd**2


def test_speeds_are_those_of_about_an_hour_on_the_slope(folder: Path, report: PaceReport) -> None:
    fit = fit_pace([read_recorded(folder / name).recording for name in ("first.gpx", "second.gpx")])
    for speed in report.speeds:
        hectometres = round(36.0 * float(1.0 / fit.best.segment_s(1.0, speed.grade)))
        said = fit.predict(np.full(hectometres, 100.0), np.full(hectometres, 100.0 * speed.grade))
        low_s, high_s = said.band_s(0.80)
        expected = [100.0 * hectometres / time_s for time_s in (high_s, said.middle_s, low_s)]
        assert [speed.low_m_s, speed.middle_m_s, speed.high_m_s] == pytest.approx(expected)
    low, high = report.time_factor_band
    assert math.log(high / low) == pytest.approx(2.0 * 1.28155 * fit.best.factor_sd, rel=1e-4)
    assert report.climb_band_s_100m[1] - report.climb_s_100m == pytest.approx(128.155 * fit.best.climb_sd_s_m, rel=1e-4)


def test_the_height_is_that_of_most_of_the_walking(tmp_path: Path) -> None:
    """An hour at 1,020 m, three at 2,060 m: the middle of the walking, track by track."""
    low = [(e, n, 1020.0 + i % 2, t) for i, (e, n, _, t) in enumerate(straight(361))]
    high = [(e, n, 2060.0 + i % 2, t) for i, (e, n, _, t) in enumerate(straight(1081, start_s=START_S + DAY_S))]
    found = fit_tracks([gpx(tmp_path / "low.gpx", low), gpx(tmp_path / "high.gpx", high)])
    assert found.elevation_m == pytest.approx((1020.0 + 3 * 2060.0) / 4.0, abs=1.0)


def test_walks_are_summed_from_the_model(report: PaceReport) -> None:
    """A mountain day: 10 km up with 1,000 m of climb, the same way down."""
    up, down, day = (report.walks[i] for i in (1, 2, 3))
    assert (up.length_m, up.up_m, day.length_m, day.up_m) == pytest.approx((10e3, 1000.0, 20e3, 1000.0))
    assert up.middle_s + down.middle_s == pytest.approx(day.middle_s)
    # Eight in ten of a log-normal: 1.2816 of its spread to each side.
    assert math.log(day.high_s / day.middle_s) == pytest.approx(1.28155 * report.spread, rel=1e-4)


def test_the_picture_and_the_table_are_one_pace(report: PaceReport) -> None:
    drawn = report.drawn
    for speed in report.speeds:
        at = int(np.argmin(np.abs(np.array(drawn.grade) - speed.grade)))
        if abs(drawn.grade[at] - speed.grade) < 1e-9:
            assert drawn.middle_m_s[at] == pytest.approx(speed.middle_m_s)
            assert drawn.day_m_s[0][at] == pytest.approx(speed.low_m_s)
            assert drawn.day_m_s[1][at] == pytest.approx(speed.high_m_s)
    assert all(drawn.piece_band_m_s[0][i] < drawn.day_m_s[0][i] for i in range(len(drawn.grade)))
    assert len(drawn.piece_m_s) == report.pieces
    tobler = dict(drawn.published)["Tobler 1993, on a path"]
    assert tobler[drawn.grade.index(0.0)] * 3.6 == pytest.approx(5.0367, abs=1e-4)  # source: tobler_1993


def test_about_eight_pieces_in_ten_lie_in_their_band(report: PaceReport) -> None:
    drawn = report.drawn
    low, high = (np.interp(drawn.piece_grade, drawn.grade, band) for band in drawn.piece_band_m_s)
    inside = np.mean((low < np.array(drawn.piece_m_s)) & (np.array(drawn.piece_m_s) < high))
    assert 0.7 < inside < 0.97


def test_models_and_sources(report: PaceReport) -> None:
    assert report.models[0].key == report.model
    assert report.models[0].error == report.error == min(model.error for model in report.models)
    assert [left.title for left in report.left_out] == ["DIN 33466", "DIN 33466 with alpine-club rates"]
    assert len(report.models) + len(report.left_out) == len(PACE_MODELS)
    assert report.sources[0] == sources()[PACE_MODELS[report.model].source].words
    assert any("common practice, no source" in words for words in report.sources)
    assert any("from memory" in words for words in report.sources)


def test_the_ground_is_taken_out(folder: Path, report: PaceReport) -> None:
    """A stony trail takes 1.67 times as long (source: de_gruchy_2017)."""
    stony = fit_tracks([folder / "first.gpx", folder / "second.gpx"], surface_key="stony trail")
    assert stony.time_factor == pytest.approx(report.time_factor / 1.67)
    assert stony.climb_s_100m == pytest.approx(report.climb_s_100m / 1.67)
    assert stony.climb_band_s_100m == pytest.approx([seconds / 1.67 for seconds in report.climb_band_s_100m])
    assert stony.time_factor_band == pytest.approx([factor / 1.67 for factor in report.time_factor_band])
    assert [model.time_factor for model in stony.models] == pytest.approx([m.time_factor / 1.67 for m in report.models])
    assert (stony.spread, stony.speeds, stony.drawn) == (report.spread, report.speeds, report.drawn)
    assert any("de Gruchy" in words for words in stony.sources)
    assert not any("de Gruchy" in words for words in report.sources)
    with pytest.raises(InputError, match='did you mean "stony trail"'):
        fit_tracks([folder / "first.gpx"], surface_key="stoney trail")


# --- into the trip file --------------------------------------------------------------------------------------------


def added(before: str, after: str) -> list[str]:
    """The lines that came in; fails if any line went away."""
    lines = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    assert not [line for line in lines if line.startswith("- ")]
    return [line[2:] for line in lines if line.startswith("+ ")]


def test_the_pace_of_the_party_goes_into_its_trip(trip: Path, report: PaceReport) -> None:
    kept = save_pace(trip, None, report)
    new = added(TRIP, trip.read_text(encoding="utf-8"))
    assert [line for line in new if line] == [
        "[party.pace]",
        f'model = "{report.model}"',
        f"time_factor = {report.time_factor:.3f}".rstrip("0"),
        f'climb = "{report.climb_s_100m / 60.0:.2f}'.rstrip("0").rstrip(".") + ' min"',
        f'spread = "{100 * report.spread:.1f} %"',
        'pack_mass = "8 kg"',
        f'elevation = "{report.elevation_m:.0f} m"',
        "tracks = 2",
    ]
    pace = read_trip(trip).party.pace
    assert pace is not None
    assert pace.model == report.model
    assert pace.time_factor == pytest.approx(report.time_factor, abs=6e-4)
    assert pace.climb_s == pytest.approx(report.climb_s_100m, abs=0.31)
    assert pace.spread == pytest.approx(report.spread, abs=6e-4)
    assert (pace.pack_mass_kg, pace.tracks) == (8.0, 2)
    assert pace.elevation_m == pytest.approx(report.elevation_m, abs=0.51)
    assert (kept.table, kept.says) == ("party.pace", "")


@pytest.mark.parametrize(("name", "index"), [("Ada", 0), ("Bo", 1)])
def test_the_pace_of_a_member_goes_to_the_member(trip: Path, report: PaceReport, name: str, index: int) -> None:
    save_pace(trip, name, report)
    text = trip.read_text(encoding="utf-8")
    assert "[party.members.pace]" in added(TRIP, text)
    members = read_trip(trip).party.members
    assert [member.pace is not None for member in members] == [index == 0, index == 1]
    save_pace(trip, name, report)
    assert trip.read_text(encoding="utf-8") == text
    assert save_pace(trip, None, report).says == f"Members with a pace of their own keep it: {name}."


def test_an_older_pace_is_replaced_whole(trip: Path, report: PaceReport) -> None:
    save_pace(trip, None, report)
    slower = replace(report, time_factor=2.0, climb_s_100m=-31.0, pack_mass_kg=None, tracks=report.tracks[:1])
    save_pace(trip, None, slower)
    pace = read_trip(trip).party.pace
    assert pace is not None
    assert (pace.time_factor, pace.climb_s, pace.pack_mass_kg, pace.tracks) == (2.0, pytest.approx(-31.2), 0.0, 1)


def without_pace(text: str) -> str:
    """The text without the keys of its [party.pace]."""
    return re.sub(r"\n*\[party\.pace\][^\n]*\n(?:[^\[\n].*\n)*\n*", "\n", text)


def test_a_trip_that_plans_walks_at_the_new_pace_and_is_else_as_it_was(report: PaceReport, tmp_path: Path) -> None:
    for file in (EXAMPLES / "tamsin-dome").iterdir():
        shutil.copy(file, tmp_path / file.name)
    trip = tmp_path / "trip.toml"
    before = trip.read_text(encoding="utf-8")
    save_pace(trip, None, report)
    after = trip.read_text(encoding="utf-8")
    assert re.sub(r"\n+", "\n", without_pace(after)) == re.sub(r"\n+", "\n", without_pace(before))
    walkers = set_up(read_trip(trip)).walkers
    assert all(walker.pace is not None and walker.pace.model == report.model for walker in walkers)
    assert walkers[0].pace is not None
    assert walkers[0].pace.climb_s_m == pytest.approx(report.climb_s_100m / 100.0, abs=0.0031)
    assert walkers[0].pace.sigma == pytest.approx(report.spread, abs=6e-4)


@pytest.mark.parametrize(
    ("name", "says"),
    [("Adda", ("unknown member of this trip", "Ada, Bo", 'did you mean "Ada"?')), ("Zoe", ("Zoe", "use one of those"))],
)
def test_a_name_that_is_not_in_the_trip(trip: Path, report: PaceReport, name: str, says: tuple[str, ...]) -> None:
    with pytest.raises(TripError) as refused:
        save_pace(trip, name, report)
    for text in (str(trip), "party.members", *says):
        assert text in str(refused.value)
    assert trip.read_text(encoding="utf-8") == TRIP


def test_a_name_where_nobody_is_listed(trip: Path, report: PaceReport) -> None:
    listed = TRIP[TRIP.index("[[party.members]]") : TRIP.index("[limits]")]
    text = TRIP.replace(listed, "").replace('body_mass = "85 kg"', "size = 3")
    trip.write_text(text, encoding="utf-8")
    with pytest.raises(TripError, match="nobody is listed by name"):
        save_pace(trip, "Ada", report)


def test_a_pace_no_trip_file_takes_is_refused_and_nothing_saved(trip: Path, report: PaceReport) -> None:
    with pytest.raises(TripError, match="time_factor"):
        save_pace(trip, None, replace(report, time_factor=60.0))
    assert trip.read_text(encoding="utf-8") == TRIP
