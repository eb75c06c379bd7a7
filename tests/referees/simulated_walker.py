"""Walkers with a known pace and a recorder that jitters, written without anything of ours: the referee of the fit.

The truth is a pace by slope of its own form, in none of our models; every day has its own luck, every stretch its own,
which goes over into the next; the recorder's error wanders and trembles; people stop.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Person:
    """Seconds for a metre on the map: level_s_m, more uphill, less and then more downhill; and how days vary."""

    level_s_m: float = 0.85
    uphill: float = 5.5
    downhill: float = 3.0
    easiest_grade: float = -0.04
    day_sd: float = 0.08
    stretch_sd: float = 0.12
    stretch_m: float = 150.0

    def pace_s_m(self, grade: Floats) -> Floats:
        """The usual pace: two straight arms rounded at the bottom, with a curve of the second order."""
        off = grade - self.easiest_grade
        arm = np.where(off > 0.0, self.uphill, self.downhill)
        return self.level_s_m * (1.0 + arm * (np.sqrt(off**2 + 0.03**2) - 0.03) + 2.0 * off**2)


@dataclass(frozen=True)
class Ground:
    """A way in steps of ``step_m``: height and place at each step."""

    step_m: float
    east_m: Floats
    north_m: Floats
    height_m: Floats

    @property
    def grade(self) -> Floats:
        return np.diff(self.height_m) / self.step_m


@dataclass(frozen=True)
class Track:
    """What a recorder wrote, and what it does not say: the time really spent moving."""

    time_s: Floats
    east_m: Floats
    north_m: Floats
    height_m: Floats
    moving_s: float
    paused_s: float


def hills(rng: np.random.Generator, length_m: float, steepest: float = 0.25, step_m: float = 10.0) -> Ground:
    """A winding way over hills: slopes of some hundred metres each, up and down."""
    steps = int(length_m / step_m)
    grade = smooth(rng.uniform(-steepest, steepest, 2 + steps // 40), steps)
    bearing = np.cumsum(rng.normal(0.0, 0.08, steps))
    line = [np.concatenate(([0.0], np.cumsum(f(bearing) * step_m))) for f in (np.sin, np.cos)]
    return Ground(step_m, line[0], line[1], 1500.0 + np.concatenate(([0.0], np.cumsum(grade * step_m))))


def smooth(knots: Floats, count: int) -> Floats:
    """Straight lines between knots set evenly."""
    return np.interp(np.linspace(0.0, knots.size - 1.0, count), np.arange(knots.size), knots)


def wander(rng: np.random.Generator, count: int, sd: float, steps: float) -> Floats:
    """Noise that forgets itself over some steps: the sum of trembles that fade."""
    keep = math.exp(-1.0 / steps)
    kernel = keep ** np.arange(int(6 * steps) + 1)
    tremble = rng.normal(0.0, sd * math.sqrt(1.0 - keep**2), count + kernel.size - 1)
    size = 1 << (tremble.size + kernel.size - 1).bit_length()
    full = np.fft.irfft(np.fft.rfft(tremble, size) * np.fft.rfft(kernel, size), size)
    return full[kernel.size - 1 : kernel.size - 1 + count]


def usual_time_s(person: Person, ground: Ground) -> float:
    """The person's time on this way on a middling day: stretches vary, and what varies takes longer in the mean."""
    return float(np.sum(person.pace_s_m(ground.grade)) * ground.step_m * math.exp(person.stretch_sd**2 / 2.0))


def day_time_s(rng: np.random.Generator, person: Person, ground: Ground) -> float:
    """The time it takes on one day."""
    return float(np.sum(step_times_s(rng, person, ground)))


def step_times_s(rng: np.random.Generator, person: Person, ground: Ground) -> Floats:
    """The time of each step of the way on one day."""
    luck = math.exp(person.day_sd * rng.standard_normal())
    noise = np.exp(wander(rng, ground.grade.size, person.stretch_sd, person.stretch_m / ground.step_m))
    return person.pace_s_m(ground.grade) * ground.step_m * luck * noise


def recorded(
    rng: np.random.Generator,
    person: Person,
    ground: Ground,
    *,
    start_s: float = 1.7e9,
    every_s: float = 5.0,
    jitter_m: float = 1.0,
    drift_m: float = 3.0,
    height_drift_m: float = 2.0,
    pauses_an_hour: float = 1.0,
    pause_s: tuple[float, float] = (180.0, 900.0),
) -> Track:
    """A day on this way as a recorder writes it."""
    step_s = step_times_s(rng, person, ground)
    moving_s = float(step_s.sum())
    pauses = rng.poisson(pauses_an_hour * moving_s / 3600.0)
    at = rng.integers(5, step_s.size - 5, pauses)
    stood = np.zeros(step_s.size)
    np.add.at(stood, at, rng.uniform(*pause_s, pauses))
    # A pause stands at the beginning of its step: the place is the same twice.
    clock = np.repeat(np.concatenate(([0.0], np.cumsum(step_s + stood))), 2)[1:]
    clock[1::2] = clock[0:-1:2] + stood
    place = np.repeat(np.arange(ground.height_m.size, dtype=float), 2)[: clock.size]
    time = np.arange(0.0, clock[-1], every_s)
    where = np.interp(time, clock, place)
    index = np.arange(ground.height_m.size, dtype=float)
    lines = [np.interp(where, index, line) for line in (ground.east_m, ground.north_m, ground.height_m)]
    for i, (drift, tremble) in enumerate(((drift_m, jitter_m), (drift_m, jitter_m), (height_drift_m, 0.5))):
        lines[i] = (
            lines[i] + wander(rng, time.size, drift, max(60.0 / every_s, 0.5)) + rng.normal(0.0, tremble, time.size)
        )
    return Track(start_s + time, lines[0], lines[1], lines[2], moving_s, float(stood.sum()))


def normal_band(share: float) -> float:
    """How many standard deviations to each side hold this share."""
    return NormalDist().inv_cdf(0.5 + share / 2.0)
