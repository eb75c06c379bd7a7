"""A forecast service of our own on this machine: it replays what it is given and takes down what it was asked."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

ANSWERS = Path(__file__).with_name("answers")


def answer_body(name: str) -> bytes:
    return ANSWERS.joinpath(f"{name}.json").read_bytes()


@dataclass(frozen=True)
class Reply:
    """One reply. ``said_bytes`` is a Content-Length of its own; ``how`` is whole, silent, hang_up or drip."""

    status: int = 200
    body: bytes = b""
    headers: Mapping[str, str] = field(default_factory=dict)
    said_bytes: int | None = None
    how: str = "whole"


@dataclass
class Service:
    """The replies still to give, the last one again and again, and the paths and headers of what was asked."""

    replies: list[Reply]
    asked: list[tuple[str, str, dict[str, str]]] = field(default_factory=list)
    address: str = ""
    done: threading.Event = field(default_factory=threading.Event)

    def next_reply(self) -> Reply:
        return self.replies.pop(0) if len(self.replies) > 1 else self.replies[0]


@contextmanager
def replaying(*replies: Reply) -> Iterator[Service]:
    service = Service(list(replies))

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            service.asked.append((self.command, self.path, {k.lower(): v for k, v in self.headers.items()}))
            _give(self, service.next_reply(), service.done)

        def log_message(self, *arguments: Any) -> None:
            pass

        # Our own headers say when; the server's clock must not.
        def date_time_string(self, timestamp: float | None = None) -> str:
            return ""

        def send_header(self, keyword: str, value: str) -> None:
            if keyword not in ("Date", "Server") or value:
                super().send_header(keyword, value)

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    server.daemon_threads = True
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True)
    thread.start()
    service.address = f"http://127.0.0.1:{server.server_address[1]}/complete"
    try:
        yield service
    finally:
        service.done.set()
        server.shutdown()
        server.server_close()
        thread.join()


def _give(handler: BaseHTTPRequestHandler, reply: Reply, done: threading.Event) -> None:
    handler.close_connection = True
    if reply.how == "silent":
        done.wait(5.0)
        return
    if reply.how == "hang_up":
        return
    handler.send_response(reply.status)
    for name, value in reply.headers.items():
        handler.send_header(name, value)
    if reply.status != 304:
        handler.send_header("Content-Length", str(len(reply.body) if reply.said_bytes is None else reply.said_bytes))
    handler.end_headers()
    if reply.how == "drip":
        # A byte now and then, for ever: no single wait is long.
        while not done.wait(0.02):
            try:
                handler.wfile.write(b" ")
            except OSError:
                return
        return
    try:
        handler.wfile.write(reply.body)
    except OSError:
        return
