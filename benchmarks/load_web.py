"""Fifty clients at once on the planning table for a minute: no error, and memory that does not grow.

    python benchmarks/load_web.py [CLIENTS] [SECONDS]

Everything stays on this machine: the server is a process of its own on loopback, over a copy of an example. Half the
clients read pages of results, some ask what if, some check a form, some save one. What a page shows is looked at, not
only its status. The first third of the time is left out where growth is told: caches fill.
"""

from __future__ import annotations

import http.client
import json
import random
import re
import shutil
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode, urlsplit

import numpy as np

EXAMPLE = Path(__file__).parents[1] / "examples" / "petrel-slab"
TRIP = "/trips/petrel-slab"
MOST_GROWTH_MB = 40.0


@dataclass
class Seen:
    """What all clients saw together."""

    took_s: dict[str, list[float]] = field(default_factory=dict)
    statuses: Counter[int] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)
    lock: threading.Lock = field(default_factory=threading.Lock)

    def note(self, what: str, took_s: float, status: int, wrong: str | None) -> None:
        with self.lock:
            self.took_s.setdefault(what, []).append(took_s)
            self.statuses[status] += 1
            if wrong:
                self.wrong.append(wrong)


def main(clients: int, seconds: float) -> int:
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(EXAMPLE, Path(folder) / "petrel-slab")
        server = subprocess.Popen(
            [sys.executable, "-m", "handline", "serve", folder, "--no-browser", "--json"], stdout=subprocess.PIPE
        )
        try:
            assert server.stdout is not None
            address = json.loads(server.stdout.readline())["address"]
            return _load(address, server.pid, clients, seconds)
        finally:
            server.terminate()
            server.wait(timeout=20)


def _load(address: str, pid: int, clients: int, seconds: float) -> int:
    host = urlsplit(address).netloc
    for path in (f"{TRIP}/day.json", f"{TRIP}/line.json", f"{TRIP}/load.json"):
        _ask(host, path)
    token = re.search(r'name="page_token" value="([^"]+)"', _ask(host, "/trips/new")[1])
    assert token is not None
    seen, until_s = Seen(), time.monotonic() + seconds
    threads = [threading.Thread(target=_client, args=(i, host, token[1], until_s, seen)) for i in range(clients)]
    for thread in threads:
        thread.start()
    memory = []
    while time.monotonic() < until_s:
        memory.append(_memory_MB(pid))
        time.sleep(0.5)
    for thread in threads:
        thread.join()
    return _report(seen, np.array(memory), clients, seconds)


def _report(seen: Seen, memory_MB: np.ndarray, clients: int, seconds: float) -> int:
    asked = sum(seen.statuses.values())
    print(f"{clients} clients for {seconds:.0f} s: {asked} answers, {asked / seconds:.0f} a second")
    for what, took_s in sorted(seen.took_s.items()):
        half, most = np.quantile(took_s, [0.5, 0.95])
        print(f"  {what}: {len(took_s)}, half within {half:.3f} s, 95 % within {most:.3f} s, all {max(took_s):.2f} s")
    settled = memory_MB[memory_MB.size // 3 :]
    parts = np.array_split(settled, 3)
    growth_MB = float(np.median(parts[-1]) - np.median(parts[0]))
    print(f"  statuses {dict(seen.statuses)}; wrong {len(seen.wrong)}")
    told = f"at most {memory_MB.max():.0f} MB, grew {growth_MB:+.1f} MB at last"
    print(f"  memory {memory_MB[0]:.0f} MB at first, {told}")
    for words in seen.wrong[:5]:
        print(f"  wrong: {words}")
    failed = bool(seen.wrong) or growth_MB > MOST_GROWTH_MB
    print("FAILED" if failed else "held")
    return int(failed)


def _client(number: int, host: str, token: str, until_s: float, seen: Seen) -> None:
    draw = random.Random(number)
    while time.monotonic() < until_s:
        what = draw.choices(("page", "what if", "check", "save"), (60, 15, 20, 5))[0]
        begun_s = time.monotonic()
        status, text, wanted, expected = 0, "", "", (200,)
        try:
            if what == "page":
                path, wanted = draw.choice(PAGES)
                status, text = _ask(host, path)
                expected = (200, 202)
                wanted = wanted if status == 200 else "Handline"
            elif what == "what if":
                mass = f"{draw.randint(60, 120)} kg"
                status, text = _ask(host, f"{TRIP}/line?" + urlencode({"mass": mass}))
                expected, wanted = (200, 202, 503), "Handline"
            else:
                form = _form(_ask(host, f"{TRIP}/edit")[1], draw)
                path = f"{TRIP}/check" if what == "check" else f"{TRIP}/edit"
                status, text = _ask(host, path, {**form, "page_token": token}, host)
                # Whoever saves what somebody else changed meanwhile is told so.
                expected = (200,) if what == "check" else (303, 409)
        except (OSError, http.client.HTTPException, ValueError) as error:
            seen.note(what, time.monotonic() - begun_s, status, f"{what}: {error!r}")
            continue
        wrong = None
        if status not in expected or wanted not in text:
            wrong = f"{what}: status {status}, {text[:200]!r}"
        seen.note(what, time.monotonic() - begun_s, status, wrong)


PAGES = (
    ("/trips", "Petrel Slab"),
    (f"{TRIP}/day", "Latest passing times"),
    (f"{TRIP}/line", "Every way of attaching"),
    (f"{TRIP}/load", "Packs, water and food"),
    (f"{TRIP}/edit", "Save the trip"),
    (f"{TRIP}/day.json", '"timetable"'),
    ("/sources", "Naismith"),
    ("/static/table.css", ".rail"),
)


def _form(page: str, draw: random.Random) -> dict[str, str]:
    version = re.search(r'name="version" value="([^"]*)"', page)
    if version is None:
        raise ValueError(f"the form has no version: {page[:200]!r}")
    return {"version": version[1], "party.size": str(draw.randint(2, 8))}


def _ask(host: str, path: str, form: dict[str, str] | None = None, origin: str = "") -> tuple[int, str]:
    connection = http.client.HTTPConnection(host, timeout=120)
    try:
        if form is None:
            connection.request("GET", path)
        else:
            headers = {"Origin": f"http://{origin}", "Content-Type": "application/x-www-form-urlencoded"}
            connection.request("POST", path, urlencode(form), headers)
        answer = connection.getresponse()
        return answer.status, answer.read().decode("utf-8")
    finally:
        connection.close()


def _memory_MB(pid: int) -> float:
    """Memory of a process in RAM."""
    pages = int(Path(f"/proc/{pid}/statm").read_text(encoding="ascii").split()[1])
    return pages * 4096 / 1e6


if __name__ == "__main__":
    clients = int(sys.argv[1]) if len(sys.argv) > 1 else 50
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 60.0
    sys.exit(main(clients, seconds))
