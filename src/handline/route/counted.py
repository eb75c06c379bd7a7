"""Counting things in words: "1 point", "3 points"."""

from __future__ import annotations


def counted(count: int, thing: str) -> str:
    """The count and the thing, in the plural unless there is one."""
    return f"{count} {thing}" if count == 1 else f"{count} {thing}s"
