"""Wrong input, as a user gives it: a clear message that names file and key, exit code 2, nothing written."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.cli.command_line import EXAMPLES, assert_refused, run
from tests.trip.short_trip import SHORT


def _plan(folder: Path) -> tuple[int, str]:
    return run("plan", folder / "trip.toml", "--out", folder / "out")


def _refused(folder: Path, *says: str) -> None:
    assert_refused(_plan(folder), says, folder / "out")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with the short trip file and a good track."""
    (tmp_path / "trip.toml").write_text(SHORT, encoding="utf-8")
    shutil.copy(EXAMPLES / "petrel-slab" / "track.gpx", tmp_path / "track.gpx")
    return tmp_path


def _change(folder: Path, old: str, new: str) -> None:
    text = (folder / "trip.toml").read_text(encoding="utf-8")
    assert old in text
    (folder / "trip.toml").write_text(text.replace(old, new), encoding="utf-8")


def _gpx(folder: Path, points: str) -> None:
    (folder / "track.gpx").write_text(
        '<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
        f"<trk><trkseg>{points}</trkseg></trk></gpx>",
        encoding="utf-8",
    )


def test_the_short_file_plans(folder: Path) -> None:
    code, said = _plan(folder)
    assert code in (0, 1), said
    assert (folder / "out" / "brief.html").exists()


@pytest.mark.parametrize("command", ["crowd", "dates", "line", "load", "options", "quota", "weather"])
def test_every_command_says_that_its_trip_file_is_missing(command: str, tmp_path: Path) -> None:
    told = run(command, tmp_path / "none.toml", "--out", tmp_path / "out")
    assert_refused(told, ("there is no such file",), tmp_path / "out")


def test_missing_trip_file(tmp_path: Path) -> None:
    _refused(tmp_path, "trip.toml", "there is no")


def test_missing_track(folder: Path) -> None:
    (folder / "track.gpx").unlink()
    _refused(folder, "trip.toml", "route.track", "track.gpx")


def test_broken_toml(folder: Path) -> None:
    _change(folder, "[line]", "[line")
    _refused(folder, "trip.toml:7")


def test_broken_xml(folder: Path) -> None:
    (folder / "track.gpx").write_text("<gpx><trk><trkseg>", encoding="utf-8")
    _refused(folder, "track.gpx", "route.track")


def test_gpx_without_elevation(folder: Path) -> None:
    _gpx(folder, "".join(f'<trkpt lat="{46 + i * 0.001}" lon="-113"/>' for i in range(60)))
    _refused(folder, "track.gpx", "height", "terrain")


def test_one_point(folder: Path) -> None:
    _gpx(folder, '<trkpt lat="46" lon="-113"><ele>1000</ele></trkpt>')
    _refused(folder, "track.gpx [route.track]: the track has one point only")


def test_points_in_the_sea(folder: Path) -> None:
    _gpx(folder, "".join(f'<trkpt lat="{46 + i * 0.001}" lon="-113"><ele>0</ele></trkpt>' for i in range(60)))
    _refused(folder, "track.gpx", "route.track")


def test_null_island(folder: Path) -> None:
    _gpx(folder, '<trkpt lat="0" lon="0"><ele>5</ele></trkpt>' * 30)
    _refused(folder, "track.gpx")


def test_entities_are_refused(folder: Path) -> None:
    (folder / "track.gpx").write_text(
        '<!DOCTYPE gpx [<!ENTITY a "aaaa">]><gpx version="1.1"><trk><name>&a;</name></trk></gpx>', encoding="utf-8"
    )
    _refused(folder, "track.gpx")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ('length = "120 m"', 'length = "120 kg"', ("line.length", "120 kg", "ft")),
        ('length = "120 m"', "length = 120", ("line.length", "unit")),
        ('length = "120 m"', 'length = "-120 m"', ("line.length", "-120 m")),
        ('angle = "45 deg"', 'angle = "95 deg"', ("line.angle", "95 deg", "90 deg")),
        ("size = 4", "size = 0", ("party.size", "at least one")),
        ("size = 4", "members = []", ("party", "at least one")),
        ("size = 4", "size = 1000000000", ("party.size", "split into parties")),
        ("size = 4", "size = 1e9", ("party.size",)),
        ("size = 4", 'size = 4\n[tethers]\nchosen = "one slnig"', ("tethers.chosen", "one slnig", '"one sling"')),
        ("size = 4", 'size = 4\n[season]\nopen = ["1 December to 31 March"]', ("trip.date", "2027-07-17")),
        ("date = 2027-07-17", "date = 2300-01-01", ("trip.date", "2300")),
        ("[party]", "[parti]", ("parti", "party")),
        ("size = 4", "size = 4\nsiez = 3", ("party.siez", "size")),
    ],
)
def test_wrong_values(folder: Path, old: str, new: str, says: tuple[str, ...]) -> None:
    _change(folder, old, new)
    _refused(folder, "trip.toml", *says)


def test_every_problem_at_once(folder: Path) -> None:
    _change(folder, '"45 deg"', '"95 deg"')
    _change(folder, "size = 4", "size = 0")
    _change(folder, "2027-07-17", '"17 July"')
    _change(folder, "[party]", '[tethers]\nchosen = "onesling"\n[season]\nraised = ["Juni to July"]\n[party]')
    _refused(
        folder, "trip.date", "trip.toml:9 [line.angle]", "party.size", "trip.toml:12 [tethers.chosen]",
        "trip.toml:14 [season.raised[0]]", "5 problems in all",
    )  # fmt: skip


def test_a_waypoint_off_the_track_is_told_at_its_own_line(folder: Path) -> None:
    _change(folder, "[party]", '[[waypoints]]\nname = "Far"\nat = "500 km"\n[party]')
    _refused(folder, "trip.toml:13 [waypoints[0].at]", '"Far" lies past the end')


def test_an_existing_brief_stays_as_it_was(folder: Path) -> None:
    assert _plan(folder)[0] in (0, 1)
    before = (folder / "out" / "brief.html").read_bytes()
    _change(folder, "size = 4", "size = 0")
    assert _plan(folder)[0] == 2
    assert (folder / "out" / "brief.html").read_bytes() == before


def test_a_folder_that_cannot_be_written(folder: Path) -> None:
    (folder / "out").write_text("a file where the folder should be", encoding="utf-8")
    code, said = _plan(folder)
    assert code == 2
    assert "Traceback" not in said
    assert (folder / "out").read_text(encoding="utf-8").startswith("a file")


@pytest.mark.parametrize("kind", ["line_foot", "line_head"])
def test_one_end_of_the_line_is_enough(folder: Path, kind: str) -> None:
    at = {"line_foot": "5.285 km", "line_head": "5.38 km"}[kind]
    _change(folder, "[party]", f'[[waypoints]]\nname = "One end"\nkind = "{kind}"\nat = "{at}"\n[party]')
    code, said = _plan(folder)
    assert code in (0, 1), said
    other = {"line_foot": "Head of the line (up)", "line_head": "Foot of the line (up)"}[kind]
    assert "One end (up)" in said
    assert other in said
