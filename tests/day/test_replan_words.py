"""What to do from here: the rule on invented chances, and the words it is said in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from handline.day.limits import DayLimits
from handline.day.pace_posterior import PacePosterior
from handline.day.replan_report import Course, CourseKey, StretchSeen
from handline.day.replan_words import Bar, Decide, advise, limit_words, notes, pace_words

H = 3600.0
FOOT = Decide("Foot", 10 * H, 0.7)
NO_TIME = Decide("Foot", np.nan, 0.0)


def _course(key: CourseKey, share: float, home_h: float) -> Course:
    place = {"go on": "", "turn here": "Bridge", "turn at the foot": "Foot"}[key]
    return Course(key, place, share, 0.01, (home_h * H - 600, home_h * H, home_h * H + 600))


def _courses(on: float, here: float | None = None, foot: float | None = None) -> list[Course]:
    given = (("go on", on, 17.0), ("turn here", here, 12.0), ("turn at the foot", foot, 14.0))
    return [_course(key, share, home) for key, share, home in given if share is not None]  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("courses", "decide", "key"),
    [
        (_courses(0.95, 1.0, 1.0), FOOT, "turn_by"),
        (_courses(0.95, 1.0, 1.0), Decide("Foot", np.inf, 1.0), "go_on"),
        (_courses(0.95, 1.0, 1.0), NO_TIME, "go_on"),
        (_courses(0.90, 1.0), Decide("Top", 11 * H, 0.9), "turn_by"),
        (_courses(0.89, 1.0, 0.95), FOOT, "turn_by"),
        (_courses(0.89, 1.0, 0.89), FOOT, "turn_now"),
        (_courses(0.89, 1.0, 0.95), NO_TIME, "turn_by"),
        (_courses(0.89, 1.0, 0.95), Decide("Foot", 10 * H, 0.09), "turn_by"),
        (_courses(0.89, 0.91), Decide("Top", 11 * H, 0.4), "turn_now"),
        (_courses(0.0, 0.0), NO_TIME, "turn_now"),
        (_courses(0.5, 0.4, 0.3), NO_TIME, "go_on"),
        (_courses(0.2), Decide("", np.nan, 0.0), "go_on"),
    ],
)
def test_the_rule(courses: list[Course], decide: Decide, key: str) -> None:
    assert advise(courses, 0.9, decide, any_left=True).key == key


def test_a_turn_that_brings_nobody_home_sooner_is_none() -> None:
    same = [_course("go on", 0.5, 12.0), _course("turn here", 0.5, 12.0)]
    assert advise(same, 0.9, NO_TIME, any_left=True).key == "go_on"


def test_with_no_limit_left_it_goes_on() -> None:
    found = advise(_courses(1.0, 1.0), 0.9, FOOT, any_left=False)
    assert (found.key, found.sentence) == ("go_on", "There is no limit left to miss.")


WET = Bar("wet", "It stops at 8.0 kN: over your limit.", before_line=True)


def test_before_a_barred_line_it_turns_whatever_the_chances_are() -> None:
    for courses in (_courses(0.99, 1.0, 1.0), _courses(0.2, 0.1, 0.3)):
        found = advise(courses, 0.9, FOOT, WET, any_left=True)
        assert (found.key, found.turn_at, found.turn_by_clock_s) == ("turn_by", "Foot", None)
        assert found.headline == "Go on only as far as Foot, and turn there"
        assert found.sentence.startswith(f"Do not go onto the line on wet rock. {WET.says} ")
    at_foot = advise(_courses(0.99, 1.0), 0.9, NO_TIME, WET, any_left=True)
    assert (at_foot.key, at_foot.headline) == ("turn_now", "Turn now")
    no_limit = advise(_courses(1.0, 1.0, 1.0), 0.9, FOOT, WET, any_left=False)
    assert no_limit.key == "turn_by"


def test_where_turning_now_is_better_anyway_a_barred_line_is_one_more_reason() -> None:
    plain, barred = (advise(_courses(0.20, 0.80, 0.75), 0.9, NO_TIME, bar, any_left=True) for bar in (None, WET))
    assert barred.key == plain.key == "turn_now"
    assert barred.sentence == f"Do not go onto the line on wet rock. {WET.says} {plain.sentence}"


def test_where_nobody_can_turn_a_barred_line_still_stops() -> None:
    found = advise(_courses(0.99), 0.9, Decide("", np.nan, 0.0), WET, any_left=True)
    assert (found.key, found.headline) == ("turn_now", "Do not go onto the line")


def test_above_a_barred_line_the_chances_decide_and_the_line_is_told() -> None:
    above = replace(WET, before_line=False)
    plain, barred = (advise(_courses(0.95, 1.0), 0.9, NO_TIME, bar, any_left=True) for bar in (None, above))
    assert (barred.key, barred.headline) == (plain.key, f"{plain.headline}; mind the line on wet rock")
    assert barred.sentence == f"{plain.sentence} The line: {WET.says}"


def test_the_words_carry_the_numbers() -> None:
    by = advise(_courses(0.95, 1.0, 1.0), 0.9, FOOT, any_left=True)
    assert by.headline == "Go on, turn at Foot by 10:00"
    assert by.sentence == (
        "Going on, your limits hold on 95 % of days like this one; you asked for 90 %."
        " You come to Foot by 10:00 on 70 % of them; if you are not there by then, turn round."
    )
    assert (by.turn_at, by.turn_by_clock_s) == ("Foot", 10 * H)
    doubtful = advise(_courses(0.60, 1.0, 0.97), 0.9, FOOT, any_left=True)
    assert "Going only as far as Foot, your limits hold on 97 %" in doubtful.sentence
    now = advise(_courses(0.20, 0.80, 0.75), 0.9, NO_TIME, any_left=True)
    assert now.sentence == (
        "Going on, your limits hold on 20 % of days like this one; you asked for 90 %."
        " Turning now, your limits hold on 80 % of days like this one, and you are home about 12:00."
        " Turning only at Foot, your limits hold on 75 % of days like this one, home about 14:00."
        " Turning now does not meet them as often as you asked either, but it does better."
    )
    no_better = advise(_courses(0.5, 0.4), 0.9, NO_TIME, any_left=True)
    assert "Turning here is no better: your limits hold on 40 %" in no_better.sentence


def test_nothing_is_called_safe() -> None:
    for courses in (_courses(0.95, 1.0, 1.0), _courses(0.2, 0.8, 0.7), _courses(0.2)):
        for decide in (FOOT, NO_TIME):
            found = advise(courses, 0.9, decide, any_left=True)
            assert "safe" not in (found.headline + found.sentence).lower()


def _seen(share: float, tells: bool = True, learned_s: float = 4000.0) -> StretchSeen:
    return StretchSeen("Gate", "Bridge", 4000.0, learned_s, 3600.0, share, 1.0, 0.08, tells)


def test_the_pace_in_words() -> None:
    pace = PacePosterior(np.array(np.log(1.12)), np.array(0.05))
    assert pace_words(pace, [_seen(0.7)]) == (
        "By the way from Gate to Bridge you take 1.12 times as long as the plan's middle on what is left"
        " (8 in 10: 1.05 to 1.19)."
    )
    unlearned = "Nothing was learned of your pace yet, so it is the plan's."
    assert pace_words(pace, [_seen(0.7, tells=False)]) == unlearned
    assert pace_words(PacePosterior(np.array(0.0), np.array(0.0)), [_seen(0.7)]) == unlearned


def test_notes() -> None:
    plain = list(notes([_seen(0.4)], None, 9 * H, False, ""))
    assert plain == ["Counted from 09:00, no storm having begun by then. Once one has, these chances do not hold."]
    every = " ".join(notes([_seen(0.0), _seen(1.0)], 6 * H, 9 * H, True, "No way round."))
    for words in (
        "left at 06:00 as planned",
        "faster than on any",
        "slower than on any",
        "what you typed",
        "No way round.",
    ):
        assert words in every
    (cut, _) = notes([_seen(0.1, learned_s=5200.0)], None, 9 * H, False, "")
    assert cut.startswith(
        "The way from Gate to Bridge was quicker than on most days. 20 min of that is put down to a stop"
    )


def test_limits_in_words() -> None:
    words = limit_words(DayLimits(0.9, True, 12 * H, 20 * H, 26 * H), ["home_by", "all"])
    assert words["off_line_by"] == "Off the line by 12:00"
    assert words["home_by"] == "Home by 02:00 the day after"
    assert words["all"] == "All of these on one day"
    assert limit_words(DayLimits(0.9, False, None, None, None), ["all"])["all"] == "No limit is left"


def test_a_time_that_is_hardly_ever_met_is_not_decided_at() -> None:
    """Turning at the foot keeps the limits, and it is there in time to go on one day in eleven: it turns there."""
    few, some = (
        advise(_courses(0.5, 1.0, 0.95), 0.9, Decide("Foot", 10 * H, share), any_left=True) for share in (0.09, 0.1)
    )
    assert few.headline == "Go on only as far as Foot, and turn there"
    assert some.headline.startswith("Go on, turn at Foot by")
