"""A person's pace from recordings: the pace model that suits best, scaled, with a climb term, and how sure that is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from handline.walking.grade_models import FloatArray
from handline.walking.pace import walking_time
from handline.walking.pace_fit import FittedModel, PaceFit
from handline.walking.recording import Pieces, Recording
from handline.walking.registry import PACE_MODELS, GradeModel, LegModel
from handline.walking.robust_fit import PiecesToFit, Solution, Spreads, solve
from handline.walking.walker import MOST_CREDIT_SHARE

# Pieces with more than this between them are of different days.
NEW_DAY_S = 6 * 3600.0
BLOCK_S = 1200.0
FEWEST_BLOCKS = 5
FOLDS = 5
SHORTEST_WALK_S = 1200.0
# What is known before any recording, and how many days or blocks it counts for (sources: our_pace_prior).
USUAL_DAY_SD = 0.09
DAY_SD_COUNTS = 4.0
USUAL_ALIKE = 3.0
ALIKE_COUNTS = 5.0
CLIMB_SD_S_M = 2.0
_STEEPEST = 3.0


def fit_pace(recordings: Sequence[Recording], *, models: Mapping[str, GradeModel | LegModel] = PACE_MODELS) -> PaceFit:
    """Fit every model that adds up over pieces to the walking of one person, and find the one that suits best.

    ::

        T = time_factor * T_model + climb_s_m * climb

    with errors that multiply. Best is the model with the smallest error on stretches of about 20 minutes it was not
    fitted to, each fitted to the others of a fifth of them.

    Parameters
    ----------
    recordings : sequence of Recording
        Of one person or one party; those within six hours of each other are one day.
    models : mapping
        The models to try.

    Returns
    -------
    PaceFit
        Rules that only know totals are in ``left_out``.

    Raises
    ------
    ValueError
        Less than 20 minutes of walking, or no model that adds up.

    Validity: on foot, on the kind of ground, load and height it was recorded with. One recording works: how days
    differ is then what is usual (9 %), and more recordings narrow it.
    Notes: least squares of the logarithm find the middle of a piece, and a walk that sums middles is too short. So the
    factor is raised or lowered until the fitted times of all pieces sum to the recorded ones, outliers cut off.
    ``climb_s_m`` may be negative only as far as every climb still takes half of what the scaled model says; before
    any climb is seen it is 0 +- 2 s/m times the factor.
    Sources: huber_1981, our_pace_fit, our_pace_prior, and each model's own.
    """
    pieces = _joined([recording.pieces for recording in recordings])
    if pieces.time_s.sum() < SHORTEST_WALK_S:
        raise ValueError("less than 20 minutes of walking")
    keys = [key for key, model in models.items() if not (isinstance(model, LegModel) and not model.adds_up)]
    if not keys:
        raise ValueError("no model adds up over pieces")
    day, block = _days(pieces), _blocks(pieces)
    to_fit = _to_fit(pieces, keys, day)
    first = solve(to_fit, _usual_spreads(len(keys)))
    spreads = _spreads(to_fit, first, block)
    solution = solve(to_fit, spreads)
    errors = _held_out_errors(to_fit, spreads, block)
    weights = _weights(errors, int(block.max()) + 1)
    tried = [
        FittedModel(
            key=key,
            time_factor=float(np.exp(solution.level[k, 0]) * solution.mean[k, 0]),
            climb_s_m=float(solution.climb[k, 0] * np.exp(solution.level[k, 0]) * solution.mean[k, 0]),
            held_out_error=float(errors[k]),
            weight=float(weights[k]),
            day_sd=float(spreads.day_sd[k]),
            piece_sd=float(solution.sd[k, 0]),
            alike=float(spreads.alike[k]),
            cov=_matrix(solution.cov[k, 0]),
            outliers=int(np.count_nonzero(np.abs(solution.residual[k, 0]) > 3.0 * solution.sd[k, 0])),
        )
        for k, key in enumerate(keys)
    ]
    ranked = tuple(sorted(tried, key=lambda model: model.held_out_error))
    return PaceFit(
        best=ranked[0],
        tried=ranked,
        left_out=tuple(key for key in models if key not in keys),
        pieces=pieces,
        days=int(day.max()) + 1,
        moving_s=float(sum(recording.moving_s for recording in recordings)),
        moving_m=float(sum(recording.moving_m for recording in recordings)),
    )


def _matrix(values: FloatArray) -> tuple[tuple[float, float], tuple[float, float]]:
    (a, b), (c, d) = values.tolist()
    return (a, b), (c, d)


def _joined(parts: Sequence[Pieces]) -> Pieces:
    """All pieces in the order of time; those without any length or height have no pace, and are left out."""
    run, rise, time, start = (
        np.concatenate([np.empty(0), *(getattr(part, name) for part in parts)])
        for name in ("run_m", "rise_m", "time_s", "start_s")
    )
    order = np.argsort(start, kind="stable")
    order = order[np.hypot(run, rise)[order] > 0.0]
    return Pieces(run[order], rise[order], time[order], start[order])


def _days(pieces: Pieces) -> FloatArray:
    """The number of the day of each piece, from 0."""
    between_s = pieces.start_s[1:] - (pieces.start_s + pieces.time_s)[:-1]
    return np.concatenate(([0.0], np.cumsum(between_s > NEW_DAY_S)))


def _blocks(pieces: Pieces) -> FloatArray:
    """The number of the block of each piece: contiguous stretches of about 20 minutes, none over two days."""
    day = _days(pieces)
    wanted_s = min(BLOCK_S, float(pieces.time_s.sum()) / FEWEST_BLOCKS)
    block = np.zeros(pieces.size)
    blocks = 0
    for number in range(int(day.max()) + 1):
        here = day == number
        walked_s = np.cumsum(pieces.time_s[here]) - pieces.time_s[here] / 2.0
        count = max(1, round(float(pieces.time_s[here].sum()) / wanted_s))
        block[here] = blocks + np.minimum(np.floor(walked_s / pieces.time_s[here].sum() * count), count - 1)
        blocks += count
    # A block may have got no piece where pieces are few; the numbers must have no holes.
    return np.unique(block, return_inverse=True)[1].astype(float)


def _to_fit(pieces: Pieces, keys: Sequence[str], day: FloatArray) -> PiecesToFit:
    return PiecesToFit(
        time_s=pieces.time_s,
        model_s=np.array([_segment_s(key, pieces.run_m, pieces.rise_m) for key in keys]),
        climb_m=np.maximum(pieces.rise_m, 0.0),
        day=_one_hot(day),
        kept=np.ones((1, pieces.size)),
        lowest_climb=np.array([-MOST_CREDIT_SHARE * _fastest_climb_s_m(key) for key in keys]),
    )


def _segment_s(key: str, run_m: FloatArray, rise_m: FloatArray) -> FloatArray:
    """The model's time of each segment [s]."""
    segment_s = walking_time(key, run_m, rise_m).segment_s
    if segment_s is None:
        raise ValueError(f"{key} does not add up over pieces")
    return segment_s


def _fastest_climb_s_m(key: str) -> float:
    """The least time the model gives for a metre of height, on any grade [s/m]."""
    grade = np.linspace(0.01, _STEEPEST, 600)
    return float(np.min(_segment_s(key, np.ones_like(grade), grade) / grade))


def _one_hot(number: FloatArray) -> FloatArray:
    hot: FloatArray = (number[:, None] == np.arange(int(number.max()) + 1)[None, :]).astype(float)
    return hot


def _usual_spreads(models: int) -> Spreads:
    return Spreads(np.full(models, USUAL_DAY_SD), np.full(models, USUAL_ALIKE), CLIMB_SD_S_M)


def _spreads(to_fit: PiecesToFit, solution: Solution, block: FloatArray) -> Spreads:
    """How pieces go together and days differ: what the recordings say, drawn towards what is usual."""
    residual, weight = solution.residual[:, 0, :], solution.weight[:, 0, :]
    of_block = _one_hot(block)
    days, blocks = to_fit.day.shape[1], of_block.shape[1]
    pulled = residual * weight
    sums = pulled @ of_block
    variance = np.sum(pulled**2, axis=-1) / to_fit.time_s.size
    together = np.sum(sums**2 / of_block.sum(axis=0), axis=-1) / np.maximum(variance, 1e-12)
    free = max(0, blocks - days - 1)
    alike = np.maximum(1.0, (ALIKE_COUNTS * USUAL_ALIKE + together) / (ALIKE_COUNTS + free)) if free else USUAL_ALIKE
    alike = np.broadcast_to(np.asarray(alike, float), (residual.shape[0],))
    # The level of each day by itself, and how far it may be off by chance.
    total = weight @ to_fit.day
    own = ((residual + solution.day[:, 0, :] @ to_fit.day.T) * weight) @ to_fit.day / total
    by_chance = np.mean((alike * solution.sd[:, 0] ** 2)[:, None] / total, axis=-1) * (days - 1)
    apart = np.sum((own - own.mean(axis=-1, keepdims=True)) ** 2, axis=-1)
    day_variance = (DAY_SD_COUNTS * USUAL_DAY_SD**2 + np.maximum(0.0, apart - by_chance)) / (DAY_SD_COUNTS + days - 1)
    return Spreads(np.sqrt(day_variance), alike, CLIMB_SD_S_M)


def _held_out_errors(to_fit: PiecesToFit, spreads: Spreads, block: FloatArray) -> FloatArray:
    """The typical error of a model on stretches it was not fitted to, as a share of their time, shape (models,)."""
    folds = min(FOLDS, int(block.max()) + 1)
    fold = block % folds
    out = _one_hot(fold).T
    solution = solve(replace(to_fit, kept=1.0 - out), spreads)
    # What each fold's fit says of each piece it did not see.
    log_error = np.sum((solution.residual - np.log(solution.mean)[..., None]) * out, axis=1)
    of_block = _one_hot(block)
    recorded_s = to_fit.time_s @ of_block
    said_s = (to_fit.time_s * np.exp(-log_error)) @ of_block
    error: FloatArray = np.sqrt(np.average(np.log(recorded_s / said_s) ** 2, axis=-1, weights=recorded_s))
    return error


def _weights(errors: FloatArray, blocks: int) -> FloatArray:
    """How much each model may be believed by its held-out errors, the sum 1.

    As normal errors of the size of the best model's would have it: exp(-blocks (E^2 - E_best^2) / (2 E_best^2)).
    """
    best = max(float(np.min(errors)), 1e-6)
    likely = np.exp(-blocks * (errors**2 - best**2) / (2.0 * best**2))
    weights: FloatArray = likely / likely.sum()
    return weights
