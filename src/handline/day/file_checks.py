"""What only the subjects know about a trip file as typed: names of tethers, pace models and
ways to treat water, words of the season and of dry sources.

These run beside the trip room's own checks, so that every problem of a file is reported at once, with its line.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import Any

from handline.day.permit_setting import permit_word_problems
from handline.day.season_periods import overlap_problems
from handline.errors import Problem, unknown_choice
from handline.line.grip import GLOVES
from handline.line.hitches import HITCHES
from handline.line.parts import CONNECTOR, CORD, KNOTS, PARTS
from handline.line.tethers import GRIPPING, KINDS, NONE, TETHERS
from handline.season.holidays import HolidayCodeError, parse_place
from handline.season.preference import parse_preference
from handline.season.rules import Period, SeasonRuleError, parse_period
from handline.walking.registry import PACE_MODELS
from handline.walking.treatment import TREATMENTS

Place = tuple[str | int, ...]
Found = tuple[Place, Problem]

OWN_KINDS = tuple(kind for kind in KINDS if kind != NONE)


def subject_problems(typed: Mapping[str, Any]) -> Iterator[Found]:
    """Everything the subjects refuse in a file as typed. Passes over what is not even text: that is refused anyway."""
    yield from _tethers(typed)
    yield from _gloves(typed)
    yield from _pace_model(typed)
    yield from _season(typed)
    yield from _treatments(typed)
    yield from _dry(typed)
    yield from _holidays(typed)
    yield from _preferred(typed)
    yield from permit_word_problems(typed)


def _tethers(typed: Mapping[str, Any]) -> Iterator[Found]:
    section = _table(typed, "tethers")
    own = section.get("own")
    own_names = _names_of(own)
    for i, tether in enumerate(own if isinstance(own, list) else []):
        if not isinstance(tether, Mapping):
            continue
        if isinstance(kind := tether.get("kind"), str) and kind.strip() not in OWN_KINDS:
            yield ("tethers", "own", i, "kind"), unknown_choice("kind of tether", kind, OWN_KINDS)
        yield from own_tether_problems(tether, ("tethers", "own", i), [*TETHERS, *own_names])
    chosen = section.get("chosen")
    if isinstance(chosen, str) and chosen.strip() not in {*TETHERS, *own_names}:
        yield ("tethers", "chosen"), unknown_tether(chosen, [*TETHERS, *own_names])


def _names_of(own: object) -> list[str]:
    """The names of the file's own tethers, as far as they are text."""
    tables = [tether for tether in own if isinstance(tether, Mapping)] if isinstance(own, list) else []
    return [name.strip() for tether in tables if isinstance(name := tether.get("name"), str)]


def own_tether_problems(tether: Mapping[str, Any], place: Place, tethers: list[str]) -> Iterator[Found]:
    """What one [[tethers.own]] names that nobody knows, or that its kind has no use for."""
    kind, hitch, backup = tether.get("kind"), tether.get("hitch"), tether.get("backup")
    if isinstance(hitch, str) and hitch.strip() not in HITCHES:
        yield (*place, "hitch"), unknown_choice("hitch", hitch, list(HITCHES))
    if isinstance(backup, str) and backup.strip() not in tethers:
        yield (*place, "backup"), unknown_tether(backup, tethers)
    if isinstance(kind, str) and kind.strip() in OWN_KINDS and kind.strip() != GRIPPING:
        for key in ("hitch", "backup"):
            if isinstance(value := tether.get(key), str):
                what = f"only a gripping tether has a {key}"
                yield (*place, key), Problem(what, read=value, mend='write kind = "gripping"')
    parts = tether.get("parts")
    for j, part in enumerate(parts if isinstance(parts, list) else []):
        if isinstance(part, Mapping):
            yield from _part(part, (*place, "parts", j))


def _part(part: Mapping[str, Any], place: Place) -> Iterator[Found]:
    name, knot = part.get("part"), part.get("knot")
    if isinstance(knot, str) and knot.strip() not in KNOTS:
        yield (*place, "knot"), unknown_choice("knot", knot, list(KNOTS))
    if not isinstance(name, str):
        return
    if (kind := PARTS.get(name.strip())) is None:
        yield (*place, "part"), unknown_choice("part", name, list(PARTS))
        return
    for key, what in (("diameter", CORD), ("opening", CONNECTOR)):
        if key in part and kind.what != what:
            problem = Problem(f"only a {what} has this key", read=str(part[key])[:80], mend=f"leave {key} away")
            yield (*place, key), problem


def unknown_tether(name: str, known: list[str]) -> Problem:
    """The Problem for a tether nobody knows. Going untied is never offered as the near miss."""
    problem = unknown_choice("tether", name, [other for other in known if other != NONE])
    return Problem(problem.what, problem.read, f"{problem.allowed}, {NONE}", problem.mend)


def _gloves(typed: Mapping[str, Any]) -> Iterator[Found]:
    line = _table(typed, "line")
    for key in ("gloves_up", "gloves_down"):
        if isinstance(glove := line.get(key), str) and glove.strip() not in GLOVES:
            yield ("line", key), unknown_choice("kind of glove", glove, list(GLOVES))


def _pace_model(typed: Mapping[str, Any]) -> Iterator[Found]:
    party = _table(typed, "party")
    members = party.get("members")
    named: list[tuple[Place, object]] = [
        (("route", "pace_model"), _table(typed, "route").get("pace_model")),
        (("party", "pace", "model"), _table(party, "pace").get("model")),
    ]
    for i, member in enumerate(members if isinstance(members, list) else []):
        if isinstance(member, Mapping):
            named.append((("party", "members", i, "pace", "model"), _table(member, "pace").get("model")))
    for place, model in named:
        if isinstance(model, str) and model.strip() not in PACE_MODELS:
            yield place, unknown_choice("pace model", model, list(PACE_MODELS))


def _season(typed: Mapping[str, Any]) -> Iterator[Found]:
    section, date = _table(typed, "season"), _date(typed)
    for key in ("open", "raised"):
        periods = section.get(key)
        texts = periods if isinstance(periods, list) else []
        inside, read = [], dict[int, Period]()
        for i, text in enumerate(texts):
            if not isinstance(text, str):
                continue
            try:
                period = parse_period(text)
                inside.append(period.contains(date) if date is not None else True)
                read[i] = period
            except SeasonRuleError as error:
                yield ("season", key, i), Problem(what=str(error), read=text)
        if date is not None:
            for place, problem in overlap_problems(list(read.values()), date.year):
                yield ("season", key, list(read)[place]), problem
        if key == "open" and inside and len(inside) == len(texts) and not any(inside):
            yield ("trip", "date"), closed(str(date), [str(text) for text in texts])


def _holidays(typed: Mapping[str, Any]) -> Iterator[Found]:
    code = _table(typed, "season").get("holidays")
    if isinstance(code, str) and code.strip():
        try:
            parse_place(code)
        except HolidayCodeError as error:
            yield ("season", "holidays"), Problem(str(error), read=code[:80])


def _preferred(typed: Mapping[str, Any]) -> Iterator[Found]:
    listed = _table(typed, "choice").get("prefer")
    for i, words in enumerate(listed if isinstance(listed, list) else []):
        if isinstance(words, str) and words.strip():
            try:
                parse_preference(words)
            except SeasonRuleError as error:
                yield ("choice", "prefer", i), Problem(str(error), read=words[:80])


def _treatments(typed: Mapping[str, Any]) -> Iterator[Found]:
    named: list[tuple[Place, object]] = [(("load", "treatment"), _table(typed, "load").get("treatment"))]
    named += [(("waypoints", i, "treatment"), waypoint.get("treatment")) for i, waypoint in _waypoints(typed)]
    for place, word in named:
        if isinstance(word, str) and word.strip() not in TREATMENTS:
            yield place, unknown_choice("water treatment", word, list(TREATMENTS))


def _dry(typed: Mapping[str, Any]) -> Iterator[Found]:
    date = _date(typed)
    for i, waypoint in _waypoints(typed):
        periods = waypoint.get("dry")
        for j, text in enumerate(periods if isinstance(periods, list) else []):
            if not isinstance(text, str):
                continue
            try:
                period = parse_period(text)
                if date is not None:
                    # The day after too: a night out comes by on the way back.
                    for days in (0, 1):
                        period.contains(date + dt.timedelta(days=days))
            except SeasonRuleError as error:
                yield ("waypoints", i, "dry", j), Problem(what=str(error), read=text)


def _waypoints(typed: Mapping[str, Any]) -> list[tuple[int, Mapping[str, Any]]]:
    found = typed.get("waypoints")
    return [(i, one) for i, one in enumerate(found if isinstance(found, list) else []) if isinstance(one, Mapping)]


def closed(date: str, open_words: list[str]) -> Problem:
    """The Problem for a date on which the way is closed."""
    return Problem(
        what="the way is closed on this date",
        read=date,
        allowed="; ".join(open_words),
        mend="choose a date in the season, or correct season.open",
    )


def _date(typed: Mapping[str, Any]) -> dt.date | None:
    """The date, where one is typed: with a time behind it TOML has another kind of value, which is refused anyway."""
    date = _table(typed, "trip").get("date")
    return date if isinstance(date, dt.date) and not isinstance(date, dt.datetime) else None


def _table(typed: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    table = typed.get(name)
    return table if isinstance(table, Mapping) else {}
