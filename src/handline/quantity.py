"""Quantities with units, read and written at the edges; inside there is only SI.

One table says which units each kind of quantity takes; pint does the parsing and converting.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import pint

Units = Literal["us", "si"]

# Only what a trip file needs: a short list loads in milliseconds and refuses "96 furlongs" by itself.
_UNITS = """
meter = [length] = m = metre = meters = metres
kilometer = 1000 * meter = km = kilometre = kilometers = kilometres
centimeter = 0.01 * meter = cm = centimetre = centimeters = centimetres
millimeter = 0.001 * meter = mm = millimetre = millimeters = millimetres
foot = 0.3048 * meter = ft = feet
inch = 0.0254 * meter = in_ = inches
mile = 1609.344 * meter = mi = miles
second = [time] = s = sec = seconds
minute = 60 * second = min = minutes
hour = 3600 * second = h = hr = hours
kilogram = [mass] = kg = kilograms
gram = 0.001 * kilogram = g = grams
pound = 0.45359237 * kilogram = lb = lbs = pounds
ounce = 0.028349523125 * kilogram = oz = ounces
newton = kilogram * meter / second ** 2 = N = newtons
kilonewton = 1000 * newton = kN = kilonewtons
pound_force = 4.4482216152605 * newton = lbf
radian = [angle] = rad = radians
degree = 0.017453292519943295 * radian = deg = degrees
meter_per_second = meter / second = m_s
kilometer_per_hour = kilometer / hour = km_h
mile_per_hour = mile / hour = mph
foot_per_minute = foot / minute = ft_min
meter_per_minute = meter / minute = m_min
"""


@dataclass(frozen=True)
class Kind:
    """A kind of quantity: its SI unit and the units a file may use, most usual first."""

    name: str
    si_unit: str
    units: tuple[str, ...]
    example: str


def _kinds(*kinds: Kind) -> Mapping[str, Kind]:
    return MappingProxyType({kind.name: kind for kind in kinds})


KINDS = _kinds(
    Kind("length", "m", ("m", "km", "cm", "mm", "ft", "in", "mi"), '"96 m" or "315 ft"'),
    Kind("duration", "s", ("s", "min", "h"), '"45 min" or "2 h 30 min"'),
    Kind("mass", "kg", ("kg", "g", "lb", "oz"), '"80 kg" or "176 lb"'),
    Kind("force", "N", ("N", "kN", "lbf"), '"6 kN" or "1350 lbf"'),
    Kind("angle", "rad", ("deg", "rad"), '"38 deg"'),
    Kind("speed", "m/s", ("m/s", "m/min", "km/h", "ft/min", "mph"), '"7 m/min" or "23 ft/min"'),
)
SHARE_EXAMPLE = '"90 %" or 0.9'
CLOCK_EXAMPLE = '"04:30"'

_NUMBER = r"[+-]?(?:\d+(?:,\d{3})*(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?"
_PART = re.compile(rf"\s*(?P<number>{_NUMBER})\s*(?P<unit>°|[A-Za-z][A-Za-z/_ ]*?)\s*(?=$|[\d+.-])")
_BARE = re.compile(rf"\s*{_NUMBER}\s*")
_SPELLING = {
    "°": "deg", "in": "in_", "m/s": "m_s", "km/h": "km_h", "kph": "km_h", "ft/min": "ft_min", "m/min": "m_min",
    "mi/h": "mph",
}  # fmt: skip


class QuantityError(ValueError):
    """A text is not a quantity of the kind that is wanted. The message says what is allowed."""


@lru_cache(maxsize=1)
def _registry() -> pint.UnitRegistry[float]:
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry(None)
    registry.load_definitions(_UNITS.strip().splitlines())
    return registry


@lru_cache(maxsize=256)
def _factor(unit: str, si_unit: str) -> float:
    registry = _registry()
    spelled = _SPELLING.get(unit, unit)
    return float(registry.Quantity(1.0, spelled).to(_SPELLING.get(si_unit, si_unit)).magnitude)


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
    import pint

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
        try:
            factor = _factor(match["unit"].strip(), wanted.si_unit)
        except pint.DimensionalityError:
            raise QuantityError(f'"{match["unit"].strip()}" is not a unit of {kind}: write {allowed}') from None
        except (pint.PintError, AttributeError, ValueError):
            raise QuantityError(f'unknown unit "{match["unit"].strip()}": write {allowed}') from None
        total += float(match["number"].replace(",", "")) * factor
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
    return value / _factor(unit, KINDS[kind].si_unit)


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


def show_share(share: float) -> str:
    """A chance in whole per cent; what is not quite none or all says so: "92 %", "under 1 %"."""
    if 0.0 < share < 0.01:
        return "under 1 %"
    if 0.99 < share < 1.0:
        return "over 99 %"
    return f"{share:.0%}".replace("%", " %")
