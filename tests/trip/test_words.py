"""Text, choices, time zones and dates as typed."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any, Literal

import pytest
from pydantic import TypeAdapter, ValidationError
from pydantic_core import PydanticCustomError

from handline.errors import Problem
from handline.trip.words import Day, OneOf, Text, TimeZone


def refused(reader: Any, value: object) -> Problem:
    with pytest.raises(PydanticCustomError) as error:
        reader.read(value)
    assert error.value.context is not None
    problem = error.value.context["problem"]
    assert isinstance(problem, Problem)
    return problem


def test_text_loses_the_spaces_at_its_ends() -> None:
    assert Text().read("  Über den Grat ") == "Über den Grat"


@pytest.mark.parametrize("typed", ["", "   ", "two\nlines", "a\x00b", "x" * 81, 3, None, "\ud800"])
def test_what_is_no_line_of_text_is_refused(typed: object) -> None:
    assert refused(Text(), typed).allowed == "one line of text in quotes, 1 to 80 characters"


CHOICE: TypeAdapter[object] = TypeAdapter(Annotated[Literal["dry", "damp", "wet"], OneOf("rock state")])
COUNT: TypeAdapter[object] = TypeAdapter(Annotated[Literal[1, 2], OneOf("number of cables")])


def choice_refused(choice: TypeAdapter[object], value: object) -> Problem:
    with pytest.raises(ValidationError) as error:
        choice.validate_python(value)
    problem = error.value.errors()[0]["ctx"]["problem"]
    assert isinstance(problem, Problem)
    return problem


def test_a_choice_names_its_near_miss() -> None:
    assert CHOICE.validate_python("damp") == "damp"
    assert choice_refused(CHOICE, "dmap").mend == 'did you mean "damp"?'
    assert choice_refused(CHOICE, "zzz").allowed == "dry, damp, wet"
    assert choice_refused(CHOICE, 1).allowed == "dry, damp, wet"


@pytest.mark.parametrize("typed", [True, 1.0, "1", 3, None, [1]])
def test_a_choice_of_numbers_is_strict(typed: object) -> None:
    assert COUNT.validate_python(1) == 1
    assert choice_refused(COUNT, typed).allowed == "1, 2"


def test_choices_are_in_the_schema() -> None:
    assert CHOICE.json_schema()["enum"] == ["dry", "damp", "wet"]


def test_a_time_zone_names_its_near_miss() -> None:
    assert TimeZone().read("Australia/Hobart") == "Australia/Hobart"
    assert refused(TimeZone(), "Australia/Hobbart").mend == 'did you mean "Australia/Hobart"?'


@pytest.mark.parametrize("typed", ["", "../../etc/passwd", "/etc/passwd", "America", "a\x00b", "x" * 5000, 3, None])
def test_what_is_no_time_zone_is_refused(typed: object) -> None:
    assert "IANA" in (refused(TimeZone(), typed).allowed or "")


@pytest.mark.parametrize("typed", [dt.date(2027, 7, 17), "2027-07-17"])
def test_a_date_with_or_without_quotes(typed: object) -> None:
    assert Day().read(typed) == dt.date(2027, 7, 17)


@pytest.mark.parametrize("typed", ["2027-02-30", "17 July 2027", "20270717", "2027-W01-1", "", 2027, dt.time(4), None])
def test_what_is_no_date_is_refused(typed: object) -> None:
    assert "2027-07-17" in (refused(Day(), typed).allowed or "")


def test_a_date_with_a_time_is_split() -> None:
    assert refused(Day(), dt.datetime(2027, 7, 17, 4)).mend == "write 2027-07-17; the time goes into start"
