"""handline serve as a user starts it: a process of its own, a browser that opens, Ctrl-C that closes it."""

from __future__ import annotations

import json
import os
import signal
import stat
import subprocess
import sys
import urllib.request
from contextlib import contextmanager

import pytest

from tests.web.opened_table import EXAMPLES

SERVE = (sys.executable, "-m", "handline", "serve")


@contextmanager
def serving(*options: str, **environment: str):
    process = subprocess.Popen(
        [*SERVE, *options], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env={**os.environ, **environment}
    )
    try:
        yield process
    finally:
        if process.poll() is None:
            process.kill()
        process.communicate(timeout=20)


def test_it_serves_until_ctrl_c_and_leaves_with_a_word():
    with serving(str(EXAMPLES), "--no-browser", "--json") as process:
        address = json.loads(process.stdout.readline())["address"]
        assert address.startswith("http://localhost:")
        with urllib.request.urlopen(address, timeout=60) as answer:
            text = answer.read().decode()
        assert "Petrel Slab" in text
        assert "Tamsin Dome" in text
        process.send_signal(signal.SIGINT)
        out, err = process.communicate(timeout=30)
        assert (out, err) == ("", "Closed.\n")
        assert process.returncode == 0


def test_the_browser_is_opened_at_the_address(tmp_path):
    told, browser = tmp_path / "told", tmp_path / "browser"
    browser.write_text(f'#!/bin/sh\nprintf %s "$1" > {told}.part && mv {told}.part {told}\n', encoding="utf-8")
    browser.chmod(browser.stat().st_mode | stat.S_IXUSR)
    with serving(str(EXAMPLES), "--json", BROWSER=f"{browser} %s") as process:
        address = json.loads(process.stdout.readline())["address"]
        with urllib.request.urlopen(address, timeout=60):
            pass
        for _ in range(600):
            if told.exists():
                break
            with urllib.request.urlopen(address, timeout=60):
                pass
        assert told.read_text(encoding="utf-8") == address


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("nowhere",), "there is no such folder"),
        ((str(EXAMPLES), "--host", "0.0.0.0"), "an address that others reach needs a token"),
        ((str(EXAMPLES), "--token", "short"), "too easy to guess"),
        ((str(EXAMPLES), "--host", "no.such.host.invalid", "--token", "x" * 16), "cannot be listened on"),
        ((str(EXAMPLES), "--port", "70000"), "70000"),
    ],
)
def test_what_cannot_be_served_is_told(options, words):
    done = subprocess.run([*SERVE, *options, "--no-browser"], capture_output=True, text=True, check=False, timeout=60)
    assert done.returncode == 2
    assert words in done.stderr
    assert "Traceback" not in done.stderr
