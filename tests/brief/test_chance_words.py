"""What the chances hang on, in words: a table where it is worth one, else one sentence."""

from __future__ import annotations

import html
import re
from dataclasses import replace

import pytest

from handline.brief.chance_words import THINGS, chances_shown, change_words, per_cent, turning_back_says, water_says
from handline.brief.html import brief_html
from handline.day.chance_moves import _MOVES
from handline.day.plan_chances import TurnedAt, TurningBack, WaterPlanned
from tests.brief.sample_chances import sample_chances
from tests.brief.sample_plan import sample_plan

TURNED = sample_chances()


def _failing(*shares):
    rows = tuple(replace(row, share=share) for row, share in zip(TURNED.fails_first, shares, strict=True))
    return chances_shown(replace(TURNED, fails_first=rows))


def test_what_fails_first_says_how_often_and_where():
    told = chances_shown(TURNED)
    assert [(row.limit, row.days, row.error, row.where) for row in told.fails] == [
        ("Off the line before a storm begins", "19.5 %", "0.3", "Tamsin summit to Head of the cables, down"),
        ("Home by 21:30", "2.5 %", "under 0.1", "Quill River bridge to Larch Landing, down"),
    ]
    assert "lost before" in told.fails_says


@pytest.mark.parametrize(
    ("shares", "rows", "says"),
    [
        ((0.005, 0.0), 1, "Never the first to fail: home by 21:30."),
        ((0.005, 0.0001), 2, "The place is where"),
        (
            (0.0049, 0.001),
            0,
            "Hardly a day breaks a limit: 0.6 % of them, off the line before a storm begins most often",
        ),
        ((0.0001, 0.0), 0, "under 0.1 %"),
        ((0.0, 0.0), 0, "No limit failed on any simulated day."),
    ],
)
def test_a_table_from_half_a_per_cent_on_and_else_a_sentence(shares, rows, says):
    told = _failing(*shares)
    assert len(told.fails) == rows
    assert says in told.fails_says


def test_moves_keep_their_order_and_say_chance_and_change():
    told = chances_shown(TURNED)
    assert [row.thing for row in told.moves] == ["Pace", "Start", "Rock"]
    pace, _, rock = told.moves
    assert (pace.better, pace.better_chance, pace.better_change) == (
        "as fast as on one day in ten", "93 %", "up 15.0 points",
    )  # fmt: skip
    assert (pace.worse, pace.worse_chance, pace.worse_change) == (
        "as slow as on one day in ten", "55 %", "down 23.0 points",
    )  # fmt: skip
    assert rock.better_change == "no change"


def test_the_sampling_error_is_the_largest_and_what_moves_nothing_is_named():
    says = chances_shown(TURNED).moves_say
    assert "by no more than 0.4 points" in says
    assert says.endswith("No change from: stops at places.")


def test_without_limits_nothing_fails_and_nothing_moves():
    told = chances_shown(replace(TURNED, fails_first=(), moves=()))
    assert (told.fails, told.moves) == ((), ())
    assert told.fails_says == "No limit is set, so none can fail."
    assert told.moves_say == "No limit is set, so there is no chance to move."


def test_everything_still():
    told = chances_shown(replace(TURNED, moves=TURNED.moves[-1:]))
    assert told.moves == ()
    assert told.moves_say.startswith("Nothing that was tried")


def test_every_thing_that_is_moved_has_a_name():
    assert set(THINGS) == set(_MOVES)


def test_spread_has_a_row_for_each_source_and_says_the_rest():
    told = chances_shown(TURNED)
    assert [(row.words, row.share, row.error, row.bar) for row in told.spread] == [
        ("How the party walks that day", "72 %", "2.0", pytest.approx(72.0)),
        ("Waiting at the line", "25 %", "2.0", pytest.approx(25.0)),
        ("Ups and downs from leg to leg", "2 %", "0.4", pytest.approx(2.5)),
    ]
    assert "1 h 30 min" in told.spread_says
    assert told.spread_rest == "What is left, under 1 % ± 3.0, they make only with each other."


def test_small_sources_are_named_together_and_a_day_without_spread_says_so():
    small = (*TURNED.spread[:2], replace(TURNED.spread[2], share=0.009))
    assert chances_shown(replace(TURNED, spread=small)).spread_rest == "Under 1 % each: ups and downs from leg to leg."
    just = (*TURNED.spread[:2], replace(TURNED.spread[2], share=0.01))
    assert [row.share for row in chances_shown(replace(TURNED, spread=just)).spread] == ["72 %", "25 %", "1 %"]
    still = chances_shown(replace(TURNED, spread=(), day_sigma_s=0.0))
    assert (still.spread, still.spread_rest) == ((), "")
    assert still.spread_says == "Every simulated day is as long as the next."


@pytest.mark.parametrize(
    ("share", "words"), [(0.0, "0.0 %"), (0.0004, "under 0.1 %"), (0.0006, "0.1 %"), (0.195, "19.5 %")]
)
def test_per_cent(share, words):
    assert per_cent(share) == words


@pytest.mark.parametrize(
    ("change", "words"),
    [(0.0004, "no change"), (-0.0004, "no change"), (0.028, "up 2.8 points"), (-0.1, "down 10.0 points")],
)
def test_change_words(change, words):
    assert change_words(change) == words


def _page(plan) -> str:
    page = re.sub(r"<script\b[^>]*>.*?</script>", "", brief_html(plan), flags=re.S)
    section = re.search(r'<section aria-labelledby="turned">.*?</section>', page, flags=re.S)[0]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", section)).split())


def test_the_page_has_the_picture_and_the_three_tables():
    words = _page(sample_plan())
    for told in (TURNED.starts.says, "What fails first", "19.5 %", "as slow as on one day in ten", "down 23.0 points",
                 "Waiting at the line", "1 h 30 min", "The chance of all your limits, by start"):  # fmt: skip
        assert told in words


def test_the_page_without_limits_has_neither_picture_nor_empty_tables():
    words = _page(replace(sample_plan(), turned=replace(TURNED, fails_first=(), moves=())))
    assert "by start" not in words
    assert "Fails first on" not in words
    assert "If it goes better" not in words
    assert "No limit is set, so none can fail." in words


def test_water_says_where_it_runs_short_and_nothing_where_it_does_not():
    assert water_says(WaterPlanned(0.92, 0.006, "the bridge and back", 0.93)) == (
        "The water as planned is enough on 92 % of days ± 0.6; it runs short most often from the bridge and back."
    )
    assert water_says(WaterPlanned(1.0, 0.0, "the bridge", 1.0)) == (
        "The water as planned is enough on over 99 % of days ± under 0.1."
    )


def test_rules_of_turning_back_in_words():
    turning = TurningBack((TurnedAt("Lower Step", 34_200.0, 0.12),), 0.88, 0.97, 0.001, 0.86, (50e3, 55e3, 60e3))
    assert turning_back_says(turning) == (
        "You turn back at Lower Step after 09:30: on 12 % of days. So you go all the way on 88 %, and your limits hold "
        "on 97 % ± 0.1, turned or not."
    )
    assert "09:30" in chances_shown(replace(TURNED, turning_back=turning)).turning_back
    assert chances_shown(TURNED).turning_back == ""
