"""Recordings made by hand for the tests: straight north, so that a distance is known without computing it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from handline.walking.recording import Recording, recording_of

Floats = NDArray[np.float64]
START_S = 1.7e9


def line(
    parts: Sequence[tuple[float, float]], every_s: float = 1.0, *, climb: float = 0.0
) -> tuple[Floats, Floats, Floats]:
    """Time, place north and height of parts of (time [s], speed [m/s]) one after the other, points evenly in time."""
    knots_s = np.concatenate(([0.0], np.cumsum([span for span, _ in parts])))
    knots_m = np.concatenate(([0.0], np.cumsum([span * speed for span, speed in parts])))
    time = np.arange(0.0, knots_s[-1] + every_s / 2.0, every_s)
    north = np.interp(time, knots_s, knots_m)
    return START_S + time, north, 1000.0 + climb * north


def recording(parts: Sequence[tuple[float, float]], every_s: float = 1.0, *, climb: float = 0.0) -> Recording:
    """The recording of such a walk, without any noise."""
    time, north, height = line(parts, every_s, climb=climb)
    return recording_of(time, np.zeros_like(north), north, height)


def said(found: Recording) -> list[tuple[str, float]]:
    """Kind and length in time of every spell."""
    return [(spell.kind, spell.end_s - spell.start_s) for spell in found.spells]


def kinds(found: Recording) -> list[str]:
    return [spell.kind for spell in found.spells]


def jittered(points: tuple[Floats, Floats, Floats], sd_m: float, seed: int = 1, **more: Any) -> Recording:
    """The recording of these points with every place a little off, each by itself."""
    rng = np.random.default_rng(seed)
    time, north, height = points
    east, off = rng.normal(0.0, sd_m, (2, time.size))
    return recording_of(time, east, north + off, height + rng.normal(0.0, 0.5, time.size), **more)
