"""The fit of a pace against known truth, a published segment, and minimisers that are not ours."""

from __future__ import annotations

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize

from handline.walking import robust_fit
from handline.walking.fitting import (
    _blocks,
    _days,
    _fastest_climb_s_m,
    _held_out_errors,
    _spreads,
    _weights,
    fit_pace,
)
from handline.walking.pace import walking_time
from handline.walking.pace_fit import PaceFit, Predicted
from handline.walking.recording import Pieces, Recording, recording_of
from handline.walking.registry import PACE_MODELS, LegModel
from handline.walking.robust_fit import PiecesToFit, Spreads, solve
from handline.walking.spells import Spell
from tests.referees.simulated_walker import (
    Ground,
    Person,
    Track,
    day_time_s,
    hills,
    recorded,
    usual_time_s,
)

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


# --- exact walkers -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", ["tobler_1993", "naismith_1892", "rees_2004", "sullivan_2020_low", "campbell_2019_p10"])
def test_who_walks_as_a_model_says_is_found_out(key: str) -> None:
    fit = fit_pace([exact(key, 1.3, 0.8)])
    assert fit.best.key == key
    assert fit.best.time_factor == pytest.approx(1.3, rel=2e-3)
    assert fit.best.climb_s_m == pytest.approx(0.8, abs=0.02)
    assert fit.best.held_out_error < 1e-3


def test_a_negative_climb_term_is_found_too() -> None:
    fit = fit_pace([exact("rees_2004", 1.1, -1.5)])
    assert fit.best.key == "rees_2004"
    assert fit.best.climb_s_m == pytest.approx(-1.5, abs=0.03)


def test_the_climb_term_stops_where_a_climb_takes_half() -> None:
    """Somebody for whom climbing costs nothing: every climb still takes half of what the scaled model says."""
    rng = np.random.default_rng(2)
    run, rise = rng.uniform(80.0, 160.0, 200), rng.uniform(-0.3, 0.3, 200) * 120.0
    fit = fit_pace([of_pieces(run, rise, run * 0.8)])
    for model in fit.tried:
        lowest = -0.5 * _fastest_climb_s_m(model.key) * model.time_factor
        assert model.climb_s_m >= lowest - 1e-9
        grade = np.linspace(0.0, 1.2, 400)
        scaled = model.time_factor * walking_time(model.key, np.ones(400), grade).segment_s
        assert (model.segment_s(np.ones(400), grade) >= 0.5 * scaled - 1e-9).all()
    assert any(model.climb_s_m == pytest.approx(-0.5 * _fastest_climb_s_m(model.key) * model.time_factor)
               for model in fit.tried)  # fmt: skip


def test_fastest_climb_by_hand() -> None:
    """Tobler: 3.6 exp(3.5 (S + 0.05)) / (6 S) is least at S = 1 / 3.5. (source: tobler_1993)"""
    assert _fastest_climb_s_m("tobler_1993") == pytest.approx(0.6 * 3.5 * math.exp(1.0 + 3.5 * 0.05), rel=1e-4)


def test_rules_for_totals_are_left_out() -> None:
    fit = fit_pace([exact("tobler_1993", 1.0, 0.0)])
    totals = [key for key, model in PACE_MODELS.items() if isinstance(model, LegModel) and not model.adds_up]
    assert list(fit.left_out) == totals == ["din_33466", "sac_rule"]
    assert {model.key for model in fit.tried} == set(PACE_MODELS) - set(totals)
    errors = [model.held_out_error for model in fit.tried]
    assert errors == sorted(errors)
    assert fit.best is fit.tried[0]
    assert sum(model.weight for model in fit.tried) == pytest.approx(1.0)


def test_models_may_be_chosen() -> None:
    chosen = {key: PACE_MODELS[key] for key in ("tobler_1993", "din_33466")}
    fit = fit_pace([exact("tobler_1993", 1.0, 0.0)], models=chosen)
    assert ([model.key for model in fit.tried], fit.left_out) == (["tobler_1993"], ("din_33466",))
    with pytest.raises(ValueError, match="no model adds up"):
        fit_pace([exact("tobler_1993", 1.0, 0.0)], models={"din_33466": PACE_MODELS["din_33466"]})


def test_too_little_walking_is_refused() -> None:
    ground = np.full(9, 150.0)
    with pytest.raises(ValueError, match="20 minutes"):
        fit_pace([of_pieces(ground, np.zeros(9), np.full(9, 132.0))])
    with pytest.raises(ValueError, match="20 minutes"):
        fit_pace([])


def test_twenty_minutes_of_walking_are_enough() -> None:
    fit = fit_pace([of_pieces(np.full(10, 150.0), np.linspace(-9.0, 12.0, 10), np.full(10, 120.0))])
    assert fit.days == 1
    assert fit.best.factor_sd > 0.09


# --- robust, and right in the sum ----------------------------------------------------------------------------------


def noisy(seed: int, sd: float, pieces: int = 400, start_s: float = 0.0, luck: float = 0.0) -> Recording:
    """A Tobler walker of factor 1.2 whose pieces vary on their own."""
    rng = np.random.default_rng(seed)
    run, rise = rng.uniform(80.0, 160.0, pieces), rng.uniform(-0.25, 0.25, pieces) * 120.0
    model_s = walking_time("tobler_1993", run, rise).segment_s
    assert model_s is not None
    return of_pieces(run, rise, 1.2 * model_s * np.exp(luck + rng.normal(0.0, sd, pieces)), start_s)


def test_a_few_odd_pieces_hardly_matter() -> None:
    clean = noisy(3, 0.1)
    time = clean.pieces.time_s.copy()
    time[::20] *= 5.0  # stops nobody saw
    odd = of_pieces(clean.pieces.run_m, clean.pieces.rise_m, time)
    plain, held = (fit_pace([one], models={"tobler_1993": PACE_MODELS["tobler_1993"]}) for one in (clean, odd))
    assert time.sum() > 1.18 * clean.pieces.time_s.sum()
    assert held.best.time_factor == pytest.approx(plain.best.time_factor, rel=0.04)
    assert (plain.best.outliers, held.best.outliers) == (pytest.approx(1, abs=3), pytest.approx(20, abs=3))


def test_sums_are_right_in_the_mean_where_middles_are_too_short() -> None:
    """Pieces vary by 35 %: their mean is exp(0.35^2 / 2) = 1.063 times their middle (cut off at three deviations,
    a little less)."""
    models = {"tobler_1993": PACE_MODELS["tobler_1993"]}
    factors = [fit_pace([noisy(seed, 0.35)], models=models).best.time_factor for seed in range(20)]
    assert np.mean(factors) == pytest.approx(1.2 * math.exp(0.35**2 / 2.0), rel=0.01)
    assert np.mean(factors) > 1.2 * 1.04


def test_simulated_totals_are_not_optimistic() -> None:
    """Stretches that vary by 30 %, a walk of the same kind: predicted and true totals agree in the mean."""
    person = Person(day_sd=0.0, stretch_sd=0.30, uphill=6.0)
    off = []
    for seed in range(30):
        rng = np.random.default_rng(seed)
        tracks = [recorded(rng, person, hills(rng, 12000.0), start_s=1.7e9 + d * DAY_S, every_s=10.0) for d in range(2)]
        new = hills(rng, 12000.0)
        said = fit_pace([of_track(track) for track in tracks]).predict(*segments(new))
        off.append(math.log(said.middle_s / usual_time_s(person, new)))
    assert np.mean(off) == pytest.approx(0.0, abs=0.02)


# --- against minimisers and matrices that are not ours -------------------------------------------------------------


def small(seed: int = 4, days: int = 3) -> tuple[PiecesToFit, Spreads]:
    rng = np.random.default_rng(seed)
    number = np.repeat(np.arange(days), [30, 45, 25][:days])
    run, rise = rng.uniform(80.0, 160.0, number.size), rng.uniform(-0.25, 0.3, number.size) * 120.0
    model_s = np.array([walking_time(key, run, rise).segment_s for key in ("tobler_1993", "naismith_1892")])
    luck = np.array([0.1, -0.05, 0.02])[number]
    time_s = model_s[0] * np.exp(luck + 0.15 * rng.standard_t(3, number.size)) * 1.1 + 0.7 * np.maximum(rise, 0.0)
    day = (number[:, None] == np.arange(days)).astype(float)
    kept = np.ones((2, number.size))
    kept[1, 10:22] = 0.0
    to_fit = PiecesToFit(time_s, model_s, np.maximum(rise, 0.0), day, kept, np.array([-50.0, -50.0]))
    return to_fit, Spreads(np.array([0.07, 0.09]), np.array([2.0, 3.0]), 2.0)


@pytest.mark.parametrize("model", [0, 1])
@pytest.mark.parametrize("fold", [0, 1])
def test_the_solution_is_the_least_of_what_it_minimises(model: int, fold: int) -> None:
    """Referee: a general minimiser over level, climb term and days of the Huber loss with both priors."""
    to_fit, spreads = small()
    ours = solve(to_fit, spreads)
    sd, kept = float(ours.sd[model, fold]), to_fit.kept[fold]
    variance = spreads.alike[model] * sd**2

    def loss(at: np.ndarray) -> float:
        mu = to_fit.model_s[model] + at[1] * to_fit.climb_m
        off = np.abs(np.log(to_fit.time_s / mu) - at[0] - to_fit.day @ at[2:]) / sd
        huber = np.where(off < robust_fit.HUBER, off**2 / 2.0, robust_fit.HUBER * (off - robust_fit.HUBER / 2.0))
        prior = np.sum(at[2:] ** 2) / (2.0 * spreads.day_sd[model] ** 2) + at[1] ** 2 / (2.0 * spreads.climb_sd**2)
        return float(np.sum(kept * huber) * sd**2 / variance + prior)

    found = minimize(loss, np.zeros(5), method="BFGS", options={"gtol": 1e-9}).x
    assert ours.level[model, fold] == pytest.approx(found[0], abs=2e-4)
    assert ours.climb[model, fold] == pytest.approx(found[1], abs=2e-3)
    assert ours.day[model, fold] == pytest.approx(found[2:], abs=2e-4)


@pytest.mark.parametrize("model", [0, 1])
def test_how_unsure_it_is_by_whole_matrices(model: int) -> None:
    """Referee: generalised least squares with the covariance of all pieces written out."""
    to_fit, spreads = small()
    ours = solve(to_fit, spreads)
    mu = to_fit.model_s[model] + ours.climb[model, 0] * to_fit.climb_m
    noise = np.diag(spreads.alike[model] * ours.sd[model, 0] ** 2 / ours.weight[model, 0])
    whole = noise + spreads.day_sd[model] ** 2 * to_fit.day @ to_fit.day.T
    x = np.stack([np.ones_like(mu), to_fit.climb_m / mu], axis=1)
    sure = x.T @ np.linalg.solve(whole, x) + np.diag([0.0, 1.0 / spreads.climb_sd**2])
    assert ours.cov[model, 0] == pytest.approx(np.linalg.inv(sure), rel=1e-3)


def test_the_mean_by_plain_sums() -> None:
    to_fit, spreads = small()
    ours = solve(to_fit, spreads)
    for model in range(2):
        for fold in range(2):
            here = to_fit.kept[fold] > 0.0
            expected = to_fit.model_s[model] + ours.climb[model, fold] * to_fit.climb_m
            expected = (expected * np.exp(to_fit.day @ ours.day[model, fold]))[here]
            cut = 3.0 * ours.sd[model, fold]
            lowest, highest = expected * math.exp(-cut), expected * math.exp(cut)
            level = math.exp(ours.level[model, fold])
            recorded_s = np.minimum(np.maximum(to_fit.time_s[here] / level, lowest), highest)
            assert ours.mean[model, fold] == pytest.approx(recorded_s.sum() / expected.sum())


def test_a_fold_is_the_fit_to_what_it_keeps() -> None:
    to_fit, spreads = small()
    here = to_fit.kept[1] > 0.0
    alone = PiecesToFit(
        to_fit.time_s[here], to_fit.model_s[:, here], to_fit.climb_m[here], to_fit.day[here], np.ones((1, here.sum())),
        to_fit.lowest_climb,
    )  # fmt: skip
    ours, by_itself = solve(to_fit, spreads), solve(alone, spreads)
    assert ours.level[:, 1] == pytest.approx(by_itself.level[:, 0], abs=1e-4)
    assert ours.climb[:, 1] == pytest.approx(by_itself.climb[:, 0], abs=1e-3)
    assert ours.cov[:, 1] == pytest.approx(by_itself.cov[:, 0], rel=1e-2)


def test_held_out_errors_by_fitting_each_fold_by_itself() -> None:
    """Referee: plain loops over the folds, each fitted alone, and over the blocks left out."""
    to_fit, spreads = small()
    to_fit = replace(to_fit, kept=np.ones((1, to_fit.time_s.size)))
    block = np.concatenate([np.arange(30) // 8, 4 + np.arange(45) // 9, 9 + np.arange(25) // 13]).astype(float)
    ours = _held_out_errors(to_fit, spreads, block)
    for model in range(2):
        squares, lengths = 0.0, 0.0
        for fold in range(5):
            here = block % 5 != fold
            alone = PiecesToFit(
                to_fit.time_s[here], to_fit.model_s[:, here], to_fit.climb_m[here], to_fit.day[here],
                np.ones((1, here.sum())), to_fit.lowest_climb,
            )  # fmt: skip
            fitted = solve(alone, spreads)
            for number in np.unique(block[~here]):
                out = block == number
                mu = to_fit.model_s[model, out] + fitted.climb[model, 0] * to_fit.climb_m[out]
                luck = np.exp(fitted.level[model, 0] + to_fit.day[out] @ fitted.day[model, 0])
                said_s = float(np.sum(mu * luck * fitted.mean[model, 0]))
                recorded_s = float(to_fit.time_s[out].sum())
                squares += recorded_s * math.log(recorded_s / said_s) ** 2
                lengths += recorded_s
        assert ours[model] == pytest.approx(math.sqrt(squares / lengths), rel=2e-3)


def test_how_far_models_are_believed_by_hand() -> None:
    """Nine blocks, errors of 10 % and 12 %: exp(-9 (0.0144 - 0.01) / 0.02) = exp(-1.98)."""
    weights = _weights(np.array([0.10, 0.12]), 9)
    assert weights[1] / weights[0] == pytest.approx(math.exp(-1.98))
    assert weights.sum() == pytest.approx(1.0)


def test_spreads_by_plain_loops() -> None:
    to_fit, usual = small()
    to_fit = replace(to_fit, kept=np.ones((1, to_fit.time_s.size)))
    block = np.concatenate([np.arange(30) // 8, 4 + np.arange(45) // 9, 9 + np.arange(25) // 13]).astype(float)
    solution = solve(to_fit, usual)
    ours = _spreads(to_fit, solution, block)
    for model in range(2):
        pulled = solution.residual[model, 0] * solution.weight[model, 0]
        variance = float(np.mean(pulled**2))
        together = sum(float(pulled[block == b].sum()) ** 2 / (block == b).sum() for b in np.unique(block)) / variance
        alike = max(1.0, (5.0 * 3.0 + together) / (5.0 + 11 - 3 - 1))
        assert ours.alike[model] == pytest.approx(alike)
        levels, chances = [], []
        for number in range(3):
            here = to_fit.day[:, number] > 0.0
            weight = solution.weight[model, 0][here]
            levels.append(
                np.average(solution.residual[model, 0][here] + solution.day[model, 0, number], weights=weight)
            )
            chances.append(alike * solution.sd[model, 0] ** 2 / weight.sum())
        apart = float(np.sum((np.array(levels) - np.mean(levels)) ** 2)) - 2.0 * float(np.mean(chances))
        assert ours.day_sd[model] ** 2 == pytest.approx((4.0 * 0.09**2 + max(0.0, apart)) / (4.0 + 2.0))


def test_a_piece_that_goes_nowhere_is_passed_over() -> None:
    one = noisy(5, 0.1, 60)
    more = of_pieces(*(np.append(values, extra) for values, extra in
                       ((one.pieces.run_m, 0.0), (one.pieces.rise_m, 0.0), (one.pieces.time_s, 90.0))))  # fmt: skip
    fit = fit_pace([more])
    assert fit.pieces.size == 60
    assert fit.best.time_factor == pytest.approx(fit_pace([one]).best.time_factor)


def test_the_constants_of_robust_fits() -> None:
    """1.345 keeps 95 % of the efficiency at normal errors, in closed form; 1.4826 makes a MAD a deviation.
    (source: huber_1981, recomputed)"""
    normal, k = NormalDist(), robust_fit.HUBER
    inside = 2.0 * normal.cdf(k) - 1.0
    square = inside - 2.0 * k * normal.pdf(k) + 2.0 * k**2 * (1.0 - normal.cdf(k))
    assert inside**2 / square == pytest.approx(0.95, abs=2e-5)
    assert 1.0 / normal.inv_cdf(0.75) == pytest.approx(robust_fit.MAD_TO_SD, abs=5e-5)


# --- days and blocks -----------------------------------------------------------------------------------------------


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


# --- what it says of a walk ----------------------------------------------------------------------------------------


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
