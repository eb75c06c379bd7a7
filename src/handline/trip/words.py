"""Words of the trip file: names, choices, time zones, the date."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, get_args

from pydantic import GetCoreSchemaHandler
from pydantic_core import CoreSchema, core_schema

from handline.errors import near_miss
from handline.trip.refusal import refusal, unknown_word
from handline.trip.typed_value import TypedValue


@dataclass(frozen=True)
class Text(TypedValue):
    """A line of text: not empty, no line breaks or control characters, spaces at its ends left away."""

    longest: int = 80

    def read(self, value: object) -> str:
        allowed = f"one line of text in quotes, 1 to {self.longest} characters"
        if not isinstance(value, str):
            raise refusal("this is not text", allowed=allowed)
        text = value.strip()
        if not text:
            raise refusal("this text is empty", allowed=allowed)
        if len(text) > self.longest:
            raise refusal(f"this text has {len(text):,} characters", allowed=allowed)
        if not text.isprintable():
            raise refusal("this text has a line break or a character that cannot be printed", allowed=allowed)
        return text

    def json_schema(self) -> dict[str, Any]:
        return {"type": "string", "minLength": 1}


@dataclass(frozen=True)
class OneOf:
    """One of the words or numbers of the ``Literal`` that it annotates; a near miss is named."""

    what: str

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        choices = get_args(source)

        def read(value: object) -> object:
            for choice in choices:
                if type(choice) is type(value) and choice == value:
                    return choice
            if isinstance(value, str) and isinstance(choices[0], str):
                raise unknown_word(self.what, value[:80], choices)
            raise refusal(f"unknown {self.what}", allowed=", ".join(str(choice) for choice in choices))

        return core_schema.no_info_plain_validator_function(
            read, json_schema_input_schema=core_schema.literal_schema(list(choices))
        )


@dataclass(frozen=True)
class TimeZone(TypedValue):
    """The name of a time zone in the IANA database."""

    def read(self, value: object) -> str:
        import zoneinfo

        allowed = 'a name of the IANA time zone database, such as "Europe/Vienna"'
        if not isinstance(value, str):
            raise refusal("this is not a time zone", allowed=allowed)
        try:
            return zoneinfo.ZoneInfo(value).key
        except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
            guess = near_miss(value[:80], sorted(zoneinfo.available_timezones()))
            raise refusal(
                "unknown time zone", allowed=allowed, mend=f'did you mean "{guess}"?' if guess else None
            ) from None

    def json_schema(self) -> dict[str, Any]:
        return {"type": "string", "examples": ["America/Denver", "Australia/Hobart"]}


DAY_ALLOWED = "year, month and day, such as 2027-07-17"


@dataclass(frozen=True)
class Day(TypedValue):
    """A day of the calendar: a TOML date, or the same in quotes."""

    def read(self, value: object) -> date:
        if isinstance(value, datetime):
            raise refusal(
                "this is a date and a time",
                allowed=DAY_ALLOWED,
                mend=f"write {value:%Y-%m-%d}; the time goes into start",
            )
        if isinstance(value, date):
            return value
        if not isinstance(value, str) or re.fullmatch(r"\d{4}-\d\d-\d\d", value, re.ASCII) is None:
            raise refusal("this is not a date", allowed=DAY_ALLOWED)
        try:
            return date.fromisoformat(value)
        except ValueError:
            raise refusal("there is no such day", allowed=DAY_ALLOWED) from None

    def json_schema(self) -> dict[str, Any]:
        return {"type": "string", "format": "date", "examples": ["2027-07-17"]}


@dataclass(frozen=True)
class Currency(TypedValue):
    """The three letters of a currency."""

    def read(self, value: object) -> str:
        allowed = 'three capital letters, such as "USD"'
        if not isinstance(value, str):
            raise refusal("this is not a currency", allowed=allowed)
        letters = value.strip()
        if re.fullmatch(r"[A-Z]{3}", letters) is None:
            meant = letters.upper()
            mend = f'write "{meant}"' if re.fullmatch(r"[A-Z]{3}", meant) else None
            raise refusal("this is not a currency", allowed=allowed, mend=mend)
        return letters

    def json_schema(self) -> dict[str, Any]:
        return {"type": "string", "pattern": "^[A-Z]{3}$", "examples": ["USD", "EUR"]}
