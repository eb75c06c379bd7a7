"""Who may ask, and what an answer may do in a browser: looked at before any page is.

- Host: only the names this server was opened under, so that no foreign name can be turned to it.
- Beyond loopback: a token, once in the address, then in a cookie.
- Changes: only from our own pages, by their origin and by a token that only they know.
- Size: nothing longer than any page sends.
- Answers: no script but our own files, no frame, no other site, nothing kept by anybody on the way.
"""

from __future__ import annotations

import hmac
import json
import secrets
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

LARGEST_BODY_BYTES = 25_000_000
"""A day's track of one point a second is under 10 MB."""
SHORTEST_TOKEN = 16
COOKIE = "handline_token"
CHANGES_FIELD, CHANGES_HEADER = "page_token", "x-handline-page"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "content-security-policy": POLICY,
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "same-origin",  # with none at all a browser calls its own forms strangers
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "geolocation=(), camera=(), microphone=()",
    "cache-control": "no-store",
}
"""Of every answer, unless the page sets its own."""


@dataclass(frozen=True)
class Door:
    """How the server may be reached: the names a browser may use for it, and the token it must bring, if any."""

    hosts: frozenset[str]
    token: str | None = None
    page_token: str = field(default_factory=lambda: secrets.token_urlsafe(24), repr=False)
    """Known to our own pages only; another one each time the server starts."""

    def knows(self, host: str | None) -> bool:
        return host is not None and host.lower() in self.hosts

    def is_own(self, origin: str | None, host: str | None) -> bool:
        """Whether a request comes from a page of ours."""
        return origin is not None and self.knows(host) and origin.lower() in (f"http://{host}", f"https://{host}")

    def admits(self, token: str) -> bool:
        return self.token is None or hmac.compare_digest(token.encode(), self.token.encode())


class Guard:
    """The middleware that holds the door."""

    def __init__(self, app: ASGIApp, door: Door) -> None:
        self._app = app
        self._door = door

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        wants_json = scope["path"].endswith(".json") or "application/json" in headers.get("accept", "")
        refusal = self._refusal(scope, headers)
        if refusal is not None:
            await _answer(send, *refusal, wants_json)
            return
        if self._door.token is not None and (asked := _asked_token(scope)) is not None:
            await _welcome(send, scope, asked)
            return
        await self._app(scope, _Limited(receive), _with_headers(send))

    def _refusal(self, scope: Scope, headers: Headers) -> tuple[int, str, str] | None:
        door, host = self._door, headers.get("host")
        if len(headers.getlist("host")) != 1 or not door.knows(host):
            names = " or ".join(sorted(door.hosts))
            return 421, "This address is not one of this server.", f"Open it as http://{names}."
        asked = _asked_token(scope)
        if door.token is not None and not door.admits(asked if asked is not None else _cookie(headers)):
            return 401, "This planning table asks for its token.", "Open the address that was printed when it began."
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return 405, "This cannot be done here.", "Use the pages."
        if scope["method"] == "POST" and not door.is_own(headers.get("origin"), host):
            return 403, "A change must come from a page of this server.", "Open the page here and try again."
        length = headers.get("content-length")
        if length is not None and (not length.isdecimal() or int(length) > LARGEST_BODY_BYTES):
            return 413, "This is too large.", f"At most {LARGEST_BODY_BYTES // 1_000_000} MB may be sent."
        return None


class BodyTooLargeError(Exception):
    """More was sent than may be, though nothing was said of its length."""


class _Limited:
    """Receives no more than may be sent."""

    def __init__(self, receive: Receive) -> None:
        self._receive = receive
        self._left = LARGEST_BODY_BYTES

    async def __call__(self) -> Message:
        message = await self._receive()
        if message["type"] == "http.request":
            self._left -= len(message.get("body", b""))
            if self._left < 0:
                raise BodyTooLargeError
        return message


def _with_headers(send: Send) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in HEADERS.items():
                headers.setdefault(name, value)
        await send(message)

    return sent


def _asked_token(scope: Scope) -> str | None:
    """The token in the address, where there is one."""
    found = parse_qs(scope["query_string"].decode("latin-1"), keep_blank_values=True).get("token")
    return found[0] if found else None


def _cookie(headers: Headers) -> str:
    try:
        cookies = SimpleCookie(headers.get("cookie", ""))
    except CookieError:
        return ""
    return cookies[COOKIE].value if COOKIE in cookies else ""


async def _welcome(send: Send, scope: Scope, token: str) -> None:
    """Take the token out of the address into a cookie, so that it stands in no history and no link."""
    cookie = f"{COOKIE}={token}; HttpOnly; SameSite=Strict; Path=/"
    path = scope["path"] if scope["path"].startswith("/") and not scope["path"].startswith("//") else "/"
    headers = [(b"location", path.encode("ascii", "replace")), (b"set-cookie", cookie.encode("latin-1", "replace"))]
    await _with_headers(send)({"type": "http.response.start", "status": 303, "headers": headers})
    await send({"type": "http.response.body", "body": b""})


async def _answer(send: Send, status: int, what: str, mend: str, as_json: bool) -> None:
    if as_json:
        problem = {"what": what, "mend": mend}
        body, kind = json.dumps({"status": status, "problems": [problem]}), "application/json"
    else:
        body, kind = f"{what} {mend}\n", "text/plain; charset=utf-8"
    headers = [(b"content-type", kind.encode()), (b"content-length", str(len(body.encode())).encode())]
    await _with_headers(send)({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body.encode()})
