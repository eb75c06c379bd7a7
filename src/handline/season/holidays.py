"""Public holidays of a country or of a part of it, by the codes of ISO 3166."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from handline.errors import near_miss

if TYPE_CHECKING:
    from holidays import HolidayBase

ALLOWED = 'a code of ISO 3166: a country such as "US", or a part of one such as "AU-TAS"'
_CODE = re.compile(r"(?P<country>[A-Z]{2})(?:-(?P<subdivision>[A-Z0-9]{1,3}))?")
_USUAL_WEEKEND = frozenset({5, 6})
_MOST_LISTED = 40


class HolidayCodeError(ValueError):
    """A code for which no holidays are known. The message says what is allowed."""


@dataclass(frozen=True)
class HolidayPlace:
    """A country, or a part of one, whose holidays are known."""

    country: str
    subdivision: str | None = None


def parse_place(code: str) -> HolidayPlace:
    """The place of a code such as "US" or "AU-TAS".

    Raises
    ------
    HolidayCodeError
        Not such a code, or one whose holidays are not known; with the near miss.
    """
    written = _CODE.fullmatch(code.strip())
    if written is None:
        meant = code.strip().upper().replace("_", "-")
        hint = f'did you mean "{meant}"? ' if _CODE.fullmatch(meant) else ""
        raise HolidayCodeError(f'"{code}" is no such code: {hint}write {ALLOWED}')
    place = HolidayPlace(written["country"], written["subdivision"])
    try:
        _calendar(place, year=2000)
    except NotImplementedError:
        raise HolidayCodeError(_unknown(place)) from None
    return place


def holiday_name(day: date, country: str, subdivision: str | None = None) -> str | None:
    """What public holiday a day is, in English where the list has it; None where it is none.

    Parameters
    ----------
    day : date
        The day.
    country : str
        Its two letters by ISO 3166-1.
    subdivision : str, optional
        The part of the country, by ISO 3166-2 without the country.

    Raises
    ------
    HolidayCodeError
        No holidays are known there.

    Validity: the years the list was made for, mostly from some decade of the last century on; feasts that follow the
    moon are estimates in years to come. Local closings and school holidays are not in it.
    Sources: holidays_library.
    """
    place = HolidayPlace(country, subdivision)
    try:
        found: str | None = _calendar(place, day.year).get(day)
    except NotImplementedError:
        raise HolidayCodeError(_unknown(place)) from None
    return found


def is_weekend(day: date, country: str | None = None, subdivision: str | None = None) -> bool:
    """Whether a day belongs to the weekend: of the country, where one is given, else Saturday and Sunday.

    Raises
    ------
    HolidayCodeError
        No holidays are known there.
    """
    if country is None:
        return day.weekday() in _USUAL_WEEKEND
    place = HolidayPlace(country, subdivision)
    try:
        return day.weekday() in _calendar(place, day.year).weekend
    except NotImplementedError:
        raise HolidayCodeError(_unknown(place)) from None


def _calendar(place: HolidayPlace, year: int) -> HolidayBase:
    """The holidays of a year, named in English where there is a translation. Raises NotImplementedError."""
    from holidays import country_holidays

    found = country_holidays(place.country, subdiv=place.subdivision, years=year)
    if found.default_language in (None, "en_US") or "en_US" not in found.supported_languages:
        return found
    return country_holidays(place.country, subdiv=place.subdivision, years=year, language="en_US")


def _unknown(place: HolidayPlace) -> str:
    """What is not known of a place, and what is. Looks every country up, which takes a moment."""
    from holidays import list_supported_countries

    parts = list_supported_countries(include_aliases=False)
    if place.country not in parts:
        guess = near_miss(place.country, list(parts))
        hint = f'did you mean "{guess}"? ' if guess else ""
        return f'no holidays are known of a country "{place.country}": {hint}write {ALLOWED}'
    known = [part for part in parts[place.country] if _CODE.fullmatch(f"{place.country}-{part}")]
    if not known:
        return f'"{place.country}" has no parts with holidays of their own: write "{place.country}"'
    guess = near_miss(place.subdivision or "", known)
    hint = f'did you mean "{place.country}-{guess}"? ' if guess else ""
    listed = ", ".join(known[:_MOST_LISTED]) + (" ..." if len(known) > _MOST_LISTED else "")
    return (
        f'no part "{place.subdivision}" of "{place.country}" is known: {hint}write "{place.country}" alone, or with '
        f"one of {listed}"
    )
