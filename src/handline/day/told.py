"""Who is told how far the work is."""

from __future__ import annotations

from collections.abc import Callable

Told = Callable[[str, float], None]
"""Told what is being worked on, and the share of it that is done; may raise to stop the work."""
