"""What pages ask and how it is answered: a trip and a question in, the same frozen result as on the command line out.

A subject is worked out once for the same inputs. What a subject does not look at may change without its being worked
out again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from handline.day.file_checks import subject_problems
from handline.day.line_what_if import Change
from handline.day.plan import Chance, Plan
from handline.day.planning import first_chances, make_plan
from handline.day.setting import Setting, set_up, set_up_again
from handline.day.told import Told
from handline.trip.model import Trip
from handline.trip.reading import FILE_KEYS, Check
from handline.web.folder import TripFile
from handline.web.work import Bench, Work

if TYPE_CHECKING:
    from handline.choose.dates_report import DatesReport
    from handline.choose.options_report import OptionsReport
    from handline.day.crowd_report import CrowdReport
    from handline.day.line_report import LineReport
    from handline.day.load_report import LoadReport


@dataclass(frozen=True)
class Question:
    """One question about one trip: the subject, and what is asked beyond its file."""

    subject: str
    asked: tuple[tuple[str, str], ...] = ()

    def get(self, name: str) -> str | None:
        return dict(self.asked).get(name)


@dataclass(frozen=True)
class Ask:
    """All that a subject is worked out from.

    ``setting`` and ``plan`` give those of the trip, made before or now; ``settled`` keeps what else is made from it.
    """

    trip: Trip
    question: Question
    today: date
    told: Told
    setting: Callable[[], Setting]
    plan: Callable[[], Plan]
    settled: Callable[[Hashable, Callable[[], Any]], Any]


@dataclass(frozen=True)
class Subject:
    """How a subject is worked out.

    ``asked`` are the names of what may be asked; ``ignores`` the sections of a trip file it never looks at.
    """

    words: str
    make: Callable[[Ask], Any]
    asked: tuple[str, ...] = ()
    ignores: frozenset[str] = frozenset()
    of_today: bool = False


def question(subject: str, typed: Mapping[str, str]) -> Question:
    """What is asked about a subject, of everything in an address; empty is not asked."""
    names = SUBJECTS[subject].asked
    return Question(subject, tuple((name, typed[name].strip()) for name in names if typed.get(name, "").strip()))


def asked_of(bench: Bench, trip_file: TripFile, asked: Question) -> Work:
    """The work that answers a question about a trip.

    Raises
    ------
    TripError
        The file cannot be used.
    """
    subject = SUBJECTS[asked.subject]
    trip, today = trip_file.read(_checks_of(asked.subject)), date.today()
    name = str(trip_file.path)

    def key(of: Question) -> Hashable:
        about = SUBJECTS[of.subject]
        return name, of, inputs_of(trip, about.ignores), today if about.of_today else None

    def make(told: Told) -> Any:
        def settled(what: Hashable, make: Callable[[], Any]) -> Any:
            return bench.settled((name, inputs_of(trip), what), make)

        def setting() -> Setting:
            base: Setting = settled("setting", lambda: set_up(trip, told))
            return base

        def plan() -> Plan:
            known: DayAnswer | None = bench.known(key(Question("day")))
            return make_plan(trip, told, today, setting) if known is None else known.plan

        return subject.make(Ask(trip, asked, today, told, setting, plan, settled))

    return bench.ask(key(asked), subject.words, make)


def _checks_of(subject: str) -> Check:
    """What a file is checked for: where other dates are asked about, its own may be closed."""
    if subject == "dates":
        from handline.choose.dates_asked import dates_problems

        return dates_problems
    return subject_problems


def inputs_of(trip: Trip, ignores: frozenset[str] = frozenset()) -> Hashable:
    """What a result hangs on: the trip but for what is ignored, and the files it names as they are now."""
    typed = trip.model_dump_json(exclude=set(ignores)) + ("" if ignores else trip.sha256)
    files = []
    for section, key in FILE_KEYS:
        name = getattr(getattr(trip, section), key, None)
        if name is not None:
            state = trip.file(str(name)).stat()
            files.append((str(name), state.st_size, state.st_mtime_ns, state.st_ino))
    return hashlib.sha256(typed.encode()).hexdigest(), tuple(files)


# --- the subjects ------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class DayAnswer:
    """A plan, and what was changed for it."""

    plan: Plan
    changed: tuple[Change, ...]


@dataclass(frozen=True)
class FirstAnswer:
    """What can be told at once of a changed day."""

    chances: tuple[Chance, ...]
    changed: tuple[Change, ...]


def _day(ask: Ask) -> DayAnswer:
    asked, changed, setting = _changed_day(ask)
    return DayAnswer(make_plan(asked, ask.told, ask.today, setting), changed)


def _day_first(ask: Ask) -> FirstAnswer:
    _, changed, setting = _changed_day(ask)
    return FirstAnswer(first_chances(setting()), changed)


def _changed_day(ask: Ask) -> tuple[Trip, tuple[Change, ...], Callable[[], Setting]]:
    from handline.day.day_what_if import DayWhatIf, with_day
    from handline.day.on_date import forecast_dates, without_forecast

    asked, changed = with_day(ask.trip, DayWhatIf(*(ask.question.get(name) for name in DAY_ASKED)))
    if not changed:
        return ask.trip, (), ask.setting
    if asked.about.date != ask.trip.about.date and asked.weather.forecast is not None:
        date = asked.about.date
        if date not in forecast_dates(asked, ask.setting().timezone, [date]):
            usual = Change("weather", "the weather as usual in the months", asked.weather.forecast)
            asked, changed = without_forecast(asked), (*changed, usual)
    return (
        asked,
        changed,
        lambda: ask.settled(ask.question.asked, lambda: set_up_again(ask.setting(), asked, anew=True)),
    )


def _brief(ask: Ask) -> Mapping[str, bytes]:
    from handline.brief.stills import drawing_apart
    from handline.brief.writing import brief_files

    with drawing_apart() as draw:
        plan = ask.plan()
        ask.told("Making the brief", 0.5)
        return brief_files(plan, draw)


def _line(ask: Ask) -> LineReport:
    from handline.day.line_reporting import line_report
    from handline.day.line_what_if import WhatIf

    ask.told("Slipping on the line", 0.0)
    what_if = WhatIf(*(ask.question.get(name) for name in LINE_ASKED))
    return line_report(ask.trip, what_if, whole=ask.question.subject == "line-whole", known=ask.setting)


def _crowd(ask: Ask) -> CrowdReport:
    from handline.day.crowd_asked import asked_crowd
    from handline.day.crowd_reporting import crowd_report

    wanted = asked_crowd(ask.question.get("people"), None)
    ask.told("Days on the line", 0.0)
    return crowd_report(ask.trip, people=wanted.people, days=wanted.days, pictures=True, told=ask.told)


def _load(ask: Ask) -> LoadReport:
    from handline.day.load_reporting import load_report

    return load_report(ask.trip, ask.told)


def _dates(ask: Ask) -> DatesReport:
    from handline.choose.dates import dates_report
    from handline.choose.dates_asked import DatesAsking, asked_dates

    typed = {name: ask.question.get(name) for name in DATES_ASKED}
    return dates_report(ask.trip, asked_dates(DatesAsking(**typed)), ask.told, ask.today)


def _options(ask: Ask) -> OptionsReport:
    from handline.choose.options import options_report
    from handline.choose.options_asked import asked_options

    wanted = asked_options(ask.trip, ask.question.get("date"), ask.question.get("tethers"), None)
    return options_report(ask.trip, wanted, today=ask.today, told=ask.told)


DAY_ASKED = ("start", "date")
LINE_ASKED = ("state", "rock", "mass", "tether", "reach")
DATES_ASKED = ("first", "last", "ways", "step")
SUBJECTS: Mapping[str, Subject] = {
    "day": Subject("Planning the day", _day, DAY_ASKED, of_today=True),
    "day-first": Subject("The chances of the day", _day_first, DAY_ASKED),
    "line": Subject("Slipping on the line", _line, LINE_ASKED),
    "line-whole": Subject("Slipping on the line, in every state of the rock", _line, LINE_ASKED),
    "crowd": Subject("Days of a crowd", _crowd, ("people",)),
    "load": Subject("Packs, water and food", _load),
    "dates": Subject("A season of dates", _dates, DATES_ASKED, of_today=True),
    "brief": Subject("The brief to carry", _brief, of_today=True),
    "options": Subject("Ways of doing it", _options, ("date", "tethers"), of_today=True),
}
