"""Hypothesis without a stopwatch: a busy machine is no failing property."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("no_stopwatch", deadline=None)
settings.load_profile("no_stopwatch")
