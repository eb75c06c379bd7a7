"""The trip edited by forms: what is sent, what is written, what is said beside which field, and nothing lost."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from handline.web.saving import version_of
from tests.web.forms import form_in, send, words
from tests.web.opened_table import Answer, OpenTable, open_table

EDIT, CHECK, UNDO, FILE = (f"/trips/tamsin-dome/{page}" for page in ("edit", "check", "undo", "file"))


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    with open_table(tmp_path_factory.mktemp("trips"), ("tamsin-dome", "petrel-slab")) as one:
        yield one


@pytest.fixture
def path(table: OpenTable) -> Path:
    """The trip file, as in the examples after each test."""
    path = table.folder / "tamsin-dome" / "trip.toml"
    before = path.read_bytes()
    yield path
    path.write_bytes(before)


def typed_over(table: OpenTable, changed: dict[str, str]) -> list[tuple[str, str]]:
    return form_in(table.ask(EDIT), EDIT).changed(changed)


def differing(before: str, after: str) -> list[tuple[str, str]]:
    return [
        (a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b
    ]  # fmt: skip


def beside(answer: Answer, key: str) -> str:
    """What is said to be wrong beside the field of a key, as a screen reader finds it."""
    tag = re.search(rf'<(?:input|select|textarea)[^>]* name="{re.escape(key)}"[^>]*>', answer.text)
    assert tag is not None, f"no field for {key}"
    assert 'aria-invalid="true"' in tag[0]
    described = re.search(r'aria-describedby="([^"]+)"', tag[0])
    assert described is not None
    texts = [re.search(rf'id="{one}"[^>]*>(.*?)</(?:div|p)>', answer.text, re.DOTALL) for one in described[1].split()]
    assert all(texts), f"{key} is described by something that is not there"
    return re.sub(r"<[^>]+>", " ", texts[-1][1]).strip()


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
        "trip.date": "2027-07-24", "night.out": "yes", "party.size": "4", "limits.chance": "0.8", "line.cables": "1",
        "season.open": "1 May to 31 October\r\n1 December to 24 December", "route.ground[0].from": "Lower Step",
        "route.ground[0].to": "Foot of the cables", "route.ground[0].surface": "bare rock",
    }))  # fmt: skip
    typed = tomllib.loads(path.read_text())
    assert typed["trip"]["date"].isoformat() == "2027-07-24"
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


# --- refused -----------------------------------------------------------------------------------------------------


def test_every_problem_stands_beside_its_field_and_everything_typed_is_kept(table, path):
    before = path.read_text()
    sent = {
        "party.size": "x<b>",
        "line.cable_diameter": "12",
        "trip.date": "2027-02-30",
        "tethers.chosen": "absorbing lanyad",
        "permits[0].ways[0].opens": "some day",
        "waypoints[1].at": "400 parsecs",
        "season.raised": "1 May to 31 October\r\nwhen it is warm",
    }
    answer = send(table, EDIT, typed_over(table, {**sent, "contacts.car": "blue"}))
    assert (answer.status, path.read_text()) == (422, before)
    form = form_in(answer, EDIT)
    assert {key: form.value(key) for key in sent} == sent
    assert form.value("contacts.car") == "blue"
    assert "a whole number from 1 to 60" in beside(answer, "party.size")
    assert "no unit" in beside(answer, "line.cable_diameter")
    assert "no such day" in beside(answer, "trip.date")
    assert "absorbing lanyard" in beside(answer, "tethers.chosen")
    assert "parsecs" in beside(answer, "waypoints[1].at")
    assert "when it is warm" in beside(answer, "season.raised")
    assert beside(answer, "permits[0].ways[0].opens")
    assert "7 things to mend" in words(answer)
    links = re.findall(r'<li><a href="#([^"]+)">', answer.text)
    assert len(links) == 7 + 10  # and the ten parts of the trip
    assert all(f' id="{one}"' in answer.text for one in links)
    assert "<b>" not in answer.text.replace("<b>More:", "").replace("<b>All as usual:", "")


def test_a_problem_of_the_track_is_found_as_on_the_command_line(table, path):
    answer = send(table, EDIT, typed_over(table, {"waypoints[5].at": "90 km"}))
    assert answer.status == 422
    assert "waypoints-5" in answer.text.split('id="summary"')[1].split("</ul>")[0]


def test_a_track_that_cannot_be_read_is_said_beside_the_key_that_names_it(table, path):
    track = path.parent / "track.gpx"
    before = track.read_bytes()
    try:
        track.write_bytes(before.replace(b"lat=", b"lot=", 1))
        answer = table.ask(EDIT)
        line = next(i for i, one in enumerate(track.read_text().splitlines(), 1) if "lot=" in one)
        assert "point 1 has no position" in beside(answer, "route.track").lower()
        assert f"tamsin-dome/track.gpx, line {line}." in beside(answer, "route.track")
        assert f"{FILE}#L{line}" not in answer.text
        shown = table.ask(FILE)
        assert "has no position" in words(shown)
        assert "wrong-line" not in shown.text
    finally:
        track.write_bytes(before)


def test_a_problem_moves_with_its_row_when_another_is_taken_away(table, path):
    answer = send(table, EDIT, typed_over(table, {"remove:waypoints[1]": "yes", "waypoints[3].stop": "soon"}))
    assert answer.status == 422
    assert "soon" in beside(answer, "waypoints[3].stop")
    assert re.search(r'name="remove:waypoints\[1\]" value="yes" checked', answer.text)


def test_what_cannot_be_planned_yet_is_saved_when_asked_to(table, path):
    sent = typed_over(table, {"party.size": "many"})
    assert send(table, EDIT, sent).status == 422
    assert send(table, EDIT, [*sent, ("unfinished", "yes")]).status == 303
    assert 'size = "many"' in path.read_text()
    again = table.ask(EDIT)
    assert again.status == 200
    assert "many" in beside(again, "party.size")


def test_an_unknown_key_leads_to_its_line(table, path):
    path.write_text(path.read_text().replace("[party]\nsize", "[party]\nsise"))
    answer = table.ask(EDIT)
    line = path.read_text().splitlines().index("sise = 6") + 1
    assert f'<a href="{FILE}#L{line}">' in answer.text
    assert "unknown key" in words(answer)


@pytest.mark.parametrize("key", ["waypoints", "party", "party.pace", "permits[0].ways", "trip.name", "season.open"])
def test_what_the_form_cannot_show_is_said_and_stays(table, path, key):
    text = path.read_text()
    odd = {
        "waypoints": "waypoints = 7\n" + re.sub(r"\[\[waypoints\]\]\n(.+\n)+", "", text),
        "party": "party = [1, 'x']\n" + re.sub(r"(?m)^\[party(\.pace)?\].*\n(.+\n)+", "", text),
        "party.pace": re.sub(r"\[party\.pace\].*\n(.+\n)+", "", text).replace("size = 6", "size = 6\npace = 'slow'"),
        "permits[0].ways": re.sub(r"\[\[permits\.ways\]\]\n(.+\n)+", "", text).replace("held = true", "ways = 3"),
        "trip.name": text.replace('name = "Tamsin Dome in one push"', 'name = ["a", "b"]'),
        "season.open": text.replace("[season]", "[season]\nopen = 'always'"),
    }[key]
    path.write_text(odd)
    tomllib.loads(odd)
    answer = table.ask(EDIT)
    assert answer.status == 200
    assert "which this form cannot show" in words(answer)
    sent = form_in(answer, EDIT).changed({"contacts.car": "blue", "unfinished": "yes"})
    assert send(table, EDIT, sent).status == 303
    assert path.read_text() == odd.replace("green van, plate 7-2141, at Larch Landing", "blue")


# --- checked while it is typed -----------------------------------------------------------------------------------


def test_a_check_swaps_in_what_is_wrong_and_takes_away_what_was_mended(table, path):
    before = path.read_bytes()
    answer = send(table, CHECK, typed_over(table, {"party.size": "x"}), HX_Request="true")
    assert answer.status == 200
    assert re.search(
        r'<div class="wrong" id="wrong-party-size" hx-swap-oob="true"><p>This is not a number', answer.text
    )
    assert 'name="wrong_before" value="party-size"' in answer.text
    assert "<html" not in answer.text
    mended = send(table, CHECK, typed_over(table, {"wrong_before": "party-size nothing"}), HX_Request="true")
    assert '<div class="wrong" id="wrong-party-size" hx-swap-oob="true"></div>' in mended.text
    assert "to mend" not in mended.text
    assert path.read_bytes() == before


def test_a_check_without_script_is_the_whole_page(table):
    answer = send(table, CHECK, typed_over(table, {"party.size": "x"}))
    assert (answer.status, form_in(answer, EDIT).value("party.size")) == (200, "x")
    assert beside(answer, "party.size")


def test_a_check_says_that_the_file_was_changed_meanwhile(table, path):
    sent = typed_over(table, {})
    path.write_text(path.read_text() + "\n# theirs\n")
    assert "was changed meanwhile" in words(send(table, CHECK, sent, HX_Request="true"))


# --- two at once -------------------------------------------------------------------------------------------------


def test_an_edit_of_what_was_changed_meanwhile_is_refused_with_both_versions(table, path):
    sent = typed_over(table, {"party.size": "5"})
    theirs = path.read_text().replace('start = "04:00"', 'start = "03:30"')
    path.write_text(theirs)
    answer = send(table, EDIT, sent)
    assert (answer.status, path.read_text()) == (409, theirs)
    said = words(answer)
    assert "changed meanwhile" in said
    for line in ('start = "04:00"', 'start = "03:30"', "size = 5", "size = 6"):
        assert re.search(rf"<mark>[^\n]*{line}".replace('"', "&#34;"), answer.text), line
    keep = form_in(answer, FILE)
    kept = send(table, FILE, keep.changed({}))
    assert kept.status == 303
    mine = path.read_text()
    assert 'start = "04:00"' in mine
    assert "size = 5" in mine
    send(table, UNDO, [])
    assert path.read_text() == theirs


def test_both_typed_the_same(table, path):
    sent = typed_over(table, {"party.size": "5"})
    path.write_text(path.read_text().replace("size = 6", "size = 5"))
    assert send(table, EDIT, sent).headers["location"] == f"{EDIT}?said=same"


def test_an_edit_of_what_is_no_toml_any_more_loses_nothing_typed(table, path):
    sent = typed_over(table, {"contacts.car": "blue"})
    path.write_text("[trip\n")
    answer = send(table, EDIT, sent)
    assert (answer.status, path.read_text()) == (409, "[trip\n")
    mine = tomllib.loads(form_in(answer, FILE).value("text"))
    assert (mine["contacts"]["car"], len(mine["waypoints"]), mine["party"]["size"]) == ("blue", 7, 6)


def test_an_undo_over_somebody_elses_is_refused(table, path):
    send(table, EDIT, typed_over(table, {"party.size": "5"}))
    path.write_text(path.read_text() + "\n# theirs\n")
    theirs = path.read_text()
    answer = send(table, UNDO, [])
    assert (answer.status, path.read_text()) == (409, theirs)
    assert "size = 6" in words(answer)


# --- sent by whom ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("page", [EDIT, CHECK, UNDO, FILE, "/trips/new"])
@pytest.mark.parametrize("token", ["", "x", "ü", "0" * 32])
def test_nothing_is_changed_without_the_token_of_our_pages(table, path, page, token):
    before = path.read_bytes()
    assert send(table, page, [("party.size", "5"), ("text", "x")], token=token).status == 403
    assert path.read_bytes() == before


def test_the_token_may_come_in_a_header_and_a_wrong_one_there_counts(table, path):
    sent, token = typed_over(table, {}), table.page_token()
    assert send(table, EDIT, sent, token="", x_handline_page=token).status == 303
    assert send(table, EDIT, sent, token=token, x_handline_page="wrong").status == 403


def test_more_fields_than_any_page_has_are_refused(table, path):
    answer = send(table, EDIT, [(f"waypoints[{i}].name", "x") for i in range(9000)])
    assert answer.status == 422
    assert "cannot be read as a form" in words(answer)


def test_a_broken_form_is_refused(table):
    own = {"Origin": table.address, "x_handline_page": table.page_token()}
    for kind in ("multipart/form-data", "multipart/form-data; boundary=x"):
        answer = table.ask(EDIT, "POST", b"--y\r\nnothing", Content_Type=kind, **own)
        assert answer.status in (303, 409, 422)
        assert "program" not in words(answer)


def test_rows_without_end_are_not_made(table, path):
    answer = send(
        table,
        EDIT,
        typed_over(table, {"waypoints[9999].name": "far", "waypoints[9999].at": "1 km", "waypoints[99999].name": "x"}),
    )
    assert answer.status == 303
    assert len(tomllib.loads(path.read_text())["waypoints"]) == 8
