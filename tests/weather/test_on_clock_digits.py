"""Where the date ends."""

from __future__ import annotations

import pytest

from handline.errors import InputError
from handline.weather.on_clock import on_clock
from tests.weather.test_on_clock import MIDNIGHT_S, place_of


def test_the_hour_from_midnight_on_is_of_the_next_date() -> None:
    with pytest.raises(InputError):
        on_clock(place_of([24.0, 25.0, 26.0]), MIDNIGHT_S)
    assert on_clock(place_of([23.0, 24.0, 25.0]), MIDNIGHT_S).hours.known.any()
