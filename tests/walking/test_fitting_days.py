"""The days and blocks of recordings, and how sure of a pace they leave us."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from handline.walking.fitting import _blocks, _days, fit_pace
from handline.walking.recording import Pieces
from handline.walking.registry import PACE_MODELS
from tests.referees.simulated_walker import Person, hills, recorded
from tests.walking.walkers import DAY_S, exact, noisy, of_pieces, of_track


def test_days_are_told_by_the_night_between() -> None:
    part = noisy(1, 0.1, 40)
    later = [replace(part.pieces, start_s=part.pieces.start_s + at) for at in (0.0, 4.0 * 3600.0, 30.0 * 3600.0)]
    recordings = [replace(part, pieces=pieces) for pieces in later]
    assert fit_pace(recordings).days == 2
    assert fit_pace(recordings[:2]).days == 1
    assert fit_pace(recordings[::-1]).best.time_factor == pytest.approx(fit_pace(recordings).best.time_factor)


def test_blocks_are_contiguous_and_never_over_a_night() -> None:
    part, other = noisy(1, 0.1, 100).pieces, noisy(2, 0.1, 37).pieces
    whole = Pieces(*(np.concatenate([getattr(part, name), getattr(other, name)])
                     for name in ("run_m", "rise_m", "time_s")),
                   np.concatenate([part.start_s, other.start_s + 2 * DAY_S]))  # fmt: skip
    block, day = _blocks(whole), _days(whole)
    assert set(np.diff(block)) == {0.0, 1.0}
    assert all(np.unique(day[block == number]).size == 1 for number in np.unique(block))
    lengths = [whole.time_s[block == number].sum() for number in np.unique(block)]
    assert np.mean(lengths) == pytest.approx(1200.0, rel=0.15)


def test_blocks_are_as_near_to_twenty_minutes_as_they_can_be() -> None:
    """Two days of 3.6 and 5.7 blocks: four and six."""
    time = np.concatenate([np.full(36, 120.0), np.full(57, 120.0)])
    start = np.concatenate([np.arange(36) * 120.0, 2 * DAY_S + np.arange(57) * 120.0])
    block = _blocks(Pieces(np.full(93, 100.0), np.zeros(93), time, start))
    assert [np.unique(part).size for part in (block[:36], block[36:])] == [4, 6]


def test_how_days_differ_is_learned() -> None:
    """Eight days each with its own luck: wild ones, even ones."""
    rng = np.random.default_rng(6)
    models = {"tobler_1993": PACE_MODELS["tobler_1993"]}
    spread = {}
    for sd in (0.0, 0.25):
        days = [noisy(seed, 0.1, 80, seed * DAY_S, sd * rng.standard_normal()) for seed in range(12)]
        spread[sd] = fit_pace(days, models=models).best.day_sd
    assert spread[0.0] == pytest.approx(math.sqrt(4.0 * 0.09**2 / 15.0), rel=0.2)
    assert spread[0.25] == pytest.approx(0.25, rel=0.4)
    assert fit_pace([noisy(1, 0.1)], models=models).best.day_sd == pytest.approx(0.09)


def test_more_recordings_narrow_it() -> None:
    one, four = fit_pace([noisy(1, 0.15, 100)]), fit_pace([noisy(s, 0.15, 100, s * DAY_S) for s in range(4)])
    run, rise = np.full(100, 100.0), np.tile([12.0, -12.0], 50)
    assert four.predict(run, rise).usual_log_sd < 0.65 * one.predict(run, rise).usual_log_sd
    assert four.predict(run, rise).log_sd < one.predict(run, rise).log_sd


def test_pieces_that_go_together_count_for_less() -> None:
    """The same noise, shuffled and in runs of ten."""
    rng = np.random.default_rng(7)
    noise = np.repeat(rng.normal(0.0, 0.2, 40), 10)
    base = exact("tobler_1993", 1.0, 0.0, pieces=400)
    models = {"tobler_1993": PACE_MODELS["tobler_1993"]}
    fits = [
        fit_pace([of_pieces(base.pieces.run_m, base.pieces.rise_m, base.pieces.time_s * np.exp(e))], models=models)
        for e in (rng.permutation(noise), noise)
    ]
    assert fits[0].best.alike < 2.0
    assert fits[1].best.alike > 5.0
    assert fits[1].best.climb_sd_s_m > 1.5 * fits[0].best.climb_sd_s_m


def test_what_was_not_walked_is_less_sure() -> None:
    """A pace from level ground, asked about a mountain."""
    rng = np.random.default_rng(8)
    flat = recorded(rng, Person(), hills(rng, 9000.0, 0.01), every_s=5.0, height_drift_m=0.0)
    fit = fit_pace([of_track(flat)])
    level = fit.predict(np.full(100, 100.0), np.zeros(100))
    steep = fit.predict(np.full(100, 100.0), np.full(100, 25.0))
    assert steep.usual_log_sd > 1.5 * level.usual_log_sd
