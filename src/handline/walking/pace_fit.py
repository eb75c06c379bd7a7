"""A fitted pace, and what it says of a walk: a middle and its spread, never a single time."""

from __future__ import annotations

from dataclasses import dataclass
from statistics import NormalDist

import numpy as np
import numpy.typing as npt

from handline.walking.grade_models import FloatArray
from handline.walking.pace import walking_time
from handline.walking.recording import PIECE_S, Pieces


@dataclass(frozen=True)
class Predicted:
    """The walking time of a walk on a day yet to come, without stops: log-normal round ``middle_s``.

    ``log_sd`` is the spread of its logarithm with everything in it; ``usual_log_sd`` how unsure the person's usual
    time is, the coming day's own luck left out.
    """

    middle_s: float
    log_sd: float
    usual_log_sd: float

    def band_s(self, share: float) -> tuple[float, float]:
        """The times between which that share of such days lies [s]."""
        return self._band_s(share, self.log_sd)

    def usual_band_s(self, share: float) -> tuple[float, float]:
        """The times between which the person's usual time lies with that confidence [s]."""
        return self._band_s(share, self.usual_log_sd)

    def _band_s(self, share: float, log_sd: float) -> tuple[float, float]:
        reach = float(np.exp(NormalDist().inv_cdf(0.5 + share / 2.0) * log_sd))
        return self.middle_s / reach, self.middle_s * reach


@dataclass(frozen=True)
class FittedModel:
    """One pace model fitted to a person: T = time_factor T_model + climb_s_m climb.

    ``held_out_error`` is its typical error on stretches of 20 minutes it was not fitted to, a share of their time;
    ``weight`` how far it is believed against the others. ``day_sd`` and ``piece_sd`` are spreads of the logarithm: of
    days, and of pieces of two minutes. ``alike`` is by how much pieces near in time go together. ``cov`` belongs to the
    logarithm of the factor and to climb_s_m / time_factor. ``outliers`` counts the pieces beyond three spreads.
    """

    key: str
    time_factor: float
    climb_s_m: float
    held_out_error: float
    weight: float
    day_sd: float
    piece_sd: float
    alike: float
    cov: tuple[tuple[float, float], tuple[float, float]]
    outliers: int

    @property
    def factor_sd(self) -> float:
        """How unsure the factor is: the standard deviation of its logarithm."""
        return float(np.sqrt(self.cov[0][0]))

    @property
    def climb_sd_s_m(self) -> float:
        """How unsure the climb term is [s/m], for this factor."""
        return float(np.sqrt(self.cov[1][1])) * self.time_factor

    def segment_s(self, run_m: npt.ArrayLike, rise_m: npt.ArrayLike) -> FloatArray:
        """The fitted time of each segment [s]; NaN everywhere where one of them is no ground."""
        run, rise = np.broadcast_arrays(np.asarray(run_m, float), np.asarray(rise_m, float))
        model_s = walking_time(self.key, run, rise).segment_s
        if model_s is None:
            return np.full(run.shape, np.nan)
        fitted: FloatArray = self.time_factor * model_s + self.climb_s_m * np.maximum(rise, 0.0)
        return fitted

    def unsure_sd(self, run_m: npt.ArrayLike, rise_m: npt.ArrayLike) -> float:
        """How unsure scale and climb term make the time of a walk: the standard deviation of its logarithm."""
        whole_s = float(np.sum(self.segment_s(run_m, rise_m)))
        climb_m = float(np.sum(np.maximum(np.asarray(rise_m, float), 0.0)))
        by = np.array([1.0, self.time_factor * climb_m / whole_s])
        return float(np.sqrt(by @ np.array(self.cov) @ by))


@dataclass(frozen=True, eq=False)
class PaceFit:
    """A person's pace. ``tried`` has every fitted model, the best first; ``left_out`` the keys of rules for totals.

    ``pieces`` are what was fitted to, ``days`` how many days they are from; ``moving_s`` and ``moving_m`` are of the
    recordings as a whole.
    """

    best: FittedModel
    tried: tuple[FittedModel, ...]
    left_out: tuple[str, ...]
    pieces: Pieces
    days: int
    moving_s: float
    moving_m: float

    def predict(self, run_m: npt.ArrayLike, rise_m: npt.ArrayLike) -> Predicted:
        """The walking time of a walk given as segments, on a day yet to come, without stops.

        ::

            log_sd^2 = unsure^2 + shape^2 + day_sd^2 + piece_sd^2 alike 120 s / T

        ``unsure`` is that of scale and climb term, how the recorded days differed included; ``shape`` is how far the
        models, each as far as it is believed, disagree about this walk.

        Parameters
        ----------
        run_m, rise_m : array_like, one shape
            Horizontal length and signed height gained of each segment [m], at least one with a length.

        Returns
        -------
        Predicted
            [s]. NaN where a segment is no ground.

        Validity: as ``fit_pace``. Segments much shorter than 100 m carry ups and downs the pieces average over: the
        time is then a little longer, the slow side.
        Sources: our_pace_fit, our_pace_prior.
        """
        middle_s = float(np.sum(self.best.segment_s(run_m, rise_m)))
        others_s = [float(np.sum(model.segment_s(run_m, rise_m))) for model in self.tried]
        weights = [model.weight for model in self.tried]
        shape = float(np.average(np.log(np.array(others_s) / middle_s) ** 2, weights=weights))
        usual = self.best.unsure_sd(run_m, rise_m) ** 2 + shape
        luck = self.best.day_sd**2 + self.best.piece_sd**2 * self.best.alike * PIECE_S / middle_s
        return Predicted(middle_s, float(np.sqrt(usual + luck)), float(np.sqrt(usual)))
