from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from handline.quantity import (
    KINDS,
    QuantityError,
    in_both_units,
    in_units,
    parse,
    parse_clock,
    parse_share,
    say_clock,
    show_chance,
    show_clock,
    show_depth,
    show_distance,
    show_duration,
    show_energy,
    show_force,
    show_height,
    show_length,
    show_pack,
    show_pull,
    show_share,
    show_span,
    show_water,
)

# Exact by definition: international foot and pound (1959), standard gravity; from memory.
EXACT = [
    ("1 ft", "length", 0.3048), ("1 in", "length", 0.0254), ("1 mi", "length", 1609.344), ("1 lb", "mass", 0.45359237),
    ("1 oz", "mass", 0.45359237 / 16), ("1 lbf", "force", 0.45359237 * 9.80665), ("1 kN", "force", 1000.0),
    ("180 deg", "angle", math.pi), ("180°", "angle", math.pi), ("60 mph", "speed", 60 * 1609.344 / 3600),
    ("36 km/h", "speed", 10.0), ("7 m/min", "speed", 7 / 60), ("2 h 30 min", "duration", 9000.0),
    ("1,262 m", "length", 1262.0), ("2h30min", "duration", 9000.0), ("-3 m", "length", -3.0),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "si"), EXACT)
def test_exact_factors(text: str, kind: str, si: float) -> None:
    assert parse(text, kind) == pytest.approx(si, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "kind", "says"),
    [
        ("96", "length", "no unit"),
        ("96 furlong", "length", "unknown unit"),
        ("96 kg", "length", "not a unit of length"),
        ("abc", "length", "not a length"),
        ("", "length", "length"),
        ("9 m 3 m", "length", "not one length"),
        ("1e999 m", "length", "finite"),
        ("nan m", "length", "not a length"),
        ("5 m; import os", "length", "not a length"),
    ],
)
def test_what_is_no_quantity(text: str, kind: str, says: str) -> None:
    with pytest.raises(QuantityError, match=says):
        parse(text, kind)


# How the referee spells what we spell in another way, and the SI units it lets us convert to.
REFEREE = {
    "m/s": "meter / second", "m/min": "meter / minute", "km/h": "kilometer / hour", "ft/min": "foot / minute",
    "mph": "mile / hour", "kph": "kilometer / hour", "mi/h": "mile / hour", "in": "inch", "C": "degC", "F": "degF",
    "°C": "degC", "°F": "degF", "g": "gram", "lbf": "pound_force", "kcal": "1000 * calorie",
}  # fmt: skip
WRITTEN = [(kind.name, written) for kind in KINDS.values() for written in (*kind.units, *kind.spellings)]


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry[float]:
    return pint.UnitRegistry()


@pytest.mark.parametrize(("kind", "written"), WRITTEN)
def test_every_unit_agrees_with_the_referee(kind: str, written: str, registry: pint.UnitRegistry[float]) -> None:
    """Referee: pint's own table of units, which knows the international pound, the US quart and the calorie."""
    for value in (1.0, 212.0, -40.0):
        text = REFEREE.get(written, written)
        if text.startswith("1000 * "):
            expected = registry.Quantity(value * 1000.0, text.removeprefix("1000 * "))
        else:
            expected = registry.Quantity(value, text)
        si = expected.to(REFEREE.get(KINDS[kind].si_unit, KINDS[kind].si_unit)).magnitude
        assert parse(f"{value} {written}", kind) == pytest.approx(si, rel=1e-12, abs=1e-12)


@given(st.floats(-1e6, 1e6), st.sampled_from([(kind.name, unit) for kind in KINDS.values() for unit in kind.units]))
def test_every_listed_unit_goes_there_and_back(value: float, kind_unit: tuple[str, str]) -> None:
    kind, unit = kind_unit
    assert KINDS[kind].of_si(parse(f"{value!r} {unit}", kind), unit) == pytest.approx(value, rel=1e-9, abs=1e-9)


def test_no_spelling_hides_a_unit_of_its_own_kind() -> None:
    for kind in KINDS.values():
        assert set(kind.spellings) & set(kind.sizes) == set()
        assert set(kind.spellings.values()) | set(kind.zero) <= set(kind.sizes)


def test_shares_and_clocks() -> None:
    assert parse_share("90 %") == parse_share(0.9) == 0.9
    assert parse_clock("04:30") == 16200.0
    for wrong in ("101 %", "-1 %", "ninety"):
        with pytest.raises(QuantityError):
            parse_share(wrong)
    for wrong in ("4.30", "24:00", "12:60", "noon"):
        with pytest.raises(QuantityError):
            parse_clock(wrong)


def test_showing() -> None:
    assert show_clock(4.5 * 3600) == "04:30"
    assert show_clock(25 * 3600) == "01:00 (+1)"
    assert show_clock(-60) == "23:59 (-1)"
    assert say_clock(-60) == "23:59 the day before"
    assert say_clock(25 * 3600) == "01:00 the day after"
    assert say_clock(49 * 3600) == "01:00 (+2)"
    assert say_clock(4.5 * 3600) == "04:30"
    assert [show_length(length_m, "si") for length_m in (9.94, 9.96, 10.4)] == ["9.9 m", "10 m", "10 m"]
    # An inch is 2.54 cm by definition.
    assert (show_depth(0.10, "us"), show_depth(0.10, "si")) == ("4 in", "10 cm")
    assert show_duration(7500) == "2 h 05 min"
    assert show_distance(11_000, "us") == "6.8 mi"
    assert show_force(6000, "us") == "6.0 kN (1,349 lbf)"
    assert show_force(6000, "si") == "6.0 kN"
    assert show_pull(246.3, "si") == "246 N"
    assert show_share(0.999) == "over 99 %"
    assert show_share(0.001) == "under 1 %"
    assert show_share(1.0) == "100 %"
    assert [show_chance(share) for share in (1.0, 0.999, 0.92, 0.001, 0.0)] == [
        "over 99 %", "over 99 %", "92 %", "under 1 %", "under 1 %",
    ]  # fmt: skip


def test_words_with_lengths_in_both_units_are_told_in_one() -> None:
    # 1 ft = 0.3048 m and 1 mi = 1609.344 m, by definition.
    said = f"{in_both_units(-40.0, show_height)} at {in_both_units(2000.0, show_distance)}, the second (of 2)"
    assert said == "-40 m (-131 ft) at 2.0 km (1.2 mi), the second (of 2)"
    assert in_units(said, "si") == "-40 m at 2.0 km, the second (of 2)"
    assert in_units(said, "us") == "-131 ft at 1.2 mi, the second (of 2)"
    assert in_units(in_both_units(1386.0, show_height, "+"), "us") == "+4,547 ft"
    assert in_units("a cable of 24 m", "us") == "a cable of 24 m"


def test_spans_say_the_unit_once_and_the_digits_alike() -> None:
    assert show_span(3.04, 5.5, show_length, "us") == "10 to 18 ft"
    assert show_span(2.3, 4.3, show_length, "si") == "2.3 to 4.3 m"
    assert show_span(6000.0, 6000.0, show_force, "si") == "6.0 kN"
    assert show_span(18300.0, 28700.0, show_force, "us") == "18.3 to 28.7 kN (4,114 to 6,452 lbf)"
    assert show_span(18.2, 18.4, show_length, "si") == "18 m"


def test_what_is_carried_drunk_and_burnt() -> None:
    # 1 lb = 0.45359237 kg, 1 US quart = 0.946352946 L and 1 kcal = 4184 J, all by definition.
    assert [show_pack(mass_kg, "si") for mass_kg in (0.04, 9.44, 21.96)] == ["0.0 kg", "9.4 kg", "22.0 kg"]
    assert [show_pack(mass_kg, "us") for mass_kg in (0.4, 4.51, 4.52, 9.44)] == ["0.9 lb", "9.9 lb", "10 lb", "21 lb"]
    assert (show_water(1.5, "si"), show_water(1.5, "us")) == ("1.5 L", "1.6 qt")
    assert (show_water(0.0, "si"), show_water(0.946352946, "us")) == ("0.0 L", "1.0 qt")
    assert show_energy(11.3e6, "si") == "11.3 MJ (2,700 kcal)"
    assert show_energy(11.3e6, "us") == "2,700 kcal (11.3 MJ)"
    assert show_energy(4184.0 * 1236.0, "us") == "1,240 kcal (5.2 MJ)"
    assert show_span(11.3e6, 13.0e6, show_energy, "us") == "2,700 to 3,110 kcal (11.3 to 13.0 MJ)"
    assert show_span(9.0e6, 13.0e6, show_energy, "si") == "9.0 to 13.0 MJ (2,150 to 3,110 kcal)"
