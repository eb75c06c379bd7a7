"""Each hour's rain once: its own amount first, what is left of six hours for the rest."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.weather.live.rain_spans import HOUR_S, chance_to_next, rain_to_next

NO = float("nan")


def rain(hours: list[float], ones: list[float], sixes: list[float]) -> list[float]:
    return rain_to_next(np.array(hours) * HOUR_S, ones, sixes).rain_mm.tolist()


def test_hours_turning_to_six_hours() -> None:
    found = rain([9, 10, 11, 12, 18, 24], [0.0, 0.1, 0.9, NO, NO, NO], [2.6, 2.8, 2.9, 4.2, 0.7, NO])
    assert found == pytest.approx([0.0, 0.1, 0.9, 4.2, 0.7, NO], abs=0.0, nan_ok=True)


def test_an_hour_inside_six_known_ones() -> None:
    # 2.6 in all, 1.4 in the five known hours: 1.2 in the one that is not.
    found = rain([0, 1, 2, 3, 4, 5, 6], [0.5, NO, 0.1, 0.2, 0.6, 0.0, 0.5], [9.0, 2.6, 9.0, 9.0, 9.0, 9.0, 9.0])
    assert found == pytest.approx([0.5, 1.2, 0.1, 0.2, 0.6, 0.0, 0.5], abs=0.0, nan_ok=True)


def test_hours_without_their_own_share_six_hours_evenly() -> None:
    spans = rain_to_next(np.arange(8.0) * HOUR_S, [NO] * 8, [1.2, 5.0, 5.0, 5.0, 5.0, 5.0, 0.6, NO])
    assert spans.rain_mm.tolist() == [0.2] * 6 + [0.1] * 2
    assert spans.spread == 8
    assert spans.short == 0


def test_six_hours_with_its_first_hour_known_are_still_six_hours() -> None:
    assert rain([0, 6, 12], [1.0, NO, NO], [3.0, NO, NO])[0] == 3.0


def test_known_hours_that_are_more_than_all_six() -> None:
    spans = rain_to_next(np.array([0.0, 1.0, 2.0]) * HOUR_S, [NO, 2.0, NO], [1.5, NO, NO])
    assert spans.rain_mm[:2].tolist() == [0.0, 2.0]
    assert spans.short == 1


@pytest.mark.parametrize("hours", [[0, 7], [0, 12], [0, 2.5], [0, 0.5]])
def test_spans_that_cannot_be_covered(hours: list[float]) -> None:
    assert np.isnan(rain(hours, [1.0, NO], [6.0, NO])[0])


def test_six_hours_only_known_in_their_first() -> None:
    assert np.isnan(rain([0, 6], [1.0, NO], [NO, NO])[0])


@pytest.mark.parametrize(("hours", "last"), [([0], 1.0), ([0, 1], 1.0), ([0, 6], 3.0), ([0, 2], 1.25), ([0, 7], NO)])
def test_the_last_counts_as_long_as_the_one_before(hours: list[float], last: float) -> None:
    spans = rain_to_next(np.array(hours) * HOUR_S, [1.0] * len(hours), [3.0] * len(hours))
    assert spans.rain_mm[-1] == pytest.approx(last, abs=0.0, nan_ok=True)
    chance, _ = chance_to_next(np.array(hours) * HOUR_S, [0.1] * len(hours), [0.3] * len(hours))
    expected = {1.0: 0.1, 3.0: 0.3, 1.25: 0.3}.get(last, NO)
    assert chance[-1] == pytest.approx(expected, abs=0.0, nan_ok=True)


def test_a_part_of_six_hours() -> None:
    assert rain([0, 3, 9], [NO, NO, NO], [1.2, NO, NO])[0] == 0.6


tenths = st.integers(0, 300).map(lambda tenth: tenth / 10.0)
maybe = st.one_of(st.just(NO), tenths)


@given(st.lists(st.tuples(st.sampled_from([1, 1, 1, 2, 3, 6, 8]), maybe, maybe), min_size=2, max_size=14))
def test_nothing_is_counted_twice(steps: list[tuple[int, float, float]]) -> None:
    hours = np.cumsum([0] + [step[0] for step in steps[:-1]])
    ones, sixes = (np.array([step[i] for step in steps]) for i in (1, 2))
    found = rain_to_next(hours * HOUR_S, ones, sixes)
    assert found.rain_mm.shape == hours.shape
    for i, (start, end) in enumerate(pairwise(hours)):
        if end - start == 1 and np.isfinite(ones[i]):
            assert found.rain_mm[i] == ones[i]
        known = np.isfinite(ones) & (hours >= start) & (hours < start + 6)
        if end - start == 6 and np.isfinite(sixes[i]) and ones[known].sum() <= sixes[i] and not found.spread:
            assert found.rain_mm[i] == sixes[i]
    # All that falls is no more than every single hour and every six hours that had to stand in.
    assert np.nansum(found.rain_mm) <= np.nansum(ones) + np.nansum(sixes) + 1e-9
    assert np.nanmin(found.rain_mm, initial=0.0) >= 0.0


@given(st.lists(st.tuples(tenths, tenths), min_size=2, max_size=30))
def test_whole_hours_are_never_touched_by_six(steps: list[tuple[float, float]]) -> None:
    ones, sixes = zip(*steps, strict=True)
    found = rain_to_next(np.arange(len(steps)) * HOUR_S, ones, sixes)
    assert found.rain_mm[:-1].tolist() == list(ones[:-1])
    assert (found.spread, found.short) == (0, 0)


@given(st.data(), st.integers(7, 20), st.integers(0, 4))
def test_against_the_rain_itself(data: st.DataObject, hourly: int, long: int) -> None:
    """Rain of every hour, told as the service tells it, with hours left out: the total comes back."""
    fell = np.array(data.draw(st.lists(tenths, min_size=hourly + 6 * long + 6, max_size=hourly + 6 * long + 6)))
    left_out = data.draw(st.sets(st.integers(0, hourly - 7)))
    hours = np.array([*range(hourly), *range(hourly, hourly + 6 * long + 1, 6)])
    ones = np.array([fell[hour] if hour < hourly and hour not in left_out else NO for hour in hours])
    # As printed: tenths, not sums of binary tenths.
    sixes = np.array([round(float(fell[hour : hour + 6].sum()), 1) for hour in hours])
    found = rain_to_next(hours * HOUR_S, ones, sixes)
    assert found.rain_mm[:-1].sum() == pytest.approx(fell[: hours[-1]].sum(), abs=1e-9)
    assert found.short == 0


def test_chances() -> None:
    hours = np.array([0, 1, 2, 8, 11, 20, 20.5, 21.5])
    ones = [0.1, NO, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7]
    sixes = [0.9, 0.8, 0.7, 0.6, 0.5, 0.4, NO, 0.2]
    chance, longer = chance_to_next(hours * HOUR_S, ones, sixes)
    assert chance.tolist() == pytest.approx([0.1, 0.8, 0.7, 0.6, NO, 0.4, 0.6, 0.7], abs=0.0, nan_ok=True)
    assert longer == 3
