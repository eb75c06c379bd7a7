"""The usual level speed that a descent is taken as."""

from __future__ import annotations

import pytest

from handline.walking.equal_rate import descent_as_level


def test_a_quick_descent_is_taken_as_three_miles_an_hour_to_the_centimetre() -> None:
    # Common practice, no source.
    speed_m_s, _ = descent_as_level(2.0, -0.1)
    assert speed_m_s == pytest.approx(round(3 * 1609.344 / 3600, 2), rel=1e-12)
