"""What the trip file leaves open, and guesses fill; and where it says two things of the line."""

from __future__ import annotations

from collections.abc import Iterator

from handline.day.computed import Computed, LineComputed, LineRule, Rule
from handline.day.itinerary_setting import USUAL_WAIT
from handline.day.line_setting import STATE_TYPED, season_state
from handline.day.plan import Finding
from handline.quantity import (
    show_duration,
    show_share,
)
from handline.sources import source
from handline.weather.storms import DEFAULT_STORM_CHANCE


def _guesses(c: Computed) -> Iterator[Finding]:
    guessed = c.setting.guessed
    if "timezone" in guessed:
        hours = round(c.setting.light.utc_offset_s / 3600.0)
        yield Finding(
            "heed",
            "timezone_guessed",
            f"No time zone is typed: clocks are in UTC{hours:+d}, guessed from the longitude. Local clocks may "
            "differ by an hour or two; type route.timezone.",
        )
    if "storm_chance" in guessed:
        yield Finding(
            "heed",
            "storm_guessed",
            f"No chance of a storm is typed: {show_share(DEFAULT_STORM_CHANCE)} is assumed. Read the forecast and type "
            "weather.storm_chance.",
            source=source("practice_storm").words,
        )
    if guessed & {"wait_up", "wait_down"}:
        yield Finding(
            "heed",
            "wait_guessed",
            f"Waiting at the line is not typed: half the days {show_duration(USUAL_WAIT.median_s)} or less, one in ten "
            f"over {show_duration(USUAL_WAIT.long_s)}. Ask who knows the line and type [crowd].",
            source=source("practice_line_wait").words,
        )


def _against_season(c: Computed) -> Iterator[Finding]:
    """A typed state that is not that of the typed season: one of the two is wrong, and permits hang on it."""
    trip, state = c.setting.trip, c.setting.line.state
    # Where the ways of a trip are set side by side, the other state is asked for and not typed.
    if c.setting.line_says != STATE_TYPED or not trip.season.raised:
        return
    season, says = season_state(trip)
    if state == season:
        return
    unasked = [permit.name for permit in trip.permits if permit.needed.state == season]
    permits = f" Permits needed only while it is {season} are not asked for: {', '.join(unasked)}." if unasked else ""
    yield Finding(
        "heed",
        "state_against_season",
        f"The line is typed as {state}, but by the season of the trip file it is {season} on this date ({says})."
        f"{permits} Ask the land manager which it is.",
        'If the season is right, type line.state = "by season"; if the state is, mend season.raised.',
    )


def _line_guesses(c: LineComputed) -> Iterator[Finding]:
    guessed = c.setting.guessed
    if "line_state" in guessed:
        yield Finding(
            "heed",
            "line_state_guessed",
            "Nothing says whether the cables stand or lie on this date: they are taken to stand. Ask the land manager, "
            "and type line.state or season.raised.",
        )
    if "anchors" in guessed:
        yield Finding(
            "heed",
            "anchors_guessed",
            "No anchors are typed: the cable is taken to be held at its foot and head only, which gives the longest "
            "slides. Type line.anchors.",
        )
    if "line_place" in guessed:
        yield Finding(
            "heed",
            "line_place_guessed",
            "The file does not name both ends of the line on the way: a missing end is placed by the line's length, "
            "and with neither named the line is taken to end at the highest point. Give two "
            'waypoints kind = "line_foot" and "line_head".',
        )


LINE_RULES: tuple[LineRule, ...] = (_line_guesses,)
RULES: tuple[Rule, ...] = (_guesses, _against_season, *LINE_RULES)
