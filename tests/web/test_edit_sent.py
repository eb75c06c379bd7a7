"""Edits as they are sent: with whose token, in how many fields, and broken."""

from __future__ import annotations

import tomllib

import pytest

from tests.web.edited_trip import CHECK, EDIT, FILE, UNDO, typed_over
from tests.web.forms import send, words


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
