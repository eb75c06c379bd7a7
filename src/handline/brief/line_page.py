"""The line as one offline page: every way of attaching, bay, part, hitch, glove and source, and three pictures."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import cast

from handline.brief import words
from handline.brief.figures.force_trace import force_trace_picture
from handline.brief.figures.slab_section import slab_section
from handline.brief.figures.slip_ends import slip_ends_picture
from handline.brief.figures.theme import VERDICT_WORDS
from handline.brief.line_words import both_ends, changes_words, forces_words, hands_words
from handline.brief.still_page import Sheet, write_still_page
from handline.brief.stills import Draw, draw_here
from handline.day.line_hitch import HitchFacts
from handline.day.line_report import LineReport, PartShown
from handline.day.plan import Plan
from handline.line.footing import BayPull
from handline.line.grip import MORE_THAN_BOTH, HandLoad
from handline.line.slip_chances import ENDS
from handline.quantity import Units, show_angle, show_force, show_mass, show_pull, show_span

LINE_NAME = "line.html"
_SPANS: Mapping[str, Callable[[float, Units], str]] = {"force": show_force, "mass": show_mass}
_HANDS = ("the feet hold", "one", "both", "more than both")


def line_sheet(report: LineReport) -> Sheet:
    """The page of a line report, before it is laid out."""
    trace = force_trace_picture(report)
    on_every_rock = any(tether.by_rock for tether in report.line.tethers)
    ends = (slip_ends_picture(report),) if on_every_rock else ()
    pictures = (slab_section(cast(Plan, report)), *ends, *((trace,) if trace else ()))
    units = report.units
    return Sheet(
        template="line.html",
        units=units,
        pictures=pictures,
        shown={
            "report": report,
            "line": report.line,
            "chosen": report.chosen,
            "ends": ENDS,
            "levels": words.LEVEL_WORDS,
            "verdicts": VERDICT_WORDS,
            "hitches": _hitches(report),
            "parts": _parts(report),
            "hardest": _hardest_bays(report),
            "angle": show_angle,
            "force": partial(words.said, show=partial(show_force, units=units), otherwise="nothing is stopped"),
            "forces": forces_words,
            "pull": partial(show_pull, units=units),
            "seconds": words.seconds_words,
            "span": lambda pair, show: show_span(pair[0], pair[1], _SPANS[show], units),
            "both_ends": both_ends,
            "changes": changes_words,
            "hands_said": hands_words(report),
            "thickness": thickness,
            "hands_needed": hands_needed,
            "hold_for": hold_for,
        },
    )


def write_line(report: LineReport, folder: Path, draw: Draw = draw_here) -> Path:
    """Write the page of a line report into a folder, which is made if need be."""
    return write_still_page(line_sheet(report), folder / LINE_NAME, draw)


def thickness(length_m: float) -> str:
    """How thick a cord or cable is."""
    return f"{1000.0 * length_m:g} mm"


def hands_needed(row: HardestBay) -> str:
    """How many hands the pull takes, up and down."""
    up, down = (_HANDS[min(load.hands, MORE_THAN_BOTH)] for load in (row.up, row.down))
    return up if up == down else f"{up} up, {down} down"


def hold_for(load: HandLoad) -> str:
    """How long both hands of a median woman hold the pull without letting go."""
    time_s = load.endurance_women_s
    if time_s == 0.0:
        return "they cannot"
    return words.said(time_s, words.seconds_words, "no pull")


@dataclass(frozen=True)
class HitchShown:
    """A hitch with the numbers of the tethers it belongs to."""

    numbers: str
    facts: HitchFacts


@dataclass(frozen=True)
class PartOf:
    """A part with the numbers of the tethers it is in."""

    numbers: str
    part: PartShown


@dataclass(frozen=True)
class HardestBay:
    """The bay that asks the most of the hands on one state of the rock, and what the hands need there."""

    rock: str
    today: bool
    bay: BayPull
    pull_N: float
    share: float
    up: HandLoad
    down: HandLoad


def _hitches(report: LineReport) -> list[HitchShown]:
    """Every different hitch once."""
    by_facts: dict[HitchFacts, list[int]] = {}
    for tether in report.line.tethers:
        if tether.hitch is not None:
            by_facts.setdefault(tether.hitch, []).append(tether.number)
    return [HitchShown(_numbers(numbers), facts) for facts, numbers in by_facts.items()]


def _parts(report: LineReport) -> list[PartOf]:
    """Every different part once, the weakest first."""
    by_part: dict[PartShown, list[int]] = {}
    for tether in report.line.tethers:
        for part in tether.parts:
            by_part.setdefault(part, []).append(tether.number)
    ordered = sorted(by_part.items(), key=lambda entry: entry[0].force_N)
    return [PartOf(_numbers(numbers), part) for part, numbers in ordered]


def _numbers(numbers: list[int]) -> str:
    return ", ".join(str(number) for number in dict.fromkeys(numbers))


def _hardest_bays(report: LineReport) -> list[HardestBay]:
    rows = []
    for index, rock in enumerate(report.line.rocks):
        bay = max(report.line.bays, key=lambda bay: bay.pull_N[index])
        rows.append(
            HardestBay(
                rock=rock,
                today=rock == report.line.rock,
                bay=bay,
                pull_N=bay.pull_N[index],
                share=bay.pull_body_weights[index],
                up=bay.hands_up[index],
                down=bay.hands_down[index],
            )
        )
    return rows
