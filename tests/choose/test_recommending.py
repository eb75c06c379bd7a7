"""The recommendation, on options made by hand."""

from __future__ import annotations

import math

import pytest

from handline.choose.recommending import Bounds, Candidate, against, candidate, recommend
from handline.day.plan import Finding
from tests.choose.option_trips import an_option

BOUNDS = Bounds(wanted_chance=0.9, body_force_N=6000.0)
HURTS = Finding("stop", "tether", "Two running connectors. It stops too hard.")


def _of(*options):
    found = recommend([candidate(option) for option in options], BOUNDS, "si")
    return None if found is None else found.key


def test_the_highest_chance_of_permits_and_then_of_all_limits():
    sure = an_option(key="sure", chance=0.99, permit_chance=0.5, permits=("Line permit",))
    held = an_option(key="held", chance=0.92)
    assert _of(sure, held) == "held"
    assert _of(sure) == "sure"
    # What needs a permit of which nothing is said comes after all the rest.
    untold = an_option(key="untold", chance=0.99, permit_chance=None, permits=("Line permit",))
    assert _of(untold, held) == "held"
    assert _of(untold, an_option(key="hopeless", chance=0.92, permit_chance=0.01)) == "hopeless"
    assert _of(untold, an_option(key="missed", chance=0.85)) == "untold"
    assert _of(untold, an_option(key="surer", chance=0.999, permit_chance=None)) == "surer"


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"state_on_date": False}, "the line is not raised on 17 July 2027"),
        ({"chance": 0.899}, "your limits hold in 89.9 % ± 0.5 of days, and you asked for 90 %"),
        (
            {"looks_like_protection": True, "called_out": "It would pass for protection."},
            "it would pass for protection",
        ),
        ({"stops": (HURTS,), "sentence": "A slip stops too hard."}, "a slip stops too hard"),
        ({"stops": (Finding("stop", "wind", "A gale blows."),)}, "a gale blows"),
        ({"force_N": (4000.0, 6001.0)}, "a slip stops at up to 6.0 kN, over your limit of 6.0 kN on a body"),
        ({"permit_chance": 0.0, "permits": ("Line permit",)}, "its permit cannot be got"),
    ],
)
def test_each_thing_that_speaks_against_an_option(told, says):
    option = an_option(**{"key": "other", "chance": 0.99, **told})
    assert against(option, BOUNDS, "si") == (says,)
    assert _of(option, an_option(key="plain", chance=0.91)) == "plain"
    assert _of(option) is None


def test_what_is_as_hard_as_the_limit_is_within_it_and_no_stop_has_no_force():
    assert against(an_option(force_N=(4000.0, 6000.0)), BOUNDS, "si") == ()
    assert against(an_option(slide_m=(0.0, 0.0), force_N=(math.nan, math.nan)), BOUNDS, "si") == ()


def test_each_reason_is_told_once():
    both = an_option(
        looks_like_protection=True, called_out="It would pass for protection.", stops=(HURTS,), chance=0.85
    )
    assert against(both, BOUNDS, "si") == (
        "your limits hold in 85.0 % ± 0.5 of days, and you asked for 90 %",
        "it would pass for protection",
    )
    assert against(an_option(chance=0.85), Bounds(0.8, 6000.0), "si") == ()


def test_within_the_error_the_shorter_slide_then_the_lighter_pack():
    first = an_option(key="first", chance=0.951, error=0.005, slide_m=(2.0, 6.0), pack_kg=(7.0, 7.0, 7.0))
    short = an_option(key="short", chance=0.948, slide_m=(2.0, 4.0), pack_kg=(9.0, 9.0, 9.0))
    assert _of(first, short) == "short"
    # 0.3 m shorter is no shorter, and then the pack decides; 0.6 kg lighter is no lighter, and then the chance does.
    nearly = an_option(key="nearly", chance=0.948, slide_m=(2.0, 5.7), pack_kg=(9.0, 9.0, 9.0))
    assert _of(first, nearly) == "first"
    assert (
        _of(an_option(key="first", chance=0.951, pack_kg=(8.0, 8.0, 9.5)), an_option(key="light", chance=0.947))
        == "light"
    )
    assert (
        _of(an_option(key="first", chance=0.951, pack_kg=(8.0, 8.0, 8.6)), an_option(key="light", chance=0.947))
        == "first"
    )
    # Beyond the error no slide is short enough.
    assert _of(first, an_option(key="short", chance=0.94, slide_m=(0.5, 0.5))) == "first"


def test_of_equals_a_measured_stop_goes_before_a_hitch():
    hitch = an_option(key="hitch", chance=0.952, slide_m=(1.0, 1.5), unproven=True)
    lanyard = an_option(key="lanyard", chance=0.950, slide_m=(2.0, 5.0))
    assert _of(hitch, lanyard) == "lanyard"
    assert _of(hitch) == "hitch"
    assert _of(hitch, an_option(key="lanyard", chance=0.93)) == "hitch"


def test_only_what_matters_is_looked_at():
    looked = []

    def seen(key, chance):
        def look():
            looked.append(key)
            return an_option(key=key, chance=chance)

        return Candidate(chance, 0.005, 1.0, look)

    found = recommend([seen("low", 0.91), seen("high", 0.99), seen("missed", 0.85)], BOUNDS, "si")
    assert found is not None
    assert found.key == "high"
    assert looked == ["high"]


def test_of_nothing_nothing_is_recommended():
    assert recommend([], BOUNDS, "si") is None
