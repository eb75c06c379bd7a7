"""Asking one question over the network, guardedly.

Only GET, only https (http for this very machine, where tests answer), no redirect followed, no cookie, no password, and
no other scheme: the opener is put together from the one handler that is needed. Nothing is asked twice: who cannot
answer now is not helped by being asked again at once.
"""

from __future__ import annotations

import ipaddress
import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

if TYPE_CHECKING:
    from http.client import HTTPResponse
    from urllib.request import OpenerDirector

_PIECE_BYTES = 65536


class NoAnswerError(Exception):
    """No answer that can be used came, for a reason that may pass. ``why`` is a clause for a note or a message.

    A user never meets it: whoever asks turns it into a note or an ``InputError``.
    """

    def __init__(self, why: str) -> None:
        self.why = why
        super().__init__(why)


@dataclass(frozen=True)
class Patience:
    """How long to wait without a byte and for the whole body, and how large a body may be.

    The look-up of the host's name is the system's own and waits as long as that does.
    """

    silence_s: float = 10.0
    whole_s: float = 30.0
    most_bytes: int = 4_000_000


@dataclass(frozen=True)
class Answer:
    """An HTTP answer as it came; the names in ``headers`` are in small letters."""

    status: int
    headers: Mapping[str, str]
    body: bytes


def ask(url: str, headers: Mapping[str, str], patience: Patience) -> Answer:
    """Ask once with GET and hand back whatever status came.

    Parameters
    ----------
    url : str
        https, or http to a loopback host.
    headers : mapping
        Sent as they are, besides Host, Connection and Accept-Encoding.

    Raises
    ------
    NoAnswerError
        No connection, no trusted connection, silence, a cut-off or an oversized answer.
    ValueError
        An address of another kind: a defect of the caller, never of a user.
    """
    opener = _opener(url)
    from http.client import HTTPException
    from urllib.request import Request

    # Any other encoding could unpack to more than the limit on size.
    request = Request(url, headers={**headers, "Accept-Encoding": "identity"}, method="GET")
    deadline_s = time.monotonic() + patience.whole_s
    try:
        with opener.open(request, timeout=patience.silence_s) as response:
            found = {name.lower(): value for name, value in reversed(response.headers.items())}
            return Answer(response.status, found, _body(response, patience, deadline_s))
    except (OSError, HTTPException) as error:
        raise NoAnswerError(_why(error, patience)) from None


def _opener(url: str) -> OpenerDirector:
    """An opener that can do one thing only. The proxy the system names for https is kept to, never for this machine."""
    from urllib.request import HTTPHandler, HTTPSHandler, OpenerDirector, ProxyHandler

    opener = OpenerDirector()
    opener.addheaders = []
    if not url.isascii() or not url.isprintable() or " " in url:
        raise ValueError("an address holds characters it must not")
    parts = urlsplit(url)
    if not parts.hostname or parts.username is not None or parts.password is not None:
        raise ValueError("an address needs a host and no password")
    if parts.scheme == "https":
        import ssl

        opener.add_handler(ProxyHandler())
        opener.add_handler(HTTPSHandler(context=ssl.create_default_context()))
    elif parts.scheme == "http" and _is_this_machine(parts.hostname):
        opener.add_handler(HTTPHandler())
    else:
        raise ValueError("only https is asked")
    return opener


def _is_this_machine(host: str) -> bool:
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host == "localhost"


def _body(response: HTTPResponse, patience: Patience, deadline_s: float) -> bytes:
    """The whole body, piece by piece, so that neither its size nor its slowness has no end."""
    if response.headers.get("Content-Encoding", "identity").lower() != "identity":
        raise NoAnswerError("the answer came packed, which was not asked for")
    said = response.headers.get("Content-Length", "")
    said_bytes = int(said) if said.isascii() and said.isdecimal() and len(said) < 20 else None
    # An answer of 304 has no body, whatever length it says.
    if response.status == 304:
        return b""
    read = bytearray()
    while max(len(read), said_bytes or 0) <= patience.most_bytes:
        piece = response.read1(_PIECE_BYTES)
        if not piece:
            if said_bytes is not None and len(read) < said_bytes:
                raise NoAnswerError("the answer was cut off")
            return bytes(read)
        read += piece
        if time.monotonic() > deadline_s:
            raise NoAnswerError(f"the answer was not whole within {patience.whole_s:g} s")
    raise NoAnswerError(f"the answer was larger than {patience.most_bytes:,} bytes")


def _why(error: Exception, patience: Patience) -> str:
    from http.client import HTTPException
    from ssl import SSLError
    from urllib.error import URLError

    cause = error.reason if isinstance(error, URLError) else error
    if isinstance(cause, TimeoutError):
        return f"no answer within {patience.silence_s:g} s"
    if isinstance(cause, SSLError):
        return "the connection could not be trusted"
    broken_off = isinstance(cause, ConnectionError) and not isinstance(cause, ConnectionRefusedError)
    if broken_off or isinstance(cause, HTTPException):
        return "the answer was cut off"
    return "no connection now"
