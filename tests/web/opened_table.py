"""A planning table that is really open, and asking it byte for byte."""

from __future__ import annotations

import http.client
import json
import re
import shutil
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlencode, urlsplit

from handline.web.serving import Opened, opened

EXAMPLES = Path(__file__).parents[2] / "examples"


@dataclass(frozen=True)
class Answer:
    """What came back."""

    status: int
    headers: http.client.HTTPMessage
    body: bytes

    @property
    def text(self) -> str:
        return self.body.decode("utf-8")

    @property
    def json(self):
        return json.loads(self.body)


@dataclass(frozen=True)
class OpenTable:
    """An open table over a folder."""

    folder: Path
    table: Opened

    @property
    def host(self) -> str:
        return urlsplit(self.table.address).netloc

    @property
    def address(self) -> str:
        return f"http://{self.host}"

    def ask(self, path: str, method: str = "GET", body: bytes | None = None, **headers: str | None) -> Answer:
        """Ask exactly this; a header that is None is left out, underscores in its name are hyphens."""
        said = {"Host": self.host, **{name.replace("_", "-"): value for name, value in headers.items()}}
        port = urlsplit(self.table.address).port
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=120)
        try:
            connection.putrequest(method, path, skip_host=True, skip_accept_encoding=True)
            for name, value in said.items():
                if value is not None:
                    connection.putheader(name, value)
            if body is not None and "Content-Length" not in said:
                connection.putheader("Content-Length", str(len(body)))
            connection.endheaders(body)
            response = connection.getresponse()
            return Answer(response.status, response.headers, response.read())
        finally:
            connection.close()

    def page_token(self) -> str:
        """The token in the forms of a page."""
        found = re.search(r'name="page_token" value="([^"]+)"', self.ask("/trips/new").text)
        assert found is not None
        return found[1]

    def post(self, path: str, fields: dict[str, str], **headers: str | None) -> Answer:
        """Send a form as our own page would, unless headers say otherwise."""
        body = urlencode({"page_token": self.page_token(), **fields}).encode()
        own = {"Origin": self.address, "Content-Type": "application/x-www-form-urlencoded"}
        return self.ask(path, "POST", body, **{**own, **headers})


@contextmanager
def open_table(folder: Path, examples: tuple[str, ...] = (), **how) -> Iterator[OpenTable]:
    """Open a table over a folder, with copies of examples in it."""
    folder.mkdir(exist_ok=True)
    for name in examples:
        shutil.copytree(EXAMPLES / name, folder / name, ignore=shutil.ignore_patterns("brief"))
    table = opened(folder, **how)
    thread = threading.Thread(target=table.run, daemon=True)
    thread.start()
    try:
        yield OpenTable(folder, table)
    finally:
        table.stop()
        thread.join(timeout=20)
