"""The fit of a pace against known truth: exact walkers are found out, and sums come out right."""

from __future__ import annotations

import math

import numpy as np
import pytest

from handline.walking.fitting import _fastest_climb_s_m, fit_pace
from handline.walking.pace import walking_time
from handline.walking.registry import PACE_MODELS, LegModel
from tests.referees.simulated_walker import Person, hills, recorded, usual_time_s
from tests.walking.walkers import DAY_S, exact, noisy, of_pieces, of_track, segments

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


def test_a_piece_that_goes_nowhere_is_passed_over() -> None:
    one = noisy(5, 0.1, 60)
    more = of_pieces(*(np.append(values, extra) for values, extra in
                       ((one.pieces.run_m, 0.0), (one.pieces.rise_m, 0.0), (one.pieces.time_s, 90.0))))  # fmt: skip
    fit = fit_pace([more])
    assert fit.pieces.size == 60
    assert fit.best.time_factor == pytest.approx(fit_pace([one]).best.time_factor)


# --- robust, and right in the sum ----------------------------------------------------------------------------------


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
