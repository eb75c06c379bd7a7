"""The trip edited by forms: what is shown, what is sent, and what is written."""

from __future__ import annotations

import re
import tomllib

from handline.web.saving import version_of
from tests.web.edited_trip import EDIT, UNDO, typed_over
from tests.web.forms import form_in, send, words

# --- shown -------------------------------------------------------------------------------------------------------


def test_the_form_shows_every_value_of_the_file(table, path):
    form = dict(form_in(table.ask(EDIT), EDIT).fields)
    assert form["party.body_mass"] == "187 lb"
    assert form["trip.date"] == "2027-07-17"
    assert form["waypoints[4].name"] == "Foot of the cables"
    assert form["permits[0].ways[1].where"] == "the warden's hut at Larch Landing"
    assert form["permits[0].ways[0].applicants[2].people"] == "7"
    assert form["limits.home_before_dark"] == "no"
    assert form["gear.items[11].worn"] == "yes"
    assert form["version"] == version_of(path.read_text())


def test_every_field_has_a_label(table):
    text = table.ask(EDIT).text
    fields = re.findall(r'<(?:input|select|textarea)(?![^>]*type="(?:hidden|checkbox)")[^>]*id="([^"]+)"', text)
    labelled = set(re.findall(r'<label for="([^"]+)"', text))
    assert len(fields) > 300
    assert set(fields) <= labelled
    ids = re.findall(r' id="([^"]+)"', text)
    assert len(ids) == len(set(ids))


def test_what_is_usual_stands_where_nothing_is_typed(table):
    text = table.ask("/trips/petrel-slab/edit").text
    assert 'name="line.climb_rate" value="" placeholder="usually 7 m/min"' in text
    assert re.search(r'name="limits.off_line_before_storm"[^>]*>\s*<option value="">as usual: yes', text)


def test_the_form_as_json(table, path):
    said = table.ask("/trips/tamsin-dome/edit.json").json
    assert (said["trip"], said["version"], said["problems"]) == ("tamsin-dome", version_of(path.read_text()), [])
    assert said["values"]["trip.date"] == "2027-07-17"
    assert said["values"]["permits[0].ways[0].applicants[0].people"] == 2
    path.write_text(path.read_text().replace("size = 6", "size = 600").replace("[line]\nname", "[line]\nnam"))
    problems = table.ask("/trips/tamsin-dome/edit.json").json["problems"]
    assert {one["key"] for one in problems} == {"party.size", "line.nam"}
    assert all(one["file"] == "tamsin-dome/trip.toml" and one["line"] for one in problems)


def test_an_unknown_trip_is_not_found(table):
    for page in ("edit", "file", "edit.json"):
        assert table.ask(f"/trips/tamsin-dom/{page}").status == 404
    assert "did you mean" in words(table.ask("/trips/tamsin-dom/edit"))
    assert send(table, "/trips/nothing/edit", []).status == 404


# --- saved -------------------------------------------------------------------------------------------------------


def differing(before: str, after: str) -> list[tuple[str, str]]:
    return [
        (a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b
    ]  # fmt: skip


def test_a_form_that_nobody_typed_into_leaves_the_file_alone(table, path):
    before, stamp = path.read_bytes(), path.stat().st_mtime_ns
    answer = send(table, EDIT, typed_over(table, {}))
    assert (answer.status, answer.headers["location"]) == (303, f"{EDIT}?said=same")
    assert (path.read_bytes(), path.stat().st_mtime_ns) == (before, stamp)


def test_only_what_was_typed_over_is_written_and_undone(table, path):
    before = path.read_text()
    answer = send(
        table, EDIT, typed_over(table, {"party.size": "5", "line.facing": "SW", "waypoints[2].stop": "20 min"})
    )
    assert (answer.status, answer.headers["location"]) == (303, f"{EDIT}?said=saved")
    changed = differing(before, path.read_text())
    assert [b.split("#")[0].strip() for _, b in changed] == ['stop = "20 min"', 'facing = "SW"', "size = 5"]
    assert [a.partition("#")[2] for a, _ in changed] == [b.partition("#")[2] for _, b in changed]
    assert "Saved." in words(table.ask(f"{EDIT}?said=saved"))
    undone = send(table, UNDO, [])
    assert (undone.status, undone.headers["location"]) == (303, f"{EDIT}?said=undone")
    assert path.read_text() == before
    assert "Do it again" in words(table.ask(f"{EDIT}?said=undone"))
    send(table, UNDO, [("again", "yes")])
    assert "size = 5" in path.read_text()
    send(table, UNDO, [])


def test_a_key_that_is_emptied_is_taken_away(table, path):
    send(table, EDIT, typed_over(table, {"waypoints[1].stop": "", "limits.home_by": "", "gear.split": ""}))
    typed = tomllib.loads(path.read_text())
    assert "stop" not in typed["waypoints"][1]
    assert "home_by" not in typed["limits"]
    assert "split" not in typed["gear"]


def test_values_are_written_as_toml_has_them(table, path):
    send(table, EDIT, typed_over(table, {
        "trip.date": "2027-07-18", "night.out": "yes", "party.size": "4", "limits.chance": "0.8", "line.cables": "1",
        "season.open": "1 May to 31 October\r\n1 December to 24 December", "route.ground[0].from": "Lower Step",
        "route.ground[0].to": "Foot of the cables", "route.ground[0].surface": "bare rock",
    }))  # fmt: skip
    typed = tomllib.loads(path.read_text())
    assert typed["trip"]["date"].isoformat() == "2027-07-18"
    assert (typed["night"]["out"], typed["party"]["size"], typed["limits"]["chance"]) == (True, 4, 0.8)
    assert typed["line"]["cables"] == 1
    assert typed["season"]["open"] == ["1 May to 31 October", "1 December to 24 December"]
    assert typed["route"]["ground"] == [
        {"from": "Lower Step", "to": "Foot of the cables", "surface": "bare rock"}
    ]  # fmt: skip


def test_windows_line_ends_stay(table, path):
    path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert send(
        table, EDIT, typed_over(table, {"party.size": "5", "waypoints[7].name": "New", "waypoints[7].at": "1 km"})
    )
    assert b"size = 5" in path.read_bytes()
    assert path.read_bytes().count(b"\n") == path.read_bytes().count(b"\r\n")


def test_a_row_is_added_without_script(table, path):
    before = path.read_text()
    sent = typed_over(table, {"party.size": "7"})
    answer = send(table, EDIT, [*sent, ("add", "waypoints")])
    assert (answer.status, path.read_text()) == (200, before)
    form = form_in(answer, EDIT)
    assert (form.value("waypoints[7].name"), form.value("party.size")) == ("", "7")
    assert re.search(r'id="waypoints-7"[^>]*autofocus', answer.text)
    saved = send(table, EDIT, form.changed({"waypoints[7].name": "Larch spring", "waypoints[7].at": "5 km"}))
    assert saved.status == 303
    assert tomllib.loads(path.read_text())["waypoints"][7] == {"name": "Larch spring", "at": "5 km"}


def test_an_empty_row_is_not_written(table, path):
    before = path.read_text()
    form = form_in(send(table, EDIT, [*typed_over(table, {}), ("add", "party.members")]), EDIT)
    assert send(table, EDIT, form.changed({})).headers["location"] == f"{EDIT}?said=same"
    assert path.read_text() == before
