"""Opening the planning table: on which address, for whom, and until when."""

from __future__ import annotations

import ipaddress
import secrets
import socket
import threading
import webbrowser
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from handline.errors import InputError, Problem
from handline.web.guard import SHORTEST_TOKEN, Door

if TYPE_CHECKING:
    import uvicorn

LOOPBACK = "127.0.0.1"
USUAL_PORT = 8650
MOST_CONNECTIONS = 200


@dataclass(frozen=True)
class Opened:
    """A table that is open: the address to type into a browser, how the server runs until it is told to stop."""

    address: str
    run: Callable[[], None]
    stop: Callable[[], None]


def opened(folder: Path, host: str = LOOPBACK, port: int | None = None, token: str | None = None) -> Opened:
    """Get ready to serve a folder.

    Parameters
    ----------
    folder : Path
    host : str
        The address to listen on. Beyond this machine a token is demanded.
    port : int, optional
        Left out, the usual one, or any free one where that is taken.
    token : str, optional
        What a browser must bring, in its address once.

    Raises
    ------
    InputError
        The folder, the address or the token cannot be used.
    """
    import uvicorn

    from handline.web.app import make_app

    if not folder.is_dir():
        raise InputError(Problem("there is no such folder", read=str(folder), mend="name a folder for trip files"))
    _check_token(host, token)
    listening = _listening(host, port)
    at_port = listening.getsockname()[1]
    door = Door(_names(host, at_port), token)
    config = uvicorn.Config(
        make_app(folder, door),
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        limit_concurrency=MOST_CONNECTIONS,
        timeout_keep_alive=30,
        timeout_graceful_shutdown=2,
        h11_max_incomplete_event_size=32_768,
    )
    server = uvicorn.Server(config)
    shown = "localhost" if _is_loopback(host) else host
    address = f"http://{_bracketed(shown)}:{at_port}/trips" + (f"?token={token}" if token else "")

    def stop() -> None:
        server.should_exit = True

    return Opened(address, lambda: _run(server, listening), stop)


def open_browser_at(address: str) -> None:
    """Open the browser beside the server, without waiting for it."""
    threading.Timer(0.3, webbrowser.open, (address,)).start()


def _run(server: uvicorn.Server, listening: socket.socket) -> None:
    with listening:
        server.run(sockets=[listening])


def _check_token(host: str, token: str | None) -> None:
    if token is not None and (len(token) < SHORTEST_TOKEN or not token.isascii() or not token.isprintable()):
        raise InputError(
            Problem(
                "this token is too easy to guess",
                allowed=f"at least {SHORTEST_TOKEN} letters and figures",
                mend=f"take {secrets.token_urlsafe(18)}",
                key="--token",
            )
        )
    if token is None and not _is_loopback(host):
        raise InputError(
            Problem(
                "an address that others reach needs a token",
                read=host,
                allowed=f"{LOOPBACK} and localhost without one",
                mend=f"add --token {secrets.token_urlsafe(18)}, and give it only to those who may change your trips",
                key="--host",
            )
        )


def _listening(host: str, port: int | None) -> socket.socket:
    for wanted in (USUAL_PORT, 0) if port is None else (port,):
        try:
            family = socket.getaddrinfo(host, wanted, type=socket.SOCK_STREAM)[0][0]
            listening = socket.socket(family, socket.SOCK_STREAM)
        except OSError as error:
            told = error
            continue
        try:
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            listening.bind((host, wanted))
            listening.listen(MOST_CONNECTIONS)
        except OSError as error:
            listening.close()
            told = error
        else:
            return listening
    raise InputError(
        Problem(
            f"this address cannot be listened on: {told.strerror or told}",
            read=f"{host}:{port or USUAL_PORT}",
            mend="another program may be there: name another with --port",
            key="--port",
        )
    )


def _names(host: str, port: int) -> frozenset[str]:
    """What a browser may call this server."""
    names = {host, "localhost", LOOPBACK, "::1"} if _is_loopback(host) else {host}
    if host in ("0.0.0.0", "::"):
        names = {socket.gethostname(), *_own_addresses()}
    return frozenset(f"{_bracketed(name)}:{port}".lower() for name in names)


def _own_addresses() -> list[str]:
    try:
        return [str(entry[4][0]) for entry in socket.getaddrinfo(socket.gethostname(), None)]
    except OSError:
        return []


def _is_loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False


def _bracketed(host: str) -> str:
    return f"[{host}]" if ":" in host else host
