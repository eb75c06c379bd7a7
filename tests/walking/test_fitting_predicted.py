"""What a fitted pace says of a walk: its parts by hand, and bands that hold the truth."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from handline.walking.fitting import fit_pace
from handline.walking.pace_fit import PaceFit, Predicted
from handline.walking.registry import PACE_MODELS
from tests.referees.simulated_walker import Person, day_time_s, hills, recorded, usual_time_s
from tests.walking.walkers import DAY_S, noisy, of_pieces, of_track, segments


def test_bands_are_log_normal() -> None:
    said = Predicted(3600.0, 0.1, 0.05)
    low, high = said.band_s(0.8)
    assert high / 3600.0 == pytest.approx(math.exp(1.2816 * 0.1), rel=1e-4)
    assert low * high == pytest.approx(3600.0**2)
    assert said.usual_band_s(0.9)[1] == pytest.approx(3600.0 * math.exp(1.6449 * 0.05), rel=1e-4)


def test_a_prediction_is_its_parts() -> None:
    rng = np.random.default_rng(9)
    walks = [noisy(s, 0.1, 150, s * DAY_S) for s in range(2)]
    luck = [np.exp(np.repeat(rng.normal(0.0, 0.2, 15), 10)) for _ in walks]
    fit = fit_pace(
        [of_pieces(w.pieces.run_m, w.pieces.rise_m, w.pieces.time_s * e, w.pieces.start_s[0])
         for w, e in zip(walks, luck, strict=True)]
    )  # fmt: skip
    assert fit.best.alike > 2.0
    assert fit.best.climb_sd_s_m == pytest.approx(math.sqrt(fit.best.cov[1][1]) * fit.best.time_factor)
    run, rise = np.full(60, 100.0), np.linspace(-20.0, 20.0, 60)
    said, best = fit.predict(run, rise), fit.best
    times = [float(model.segment_s(run, rise).sum()) for model in fit.tried]
    climb = float(np.maximum(rise, 0.0).sum())
    by = np.array([1.0, climb / (times[0] / best.time_factor)])
    shape = sum(m.weight * math.log(t / times[0]) ** 2 for m, t in zip(fit.tried, times, strict=True))
    usual = by @ np.array(best.cov) @ by + shape
    assert said.middle_s == pytest.approx(times[0])
    assert said.usual_log_sd**2 == pytest.approx(usual)
    assert said.log_sd**2 == pytest.approx(
        usual + best.day_sd**2 + best.piece_sd**2 * best.alike * 120.0 / said.middle_s
    )


@settings(deadline=None, max_examples=25)
@given(scale=st.floats(0.5, 3.0), seed=st.integers(0, 50))
def test_who_takes_longer_has_the_longer_pace(scale: float, seed: int) -> None:
    models = {"tobler_1993": PACE_MODELS["tobler_1993"]}
    one = noisy(seed, 0.15, 60)
    slower = of_pieces(one.pieces.run_m, one.pieces.rise_m, one.pieces.time_s * scale)
    run, rise = np.full(50, 100.0), np.tile([8.0, -8.0], 25)
    ours, theirs = (fit_pace([walk], models=models) for walk in (one, slower))
    assert theirs.predict(run, rise).middle_s / ours.predict(run, rise).middle_s == pytest.approx(scale, rel=0.01)


def covered(share: float, band: tuple[float, float], truth_s: float) -> bool:
    assert 0.0 < share < 1.0
    return band[0] <= truth_s <= band[1]


def simulated_fit(seed: int) -> tuple[Person, PaceFit, np.random.Generator]:
    """One to three days of somebody of their own pace and their own luck, recorded by some recorder."""
    rng = np.random.default_rng([2027, seed])
    person = Person(
        level_s_m=rng.uniform(0.65, 1.1),
        uphill=rng.uniform(4.0, 8.0),
        downhill=rng.uniform(1.5, 4.5),
        day_sd=rng.uniform(0.05, 0.11),
        stretch_sd=rng.uniform(0.08, 0.2),
    )
    every_s = float(rng.choice([3.0, 10.0, 25.0, 30.0]))
    tracks = [
        recorded(rng, person, hills(rng, rng.uniform(5e3, 9e3)), start_s=1.7e9 + day * DAY_S, every_s=every_s)
        for day in range(1 + seed % 3)
    ]
    return person, fit_pace([of_track(track) for track in tracks]), rng


def test_ninety_per_cent_bands_hold_the_truth() -> None:
    """200 people: the time on a new day's walk, and their usual time on it."""
    day = usual = 0
    for seed in range(200):
        person, fit, rng = simulated_fit(seed)
        new = hills(rng, 15_000.0, 0.30)
        said = fit.predict(*segments(new))
        day += covered(0.9, said.band_s(0.9), day_time_s(rng, person, new))
        usual += covered(0.9, said.usual_band_s(0.9), usual_time_s(person, new))
    assert 170 <= day <= 190, day
    assert 170 <= usual <= 190, usual
