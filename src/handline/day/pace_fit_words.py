"""What a fitted pace leaves out and rests on, in plain sentences."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handline.day.recorded import Recorded
from handline.quantity import Units, show_distance, show_duration
from handline.route.counted import counted
from handline.walking.pace_fit import PaceFit
from handline.walking.recording import PIECE_S
from handline.walking.spells import FAST, LOST, PAUSE

# A slope is steep from here, and hardly recorded under so much walking.
STEEP_GRADE = 0.15
HARDLY_S = 600.0


def thrown_out(recorded: Sequence[Recorded], fit: PaceFit, units: Units) -> Iterator[str]:
    """What was not counted as walking, or not fitted to, with numbers."""
    spells = [spell for one in recorded for spell in one.recording.spells]
    words = {
        PAUSE: ("pause", "", "not walking; a plan adds its own rests"),
        LOST: ("gap", " without a signal", "where they walked there is not known"),
        FAST: ("spell", " faster than walking", "a ride, a lift or a run"),
    }
    for kind, (name, which, why) in words.items():
        of_kind = [spell for spell in spells if spell.kind == kind]
        if of_kind:
            spent_s = sum(spell.end_s - spell.start_s for spell in of_kind)
            far = show_distance(sum(spell.length_m for spell in of_kind), units)
            moved = f" over {far}" if kind != PAUSE else ""
            yield f"{counted(len(of_kind), name)}{which}, {show_duration(spent_s)} in all{moved}: {why}"
    if not any(spell.kind == PAUSE for spell in spells):
        yield "No pause of a minute and a half or more was seen"
    edges_s = fit.moving_s - float(fit.pieces.time_s.sum())
    if edges_s >= 60.0:
        beside = f"{show_duration(edges_s)} of walking beside pauses and in stretches under a minute"
        yield f"{beside}: counted as walking, not fitted to"
    if fit.best.outliers:
        odd = f"{counted(fit.best.outliers, 'piece')} of {show_duration(PIECE_S)}"
        yield f"{odd} more than three spreads off the pace: kept, but held from pulling the fit"


def notes(fit: PaceFit, pack_mass_kg: float | None, ground: str, factor: float) -> Iterator[str]:
    """What to know of a fitted pace."""
    if fit.days == 1:
        yield (
            "One day only: how much this pace varies from day to day is what is usual, not what was recorded. "
            "More recordings narrow the spread."
        )
    steep = fit.pieces.rise_m > STEEP_GRADE * fit.pieces.run_m
    if float(fit.pieces.time_s[steep].sum()) < HARDLY_S:
        yield "Hardly any steep climb was recorded: the pace uphill leans on the published model."
    fall = fit.pieces.rise_m < -STEEP_GRADE * fit.pieces.run_m
    if float(fit.pieces.time_s[fall].sum()) < HARDLY_S:
        yield "Hardly any steep descent was recorded: the pace downhill leans on the published model."
    if pack_mass_kg is None:
        yield "The pack was not told (--pack): a plan takes it that nothing was carried, and makes packs slower."
    if factor > 1.0:
        yield (
            f"Recorded on {ground}: {factor:g} times as long as on a good path. The numbers of the models, which are "
            "what is saved, have that taken out; speeds and walks are as recorded."
        )
    else:
        yield (
            "Taken as recorded on a good path (--surface): if it was worse ground, a plan counts that twice, "
            "the slow side."
        )
    yield (
        "Walking by lamp and slowing at the end of a long day are left in: a plan adds its own for both, so they may "
        "count twice, the slow side."
    )
    yield "Stops shorter than about a minute and a half count as walking."
