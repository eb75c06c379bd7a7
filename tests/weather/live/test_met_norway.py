"""What leaves the machine when the Norwegian service is asked, and what a user reads when it says no."""

from __future__ import annotations

import math
import subprocess
import sys
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline import __version__
from handline.errors import InputError
from handline.sources import source
from handline.weather.live.asking import Patience
from handline.weather.live.met_norway import ADDRESS, MetNorway, place_url, user_agent
from handline.weather.live.service import ForecastService
from tests.weather.live.replaying import Reply, Service, answer_body, replaying

NOW_S = 1_939_000_000.0
WHOLE = Reply(200, answer_body("hours_then_six"))


def met_norway(service: Service, folder: Path, contact: str = "") -> MetNorway:
    return MetNorway(folder, NOW_S, contact, service.address, Patience(silence_s=5.0))


def test_the_address_is_the_services_own() -> None:
    assert ADDRESS == "https://api.met.no/weatherapi/locationforecast/2.0/complete"
    assert MetNorway(Path("nowhere"), NOW_S).address == ADDRESS


def test_what_is_sent(tmp_path: Path) -> None:
    with replaying(WHOLE) as service:
        asked: ForecastService = met_norway(service, tmp_path)
        forecast = asked.fetch(12.345678, -34.567891, 1850.4)
    ((method, path, headers),) = service.asked
    assert (method, path) == ("GET", "/complete?lat=12.3457&lon=-34.5679&altitude=1850")
    assert headers["user-agent"] == f"handline/{__version__} (planning aid; see the project's page)"
    assert set(headers) == {"user-agent", "accept", "accept-encoding", "host", "connection"}
    assert forecast.said_by == "MET Norway Locationforecast 2.0. Data from MET Norway (CC BY 4.0)"
    assert (asked.name, asked.attribution) == ("MET Norway Locationforecast 2.0", "Data from MET Norway (CC BY 4.0)")
    assert forecast.places[0].temperature_C[0] == 4.3


def test_a_contact_goes_along_only_where_typed(tmp_path: Path) -> None:
    with replaying(WHOLE) as service:
        met_norway(service, tmp_path, "someone@place.example").fetch(12.3457, -34.5679, math.nan)
    ((_, path, headers),) = service.asked
    assert path == "/complete?lat=12.3457&lon=-34.5679"
    assert headers["user-agent"].endswith("(planning aid; see the project's page; someone@place.example)")
    (kept,) = tmp_path.iterdir()
    assert "someone" not in kept.read_text(encoding="utf-8"), "it is kept nowhere"


@given(st.floats(-90, 90), st.floats(-180, 180), st.floats(-500, 9000))
def test_the_place_is_rounded(latitude_deg: float, longitude_deg: float, elevation_m: float) -> None:
    asked = parse_qs(urlsplit(place_url(ADDRESS, latitude_deg, longitude_deg, elevation_m)).query)
    assert set(asked) == {"lat", "lon", "altitude"}
    for key, value in (("lat", latitude_deg), ("lon", longitude_deg)):
        assert len(asked[key][0].partition(".")[2]) == 4
        assert float(asked[key][0]) == pytest.approx(value, abs=0.50001e-4)
        assert not asked[key][0].startswith("-0.0000")
    assert int(asked["altitude"][0]) == pytest.approx(elevation_m, abs=0.5)


@pytest.mark.parametrize(
    ("place", "words"),
    [
        ((90.1, 0.0, 0.0), ("latitude",)),
        ((0.0, -180.1, 0.0), ("longitude",)),
        ((0.0, 0.0, 9001.0), ("height",)),
        ((math.nan, math.inf, -501.0), ("latitude", "longitude", "height")),
    ],
)
def test_no_place_is_not_asked_for(place: tuple[float, float, float], words: tuple[str, ...], tmp_path: Path) -> None:
    with replaying(WHOLE) as service, pytest.raises(InputError) as caught:
        met_norway(service, tmp_path).fetch(*place)
    assert service.asked == []
    assert [problem.what.split()[-1] for problem in caught.value.problems] == list(words)


@pytest.mark.parametrize("contact", ["a\r\nX-Other: b", "a\nb", "é", "a) b", "a;b", "x" * 121, "a\\b"])
def test_a_contact_that_would_break_the_header(contact: str, tmp_path: Path) -> None:
    with replaying(WHOLE) as service, pytest.raises(InputError, match="contact"):
        met_norway(service, tmp_path, contact).fetch(12.3457, -34.5679, 1850.0)
    assert service.asked == []


def test_the_longest_contact() -> None:
    assert len(user_agent("x" * 120)) > 120


@pytest.mark.parametrize(
    ("status", "words", "mend"),
    [
        (400, "did not understand", "newer version"),
        (403, "does not answer programs it cannot write to", "a mail address or a page"),
        (404, "no longer at this address", "newer version"),
        (422, "no forecast for this place", "check the place"),
        (429, "asked too often", "try later"),
        (500, "has a fault (it answered 500)", "try later"),
        (503, "has a fault (it answered 503)", "try later"),
        (301, "not followed", "newer version"),
        (204, "gave no forecast", "try later"),
        (304, "gave no forecast", "try later"),
        (418, "gave no forecast", "try later"),
    ],
)
def test_a_no_says_what_to_do(status: int, words: str, mend: str, tmp_path: Path) -> None:
    with replaying(Reply(status)) as service, pytest.raises(InputError) as caught:
        met_norway(service, tmp_path).fetch(12.3457, -34.5679, 1850.0)
    (problem,) = caught.value.problems
    assert problem.what.startswith(
        ("MET Norway Locationforecast 2.0: ", "no forecast from MET Norway Locationforecast")
    )
    assert words in problem.what
    assert mend in str(problem.mend)
    assert "type the forecast into a CSV file" in str(problem.mend)
    assert len(service.asked) == 1
    assert list(tmp_path.iterdir()) == [], "a no is not kept"


def test_nothing_is_asked_without_being_asked() -> None:
    """Importing everything and making the service opens no connection and writes no file."""
    script = """
import sys
seen = []
def watch(event, arguments):
    writes = event == "open" and isinstance(arguments[1], str) and set(arguments[1]) & set("wax+")
    if writes or event.startswith("socket."):
        seen.append((event, arguments))
sys.dont_write_bytecode = True
sys.addaudithook(watch)
from pathlib import Path
import handline.weather.live.asking, handline.weather.live.kept, handline.weather.live.service
from handline.weather.live.met_norway import MetNorway
MetNorway(Path("no-such-folder"), 0.0).name
heavy = [name for name in ("urllib.request", "http.client", "ssl") if name in sys.modules]
print(seen, heavy, Path("no-such-folder").exists())
"""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout == "[] [] False\n"


def test_the_source_says_that_it_is_from_memory() -> None:
    assert source("met_norway_locationforecast").words.endswith("(from memory)")
