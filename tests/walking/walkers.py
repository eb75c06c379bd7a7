"""Somebody recorded, for the tests of a pace: who walks just as a model says, unevenly, or simulated."""

from __future__ import annotations

import numpy as np

from handline.walking.pace import walking_time
from handline.walking.recording import Pieces, Recording, recording_of
from handline.walking.spells import Spell
from tests.referees.simulated_walker import Ground, Track

DAY_S = 86400.0


def of_track(track: Track) -> Recording:
    return recording_of(track.time_s, track.east_m, track.north_m, track.height_m)


def of_pieces(run: np.ndarray, rise: np.ndarray, time: np.ndarray, start_s: float = 0.0) -> Recording:
    """A recording that is these pieces, one after the other."""
    starts = start_s + np.concatenate(([0.0], np.cumsum(time)[:-1]))
    whole = float(time.sum())
    spell = Spell("moving", start_s, start_s + whole, float(run.sum()))
    return Recording(Pieces(run, rise, time, starts), (spell,), whole, float(run.sum()), whole, 1000.0, 5.0)


def segments(ground: Ground, every: int = 10) -> tuple[np.ndarray, np.ndarray]:
    """The ground in longer steps: run and rise."""
    count = ground.grade.size // every
    rise = np.diff(ground.height_m)[: count * every].reshape(count, every).sum(axis=1)
    return np.full(count, ground.step_m * every), rise


def exact(
    key: str, factor: float, climb_s_m: float, seed: int = 1, pieces: int = 120, start_s: float = 0.0
) -> Recording:
    """Somebody who walks just as a model says, scaled, with a climb term."""
    rng = np.random.default_rng(seed)
    run, rise = rng.uniform(80.0, 160.0, pieces), rng.uniform(-0.25, 0.25, pieces) * 120.0
    model_s = walking_time(key, run, rise).segment_s
    assert model_s is not None
    return of_pieces(run, rise, factor * model_s + climb_s_m * np.maximum(rise, 0.0), start_s)


def noisy(seed: int, sd: float, pieces: int = 400, start_s: float = 0.0, luck: float = 0.0) -> Recording:
    """A Tobler walker of factor 1.2 whose pieces vary on their own."""
    rng = np.random.default_rng(seed)
    run, rise = rng.uniform(80.0, 160.0, pieces), rng.uniform(-0.25, 0.25, pieces) * 120.0
    model_s = walking_time("tobler_1993", run, rise).segment_s
    assert model_s is not None
    return of_pieces(run, rise, 1.2 * model_s * np.exp(luck + rng.normal(0.0, sd, pieces)), start_s)
