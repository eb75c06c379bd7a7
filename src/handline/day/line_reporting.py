"""From a trip, and what is asked in place of what its file says, to the frozen LineReport."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from handline import __version__
from handline.day import footing_findings, line_findings, open_findings
from handline.day.cautions import CAUTIONS
from handline.day.computed import LineComputed
from handline.day.day_kept import DayOnLine, kept_day
from handline.day.hands import hands_fail
from handline.day.line_assumptions import line_assumptions
from handline.day.line_passage import gloves_of, passage_of
from handline.day.line_report import GloveShown, LineProvenance, LineReport, LineShown, Moves, SoftBody
from handline.day.line_setting import LineSetting, line_stands, set_up_line
from handline.day.line_tethers import LineDrawn, draw_line, tethers_shown, traces
from handline.day.line_traces import GIVES, RIGID, SlipTrace
from handline.day.line_what_if import STATE, Change, WhatIf, with_changes
from handline.day.load_line import with_packs
from handline.day.plan import LEVELS, Finding
from handline.day.plan_line import Limit, TetherRow
from handline.day.subjects import Setting
from handline.day.tether_words import HOLDS_ITSELF, at_limit
from handline.line.audit import CASE_GRIPS, Outcome
from handline.line.footing import bay_pulls
from handline.line.friction import ROCKS
from handline.line.geometry import DOWN, UP, WAYS
from handline.line.grip import GLOVES
from handline.line.limits import LIMITS
from handline.line.sensitivity import Moved, sensitivity
from handline.line.slip_draws import REACH_SHARE, STIFFNESS_SHARE
from handline.line.tethers import NONE
from handline.quantity import show_force, show_mass, show_share
from handline.sources import source
from handline.trip.model import Trip

# Findings at "stop" that are about what the party ties on with.
TETHER_FINDINGS = ("tether", "brake_only", "hitch_cord")


def line_report(
    trip: Trip, what_if: WhatIf | None = None, *, whole: bool = True, known: Callable[[], Setting] | None = None
) -> LineReport:
    """Everything about the line of a trip.

    Parameters
    ----------
    trip : Trip
        As read from its file.
    what_if : WhatIf
        What is asked for in place of what the file says.
    whole : bool
        With the chances on every state of the rock, which only the page and the JSON show, and which take a while; else
        ``by_rock`` is empty.
    known : callable
        Gives the setting of the trip as its file has it, where that is known already.

    Returns
    -------
    LineReport
        The same trip, seed and question give the same report.

    Raises
    ------
    InputError
        What is asked cannot be used.
    TripError
        Whatever of the file does not fit, all at once.
    """
    asked_for = what_if or WhatIf()
    asked, changed = with_changes(trip, asked_for)
    setting = _as_asked(trip, _set_up(trip, asked, asked_for, known), changed)
    drawn = draw_line(setting)
    shown = _line(setting, drawn, whole)
    found = _findings(setting, shown)
    traced = traces(setting, drawn)
    chosen = shown.tethers[0]
    return LineReport(
        name=trip.about.name,
        units=trip.about.units,
        changed=changed,
        level=found[0].level if found else LEVELS[-1],
        headline=_headline(chosen.kind, drawn.main(chosen.name), asked.limits.body_force_N, found),
        body_mass_kg=setting.body_mass_kg,
        mass_range_kg=drawn.mass_kg,
        body_force_N=asked.limits.body_force_N,
        line=shown,
        findings=found,
        traces=traced,
        soft_body=_soft_body(setting, traced),
        moves=_moves(setting, drawn),
        hands=hands_fail(setting),
        gloves=_gloves(setting),
        passages=tuple(passage_of(asked, setting.line, setting.chosen, setting.rock, way) for way in WAYS),
        limits=tuple(
            Limit(limit.key, limit.of, limit.what, limit.force_N, source(limit.source).words)
            for limit in LIMITS.values()
        ),
        assumptions=line_assumptions(setting, drawn.mass_kg),
        cautions=CAUTIONS,
        provenance=LineProvenance(
            version=__version__,
            seed=trip.about.seed,
            draws=drawn.draws.place.size,
            trip_file=trip.path.name,
            inputs_sha256=setting.inputs_sha256,
        ),
    )


def _set_up(trip: Trip, asked: Trip, what_if: WhatIf, known: Callable[[], Setting] | None) -> LineSetting:
    """The line alone where rock and packs are typed; else the day has said how they come to be, or says so now."""
    base = None if known is None else known()
    setting, weather = set_up_line(asked, known=base), asked.weather
    weather_makes_rock = weather.rock is None and (weather.forecast is not None or bool(weather.months))
    if not weather_makes_rock and not asked.gear.items:
        return setting

    def look() -> DayOnLine:
        from handline.day.setting import set_up, set_up_again

        day = set_up(trip) if base is None else base
        if asked is not trip:
            # Others wait as they do on the planned day: one party's tether or bodies do not change the crowd.
            day = set_up_again(day, asked, anew=True)
        return DayOnLine(day.rock.name, day.trip.party.packs_kg if asked.gear.items else ())

    day = kept_day(setting.inputs_sha256, repr(what_if), look)
    as_packed = with_packs(asked, np.array(day.pack_kg)) if day.pack_kg else asked
    return replace(setting, trip=as_packed, body_mass_kg=as_packed.party.loaded_kg, rock=ROCKS[day.rock])


def _as_asked(trip: Trip, setting: LineSetting, changed: tuple[Change, ...]) -> LineSetting:
    """What a setting cannot know by itself: what was asked for stands in no file, and what the file types goes on.

    A reach that the file types stays with the tether the file chooses, though another is asked about.
    """
    if any(change.option == STATE for change in changed):
        setting = replace(setting, line_says="as asked, whatever the file says")
    own, reach_m = trip.tethers.chosen, trip.tethers.reach_m
    if reach_m is None or own == setting.chosen.name:
        return setting
    return replace(
        setting,
        tethers=tuple(
            replace(tether, reach_m=reach_m) if tether.name == own and tether.kind != NONE else tether
            for tether in setting.tethers
        ),
    )


def _line(setting: LineSetting, drawn: LineDrawn, whole: bool) -> LineShown:
    line, trip = setting.line, setting.trip
    return LineShown(
        **vars(line_stands(setting)),
        stance_m=line.stance_m,
        bays=bay_pulls(line, setting.body_mass_kg, gloves_of(trip, UP), gloves_of(trip, DOWN)),
        tethers=tethers_shown(setting, drawn, whole),
    )


def _findings(setting: LineSetting, shown: LineShown) -> tuple[Finding, ...]:
    """What the rules of the line say; they look at nothing of the day, so no day is simulated."""
    chosen = shown.tethers[0]
    changes = [change for change in chosen.changes if (change.state, change.way) == (shown.state, UP)]
    row = TetherRow(
        name=chosen.name,
        title=chosen.title,
        chosen=True,
        sentence=chosen.sentence,
        also=chosen.also,
        reach_m=chosen.reach_m,
        part_N=chosen.weakest_N,
        part_words=chosen.weakest_words,
        changeovers=changes[0].count,
        changeover_s=changes[0].each_s,
        untied_s=changes[0].untied_s,
        outcomes=chosen.outcomes,
    )
    computed = LineComputed(setting, row, shown.bays)
    rules = (*line_findings.RULES, *footing_findings.RULES, *open_findings.LINE_RULES)
    found = [finding for rule in rules for finding in rule(computed)]
    return tuple(sorted(found, key=lambda finding: LEVELS.index(finding.level)))


_HEADLINES = {
    "no stop": "Do not count on this tether: it is no stop here.",
    "breaks": "Do not count on this tether: a part of it may break.",
    "hurts": "This tether stops a slip harder than your limit on a body.",
}


def _headline(kind: str, main: Outcome, limit_N: float, found: tuple[Finding, ...]) -> str:
    """The answer in one line: about the tether, or about what is graver than anything about it."""
    if main.slide_m[1] == 0.0:
        about = HOLDS_ITSELF
    elif kind == NONE:
        about = "Nothing is attached, and nothing stops a slip."
    else:
        counts_on = "the hitch grips" if main.case == CASE_GRIPS else f"{main.case}"
        within = "at" if at_limit(main, limit_N) else "within"
        about = _HEADLINES.get(main.verdict, f"This tether stops a slip {within} your limit, as long as {counts_on}.")
    stops = [finding for finding in found if finding.level == "stop"]
    if stops and not any(finding.key in TETHER_FINDINGS for finding in stops):
        return stops[0].sentence
    return about


def _soft_body(setting: LineSetting, traced: tuple[SlipTrace, ...]) -> SoftBody | None:
    """The chosen tether's hardest slip on both bodies; None where it stops nothing."""
    units = setting.trip.about.units
    of_chosen = {trace.body: trace for trace in traced if trace.tether == setting.chosen.name}
    if GIVES not in of_chosen:
        return None
    rigid, gives = of_chosen[RIGID], of_chosen[GIVES]
    says = (
        f"Rigid body, the careful side: the hardest drawn slip stops at {show_force(rigid.peak_N, units)}. On a body "
        f"that gives, from memory, it is {show_force(gives.peak_N, units)}; what real bodies give is not well known."
    )
    return SoftBody(rigid.peak_N, gives.peak_N, says, gives.source)


def _moves(setting: LineSetting, drawn: LineDrawn) -> tuple[Moves, ...]:
    units = setting.trip.about.units
    limit_N = setting.trip.limits.body_force_N
    rows = sensitivity(setting.line, setting.chosen, setting.rock, drawn.mass_kg, limit_N, drawn.draws)
    says = {
        "mass": tuple(show_mass(mass_kg, units) for mass_kg in drawn.mass_kg),
        "reach": tuple(f"{show_share(share)} of it" for share in REACH_SHARE),
        "stiffness": tuple(f"{show_share(share)} of it" for share in STIFFNESS_SHARE),
    }

    def row(moved: Moved) -> Moves:
        low_says, high_says = says.get(moved.what, (moved.low_says, moved.high_says))
        return Moves(
            what=moved.what,
            words=moved.words,
            says=(low_says, high_says),
            stopped_share=(moved.stopped_low, moved.stopped_high),
            force_N=(moved.force_low_N, moved.force_high_N),
            verdict=(moved.verdict_low, moved.verdict_high),
            moves_verdict=moved.moves_verdict,
        )

    return tuple(row(moved) for moved in rows)


def _gloves(setting: LineSetting) -> tuple[GloveShown, ...]:
    worn = {way: gloves_of(setting.trip, way).name for way in WAYS}
    return tuple(
        GloveShown(
            title=glove.title,
            mu=tuple(glove.mu[rock] for rock in ROCKS),
            for_ways=glove.for_ways,
            worn=tuple(way for way in WAYS if worn[way] == glove.name),
            note=glove.note,
            source=source(glove.source).words,
        )
        for glove in GLOVES.values()
    )
