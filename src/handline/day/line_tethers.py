"""Every way of attaching on the line of a setting: its sentence, its chances, its parts and its changeovers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from handline.day.line_callout import Seen, call_out
from handline.day.line_hitch import hitch_facts
from handline.day.line_passage import changeover_of_s, passage_of, rests_of_s
from handline.day.line_report import (
    CaseChances,
    CaseToday,
    Changes,
    EndShare,
    PartShown,
    StopLoad,
    TetherShown,
)
from handline.day.line_setting import LineSetting
from handline.day.line_traces import SlipTrace, hardest_traces
from handline.day.tether_words import main_case, tether_also, tether_sentence
from handline.line.audit import Outcome, audit, cases_of
from handline.line.friction import ROCKS, Rock
from handline.line.geometry import STATES, WAYS, in_state
from handline.line.sensitivity import stopped_share
from handline.line.slip_chances import (
    BREAKS,
    ENDS,
    NOT_STOPPED,
    USUAL_DRAWS,
    SlipChances,
    SlipEnds,
    chances_of,
    slip_chances,
    slip_ends,
)
from handline.line.slip_draws import Draws, draw
from handline.line.tethers import NONE, Tether
from handline.quantity import show_force, show_span
from handline.sources import source


@dataclass(frozen=True, eq=False)
class LineDrawn:
    """Every tether's slips on the rock of the day: drawn by case, and in closed form. Keys are names of tethers."""

    draws: Draws
    mass_kg: tuple[float, float]
    ends: Mapping[str, Mapping[str, SlipEnds]]
    outcomes: Mapping[str, tuple[Outcome, ...]]
    holds_N: float | None

    def main(self, name: str) -> Outcome:
        """The case a tether is judged by."""
        return main_case(self.outcomes[name], self.holds_N)


def draw_line(setting: LineSetting) -> LineDrawn:
    """The slips of every tether on the rock of the day, all with the same draws."""
    trip, line, rock = setting.trip, setting.line, setting.rock
    draws, mass_kg = draw(USUAL_DRAWS, trip.about.seed), mass_range_kg(setting)
    limit_N = trip.limits.body_force_N
    return LineDrawn(
        draws=draws,
        mass_kg=mass_kg,
        ends={
            tether.name: {case: slip_ends(line, tether, rock, case, mass_kg, draws) for case in cases_of(tether, line)}
            for tether in setting.tethers
        },
        outcomes={tether.name: audit(line, tether, rock, setting.body_mass_kg, limit_N) for tether in setting.tethers},
        holds_N=trip.line.stanchion_holds_N,
    )


def traces(setting: LineSetting, drawn: LineDrawn) -> tuple[SlipTrace, ...]:
    """The hardest drawn slip of every tether over time, the chosen one first and on both bodies."""
    rows: list[SlipTrace] = []
    for tether in _chosen_first(setting):
        if tether.kind != NONE:
            ends = drawn.ends[tether.name][cases_of(tether, setting.line)[0]]
            is_chosen = tether.name == setting.chosen.name
            rows += hardest_traces(setting.line, tether, setting.rock, drawn.mass_kg, drawn.draws, ends, soft=is_chosen)
    return tuple(rows)


def tethers_shown(setting: LineSetting, drawn: LineDrawn, whole: bool) -> tuple[TetherShown, ...]:
    """Every way of attaching, the chosen one first; ``whole`` with its chances on every state of the rock."""
    rocks = tuple(ROCKS.values()) if whole else ()
    rests_s = {
        (state, way): rests_of_s(setting.trip, in_state(setting.line, state), setting.rock, way)
        for state in STATES
        for way in WAYS
    }
    return tuple(
        _shown(setting, drawn, tether, number, _changes(setting, tether, rests_s), rocks)
        for number, tether in enumerate(_chosen_first(setting), 1)
    )


def _chosen_first(setting: LineSetting) -> list[Tether]:
    return sorted(setting.tethers, key=lambda tether: tether.name != setting.chosen.name)


def mass_range_kg(setting: LineSetting) -> tuple[float, float]:
    """The lightest and the heaviest of the party, each with a pack."""
    party = setting.trip.party
    lightest_kg = min(body + pack for body, pack in zip(party.light_masses_kg, party.packs_kg, strict=True))
    return lightest_kg, setting.body_mass_kg


def _shown(
    setting: LineSetting,
    drawn: LineDrawn,
    tether: Tether,
    number: int,
    changes: tuple[Changes, ...],
    rocks: tuple[Rock, ...],
) -> TetherShown:
    trip, outcomes = setting.trip, drawn.outcomes[tether.name]
    units, limit_N, main = trip.about.units, trip.limits.body_force_N, drawn.main(tether.name)
    today = [change for change in changes if change.state == setting.line.state]
    seen = Seen(tether, main, today[0].count, sum(change.untied_s for change in today), units)
    return TetherShown(
        number=number,
        name=tether.name,
        title=tether.title,
        chosen=tether.name == setting.chosen.name,
        kind=tether.kind,
        arms=tether.arms,
        verdict=main.verdict,
        sentence=tether_sentence(tether, outcomes, limit_N, units, drawn.holds_N),
        also=tether_also(tether, outcomes, limit_N, units),
        call_out=call_out(seen),
        reach_m=tether.reach_m,
        stiffness_N=tether.stiffness_N,
        stiffness_source=source(tether.source).words,
        weakest_words=tether.weakest.words,
        weakest_N=tether.weakest.force_N,
        parts=tuple(
            PartShown(
                words=part.words,
                force_N=part.force_N,
                known=part.known,
                static=part.static,
                certified_for=part.certified_for,
                not_for=part.not_for,
                source=source(part.source).words,
            )
            for part in tether.every_part
        ),
        outcomes=outcomes,
        today=tuple(_today(case, ends, limit_N) for case, ends in drawn.ends[tether.name].items()),
        by_rock=tuple(_case_chances(chances) for rock in rocks for chances in _by_case(setting, drawn, tether, rock)),
        changes=changes,
        stop_load=_stop_load(setting, main),
        hitch=hitch_facts(tether, setting.line, setting.rock, setting.body_mass_kg),
    )


def _today(case: str, ends: SlipEnds, limit_N: float) -> CaseToday:
    stopped_N = ends.force_N[np.isfinite(ends.force_N)]
    within = stopped_share(ends, limit_N)
    breaks, unstopped = (float((ends.end == ENDS.index(name)).mean()) for name in (BREAKS, NOT_STOPPED))
    return CaseToday(
        case=case,
        stopped_share=within,
        over_share=max(0.0, 1.0 - within - breaks - unstopped),
        breaks_share=breaks,
        unstopped_share=unstopped,
        usual_slide_m=float(np.median(ends.slide_m)),
        longest_m=float(ends.slide_m.max()),
        usual_N=float(np.median(stopped_N)) if stopped_N.size else float("nan"),
        hardest_N=float(stopped_N.max()) if stopped_N.size else float("nan"),
    )


def _by_case(setting: LineSetting, drawn: LineDrawn, tether: Tether, rock: Rock) -> tuple[SlipChances, ...]:
    """The chances on one state of the rock; those on the rock of the day from the slips already drawn."""
    if rock == setting.rock:
        return tuple(chances_of(tether, rock, case, ends) for case, ends in drawn.ends[tether.name].items())
    return slip_chances(setting.line, tether, rock, drawn.mass_kg, drawn.draws)


def _case_chances(chances: SlipChances) -> CaseChances:
    return CaseChances(
        case=chances.case,
        rock=chances.rock,
        ends=tuple(EndShare(end, share) for end, share in chances.share.items()),
        slide_m=chances.slide_m,
        longest_m=chances.longest_m,
        force_N=chances.force_N,
        hardest_N=chances.hardest_N,
        body_share=chances.body_share,
        error=chances.error,
        draws=chances.draws,
    )


def _changes(
    setting: LineSetting, tether: Tether, rests_s: Mapping[tuple[str, str], tuple[float, ...]]
) -> tuple[Changes, ...]:
    """Changeovers in both states, up and down."""
    trip = setting.trip
    rows = []
    for state in STATES:
        line = in_state(setting.line, state)
        for way in WAYS:
            walked = passage_of(trip, line, tether, setting.rock, way, rests_s[state, way])
            each_s = changeover_of_s(trip, tether)
            rows.append(Changes(state, way, walked.changeovers, each_s, walked.untied_s, walked.climber_s))
    return tuple(rows)


def _stop_load(setting: LineSetting, main: Outcome) -> StopLoad | None:
    """The force on the stop: as on the body, and twice that with two; None where nothing stops a slip."""
    if not np.isfinite(main.force_N[1]):
        return None
    units, holds_N = setting.trip.about.units, setting.trip.line.stanchion_holds_N
    two_N = (2.0 * main.force_N[0], 2.0 * main.force_N[1])
    bears = "what its stanchions bear is not typed" if holds_N is None else f"typed: {show_force(holds_N, units)}"
    says = (
        f"The stop must bear {show_span(*main.force_N, show_force, units)} with one on it, and "
        f"{show_span(*two_N, show_force, units)} with two who slip at one moment"
    )
    return StopLoad(main.force_N, two_N, holds_N, f"{says}; {bears}." if setting.line.has_stanchions else f"{says}.")
