"""Quantities with units, read and written at the edges; inside there is only SI.

One table says which units each kind of quantity takes and what each is in SI.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

Units = Literal["us", "si"]

FOOT_M, INCH_M, MILE_M = 0.3048, 0.0254, 1609.344
POUND_KG, _OUNCE_KG, _POUND_FORCE_N = 0.45359237, 0.028349523125, 4.4482216152605
QUART_L, KCAL_J = 0.946352946, 4184.0


@dataclass(frozen=True)
class Kind:
    """A kind of quantity: its SI unit and the units a file may use, most usual first, each with its size in SI.

    ``zero`` has where the scale of a unit begins, in that unit, for scales that do not begin at nothing.
    ``spellings`` are other ways to write one of the units.
    """

    name: str
    si_unit: str
    sizes: Mapping[str, float]
    example: str
    spellings: Mapping[str, str]
    zero: Mapping[str, float] = field(default_factory=dict)

    @property
    def units(self) -> tuple[str, ...]:
        return tuple(self.sizes)

    def unit(self, written: str) -> str | None:
        """The unit that was meant, or None where it is no unit of this kind."""
        unit = self.spellings.get(written, written)
        return unit if unit in self.sizes else None

    def to_si(self, value: float, unit: str) -> float:
        return (value - self.zero.get(unit, 0.0)) * self.sizes[unit]

    def of_si(self, value: float, unit: str) -> float:
        return value / self.sizes[unit] + self.zero.get(unit, 0.0)


def _kinds(*kinds: Kind) -> Mapping[str, Kind]:
    return MappingProxyType({kind.name: kind for kind in kinds})


def _spelled(**spellings: str) -> dict[str, str]:
    """Other spellings, each unit with its own in one text."""
    return {other: unit for unit, others in spellings.items() for other in others.split()}


KINDS = _kinds(
    Kind(
        "length", "m",
        {"m": 1.0, "km": 1000.0, "cm": 0.01, "mm": 0.001, "ft": FOOT_M, "in": INCH_M, "mi": MILE_M},
        '"96 m" or "315 ft"',
        _spelled(
            m="meter metre meters metres", km="kilometer kilometre kilometers kilometres",
            cm="centimeter centimetre centimeters centimetres", mm="millimeter millimetre millimeters millimetres",
            ft="foot feet", mi="mile miles",
        ) | {"inches": "in"},
    ),
    Kind(
        "duration", "s", {"s": 1.0, "min": 60.0, "h": 3600.0}, '"45 min" or "2 h 30 min"',
        _spelled(s="sec second seconds", min="minute minutes", h="hr hour hours"),
    ),
    Kind(
        "mass", "kg", {"kg": 1.0, "g": 0.001, "lb": POUND_KG, "oz": _OUNCE_KG}, '"80 kg" or "176 lb"',
        _spelled(kg="kilogram kilograms", g="gram grams", lb="lbs pound pounds", oz="ounce ounces"),
    ),
    Kind(
        "force", "N", {"N": 1.0, "kN": 1000.0, "lbf": _POUND_FORCE_N}, '"6 kN" or "1350 lbf"',
        _spelled(N="newton newtons", kN="kilonewton kilonewtons"),
    ),
    Kind(
        "angle", "rad", {"deg": math.pi / 180.0, "rad": 1.0}, '"38 deg"',
        _spelled(deg="° degree degrees", rad="radian radians"),
    ),
    Kind(
        "speed", "m/s",
        {"m/s": 1.0, "m/min": 1.0 / 60.0, "km/h": 1.0 / 3.6, "ft/min": FOOT_M / 60.0, "mph": MILE_M / 3600.0},
        '"7 m/min" or "23 ft/min"',
        {"kph": "km/h", "mi/h": "mph"},
    ),
    Kind(
        "temperature", "C", {"C": 1.0, "F": 5.0 / 9.0}, '"12 C" or "54 F"',
        _spelled(C="°C degC", F="°F degF"), zero={"F": 32.0},
    ),
    Kind(
        "volume", "L", {"L": 1.0, "mL": 0.001, "qt": QUART_L, "gal": 4.0 * QUART_L}, '"1.5 L" or "2 qt"',
        _spelled(L="l liter litre liters litres", mL="ml", qt="quart quarts", gal="gallon gallons"),
    ),
    Kind(
        "energy", "J", {"kJ": 1000.0, "MJ": 1e6, "kcal": KCAL_J}, '"2,500 kcal" or "10 MJ"', {},
    ),
)  # fmt: skip
SHARE_EXAMPLE = '"90 %" or 0.9'
CLOCK_EXAMPLE = '"04:30"'

_NUMBER = r"[+-]?(?:\d+(?:,\d{3})*(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?"
_PART = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>°?[A-Za-z][A-Za-z/_ ]*?|°)\s*(?=$|[\d+.-])")
_BARE = re.compile(rf"\s*{_NUMBER}\s*")


class QuantityError(ValueError):
    """A text is not a quantity of the kind that is wanted. The message says what is allowed."""


def parse(text: str, kind: str) -> float:
    """A quantity as text, in SI.

    Parameters
    ----------
    text : str
        A number and a unit; durations may have several parts ("2 h 30 min").
    kind : str
        A key of ``KINDS``.

    Returns
    -------
    float
        The value in the SI unit of the kind.

    Raises
    ------
    QuantityError
        No unit, an unknown unit, a unit of another kind, or not finite.
    """
    wanted = KINDS[kind]
    article = "an" if kind[0] in "aeiou" else "a"
    allowed = f"{article} {kind} in {', '.join(wanted.units)}, such as {wanted.example}"
    if _BARE.fullmatch(text):
        raise QuantityError(f"the number has no unit: write {allowed}")
    total, position, parts = 0.0, 0, 0
    while position < len(text):
        match = _PART.match(text, position)
        if match is None:
            raise QuantityError(f"this is not {article} {kind}: write {allowed}")
        written = match["unit"].strip()
        unit = wanted.unit(written)
        if unit is None:
            known = any(other.unit(written) for other in KINDS.values())
            what = f'"{written}" is not a unit of {kind}' if known else f'unknown unit "{written}"'
            raise QuantityError(f"{what}: write {allowed}")
        total += wanted.to_si(float(match["number"].replace(",", "")), unit)
        position, parts = match.end(), parts + 1
    if parts == 0 or (parts > 1 and kind != "duration"):
        raise QuantityError(f"this is not one {kind}: write {allowed}")
    if not math.isfinite(total):
        raise QuantityError(f"this is not a finite {kind}: write {allowed}")
    return total


def parse_share(value: str | float) -> float:
    """A share from 0 to 1: a bare number is a share, "90 %" a percentage. Raises QuantityError."""
    if isinstance(value, str):
        match = re.fullmatch(rf"\s*({_NUMBER})\s*%\s*", value)
        if match is None:
            raise QuantityError(f"this is not a share: write {SHARE_EXAMPLE}")
        share = float(match[1].replace(",", "")) / 100.0
    else:
        share = float(value)
    if not 0.0 <= share <= 1.0:
        raise QuantityError(f"a share lies from 0 to 1 (0 % to 100 %): write {SHARE_EXAMPLE}")
    return share


def parse_clock(text: str) -> float:
    """A clock time "HH:MM" or "HH:MM:SS" as seconds after local midnight. Raises QuantityError."""
    match = re.fullmatch(r"\s*(\d{1,2}):(\d{2})(?::(\d{2}))?\s*", text)
    if match is None:
        raise QuantityError(f"this is not a clock time: write hours and minutes, 24-hour, such as {CLOCK_EXAMPLE}")
    hours, minutes, seconds = int(match[1]), int(match[2]), int(match[3] or 0)
    if hours > 23 or minutes > 59 or seconds > 59:
        raise QuantityError(f"there is no such time of day: write hours and minutes, 24-hour, such as {CLOCK_EXAMPLE}")
    return hours * 3600.0 + minutes * 60.0 + seconds


# --- writing -----------------------------------------------------------------------------------------------------


def _in(value: float, kind: str, unit: str) -> float:
    return KINDS[kind].of_si(value, unit)


def show_distance(length_m: float, units: Units) -> str:
    """A distance walked: "11.2 km" or "7.0 mi"."""
    unit = "km" if units == "si" else "mi"
    return f"{_in(length_m, 'length', unit):.1f} {unit}"


def show_height(height_m: float, units: Units) -> str:
    """A height or a climb: "1,386 m" or "4,547 ft"."""
    unit = "m" if units == "si" else "ft"
    return f"{_in(height_m, 'length', unit):,.0f} {unit}"


def show_length(length_m: float, units: Units) -> str:
    """A length on the line, to a tenth below ten: "2.7 m" or "8.9 ft"."""
    unit = "m" if units == "si" else "ft"
    value = _in(length_m, "length", unit)
    return f"{value:.1f} {unit}" if abs(value) < 9.95 else f"{value:.0f} {unit}"


_IN_BOTH = re.compile(r"(?P<si>[+-]?[\d.,]+ k?m) \((?P<us>[+-]?[\d.,]+ (?:mi|ft))\)")


def in_both_units(length_m: float, show: Callable[[float, Units], str], sign: str = "") -> str:
    """A length for words that are kept for trips of either units: "2.1 km (1.3 mi)". ``in_units`` picks one."""
    return f"{sign}{show(length_m, 'si')} ({sign}{show(length_m, 'us')})"


def in_units(words: str, units: Units) -> str:
    """Words with each length that stands in both units in these alone."""
    return _IN_BOTH.sub(lambda both: both[units], words)


def show_depth(depth_m: float, units: Units) -> str:
    """How deep a foot sinks: "10 cm" or "4 in"."""
    unit = "cm" if units == "si" else "in"
    return f"{_in(depth_m, 'length', unit):.0f} {unit}"


def show_force(force_N: float, units: Units) -> str:
    """A force in kN, as climbing gear is marked everywhere, with pounds beside it for US units."""
    text = f"{force_N / 1000:.1f} kN"
    return text if units == "si" else f"{text} ({_in(force_N, 'force', 'lbf'):,.0f} lbf)"


def show_pull(force_N: float, units: Units) -> str:
    """What a hand pulls, in plain newtons or pounds: "246 N" or "55 lbf"."""
    unit = "N" if units == "si" else "lbf"
    return f"{_in(force_N, 'force', unit):,.0f} {unit}"


def show_span(low: float, high: float, show: Callable[[float, Units], str], units: Units) -> str:
    """Two values that belong together, the unit once: "2.3 to 4.3 m"; one where both read the same."""
    first, last = show(low, units), show(high, units)
    first = _with_digits_of(first, last)
    if first == last:
        return first
    pairs = zip(first.rstrip(")").split(" ("), last.rstrip(")").split(" ("), strict=True)
    spans = [f"{lower.rsplit(' ', 1)[0]} to {upper}" for lower, upper in pairs]
    return spans[0] if len(spans) == 1 else f"{spans[0]} ({spans[1]})"


def _with_digits_of(first: str, last: str) -> str:
    """The first number with as many decimals as the last: "10.0 ft" beside "18 ft" is "10 ft"."""
    number, rest = first.split(" ", 1)
    decimals = len(last.split(" ", 1)[0].partition(".")[2])
    return f"{float(number.replace(',', '')):,.{decimals}f} {rest}"


def show_mass(mass_kg: float, units: Units) -> str:
    """A mass: "85 kg" or "187 lb"."""
    unit = "kg" if units == "si" else "lb"
    return f"{_in(mass_kg, 'mass', unit):.0f} {unit}"


def show_speed(speed_m_s: float, units: Units) -> str:
    """A speed of sliding or walking: "18 km/h" or "11 mph"."""
    unit = "km/h" if units == "si" else "mph"
    return f"{_in(speed_m_s, 'speed', unit):.0f} {unit}"


def show_temperature(temperature_C: float, units: Units) -> str:
    """A temperature to the degree: "-3 °C" or "27 °F"."""
    unit = "C" if units == "si" else "F"
    # Adding nothing turns a minus nothing into nothing.
    return f"{round(_in(temperature_C, 'temperature', unit)) + 0:d} °{unit}"


def show_rain(rain_mm: float, units: Units) -> str:
    """Rain: "3.2 mm" or "0.13 in"."""
    return f"{rain_mm:.1f} mm" if units == "si" else f"{_in(rain_mm / 1000.0, 'length', 'in'):.2f} in"


def show_pack(mass_kg: float, units: Units) -> str:
    """A pack or a piece of gear: "9.4 kg" or "21 lb", to a tenth of a pound below ten."""
    if units == "si":
        return f"{mass_kg:.1f} kg"
    pounds = _in(mass_kg, "mass", "lb")
    return f"{pounds:.1f} lb" if abs(pounds) < 9.95 else f"{pounds:.0f} lb"


def show_water(water_L: float, units: Units) -> str:
    """Water to drink: "1.5 L" or "1.6 qt"."""
    unit = "L" if units == "si" else "qt"
    return f"{_in(water_L, 'volume', unit):.1f} {unit}"


def show_energy(energy_J: float, units: Units) -> str:
    """What a day burns, to ten kilocalories: "11.3 MJ (2,700 kcal)" or "2,700 kcal (11.3 MJ)"."""
    shown = f"{_in(energy_J, 'energy', 'MJ'):.1f} MJ", f"{round(_in(energy_J, 'energy', 'kcal'), -1):,.0f} kcal"
    first, beside = shown if units == "si" else shown[::-1]
    return f"{first} ({beside})"


def show_angle(angle_rad: float) -> str:
    """A slope: "41 deg"."""
    return f"{math.degrees(angle_rad):.0f} deg"


def show_duration(duration_s: float) -> str:
    """A time span to the minute: "2 h 05 min" or "40 min"."""
    minutes = round(abs(duration_s) / 60)
    sign = "-" if duration_s < 0 and minutes else ""
    return f"{sign}{minutes // 60} h {minutes % 60:02d} min" if minutes >= 60 else f"{sign}{minutes} min"


def show_clock(clock_s: float) -> str:
    """Seconds after local midnight as "HH:MM", with "(+1)" for each day past or "(-1)" before."""
    minutes = math.floor(clock_s / 60 + 0.5)
    day, minute = divmod(minutes, 24 * 60)
    text = f"{minute // 60:02d}:{minute % 60:02d}"
    return text if day == 0 else f"{text} ({day:+d})"


def say_clock(clock_s: float) -> str:
    """A clock time as a sentence has it: "07:32", "23:10 the day before" or "02:10 the day after"."""
    text, _, day = show_clock(clock_s).partition(" ")
    words = {"": "", "(-1)": " the day before", "(+1)": " the day after"}
    return text + words[day] if day in words else f"{text} {day}"


def show_error(error: float) -> str:
    """A standard error of a share in points: "0.3", or "under 0.1"."""
    return f"{error * 100:.1f}" if error >= 0.0005 else "under 0.1"


def show_chance(share: float) -> str:
    """How many drawn days or slips ended so, as ``show_share``.

    None or all of some thousand is no certainty: "under 1 %", "over 99 %".
    """
    return {0.0: "under 1 %", 1.0: "over 99 %"}.get(share) or show_share(share)


def show_share(share: float) -> str:
    """A chance in whole per cent; what is not quite none or all says so: "92 %", "under 1 %"."""
    if 0.0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1.0:
        return "over 99 %"
    return f"{share:.0%}".replace("%", " %")
