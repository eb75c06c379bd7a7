"""A file that a trip names lies in the folder that is served, or it is not opened: its name may come from a browser."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import BaseModel

from handline.trip.model import Trip
from handline.trip.reading import FILE_KEYS, read_trip
from handline.trip.words import Text
from tests.web.edited_trip import CHECK, EDIT, FILE, typed_over
from tests.web.forms import form_in, send, words
from tests.web.opened_table import OpenTable

TRIP = "/trips/tamsin-dome"
KEYS = [".".join(key) for key in FILE_KEYS]
SECRET = "root:hidden-words:0:0"
SAID = "this file is outside the folder that is served"
ALLOWED = "a file inside the folder that is served"


@pytest.fixture(scope="module")
def secret(table: OpenTable) -> Path:
    """A file beside the folder that is served, which nobody at the table may read."""
    path = table.folder.parent / "secret.gpx"
    path.write_text(f"{SECRET}\n" * 3, encoding="utf-8")
    return path


def names_of(secret: Path, how: str) -> str:
    """What is typed to reach the secret from the folder of the trip."""
    link = Path("link.gpx")
    return {
        "absolute": str(secret),
        "up": "../../secret.gpx",
        "round about": "../tamsin-dome/../../secret.gpx",
        "link": str(link),
        "linked folder": "door/secret.gpx",
        "nothing there": str(secret.with_name("none.gpx")),
    }[how]


@pytest.fixture
def links(path: Path, secret: Path) -> Iterator[None]:
    """Links beside the trip file that lead out."""
    made = (path.parent / "link.gpx", path.parent / "door")
    made[0].symlink_to(secret)
    made[1].symlink_to(secret.parent, target_is_directory=True)
    yield
    for link in made:
        link.unlink()


def named(path: Path, key: str, name: str) -> str:
    """The text of the trip file with the file of a key named."""
    section, _, last = key.partition(".")
    text = re.sub(rf'^{last} = "[^"]*".*\n', "", path.read_text(encoding="utf-8"), count=1, flags=re.MULTILINE)
    return text.replace(f"[{section}]\n", f'[{section}]\n{last} = "{name}"\n', 1)


@pytest.mark.parametrize("how", ["absolute", "up", "round about", "link", "linked folder", "nothing there"])
@pytest.mark.parametrize("key", KEYS)
def test_a_file_outside_is_told_and_never_read(table, path, secret, links, key, how):
    name = names_of(secret, how)
    path.write_text(named(path, key, name), encoding="utf-8")
    answer = table.ask(f"{TRIP}/file.json").json
    (problem,) = answer["problems"]
    assert (problem["what"], problem["read"], problem["allowed"]) == (SAID, f'"{name}"', ALLOWED)
    assert (problem["key"], problem["file"]) == (key, "tamsin-dome/trip.toml")
    assert answer["text"].split("\n")[problem["line"] - 1] == f'{key.partition(".")[2]} = "{name}"'
    assert "beside the trip file" in problem["mend"]


@pytest.mark.parametrize("key", KEYS)
@pytest.mark.parametrize(
    "page", ["day", "day.json", "line", "line-whole.json", "crowd.json", "load.json", "dates.json", "options.json",
             "brief.json", "brief/brief.html", "glance", "edit", "edit.json", "file", "file.json"]
)  # fmt: skip
def test_no_page_shows_what_stands_outside(table, path, secret, key, page):
    path.write_text(named(path, key, str(secret)), encoding="utf-8")
    answer = table.ask(f"{TRIP}/{page}")
    assert answer.status in (200, 422)
    assert SECRET not in answer.text
    assert SAID in answer.text.lower()


@pytest.mark.parametrize("key", KEYS)
def test_neither_typing_nor_saving_it_shows_anything(table, path, secret, key):
    before = path.read_bytes()
    fields = typed_over(table, {key: str(secret)})
    of_file = form_in(table.ask(FILE), FILE).changed({"text": named(path, key, str(secret))})
    for address, typed in ((CHECK, fields), (EDIT, fields), (CHECK, of_file), (FILE, of_file)):
        answer = send(table, address, typed, HX_Request="true" if address == CHECK else "false")
        assert answer.status == (200 if address == CHECK else 422)
        assert SECRET not in answer.text
        assert SAID in words(answer).lower()
    assert path.read_bytes() == before


def test_the_list_says_it_as_well(table, path, secret):
    path.write_text(named(path, "route.track", str(secret)), encoding="utf-8")
    answer = table.ask("/trips")
    assert "This file is outside the folder that is served." in words(answer)
    assert SECRET not in answer.text


def test_links_that_lead_to_each_other_are_told(table, path):
    one, other = path.parent / "one.gpx", path.parent / "other.gpx"
    one.symlink_to(other)
    other.symlink_to(one)
    path.write_text(named(path, "route.track", "one.gpx"), encoding="utf-8")
    problems = table.ask(f"{TRIP}/file.json").json["problems"]
    one.unlink()
    other.unlink()
    assert [problem["key"] for problem in problems] == ["route.track"]


def test_a_file_of_another_trip_in_the_folder_may_be_used(table, path):
    path.write_text(named(path, "weather.forecast", "../tamsin-dome/forecast.csv"), encoding="utf-8")
    assert table.ask(f"{TRIP}/file.json").json["problems"] == []


def test_on_the_command_line_files_lie_where_people_keep_them(path, secret):
    path.write_text(named(path, "route.track", str(secret)), encoding="utf-8")
    assert read_trip(path).route.track == str(secret)


def test_every_name_of_a_file_in_a_trip_is_looked_at():
    assert sorted(_file_names(Trip)) == sorted(KEYS)


def test_the_pages_read_trips_in_one_place():
    web = Path(__file__).parents[2] / "src" / "handline" / "web"
    readers = [file.name for file in web.glob("*.py") if re.search(r"\bread_trip(_text)?\(", file.read_text())]
    assert readers == ["folder.py"]


def _file_names(section: type[BaseModel], key: str = "") -> Iterator[str]:
    """The keys of a section that hold the name of a file: text as long as only names of files may be."""
    for name, field in section.model_fields.items():
        inside = f"{key}.{field.alias or name}".removeprefix(".")
        kinds = _kinds(field.annotation)
        if any(isinstance(one, Text) and one.longest == 500 for one in (*field.metadata, *kinds)):
            yield inside
        for kind in kinds:
            if isinstance(kind, type) and issubclass(kind, BaseModel):
                yield from _file_names(kind, inside)


def _kinds(annotation: object) -> list[object]:
    """The types that an annotation is made of, and what is said of them."""
    parts = [*getattr(annotation, "__args__", ()), *getattr(annotation, "__metadata__", ())]
    return [annotation, *(one for part in parts for one in _kinds(part))]
