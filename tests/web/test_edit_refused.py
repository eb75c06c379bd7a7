"""An edit that is refused or checked: what is said beside which field, and nothing typed is lost."""

from __future__ import annotations

import re
import tomllib

import pytest

from tests.web.edited_trip import CHECK, EDIT, FILE, beside, typed_over
from tests.web.forms import form_in, send, words

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


def test_nothing_beside_a_field_asks_for_quotes(table, path):
    answer = send(table, EDIT, typed_over(table, {"trip.start": "0430", "limits.chance": "60"}))
    assert answer.status == 422
    assert "24-hour, such as 04:30" in beside(answer, "trip.start")
    assert "To mend: a percentage is written" in beside(answer, "limits.chance")
    assert "quotes" not in beside(answer, "trip.start") + beside(answer, "limits.chance")


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
