"""The paper of card and home copy: as typed, else by the units."""

from __future__ import annotations

from datetime import date

import pytest
from pydantic import ValidationError

from handline.errors import Problem
from handline.trip.day_model import About

DAY = date(2027, 7, 17)


def test_left_out_it_follows_the_units() -> None:
    assert About(date=DAY).printed_on == "a4"
    assert About(date=DAY, units="us").printed_on == "letter"
    assert About(date=DAY, units="us").model_copy(update={"units": "si"}).printed_on == "a4"


def test_typed_it_stays() -> None:
    assert About(date=DAY, units="us", paper="a4").printed_on == "a4"
    assert About(date=DAY, units="si", paper="letter").printed_on == "letter"


def test_other_paper_is_refused_by_name() -> None:
    with pytest.raises(ValidationError) as error:
        About.model_validate({"date": DAY, "paper": "A4"})
    (found,) = error.value.errors()
    problem = found["ctx"]["problem"]
    assert isinstance(problem, Problem)
    assert "a4" in f"{problem.allowed} {problem.mend}"
