"""Kept answers: asked again when they no longer hold, used with their age when nobody answers, never half there."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import asdict, replace
from datetime import UTC, datetime
from email.utils import format_datetime
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.errors import InputError
from handline.weather.forecast import Forecast
from handline.weather.live.asking import Patience
from handline.weather.live.kept import Kept, age_words, holds_s, read_kept, write_kept
from handline.weather.live.met_norway import MetNorway
from tests.weather.live.replaying import Reply, Service, answer_body, replaying

CAME_S = datetime(2031, 6, 14, 8, 30, tzinfo=UTC).timestamp()
HOUR_S = 3600.0
CHANGED = "Sat, 14 Jun 2031 08:24:51 GMT"
THUNDER = "the forecast leaves out the chance of thunder at 2 of 5 times"


def http_date(at_s: float) -> str:
    return format_datetime(datetime.fromtimestamp(at_s, UTC), usegmt=True)


def held(
    status: int = 200, until_s: float = CAME_S + HOUR_S, body: str = "hours_then_six", changed: str = CHANGED
) -> Reply:
    sent = b"" if status == 304 else answer_body(body)
    return Reply(status, sent, {"Expires": http_date(until_s), "Last-Modified": changed})


def fetch(service: Service, folder: Path, now_s: float, place: tuple[float, float] = (12.3457, -34.5679)) -> Forecast:
    patience = Patience(silence_s=0.2, whole_s=5.0, most_bytes=20_000)
    return MetNorway(folder, now_s, "", service.address, patience).fetch(*place, 1850.0)


def only_file(folder: Path) -> Path:
    (path,) = folder.iterdir()
    return path


def test_while_it_holds_nothing_is_asked(tmp_path: Path) -> None:
    with replaying(held()) as service:
        first = fetch(service, tmp_path, CAME_S)
        again = fetch(service, tmp_path, CAME_S + HOUR_S - 1.0)
        assert len(service.asked) == 1
        assert "if-modified-since" not in service.asked[0][2]
        fetch(service, tmp_path, CAME_S + HOUR_S)
        assert len(service.asked) == 2
    assert first.notes == again.notes == (THUNDER,)
    assert again.places[0].rain_mm[:5].tolist() == first.places[0].rain_mm[:5].tolist() == [0.0, 0.1, 0.9, 4.2, 0.7]


def test_unchanged_is_used_again_and_holds_anew(tmp_path: Path) -> None:
    with replaying(held(), held(304, until_s=CAME_S + 5 * HOUR_S)) as service:
        fetch(service, tmp_path, CAME_S)
        later = fetch(service, tmp_path, CAME_S + 2 * HOUR_S)
        assert service.asked[1][2]["if-modified-since"] == CHANGED
        fetch(service, tmp_path, CAME_S + 4.9 * HOUR_S)
        assert len(service.asked) == 2
    assert later.places[0].temperature_C[0] == 4.3
    assert later.notes == (THUNDER,)
    kept = read_kept(only_file(tmp_path))
    assert kept is not None
    assert (kept.downloaded_s, kept.confirmed_s, kept.last_modified) == (CAME_S, CAME_S + 2 * HOUR_S, CHANGED)


def test_a_newer_one_takes_its_place(tmp_path: Path) -> None:
    newer = "Sat, 14 Jun 2031 13:31:02 GMT"
    with replaying(held(), held(body="newer_hours", changed=newer, until_s=CAME_S + 6 * HOUR_S), held(304)) as service:
        fetch(service, tmp_path, CAME_S)
        found = fetch(service, tmp_path, CAME_S + 5 * HOUR_S)
        fetch(service, tmp_path, CAME_S + 7 * HOUR_S)
        assert service.asked[2][2]["if-modified-since"] == newer
    assert found.places[0].temperature_C.tolist() == [8.8, 8.1, 7.0]
    assert len(list(tmp_path.iterdir())) == 1


@pytest.mark.parametrize(
    ("reply", "why"),
    [
        (Reply(500), "the service has a fault (it answered 500)"),
        (Reply(503), "the service has a fault (it answered 503)"),
        (Reply(429), "the service is asked too often and wants to be left alone for a while"),
        (Reply(how="silent"), "no answer within 0.2 s"),
        (Reply(how="hang_up"), "the answer was cut off"),
        (Reply(body=b"{}", said_bytes=3), "the answer was cut off"),
        (Reply(body=answer_body("newer_hours")[:-40]), "the answer was no whole JSON"),
        (Reply(body=b"<html>sign in here</html>"), "the answer was no whole JSON"),
        (Reply(body=b" " * 20_001), "the answer was larger than 20,000 bytes"),
    ],
    ids=lambda value: value if isinstance(value, str) else "",
)
def test_the_last_one_with_its_age(reply: Reply, why: str, tmp_path: Path) -> None:
    with replaying(held(), reply) as service:
        fetch(service, tmp_path, CAME_S)
        before = only_file(tmp_path).read_bytes()
        found = fetch(service, tmp_path, CAME_S + 5 * HOUR_S)
        assert len(service.asked) == 2
    assert found.notes == (THUNDER, f"downloaded 5 h ago: {why}")
    assert found.places[0].temperature_C[0] == 4.3
    assert only_file(tmp_path).read_bytes() == before
    # The same with nothing kept: an error that says why and what to do.
    empty = tmp_path / "empty"
    with replaying(reply) as service, pytest.raises(InputError) as caught:
        fetch(service, empty, CAME_S)
    (problem,) = caught.value.problems
    assert problem.what == f"no forecast from MET Norway Locationforecast 2.0: {why}; none is kept for this place"
    assert problem.mend == "try later, or type the forecast into a CSV file and give that"
    assert not empty.exists()


def test_no_connection(tmp_path: Path) -> None:
    with replaying(held(), held(304, until_s=CAME_S + 4 * HOUR_S)) as service:
        fetch(service, tmp_path, CAME_S)
        fetch(service, tmp_path, CAME_S + 3 * HOUR_S)
    found = fetch(service, tmp_path, CAME_S + 5 * HOUR_S)
    assert found.notes[-1] == "downloaded 5 h ago, unchanged 2 h ago: no connection now"
    with pytest.raises(InputError, match="no connection now; none is kept for this place"):
        fetch(service, tmp_path, CAME_S, place=(12.3458, -34.5679))


def test_each_place_has_its_own(tmp_path: Path) -> None:
    with replaying(held()) as service:
        for place in ((12.3457, -34.5679), (12.34571, -34.56791), (12.3458, -34.5679)):
            fetch(service, tmp_path, CAME_S, place)
    assert [path for _, path, _ in service.asked] == [
        "/complete?lat=12.3457&lon=-34.5679&altitude=1850",
        "/complete?lat=12.3458&lon=-34.5679&altitude=1850",
    ]
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize("status", [301, 403, 404])
def test_a_no_that_does_not_pass_is_not_hidden_by_what_is_kept(status: int, tmp_path: Path) -> None:
    with replaying(held(), Reply(status)) as service:
        fetch(service, tmp_path, CAME_S)
        with pytest.raises(InputError, match=f"answer {status}"):
            fetch(service, tmp_path, CAME_S + 5 * HOUR_S)


def test_another_unit_is_not_hidden_and_not_kept(tmp_path: Path) -> None:
    kelvin = answer_body("newer_hours").replace(b"celsius", b"kelvin")
    with replaying(held(), Reply(200, kelvin), held(304)) as service:
        fetch(service, tmp_path, CAME_S)
        with pytest.raises(InputError, match="another unit"):
            fetch(service, tmp_path, CAME_S + 5 * HOUR_S)
        assert fetch(service, tmp_path, CAME_S + 6 * HOUR_S).places[0].temperature_C[0] == 4.3


def test_withdrawn_is_said_as_long_as_it_is_used(tmp_path: Path) -> None:
    with replaying(held(203), held(304, until_s=CAME_S + 9 * HOUR_S), Reply(500)) as service:
        times_s = (CAME_S, CAME_S + 60.0, CAME_S + 2 * HOUR_S, CAME_S + 12 * HOUR_S)
        notes = [fetch(service, tmp_path, at_s).notes for at_s in times_s]
    assert len(service.asked) == 3
    assert all("will be withdrawn" in said[-1] for said in notes)


@pytest.mark.parametrize("cut", [0, 10, 64, 65, 66, 300, -1])
def test_a_damaged_file_is_passed_over_and_said(cut: int, tmp_path: Path) -> None:
    with replaying(held()) as service:
        fetch(service, tmp_path, CAME_S)
        path = only_file(tmp_path)
        path.write_bytes(path.read_bytes()[:cut])
        found = fetch(service, tmp_path, CAME_S + 60.0)
        assert len(service.asked) == 2
        assert "if-modified-since" not in service.asked[1][2]
        assert found.notes == (THUNDER, f"the kept forecast {path} was passed over: it is damaged")
        assert fetch(service, tmp_path, CAME_S + 120.0).notes == (THUNDER,)
    path.write_bytes(b"\xff" * 200)
    with pytest.raises(InputError, match=r"no connection now; none is kept .* passed over: it is damaged"):
        fetch(service, tmp_path, CAME_S + 60.0)


@given(st.data())
def test_one_touched_byte_is_seen(tmp_path_factory: pytest.TempPathFactory, data: st.DataObject) -> None:
    path = tmp_path_factory.mktemp("kept") / "one.txt"
    write_kept(path, KEPT)
    assert read_kept(path) == KEPT
    content = bytearray(path.read_bytes())
    content[data.draw(st.integers(0, len(content) - 1))] ^= data.draw(st.integers(1, 255))
    path.write_bytes(content)
    with pytest.raises(ValueError, match=r"digest|utf-8|codec"):
        read_kept(path)


KEPT = Kept("https://forecast.example/", 200, CHANGED, 1.5, 2.5, 3.5, "body \u00e9\n")


def test_a_file_of_another_form_or_address_is_passed_over(tmp_path: Path) -> None:
    with replaying(held()) as service:
        fetch(service, tmp_path, CAME_S)
        path = only_file(tmp_path)
        kept = read_kept(path)
        assert kept is not None
        write_kept(path, replace(kept, url=kept.url + "0"))
        assert "it is damaged" in fetch(service, tmp_path, CAME_S + 60.0).notes[-1]
        write_kept(path, replace(kept, body=kept.body.replace("celsius", "kelvin")))
        assert "it is damaged" in fetch(service, tmp_path, CAME_S + 60.0).notes[-1]
        assert len(service.asked) == 3


def test_a_file_of_another_version_is_passed_over(tmp_path: Path) -> None:
    path = tmp_path / "kept.txt"
    for form in (0, 2, None):
        text = json.dumps({"form": form, **asdict(KEPT)})
        path.write_text(f"{sha256(text.encode()).hexdigest()}\n{text}", encoding="utf-8")
        with pytest.raises(ValueError, match="another form"):
            read_kept(path)


def test_unchanged_without_saying_since_when(tmp_path: Path) -> None:
    with replaying(held(), Reply(304)) as service:
        for hours in (0, 2, 4):
            fetch(service, tmp_path, CAME_S + hours * HOUR_S)
    assert [headers.get("if-modified-since") for _, _, headers in service.asked] == [None, CHANGED, CHANGED]


def test_a_folder_that_cannot_be_used_is_said(tmp_path: Path) -> None:
    taken = tmp_path / "taken"
    taken.write_text("a file", encoding="utf-8")
    with replaying(held()) as service:
        found = fetch(service, taken, CAME_S)
    assert found.places[0].temperature_C[0] == 4.3
    assert any("could not be kept" in note for note in found.notes)
    assert taken.read_text(encoding="utf-8") == "a file"


def test_a_clock_set_back_is_no_reason_not_to_ask(tmp_path: Path) -> None:
    with replaying(held(), Reply(500)) as service:
        fetch(service, tmp_path, CAME_S)
        found = fetch(service, tmp_path, CAME_S - HOUR_S)
        assert len(service.asked) == 2
    assert "downloaded at a time after now (is the clock right?)" in found.notes[-1]


def test_a_date_that_is_none_is_not_sent_back(tmp_path: Path) -> None:
    for i, changed in enumerate(("yesterday", "Sat, 14 Jun 2031\u00a008:24:51 GMT", CHANGED + "\r\n more", "")):
        with replaying(held(changed=changed)) as service:
            fetch(service, tmp_path / str(i), CAME_S)
            fetch(service, tmp_path / str(i), CAME_S + 2 * HOUR_S)
        assert "if-modified-since" not in service.asked[1][2]


def test_how_long_an_answer_holds() -> None:
    def held_s(**headers: str) -> float:
        return holds_s(headers, CAME_S)

    assert held_s(expires=http_date(CAME_S + 1800.0)) == 1800.0
    # By the service's own clock, whatever ours says.
    assert held_s(expires=http_date(CAME_S + 9000.0), date=http_date(CAME_S + 7200.0)) == 1800.0
    assert held_s(expires=http_date(CAME_S + 1800.0), date="?") == 1800.0
    assert held_s(expires=http_date(CAME_S - 1.0)) == 0.0
    assert held_s(expires=http_date(CAME_S + 9e6)) == 86400.0
    for none in ("", "0", "-1", "tomorrow", "Sat, 99 Jun 2031 08:24:51 GMT"):
        assert held_s(expires=none) == 0.0
    assert held_s() == 0.0
    assert held_s(expires="Sat, 14 Jun 2031 09:30:00 -0000") == HOUR_S


@pytest.mark.parametrize(
    ("age_s", "words"),
    [(0.0, "0 min"), (300.0, "5 min"), (3540.0, "59 min"), (3600.0, "1 h"), (18000.0, "5 h"), (172800.0, "2 days")],
)
def test_ages(age_s: float, words: str) -> None:
    assert age_words(age_s) == f"{words} ago"


def test_two_writers_at_once_leave_a_whole_file(tmp_path: Path) -> None:
    path = tmp_path / "kept.txt"
    script = """
import sys
from pathlib import Path
from handline.weather.live.kept import Kept, read_kept, write_kept
path, letter = Path(sys.argv[1]), sys.argv[2]
for _ in range(30):
    write_kept(path, Kept("https://forecast.example/", 200, "", 0.0, 0.0, 0.0, letter * 200_000))
    kept = read_kept(path)
    assert kept is not None and len(kept.body) == 200_000 and len(set(kept.body)) == 1
"""
    writers = [subprocess.Popen([sys.executable, "-c", script, str(path), letter]) for letter in "ab"]
    assert [writer.wait() for writer in writers] == [0, 0]
    kept = read_kept(path)
    assert kept is not None
    assert set(kept.body) in ({"a"}, {"b"})
    assert list(tmp_path.iterdir()) == [path], "no part of a file is left behind"


def test_the_file_holds_the_answer_as_it_came(tmp_path: Path) -> None:
    with replaying(held()) as service:
        fetch(service, tmp_path, CAME_S)
    entry = json.loads(only_file(tmp_path).read_text(encoding="utf-8").partition("\n")[2])
    assert entry["body"].encode() == answer_body("hours_then_six")
    assert (entry["downloaded_s"], entry["holds_until_s"]) == (CAME_S, CAME_S + HOUR_S)
