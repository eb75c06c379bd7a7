"""Answers of a forecast service, kept on disk beside when they came and how long they hold.

While an answer holds, nothing is asked. After that the service is asked whether it has a newer one. Where no answer can
be had, the last one is used, with its age. The files say which places were asked for, so the folder is the user's own.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import UTC
from email.utils import parsedate_to_datetime
from pathlib import Path

from handline.errors import InputError, OutputError, Problem
from handline.weather.forecast import Forecast
from handline.weather.live.asking import Answer, NoAnswerError, Patience, ask
from handline.whole_file import write_whole

TYPE_IT = "type the forecast into a CSV file and give that"
# However long a service says its answer holds, it is asked again after a day: a forecast is made anew by then.
_HOLDS_AT_MOST_S = 86400.0
_FORM = 1
_UNCHANGED, _TOO_MANY, _WITHDRAWN = 304, 429, 203


@dataclass(frozen=True)
class Question:
    """What is asked of a service, and how its answer is read.

    ``read`` makes a Forecast of a body; it raises NoAnswerError where the body is broken and InputError where it is
    whole but cannot be used. ``refusals`` has what is wrong and how to mend it, by HTTP status.
    """

    service: str
    url: str
    headers: Mapping[str, str]
    read: Callable[[bytes], Forecast]
    refusals: Mapping[int, tuple[str, str]]


@dataclass(frozen=True)
class Kept:
    """One answer on disk: when its body came, when the service last stood by it, until when it holds [s UTC]."""

    url: str
    status: int
    last_modified: str
    downloaded_s: float
    confirmed_s: float
    holds_until_s: float
    body: str


def kept_forecast(question: Question, folder: Path, now_s: float, patience: Patience) -> Forecast:
    """The forecast, from what is kept while it holds, else from the service, else from what is kept with its age.

    Parameters
    ----------
    question : Question
    folder : Path
        Where answers are kept; made where it is missing.
    now_s : float
        The time now [s after 1970-01-01 00:00 UTC].
    patience : Patience
        How long to wait for an answer, and how large it may be.

    Returns
    -------
    Forecast
        Its notes end with where it came from, where that is not plainly the service now.

    Raises
    ------
    InputError
        Nothing kept and no answer, or an answer that says no, or one that cannot be used.
    """
    path = kept_path(folder, question)
    kept, old, notes = _read_usable(path, question)
    if kept is not None and old is not None and kept.confirmed_s <= now_s < kept.holds_until_s:
        return _with_notes(old, [*notes, *_standing(kept.status)])
    try:
        answer = ask(question.url, _conditional(question.headers, kept), patience)
        if answer.status >= 500:
            raise NoAnswerError(f"the service has a fault (it answered {answer.status})")
        if answer.status == _TOO_MANY:
            raise NoAnswerError("the service is asked too often and wants to be left alone for a while")
        if answer.status == _UNCHANGED and kept is not None and old is not None:
            notes += _keep(path, _confirmed(kept, answer, now_s))
            return _with_notes(old, [*notes, *_standing(kept.status)])
        if answer.status not in (200, _WITHDRAWN):
            raise InputError(_refused(question, answer.status))
        new = question.read(answer.body)
    except NoAnswerError as error:
        if kept is None or old is None:
            raise InputError(_nothing(question, error.why, notes)) from None
        return _with_notes(old, [*notes, f"downloaded {_ages(kept, now_s)}: {error.why}", *_standing(kept.status)])
    notes += _keep(path, _new(question.url, answer, now_s))
    return _with_notes(new, [*notes, *_standing(answer.status)])


def kept_path(folder: Path, question: Question) -> Path:
    """The file for one question: its address holds the place, so each place has its own."""
    return folder / f"forecast-{hashlib.sha256(question.url.encode()).hexdigest()[:32]}.txt"


def write_kept(path: Path, kept: Kept) -> None:
    """Keep an answer whole, under a digest that shows whether it was cut short or touched. Raises OutputError."""
    text = json.dumps({"form": _FORM, **asdict(kept)})
    write_whole(path, f"{_digest(text)}\n{text}")


def read_kept(path: Path) -> Kept | None:
    """The answer in a file, None where there is none. Raises ValueError (damaged) and OSError (unreadable)."""
    try:
        content = path.read_bytes()
    except FileNotFoundError:
        return None
    digest, _, text = content.decode("utf-8").partition("\n")
    if digest != _digest(text):
        raise ValueError("the digest is another")
    entry = json.loads(text)
    if entry.pop("form", None) != _FORM:
        raise ValueError("another form")
    return Kept(**entry)


def _digest(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def _read_usable(path: Path, question: Question) -> tuple[Kept | None, Forecast | None, list[str]]:
    """What is kept, read; or nothing, with the reason where something was there and could not be used."""
    try:
        kept = read_kept(path)
        if kept is None:
            return None, None, []
        if kept.url != question.url:
            raise ValueError("another address")
        return kept, question.read(kept.body.encode("utf-8")), []
    except OSError as error:
        reason = error.strerror or "it cannot be read"
    except (ValueError, TypeError, AttributeError, InputError, NoAnswerError):
        reason = "it is damaged"
    return None, None, [f"the kept forecast {path} was passed over: {reason}"]


def _conditional(headers: Mapping[str, str], kept: Kept | None) -> dict[str, str]:
    return {**headers, **({"If-Modified-Since": kept.last_modified} if kept and kept.last_modified else {})}


def _new(url: str, answer: Answer, now_s: float) -> Kept:
    return Kept(
        url=url,
        status=answer.status,
        last_modified=_date_words(answer.headers.get("last-modified", "")),
        downloaded_s=now_s,
        confirmed_s=now_s,
        holds_until_s=now_s + holds_s(answer.headers, now_s),
        body=answer.body.decode("utf-8"),
    )


def _confirmed(kept: Kept, answer: Answer, now_s: float) -> Kept:
    return replace(
        kept,
        last_modified=_date_words(answer.headers.get("last-modified", "")) or kept.last_modified,
        confirmed_s=now_s,
        holds_until_s=now_s + holds_s(answer.headers, now_s),
    )


def holds_s(headers: Mapping[str, str], now_s: float) -> float:
    """How long an answer holds [s]: Expires less Date, both by the service's clock, so that ours may be wrong.

    None at all where Expires is missing or no date; a day at most.
    """
    expires_s = _date_s(headers.get("expires", ""))
    sent_s = _date_s(headers.get("date", ""))
    held_s = expires_s - (now_s if math.isnan(sent_s) else sent_s)
    return 0.0 if math.isnan(held_s) else min(max(held_s, 0.0), _HOLDS_AT_MOST_S)


def _date_s(words: str) -> float:
    try:
        read = parsedate_to_datetime(words)
        return (read if read.tzinfo else read.replace(tzinfo=UTC)).timestamp()
    except (TypeError, ValueError, OverflowError):
        return math.nan


def _date_words(words: str) -> str:
    """The date as the service wrote it, which it wants back to the letter; empty where it is no date."""
    plain = words.isascii() and words.isprintable() and len(words) < 64
    return words if plain and not math.isnan(_date_s(words)) else ""


def _keep(path: Path, kept: Kept) -> list[str]:
    """Keep an answer; not being able to is no error, and said."""
    try:
        write_kept(path, kept)
    except OutputError as error:
        return [f"the forecast could not be kept: {str(error).splitlines()[0]}"]
    return []


def _with_notes(forecast: Forecast, notes: list[str]) -> Forecast:
    return replace(forecast, notes=(*forecast.notes, *notes))


def _standing(status: int) -> list[str]:
    if status != _WITHDRAWN:
        return []
    return ["the service says that this way of asking will be withdrawn: Handline needs a newer version then"]


def _ages(kept: Kept, now_s: float) -> str:
    came = age_words(now_s - kept.downloaded_s)
    if kept.confirmed_s == kept.downloaded_s:
        return came
    return f"{came}, unchanged {age_words(now_s - kept.confirmed_s)}"


def age_words(age_s: float) -> str:
    """An age in one unit. One that is less than nothing is not known: a clock was wrong then or is now."""
    if age_s < 0.0:
        return "at a time after now (is the clock right?)"
    if age_s < 3600.0:
        return f"{age_s / 60.0:.0f} min ago"
    if age_s < 2 * 86400.0:
        return f"{age_s / 3600.0:.0f} h ago"
    return f"{age_s / 86400.0:.0f} days ago"


def _refused(question: Question, status: int) -> Problem:
    moved = (
        "it has moved to another address, which is not followed",
        f"look for a newer version of Handline, or {TYPE_IT}",
    )
    other = (
        moved if 300 <= status < 400 and status != _UNCHANGED else ("it gave no forecast", f"try later, or {TYPE_IT}")
    )
    what, mend = question.refusals.get(status, other)
    return Problem(f"{question.service}: {what}", read=f"answer {status}", mend=mend)


def _nothing(question: Question, why: str, notes: list[str]) -> Problem:
    passed_over = f" ({'; '.join(notes)})" if notes else ""
    return Problem(
        f"no forecast from {question.service}: {why}; none is kept for this place{passed_over}",
        mend=f"try later, or {TYPE_IT}",
    )
