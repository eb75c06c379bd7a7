"""A piece of work that says when it has begun and never ends."""

from __future__ import annotations

import os
import threading

from handline.choose.piece import Arrays
from tests.choose.small_work import DrawnPiece


def endless(shared: object, piece: DrawnPiece) -> Arrays:
    os.write(1, b"at work\n")  # in one go, whatever else writes
    threading.Event().wait()
    raise AssertionError
