"""Forms of pages as a browser without script fills and sends them."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from html.parser import HTMLParser
from urllib.parse import urlencode

from handline.web.guard import CHANGES_FIELD
from tests.web.opened_table import Answer, OpenTable

BOUNDARY = "----a-line-that-no-file-has"
Fields = Sequence[tuple[str, str]]


def words(answer: Answer) -> str:
    """A page as it is read aloud, roughly."""
    return html.unescape(re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.text)))


def send(table: OpenTable, path: str, fields: Fields, *, token: str | None = None, **headers: str) -> Answer:
    """Send fields with the token of our pages, unless another is named."""
    given = table.page_token() if token is None else token
    body = urlencode([(CHANGES_FIELD, given), *fields]).encode()
    own = {"Origin": table.address, "Content-Type": "application/x-www-form-urlencoded"}
    return table.ask(path, "POST", body, **{**own, **headers})


def send_file(table: OpenTable, path: str, fields: Fields, name: str, content: bytes) -> Answer:
    """Send fields with one file, as a browser does."""
    every = [(CHANGES_FIELD, table.page_token()), *fields]
    parts = [f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="{k}"\r\n\r\n{v}\r\n' for k, v in every]
    parts.append(f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="track"; filename="{name}"\r\n\r\n')
    body = "".join(parts).encode() + content + f"\r\n--{BOUNDARY}--\r\n".encode()
    own = {"Origin": table.address, "Content-Type": f"multipart/form-data; boundary={BOUNDARY}"}
    return table.ask(path, "POST", body, **own)


@dataclass
class Form(HTMLParser):
    """The fields of the first form with an action, as a browser would send them."""

    action: str
    fields: list[tuple[str, str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._inside = False
        self._select: str | None = None
        self._options: list[tuple[str | None, bool]] = []
        self._option_text: list[str] | None = None
        self._area: tuple[str, list[str]] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "form":
            self._inside = given.get("action") == self.action
        if not self._inside:
            return
        if tag == "input" and given.get("name") and given.get("type") not in ("file", "submit"):
            if given.get("type") == "checkbox" and "checked" not in given:
                return
            self.fields.append((str(given["name"]), given.get("value") or ""))
        elif tag == "textarea":
            self._area = (str(given["name"]), [])
        elif tag == "select":
            self._select, self._options = str(given["name"]), []
        elif tag == "option" and self._select is not None:
            self._options.append((given.get("value"), "selected" in given))
            self._option_text = []

    def handle_data(self, data: str) -> None:
        if self._area is not None:
            self._area[1].append(data)
        elif self._option_text is not None:
            self._option_text.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self._inside = False
        elif tag == "textarea" and self._area is not None:
            text = "".join(self._area[1]).removeprefix("\n").replace("\r\n", "\n").replace("\n", "\r\n")
            self.fields.append((self._area[0], text))
            self._area = None
        elif tag == "option" and self._option_text is not None:
            value, chosen = self._options[-1]
            self._options[-1] = ("".join(self._option_text) if value is None else value, chosen)
            self._option_text = None
        elif tag == "select" and self._select is not None:
            chosen_values = [value for value, chosen in self._options if chosen] or [self._options[0][0]]
            self.fields.append((self._select, chosen_values[-1] or ""))
            self._select = None

    def changed(self, changed: dict[str, str]) -> list[tuple[str, str]]:
        """The fields with some of them typed over, those that are not there added; the token left out."""
        kept = [(name, changed.get(name, value)) for name, value in self.fields if name != CHANGES_FIELD]
        names = {name for name, _ in self.fields}
        return kept + [(name, value) for name, value in changed.items() if name not in names]

    def value(self, name: str) -> str:
        return next(value for at, value in self.fields if at == name)


def form_in(answer: Answer, action: str) -> Form:
    """The form of a page that is sent to an address."""
    form = Form(action)
    form.feed(answer.text)
    assert form.fields, f"no form for {action} in the page"
    return form
