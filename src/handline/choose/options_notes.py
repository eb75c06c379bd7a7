"""What the ways side by side rest on: rules, smallest differences, and what was tried without any change."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from handline.choose.date_pieces import NIGHT, PUSH
from handline.choose.option_changes import Compared
from handline.choose.options_asked import BEST, Asked
from handline.choose.options_words import listed
from handline.choose.what_counts import WHAT_COUNTS
from handline.day.night_setting import camp_of
from handline.day.subjects import Setting
from handline.line.slip_chances import USUAL_DRAWS
from handline.quantity import Units
from handline.sources import source
from handline.trip.model import Trip

STARTS = (
    "Each way is set beside the others from its planned start, where that meets the wanted chance; else from the "
    "latest start that does, else from the one with the highest chance. Tried are starts every ten minutes, half a "
    "day either way. Sleep is not in it, and limits on the clock stay where they are."
)
OTHERS = (
    "Others on the line tie on as the file says, whatever you take; packs are those of the tether and the start in the "
    "file. Turned over for wet rock, the waits stay as they are."
)


def options_notes(
    trip: Trip, known: Setting, asked: Asked, compared: Sequence[Compared], same: Sequence[str]
) -> tuple[str, ...]:
    """What the numbers rest on, and what was turned over without changing the recommendation."""
    return tuple(_notes(trip, known, asked, compared, same))


def _notes(
    trip: Trip, known: Setting, asked: Asked, compared: Sequence[Compared], same: Sequence[str]
) -> Iterator[str]:
    if same:
        yield f"Turned over without another recommendation: {listed(same)}."
    yield STARTS
    yield f"{_counts_words(trip.about.units)} {source('practice_options').words}."
    yield (
        "Recommended is what has the highest chance of its permits and then of all limits, of what nothing speaks "
        "against; what needs a permit of unknown chance comes after the rest. Within one standard error they are "
        "equal: then a stop that was measured goes before one by a hitch, "
        "then the shorter worst slide, then the lighter pack. The rule is ours."
    )
    yield OTHERS
    yield (
        f"How often a slip is not stopped within your limit is of {USUAL_DRAWS:,} drawn slips, as handline line draws "
        "them; slide and force are the plan's, for the heaviest and the low end of friction."
    )
    yield from _waits(known, compared)
    yield from _ways(trip, known, compared)
    yield from _dates(known, asked, compared)


def _counts_words(units: Units) -> str:
    parts = [f"{entry.words} ({_least(entry.key, units)})" for entry in WHAT_COUNTS.values()]
    return f"What counts, and the smallest difference that matters: {listed(parts)}."


def _least(key: str, units: Units) -> str:
    entry = WHAT_COUNTS[key]
    shown = entry.show(entry.least, units)
    return f"{shown.removesuffix(' %')} points" if shown.endswith(" %") else shown


def _waits(known: Setting, compared: Sequence[Compared]) -> Iterator[str]:
    if known.waits_from == "typed":
        yield "Waits are as typed in [crowd], the same raised and lowered, on every date and for a night out."
    elif known.waits_from == "crowd":
        yield "Waits are those of the crowd in the file, simulated in each state; on every date as many come."
    else:
        yield "Nobody typed waits: a usual guess counts, the same raised and lowered."


def _ways(trip: Trip, known: Setting, compared: Sequence[Compared]) -> Iterator[str]:
    ways = {one.option.way for one in compared}
    if NIGHT not in ways:
        yield f"No night out is set beside the push. {camp_of(trip, known.route)[1]}"
    elif not any(item.night for item in trip.gear.items):
        yield (
            "No piece of gear is for the night, so the packs of a night out are lighter here than they will be: type "
            "[[gear.items]] with night = true."
        )
    if PUSH in ways and known.line.stanchion_spacing_m is None:
        yield f"The cable is held by anchors alone: {known.line.state} is its only state here."


def _dates(known: Setting, asked: Asked, compared: Sequence[Compared]) -> Iterator[str]:
    if any(not one.option.state_on_date for one in compared):
        yield (
            "Where the line is not so on the date, the option is only there to compare: it has that date's weather and "
            "light." + ("" if asked.dates == BEST else " --date best looks at each state on a date of its own.")
        )
    if len({one.way.setting.weather.source for one in compared}) > 1:
        yield "The weather of some dates is the forecast's, that of others what is usual there."
