"""[choice]: dates a party would rather have, and what the others are worth beside them."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from handline.day.file_checks import subject_problems
from handline.errors import Problem
from handline.trip.model import Trip

Problems = Callable[[str], dict[str | None, Problem]]
Read = Callable[[str], Trip]


MANY = [f"{day} July to 20 August" for day in range(1, 26)]


def test_left_out_no_date_is_preferred(read: Read, short: str) -> None:
    choice = read(short).choice
    assert choice.prefer == ()
    assert choice.others_worth == 1.0


def test_everything_typed(read: Read, short: str) -> None:
    choice = read(short + '[choice]\nprefer = ["Saturday", "1 July to 20 August"]\nothers_worth = "60 %"\n').choice
    assert choice.prefer == ("Saturday", "1 July to 20 August")
    assert choice.others_worth == 0.6


@pytest.mark.parametrize(
    ("typed", "key", "says"),
    [
        ('prefer = ["Saturday"]', "choice.prefer", 'write others_worth = "80 %"'),
        ("others_worth = 0.5", "choice.others_worth", "no dates are preferred"),
        ("prefer = []\nothers_worth = 0.5", "choice.others_worth", "no dates are preferred"),
        ('prefer = ["Saturday", " saturday"]\nothers_worth = 0.5', "choice.prefer[1]", "given twice"),
        ('prefer = ["Saturday"]\nothers_worth = 1.5', "choice.others_worth", "from 0 % to 100 %"),
        ('prefer = "Saturday"\nothers_worth = 0.5', "choice.prefer", "not a list"),
        ('prefer = ["Saturday"]\nother_worth = 0.5', "choice.other_worth", 'did you mean "others_worth"?'),
        (f"prefer = {MANY}\nothers_worth = 0.5", "choice.prefer", "at most 20"),
    ],
)
def test_what_does_not_fit_is_told(problems: Problems, short: str, typed: str, key: str, says: str) -> None:
    assert says in str(problems(f"{short}[choice]\n{typed}\n")[key])


def test_words_that_are_no_day_are_told_at_their_place() -> None:
    found = dict(subject_problems({"choice": {"prefer": ["Sunday", "Satruday", 7, "1 July to 32 August"]}}))
    assert set(found) == {("choice", "prefer", 1), ("choice", "prefer", 3)}
    assert 'did you mean "Saturday"?' in found["choice", "prefer", 1].what
