"""One value between the file and a field: shown as text, and turned back into what TOML holds.

What cannot be turned stays the text it is: the checks of the file then say what is wrong with it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date, time

from handline.trip.writing import Value
from handline.web.form_fields import Field

_WHOLE = re.compile(r"[+-]?\d{1,18}")
_NUMBER = re.compile(r"[+-]?(?:\d{1,18}(?:\.\d{0,18})?|\.\d{1,18})(?:[eE][+-]?\d{1,2})?")
_DATE = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)


def can_show(value: object, field: Field) -> bool:
    """Whether a field has a way to show this: not a list where one value belongs, or the other way about."""
    if field.kind in ("lines", "ticks"):
        return isinstance(value, list) and not any(isinstance(one, list | dict) for one in value)
    return not isinstance(value, list | dict)


def shown(value: object, field: Field) -> tuple[str, ...]:
    """A value as a field shows it: one text, of a list of ticks one for each, and none where there is no value."""
    if value is None or not can_show(value, field):
        return ()
    if isinstance(value, list):
        texts = [_one_shown(one) for one in value]
        return tuple(texts) if field.kind == "ticks" else ("\n".join(texts),)
    return (_one_shown(value),)


def _one_shown(value: object) -> str:
    match value:
        case bool():
            return "yes" if value else "no"
        case time():
            return f"{value:%H:%M}" if not (value.second or value.microsecond) else value.isoformat()
        case date():
            return value.isoformat()
    return str(value)


def typed_value(texts: Sequence[str], field: Field) -> Value:
    """What was typed into a field as it belongs into the file; None where nothing was."""
    if field.kind == "ticks":
        return [text for text in texts if text] or None
    text = (texts[-1] if texts else "").strip()
    if field.kind == "lines":
        return [line.strip() for line in text.splitlines() if line.strip()] or None
    return _one_typed(text, field) if text else None


def _one_typed(text: str, field: Field) -> Value:
    match field.kind:
        case "yes_no":
            return {"yes": True, "no": False}.get(text, text)
        case "choice":
            return next((choice for choice in field.choices if str(choice) == text), text)
        case "number" | "amount":
            return _number(text)
        case "date" if _DATE.fullmatch(text):
            try:
                return date.fromisoformat(text)
            except ValueError:
                return text
    return text


def _number(text: str) -> Value:
    if _WHOLE.fullmatch(text):
        return int(text)
    return float(text) if _NUMBER.fullmatch(text) else text


def is_same(texts: Sequence[str], field: Field, value: object) -> bool:
    """Whether a field says what the file says, so that the file is left as it is.

    A value in quotes that belongs without them, or the other way about, is not the same though it looks the same:
    saving the form mends it.
    """
    before, now = _bare(shown(value, field)), _bare(texts)
    if field.kind == "ticks":
        return sorted(before) == sorted(now)
    if isinstance(value, str) and field.kind in ("number", "yes_no"):
        return before == now and typed_value(texts, field) == value
    return before == now and not isinstance(value, time)


def _bare(texts: Sequence[str]) -> list[str]:
    """Texts without what a browser adds or takes away: empty ones, spaces at the ends, its own line ends."""
    lines = ["\n".join(line.strip() for line in text.strip().splitlines()) for text in texts]
    return [line for line in lines if line]
