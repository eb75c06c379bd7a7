"""Nobody in: names, origins, tokens, sizes, paths, and what an answer may do in a browser."""

from __future__ import annotations

import re
import socket

import pytest

from handline.errors import InputError
from handline.web.guard import LARGEST_BODY_BYTES, POLICY
from handline.web.serving import opened
from tests.web.opened_table import open_table

TOKEN = "sixteen-letters-x"


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    with open_table(tmp_path_factory.mktemp("trips"), ("petrel-slab",)) as one:
        yield one


# --- under which name --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "host", ["evil.example", "evil.example:{port}", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example:{port}", ""]
)
def test_a_foreign_name_is_refused(table, host):
    port = table.host.partition(":")[2]
    answer = table.ask("/trips", Host=host.format(port=port))
    assert answer.status == 421
    assert "Petrel" not in answer.text


def test_no_name_is_refused(table):
    assert table.ask("/trips", Host=None).status in (400, 421)


@pytest.mark.parametrize("name", ["localhost", "127.0.0.1", "LOCALHOST", "[::1]"])
def test_the_names_of_this_machine_are_known(table, name):
    port = table.host.partition(":")[2]
    assert table.ask("/trips", Host=f"{name}:{port}").status == 200


# --- changes -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("origin", [None, "null", "http://evil.example", "http://localhost", "https://127.0.0.1:1"])
@pytest.mark.parametrize("path", ["/trips/new", "/trips/petrel-slab/edit", "/trips/petrel-slab/undo"])
def test_a_change_from_elsewhere_is_refused(table, path, origin):
    before = (table.folder / "petrel-slab" / "trip.toml").read_bytes()
    assert table.post(path, {"name": "x"}, Origin=origin).status == 403
    assert (table.folder / "petrel-slab" / "trip.toml").read_bytes() == before


@pytest.mark.parametrize("token", ["", "wrong", "0" * 32])
@pytest.mark.parametrize("path", ["/trips/new", "/trips/petrel-slab/edit", "/trips/petrel-slab/undo"])
def test_a_change_without_the_token_of_our_pages_is_refused(table, path, token):
    assert table.post(path, {"page_token": token}).status == 403
    assert [entry.name for entry in table.folder.iterdir()] == ["petrel-slab"]


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_no_other_method(table, method):
    assert table.ask("/trips", method, Origin=table.address).status == 405


def test_a_page_changes_nothing_when_only_looked_at(table):
    assert table.ask("/trips/petrel-slab/undo").status == 405


# --- what an answer may do ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", ["/trips", "/trips.json", "/sources", "/static/table.js", "/nothing", "/trips/x/day"])
def test_every_answer_is_held_by_its_headers(table, path):
    headers = table.ask(path).headers
    assert headers["content-security-policy"] == POLICY
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["x-frame-options"] == "DENY"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert "access-control-allow-origin" not in headers
    assert "server" not in headers


def test_the_policy_lets_nothing_in_from_elsewhere_and_nothing_inline():
    assert "default-src 'none'" in POLICY
    assert "unsafe" not in POLICY
    assert not re.search(r"https?:|\*", POLICY)


@pytest.mark.parametrize("path", ["/trips", "/sources", "/trips/new", "/trips/petrel-slab/edit"])
def test_no_page_has_script_or_style_in_it(table, path):
    text = table.ask(path).text
    assert not re.search(r"<script(?![^>]*\bsrc=)[^>]*>", text)
    assert "<style" not in text
    assert not re.search(r"\s(style|on[a-z]+)=", text)
    assert not re.search(r"(src|href)=\"(https?:)?//", text)


# --- paths -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "path",
    [
        "/trips/../../etc/passwd/day",
        "/trips/%2e%2e%2f%2e%2e%2fetc/day",
        "/trips/..%2f..%2fsecret/edit",
        "/trips/%00/day",
        "/static/../guard.py",
        "/static/%2e%2e%2fguard.py",
        "/static/..%5cguard.py",
        "/static/",
        "/pictures/..%2f..%2fx.svg",
        "/trips/petrel-slab/brief/../../../etc/passwd",
        "/trips/petrel-slab/brief/%2e%2e/trip.toml",
    ],
)
def test_no_path_leads_out(table, path):
    answer = table.ask(path)
    assert answer.status == 404
    assert b"root:" not in answer.body


def test_a_link_out_of_the_folder_is_no_trip(tmp_path):
    outside = tmp_path / "outside"
    outside.mkdir()
    (outside / "trip.toml").write_text("[trip]\nname = 'secret'\n", encoding="utf-8")
    folder = tmp_path / "trips"
    folder.mkdir()
    (folder / "linked").symlink_to(outside, target_is_directory=True)
    (folder / "one.toml").symlink_to(outside / "trip.toml")
    with open_table(folder) as table:
        assert table.ask("/trips.json").json == []
        assert table.ask("/trips/linked/file").status == 404


def test_a_folder_is_not_listed(table):
    (table.folder / "diary.txt").write_text("private", encoding="utf-8")
    for path in ("/", "/trips", "/trips/", "/static", "/trips/petrel-slab/brief/"):
        assert "diary" not in table.ask(path).text


# --- sizes -------------------------------------------------------------------------------------------------------


def test_what_is_too_large_is_refused_before_it_is_read(table):
    answer = table.ask(
        "/trips/new", "POST", b"", Origin=table.address, **{"Content-Length": str(LARGEST_BODY_BYTES + 1)}
    )
    assert answer.status == 413


def test_what_grows_too_large_without_saying_so_is_cut_off(table):
    host, port = "127.0.0.1", int(table.host.partition(":")[2])
    head = (
        f"POST /trips/new HTTP/1.1\r\nHost: {table.host}\r\nOrigin: {table.address}\r\n"
        "Content-Type: application/x-www-form-urlencoded\r\nTransfer-Encoding: chunked\r\n\r\n"
    )
    chunk = b"100000\r\n" + b"a" * 0x100000 + b"\r\n"
    with socket.create_connection((host, port), timeout=60) as connection:
        connection.sendall(head.encode())
        try:
            for _ in range(LARGEST_BODY_BYTES // 0x100000 + 2):
                connection.sendall(chunk)
        except OSError:
            return  # closed on us: cut off
        status = connection.recv(64)
    assert b" 413 " in status or b" 422 " in status


# --- beyond this machine -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("host", ["0.0.0.0", "192.0.2.7", "::"])
def test_beyond_this_machine_a_token_is_demanded(tmp_path, host):
    with pytest.raises(InputError, match="an address that others reach needs a token"):
        opened(tmp_path, host)


@pytest.mark.parametrize("token", ["", "short", "fifteen-letters", "ümlaut-is-not-ascii-x"])
def test_a_weak_token_is_refused(tmp_path, token):
    with pytest.raises(InputError, match="too easy to guess"):
        opened(tmp_path, token=token)


def test_with_a_token_nobody_sees_anything_without_it(tmp_path):
    with open_table(tmp_path, token=TOKEN) as table:
        for path in ("/trips", "/trips.json", "/static/table.js", "/sources", "/trips?token=wrong-wrong-wrong"):
            answer = table.ask(path)
            assert answer.status == 401
            assert TOKEN not in answer.text
        assert table.ask("/trips", Cookie="handline_token=wrong").status == 401
        welcome = table.ask(f"/trips?token={TOKEN}")
        assert welcome.status == 303
        assert welcome.headers["location"] == "/trips"
        cookie = welcome.headers["set-cookie"]
        assert "HttpOnly" in cookie
        assert "SameSite=Strict" in cookie
        assert table.ask("/trips", Cookie=cookie.partition(";")[0]).status == 200


def test_the_address_told_carries_the_token(tmp_path):
    with open_table(tmp_path, token=TOKEN) as table:
        assert table.table.address.endswith(f"?token={TOKEN}")


def test_no_such_folder(tmp_path):
    with pytest.raises(InputError, match="there is no such folder"):
        opened(tmp_path / "nowhere")


def test_a_port_that_is_taken_is_told(table, tmp_path):
    with pytest.raises(InputError, match="cannot be listened on"):
        opened(tmp_path, port=int(table.host.partition(":")[2]))
