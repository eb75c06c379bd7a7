"""Quantities and numbers as typed: exact units, limits named in readable units, bare numbers refused."""

from __future__ import annotations

import datetime as dt
import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic_core import PydanticCustomError

from handline.errors import Problem
from handline.trip.amount import Along, Amount, Clock, Degrees, Number, Share

# Exact by definition: international yard and pound of 1959, standard gravity 9.80665 m/s2.
# NIST SP 811 (2008), appendix B.8, from memory.
EXACT = {
    ("length", "m"): 1.0,
    ("length", "km"): 1000.0,
    ("length", "cm"): 0.01,
    ("length", "mm"): 0.001,
    ("length", "ft"): 0.3048,
    ("length", "in"): 0.0254,
    ("length", "mi"): 1609.344,
    ("duration", "s"): 1.0,
    ("duration", "min"): 60.0,
    ("duration", "h"): 3600.0,
    ("mass", "kg"): 1.0,
    ("mass", "g"): 0.001,
    ("mass", "lb"): 0.45359237,
    ("mass", "oz"): 0.45359237 / 16,
    ("force", "N"): 1.0,
    ("force", "kN"): 1000.0,
    ("force", "lbf"): 0.45359237 * 9.80665,
    ("angle", "rad"): 1.0,
    ("angle", "deg"): math.pi / 180,
    ("speed", "m/s"): 1.0,
    ("speed", "m/min"): 1 / 60,
    ("speed", "km/h"): 1 / 3.6,
    ("speed", "ft/min"): 0.3048 / 60,
    ("speed", "mph"): 1609.344 / 3600,
}


def refused(reader: Any, value: object) -> Problem:
    with pytest.raises(PydanticCustomError) as error:
        reader.read(value)
    context = error.value.context
    assert context is not None
    problem = context["problem"]
    assert isinstance(problem, Problem)
    return problem


@settings(deadline=None)  # the first call loads pint
@given(st.sampled_from(sorted(EXACT)), st.floats(1e-3, 1e6))
def test_a_quantity_typed_in_any_unit_comes_back(kind_and_unit: tuple[str, str], value: float) -> None:
    kind, unit = kind_and_unit
    read = Amount(kind).read(f"{value!r} {unit}")
    assert read / EXACT[kind_and_unit] == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize("typed", ["0.1 m", "10 cm", "100 mm", "3 m", "300 cm", "1 ft", "9.8 ft"])
def test_limits_themselves_are_inside_in_every_unit(typed: str) -> None:
    assert 0.1 <= Amount("length", "0.1 m", "3 m").read(typed) <= 3.0


@pytest.mark.parametrize(
    ("typed", "what", "allowed"),
    [
        ("3.01 m", "too large", "from 0.1 m to 3 m"),
        ("0.09 m", "too small", "from 0.1 m to 3 m"),
        ("-1 m", "too small", "from 0.1 m to 3 m"),
        ("30 ft", "too large", "from 0.1 m to 3 m (0.328 ft to 9.84 ft)"),
    ],
)
def test_limits_are_named_in_readable_units(typed: str, what: str, allowed: str) -> None:
    problem = refused(Amount("length", "0.1 m", "3 m"), typed)
    assert what in problem.what
    assert problem.allowed == allowed


def test_an_open_limit_is_left_out() -> None:
    angle = Amount("angle", "0 deg", "90 deg", above=True, mend="measure from the horizontal")
    assert angle.read("90 deg") == math.pi / 2
    assert refused(angle, "0 deg").allowed == "more than 0 deg, up to 90 deg"
    assert refused(angle, "95 deg").mend == "measure from the horizontal"


@pytest.mark.parametrize("typed", [3, 3.5, "3", "1e9", math.inf, 10**400])
def test_a_bare_number_is_told_that_it_needs_a_unit(typed: object) -> None:
    problem = refused(Amount("length"), typed)
    assert problem.what == "the number has no unit"
    assert '"315 ft"' in (problem.allowed or "")


@pytest.mark.parametrize("typed", ["3 kg", "3 furlongs", "three m", "", "m", "3 m 4 m", "nan m", "3 m" * 50])
def test_what_is_no_length_is_told_what_is(typed: str) -> None:
    problem = refused(Amount("length"), typed)
    assert "a length in m, km, cm, mm, ft, in, mi" in (problem.allowed or "")


@pytest.mark.parametrize("typed", [True, None, [], {}, dt.date(2027, 7, 17)])
def test_other_types_are_no_quantity(typed: object) -> None:
    assert refused(Amount("mass"), typed).what == "this is not a mass"


def test_a_duration_may_have_parts() -> None:
    assert Amount("duration", "0 s", "12 h").read("1 h 10 min") == 4200.0


@given(st.floats(0, 100))
def test_a_percentage_is_a_share(percent: float) -> None:
    assert Share().read(f"{percent!r} %") == pytest.approx(percent / 100, rel=1e-12, abs=1e-300)


@pytest.mark.parametrize("typed", [-0.1, 1.1, "101 %", "half", True, None, math.nan, "9" * 100, 10**400])
def test_what_is_no_share_is_refused(typed: object) -> None:
    assert '"90 %"' in (refused(Share(), typed).allowed or "")


@pytest.mark.parametrize("typed", [30, 30.0, "30"])
def test_a_bare_percentage_is_told_about_quotes(typed: object) -> None:
    assert refused(Share(), typed).mend == f'a percentage stands in quotes: "{typed} %"'


@pytest.mark.parametrize("typed", [0.49, 0.995, "100 %"])
def test_a_share_keeps_its_own_limits(typed: object) -> None:
    assert refused(Share(0.5, 0.99), typed).allowed == "from 50 % to 99 %"


@given(st.times())
def test_a_clock_time_is_seconds_after_midnight(clock: dt.time) -> None:
    clock = clock.replace(microsecond=0)
    expected = dt.timedelta(hours=clock.hour, minutes=clock.minute, seconds=clock.second).total_seconds()
    assert Clock().read(clock.isoformat()) == expected


@pytest.mark.parametrize("typed", ["24:00", "4", "4.30", "4:3", 430, "", None])
def test_what_is_no_clock_time_is_refused(typed: object) -> None:
    assert '"04:30"' in (refused(Clock(), typed).allowed or "")


def test_a_clock_time_without_quotes_is_shown_with_them() -> None:
    assert refused(Clock(), dt.time(4, 30)).mend == 'write "04:30"'


def test_numbers_say_their_limits_and_how_to_mend() -> None:
    size = Number(1, 60, whole=True, few="at least one", many="split into parties")
    assert size.read(60) == 60
    assert refused(size, 0).mend == "at least one"
    assert {refused(size, typed).mend for typed in (61, 1e9, 10**400, math.inf)} == {"split into parties"}
    assert refused(size, 2.5).what == "this is not a whole number"
    assert refused(size, "4").mend == "leave the quotes away"
    assert {refused(size, typed).what for typed in (True, None, "four", math.nan)} == {"this is not a number"}


def test_a_number_that_is_not_a_count_is_a_float() -> None:
    assert repr(Number(1, 4).read(2)) == "2.0"


@pytest.mark.parametrize("typed", [46.62, "46.62 deg", "46.62°", " +46.62 deg "])
def test_degrees_are_bare_or_with_their_unit(typed: object) -> None:
    assert Degrees("latitude").read(typed) == 46.62


@pytest.mark.parametrize("typed", [90.1, -91, "95 deg", "46.62 N", "46.62", True, None, math.nan, [46]])
def test_what_is_no_latitude_is_refused(typed: object) -> None:
    assert "from -90 to 90" in (refused(Degrees("latitude"), typed).allowed or "")


def test_longitudes_go_farther_than_latitudes() -> None:
    assert Degrees("longitude").read(-113) == -113.0


@pytest.mark.parametrize(("typed", "at"), [("start", 0.0), ("end", "end"), ("3.4 km", 3400.0), ("0 mi", 0.0)])
def test_places_along_the_track(typed: str, at: object) -> None:
    assert Along().read(typed) == at


def test_a_place_before_the_start_is_refused() -> None:
    assert refused(Along(), "-1 km").what == "this length is too small"
