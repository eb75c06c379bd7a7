"""The best hour at the line in words: what it asks of the start, what of it is dark, and that there may be none."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from handline.brief.crowd_window_words import crowd_shown
from handline.day.crowd_coming import HourToCome
from tests.brief.sample_crowd import HOUR_S, sample_crowd, typed_crowd


def _said(**changes: Any) -> str:
    best = HourToCome(
        from_clock_s=7.0 * HOUR_S,
        to_clock_s=8.0 * HOUR_S,
        up_s=(0.0, 120.0),
        down_s=(300.0, 840.0),
        saves_s=1500.0,
        earlier_s=2.68 * HOUR_S,
        leave_clock_s=(4.5 * HOUR_S, 5.5 * HOUR_S),
        dark_s=0.0,
        dark_on=(),
    )
    return crowd_shown(replace(sample_crowd(), best=replace(best, **changes))).best


def test_the_best_hour_says_when_to_leave_for_it() -> None:
    said = _said()
    assert said.startswith("The best hour to join at the foot, in the light and in time, is between 07:00 and 08:00: ")
    assert said.endswith("sooner than planned. That means leaving between about 04:30 and 05:30.")


def test_a_start_in_the_night_is_said_and_not_called_the_best() -> None:
    said = _said(leave_clock_s=(-0.5 * HOUR_S, 0.75 * HOUR_S), dark_s=6.5 * HOUR_S)
    assert said.startswith("In the light and in time at the foot, others cost you least between 07:00 and 08:00: ")
    assert said.endswith(
        "That means leaving between about 23:30 the day before and 00:45, with up to 6 h 30 min of the way to the "
        "foot in the dark: weigh that against what it saves."
    )


def test_tying_on_in_the_dark_is_said() -> None:
    assert _said(dark_on=("down",)).endswith(
        "05:30; after a long wait you tie on in the dark, going down: weigh that against what it saves."
    )
    assert "going up and down: weigh" in _said(dark_on=("up", "down"))


def test_no_hour_says_why() -> None:
    said = crowd_shown(replace(sample_crowd(), best=None)).best
    assert said.startswith("No hour to join at the foot is recommended: ")
    assert said.endswith("no whole hour in the light keeps your limits.")
    assert crowd_shown(typed_crowd()).best == ""
