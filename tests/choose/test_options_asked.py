"""What the command is asked with: read, or refused plainly."""

from __future__ import annotations

import datetime as dt

import pytest

from handline.choose.options_asked import USUAL_DAYS, Asked, asked_options
from handline.day.line_planning import SHOWN
from handline.errors import InputError
from tests.choose.option_trips import camp_trip

OWN = """
[[tethers.own]]
name = "my, own"
kind = "running"
"""


def test_left_out_is_as_planned_with_the_tethers_of_the_brief():
    asked = asked_options(camp_trip(), None, None, None)
    assert asked == Asked("planned", SHOWN, USUAL_DAYS)
    own = asked_options(camp_trip(tether="sewn chain", more=OWN), "planned", None, None)
    assert set(own.tethers) == {*SHOWN, "sewn chain", "my, own"}


def test_as_typed():
    asked = asked_options(camp_trip(), " 2027-08-01 ", "two slings , sewn chain,,two slings", "500")
    # What the file chooses stands beside them, in the order of the list.
    assert asked == Asked(dt.date(2027, 8, 1), ("two slings", "sewn chain", "absorbing lanyard"), 500)
    assert asked_options(camp_trip(), "best", "none", None).tethers == ("none", "absorbing lanyard")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        (("soon", None, None), ("[--date]", "this is not a date", '"planned", or "best"')),
        (("2027-02-30", None, None), ("[--date]", "there is no such day")),
        ((None, "two sling", None), ("[--tethers]", "unknown tether", 'did you mean "two slings"')),
        ((None, " , ", None), ("[--tethers]", "no tether is named")),
        ((None, None, "99"), ("[--days]", "this number is too small", "fewer days tell too little")),
        ((None, None, "many"), ("[--days]", "this is not a number")),
        (("x", "y", "z"), ("[--date]", "[--tethers]", "[--days]")),
    ],
)
def test_what_cannot_be_used_is_refused_all_at_once(typed, words):
    with pytest.raises(InputError) as refused:
        asked_options(camp_trip(), *typed)
    for said in words:
        assert said in str(refused.value)
