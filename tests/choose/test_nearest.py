"""Which way comes nearest where none may be recommended: what its tether does in a slip goes before any count."""

from __future__ import annotations

import math

import pytest

from handline.choose.nearest import nearest, none_better_says, order_says, stops_slips
from handline.choose.options_why import why_none
from handline.day.plan import Finding
from tests.choose.option_trips import an_option

NOTHING = {
    "key": "nothing", "title": "One push, line raised, nothing attached", "tether": "none", "slide_m": (40.0, 80.0),
    "force_N": (math.nan, math.nan), "not_stopped_share": 0.98, "against": ("nothing stops a slip",),
}  # fmt: skip
SEEMING = {
    "key": "seeming", "title": "One push, line raised, one sling", "tether": "one sling", "slide_m": (2.0, 4.0),
    "force_N": (9000.0, 33_000.0), "not_stopped_share": 0.97, "looks_like_protection": True,
    "called_out": "It would pass for protection and is not: a static part.",
    "against": ("it would pass for protection and is not",),
}  # fmt: skip
HOLDING = {
    "key": "holding", "title": "One push, line raised, absorbing lanyard", "tether": "absorbing lanyard",
    "not_stopped_share": 0.02, "chance": 0.7,
    "against": ("your limits hold in 70 %", "a storm begins", "the slab is wet"),
}  # fmt: skip


def _named(*told: dict[str, object]) -> str:
    return nearest([an_option(**one) for one in told]).key


@pytest.mark.parametrize("no_stop", [NOTHING, SEEMING])
def test_what_stops_a_slip_goes_before_what_does_not_however_many_reasons_it_has(no_stop):
    assert _named(no_stop, HOLDING) == _named(HOLDING, no_stop) == "holding"
    # Nor does a smaller share of drawn slips make good what only looks like protection.
    assert _named({**no_stop, "not_stopped_share": 0.0}, HOLDING) == "holding"


def test_a_stop_over_the_limit_is_still_a_stop():
    over = {**HOLDING, "force_N": (8000.0, 8000.0), "not_stopped_share": 0.39,
            "stops": (Finding("stop", "tether", "A slip stops at 8.0 kN."),)}  # fmt: skip
    assert _named(NOTHING, SEEMING, over) == "holding"


def test_of_those_that_stop_it_the_smaller_share_of_slips_goes_first_where_it_matters():
    fewer = {**HOLDING, "key": "fewer", "against": ("one",), "chance": 0.5}
    assert _named({**fewer, "not_stopped_share": 0.07}, HOLDING) == "holding", "five points are a difference"
    assert _named({**fewer, "not_stopped_share": 0.069}, HOLDING) == "fewer", "less is none: then the reasons count"


def test_then_the_reasons_count_and_then_the_chance():
    likelier = {**HOLDING, "key": "likelier", "chance": 0.8}
    assert _named(HOLDING, likelier) == "likelier"
    assert _named({**HOLDING, "against": ("one",)}, likelier) == "holding"
    assert _named(HOLDING, {**likelier, "permit_chance": 0.5}) == "holding", "permits are in the chance"


@pytest.mark.parametrize(
    ("told", "stops"),
    [
        ({}, True),
        ({"stops": (Finding("stop", "tether", "Over the limit."),)}, True),
        ({"stops": (Finding("stop", "storm_on_the_line", "A storm."),)}, True),
        ({"stops": (Finding("stop", "hitch_cord", "It does not bite."),)}, False),
        ({"stops": (Finding("stop", "brake_only", "A brake."),)}, False),
        ({"looks_like_protection": True}, False),
        ({"force_N": (math.nan, math.nan)}, False),
        ({"tether": "none"}, False),
        ({"tether": "none", "slide_m": (0.0, 0.0), "force_N": (math.nan, math.nan)}, True),
    ],
)
def test_what_is_a_stop(told, stops):
    assert stops_slips(an_option(**told)) == stops


def test_the_report_says_so_where_nothing_better_is_there():
    options = [an_option(**told) for told in (NOTHING, {**SEEMING, "not_stopped_share": 0.6})]
    fails, order = why_none(options)
    assert fails.startswith("One push, line raised, one sling (the nearest of 2): it would pass for protection")
    assert fails.endswith(none_better_says(2))
    assert order == order_says()
    assert "5 points or more" in order
    fails, _ = why_none([*options, an_option(**HOLDING)])
    assert fails.startswith("One push, line raised, absorbing lanyard (the nearest of 3): your limits hold in 70 %")
    assert "Nothing better" not in fails
    (alone,) = why_none(options[:1])
    assert alone == "One push, line raised, nothing attached: nothing stops a slip."
