"""The walking time of a leg: sums, limits, and what lies beyond them."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import handline.walking
from handline.errors import InputError
from handline.walking.pace import FLAGS, speed_on_grade, walking_time
from handline.walking.registry import PACE_MODELS, GradeModel, LegModel

GRADE_MODELS = [model for model in PACE_MODELS.values() if isinstance(model, GradeModel)]
LEG_MODELS = [model for model in PACE_MODELS.values() if isinstance(model, LegModel)]


def key(model: GradeModel | LegModel) -> str:
    return model.key


def test_level_kilometre_by_a_published_speed() -> None:
    """Level speed 5.0367 km/h (source: tobler_1993)."""
    walked = walking_time("tobler_1993", [400.0, 600.0], [0.0, 0.0])
    assert walked.time_s == pytest.approx(3600.0 / 5.0367, rel=1e-5)
    assert walked.segment_s is not None
    assert walked.segment_s == pytest.approx([0.4 * walked.time_s, 0.6 * walked.time_s])
    assert (walked.outside_m, walked.flags, walked.source) == (0.0, (), "tobler_1993")


def test_worked_examples_hold_through_the_entrance() -> None:
    """10 km, 600 m up, 500 m down: 4.25 h (source: din_33466). 10 km, 300 m up: 150 min (source: langmuir_1984)."""
    assert walking_time("din_33466", [6000.0, 4000.0], [600.0, -500.0]).time_s == pytest.approx(4.25 * 3600.0)
    assert walking_time("langmuir_1984", [7000.0, 3000.0], [0.0, 300.0]).time_s == pytest.approx(150.0 * 60.0)


@pytest.mark.parametrize("model", GRADE_MODELS, ids=key)
def test_formula_is_nan_and_flagged_outside_its_limits(model: GradeModel) -> None:
    low, high = model.limits.lowest, model.limits.highest
    found = speed_on_grade(model, [low - 1e-4, low, 0.0, high, high + 1e-4])
    assert np.isnan(found.speed_m_s).tolist() == [True, False, False, False, True]
    assert found.flags == ("beyond_grade_limit",)
    assert speed_on_grade(model, [low, high]).flags == ()


@pytest.mark.parametrize(
    ("model_key", "steepest"),
    [("tobler_1993", 0.6), ("sullivan_2020_low", math.tan(math.radians(30.0))), ("rees_2004", 0.6)],
)
def test_limits_are_those_written_down(model_key: str, steepest: float) -> None:
    """About 0.6 (source: tobler_1993), 30 degrees (source: sullivan_2020), ours for the others (our_grade_limits)."""
    model = PACE_MODELS[model_key]
    assert isinstance(model, GradeModel)
    assert (model.limits.lowest, model.limits.highest) == pytest.approx((-steepest, steepest), rel=1e-12)


@pytest.mark.parametrize("model", GRADE_MODELS, ids=key)
@pytest.mark.parametrize("sign", [-1.0, 1.0])
def test_steeper_than_the_limit_keeps_the_rate_of_height(model: GradeModel, sign: float) -> None:
    """Rule of ours (our_beyond_grade): the time goes with the height, and is flagged and counted."""
    limit = abs(model.limits.highest)
    at_limit = walking_time(model.key, 100.0, sign * 100.0 * limit * (1.0 - 1e-9))
    beyond = walking_time(model.key, 50.0, sign * 100.0 * limit)
    assert at_limit.flags == ()
    assert beyond.time_s == pytest.approx(at_limit.time_s, rel=1e-6)
    assert beyond.flags == ("beyond_grade_limit",)
    assert beyond.outside_m == pytest.approx(math.hypot(50.0, 100.0 * limit))


def test_a_step_without_run_takes_time() -> None:
    step = walking_time("tobler_1993", [100.0, 0.0], [0.0, 2.0])
    level = walking_time("tobler_1993", [100.0], [0.0])
    assert step.time_s > level.time_s
    assert step.outside_m == 2.0


def test_standing_still_takes_none() -> None:
    for model in PACE_MODELS.values():
        assert walking_time(model.key, [0.0], [0.0]).time_s == 0.0
        assert walking_time(model.key, [], []).time_s == 0.0


@pytest.mark.parametrize(("run_m", "rise_m"), [(-1.0, 0.0), (math.nan, 0.0), (10.0, math.inf)])
@pytest.mark.parametrize("model_key", ["tobler_1993", "din_33466"])
def test_what_is_not_ground_has_no_time(model_key: str, run_m: float, rise_m: float) -> None:
    walked = walking_time(model_key, [100.0, run_m], [0.0, rise_m])
    assert math.isnan(walked.time_s)
    assert walked.flags == ("not_ground",)


def test_every_flag_has_words() -> None:
    assert {"beyond_grade_limit", "not_ground"} <= set(FLAGS)
    assert all(words == words.strip() and words for words in FLAGS.values())


def test_no_flag_stands_here_that_nothing_raises() -> None:
    rooms = Path(handline.walking.__file__).parent
    raised = "".join(path.read_text(encoding="utf-8") for path in rooms.glob("*.py") if path.name != "pace.py")
    own = {"beyond_grade_limit", "not_ground"}
    assert {flag for flag in FLAGS if f'"{flag}"' not in raised} <= own


def test_unknown_model_is_refused() -> None:
    with pytest.raises(InputError, match="unknown pace model"):
        walking_time("naismith", 1.0, 0.0)


@pytest.mark.parametrize("model", [model for model in LEG_MODELS if not model.adds_up], ids=key)
def test_rules_for_totals_have_no_segments(model: LegModel) -> None:
    assert walking_time(model.key, [10.0, 10.0], [1.0, 1.0]).segment_s is None


@pytest.mark.parametrize("model", PACE_MODELS.values(), ids=key)
@given(
    grades=st.lists(st.floats(-1.5, 1.5), min_size=1, max_size=8),
    cut=st.integers(2, 5),
)
@settings(max_examples=25, deadline=None)
def test_cutting_segments_finer_changes_nothing(model: GradeModel | LegModel, grades: list[float], cut: int) -> None:
    run_m = np.full(len(grades), 25.0)
    rise_m = run_m * np.array(grades)
    whole = walking_time(model.key, run_m, rise_m)
    finer = walking_time(model.key, np.repeat(run_m / cut, cut), np.repeat(rise_m / cut, cut))
    assert whole.time_s > 0.0
    assert finer.time_s == pytest.approx(whole.time_s, rel=1e-9)
