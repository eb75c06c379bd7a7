"""A small grey image as an address: a PNG (ISO/IEC 15948) of eight bits, written here, with what is not known clear."""

from __future__ import annotations

import base64
import struct
import zlib
from collections.abc import Sequence

CLEAR = 255
"""The grey that stands for a pixel one sees through."""


def grey_uri(rows: Sequence[Sequence[int | None]]) -> str:
    """The image of rows of greys, each 0 to 254, from the top down; None is clear.

    Raises
    ------
    ValueError
        No rows, rows that differ in length, or a grey that is none.
    """
    widths = {len(row) for row in rows}
    if len(widths) != 1 or 0 in widths:
        raise ValueError("an image needs rows of one length, one pixel at least")
    if any(grey is not None and not 0 <= grey < CLEAR for row in rows for grey in row):
        raise ValueError(f"a grey lies from 0 to {CLEAR - 1}")
    # Every line begins with how it is filtered: each pixel less its left neighbour packs best.
    lines = b"".join(b"\x01" + _less_left([CLEAR if grey is None else grey for grey in row]) for row in rows)
    png = (
        b"\x89PNG\r\n\x1a\n"
        + _chunk(b"IHDR", struct.pack(">IIBBBBB", widths.pop(), len(rows), 8, 0, 0, 0, 0))
        + _chunk(b"tRNS", struct.pack(">H", CLEAR))
        + _chunk(b"IDAT", zlib.compress(lines, 9))
        + _chunk(b"IEND", b"")
    )
    return "data:image/png;base64," + base64.b64encode(png).decode("ascii")


def _less_left(greys: Sequence[int]) -> bytes:
    return bytes((grey - left) % 256 for grey, left in zip(greys, [0, *greys[:-1]], strict=True))


def _chunk(kind: bytes, content: bytes) -> bytes:
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))
