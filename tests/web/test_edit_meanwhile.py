"""Two at once: an edit or an undo of what somebody else changed meanwhile loses nothing."""

from __future__ import annotations

import re
import tomllib

from tests.web.edited_trip import EDIT, FILE, UNDO, typed_over
from tests.web.forms import form_in, send, words


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
