"""What to act on about the ways side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from handline.choose.options_report import Option
from handline.choose.options_why import NONE_MEETS
from handline.day.plan import LEVELS, Finding
from handline.day.subjects import Setting
from handline.line.geometry import LOWERED
from handline.quantity import show_length
from handline.sources import source


def options_findings(setting: Setting, options: Sequence[Option], recommended: Option | None) -> tuple[Finding, ...]:
    """Every finding, the gravest first.

    ``setting`` is any of the same file: only the place of its anchors counts.
    """
    found = [
        *_none(recommended),
        *_as_planned(options, recommended),
        *_recommended(recommended),
        *_permits_unknown(options),
        *_lowered(setting, options),
    ]
    return tuple(sorted(found, key=lambda finding: LEVELS.index(finding.level)))


def _none(recommended: Option | None) -> Iterator[Finding]:
    if recommended is None:
        yield Finding(
            "stop",
            "none_recommended",
            f"{NONE_MEETS} Shorten the day, tie on with something else, change your limits knowingly, or go another "
            "day.",
            "What keeps each way from being recommended is told above.",
            source("our_recommendation").words,
        )


def _as_planned(options: Sequence[Option], recommended: Option | None) -> Iterator[Finding]:
    """What speaks against the plan as it is typed, where another way is recommended."""
    planned = next((option for option in options if option.as_planned), None)
    if planned is None or (recommended is not None and planned.key == recommended.key):
        return
    if planned.against:
        yield Finding("heed", "as_planned", f"As planned: {'; '.join(planned.against)}.", f"{planned.title}.")


def _recommended(recommended: Option | None) -> Iterator[Finding]:
    """What the recommended option's own plan says to act on about the line."""
    if recommended is not None:
        yield from recommended.heeds


def _permits_unknown(options: Sequence[Option]) -> Iterator[Finding]:
    unknown = [option for option in options if option.permit_chance is None and option.state_on_date]
    if unknown:
        told = "; ".join(dict.fromkeys(option.permit_says for option in unknown))
        yield Finding(
            "heed",
            "permits_unknown",
            f"{told}: what needs it is recommended only where nothing else can be.",
            "Type chance, rates or applicants in [[permits.ways]], or held = true.",
        )


def _lowered(setting: Setting, options: Sequence[Option]) -> Iterator[Finding]:
    """What lowered means, whatever its numbers say."""
    if not any(option.state == LOWERED for option in options) or setting.line.stanchion_spacing_m is None:
        return
    line, units = setting.line, setting.trip.about.units
    held_m = np.unique(np.concatenate([[0.0], line.anchor_m, [line.length_m]]))
    gap = show_length(float(np.diff(held_m).max()), units)
    yield Finding(
        "heed",
        "lowered_care",
        f"Lowered, the cable is held by few anchors, {gap} apart at most, and out of season nobody may be looking "
        "after it. The land manager's rules come first: ask before you go.",
        "Fewer people, no permit and fewer changeovers do not make it less steep.",
        source("practice_lowered_line").words,
    )
