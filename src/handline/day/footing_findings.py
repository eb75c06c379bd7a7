"""What to act on about hands and gloves, and about a slab that nobody typed."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handline.day.computed import LineComputed, LineRule
from handline.day.hands import hands_fail_on
from handline.day.line_geometry import SLAB_MEASURED
from handline.day.line_passage import gloves_of
from handline.day.plan import Finding
from handline.line.geometry import WAYS
from handline.line.grip import BARE
from handline.quantity import show_angle, show_length
from handline.sources import source


def _hands_give_out(c: LineComputed) -> Iterator[Finding]:
    failing = [fail for way in WAYS if (fail := hands_fail_on(c.setting, c.setting.rock, way)).at_m is not None]
    if failing:
        no_stances = " Type line.stances where a person can stand at rest." if not c.setting.trip.line.stances_m else ""
        yield Finding(
            "heed",
            "hands_give_out",
            " ".join(fail.says for fail in failing),
            "Half of all people hold less than the median. The pull is that of the heaviest body with its pack, the "
            "friction the low end of what is known; how hands tire is our own rule." + no_stances,
            source("our_hand_rest").words,
        )


def _gloves(c: LineComputed) -> Iterator[Finding]:
    for way in WAYS:
        glove = gloves_of(c.setting.trip, way)
        told_with_the_gear = glove.name == BARE and "gloves" not in c.setting.trip.gear.has
        if told_with_the_gear or way in glove.for_ways:
            continue
        yield Finding(
            "heed",
            f"gloves_{way}",
            f"{glove.title.capitalize()} on the way {way}: {glove.note}. Take leather ones that way.",
            source=source("practice_gloves").words,
        )


def _slab_measured(c: LineComputed) -> Iterator[Finding]:
    if SLAB_MEASURED not in c.setting.guessed:
        return
    line, units = c.setting.line, c.setting.trip.about.units
    low, high = np.min(line.section_angle_rad), np.max(line.section_angle_rad)
    track = c.setting.trip.route.track
    yield Finding(
        "note",
        "slab_measured",
        f"The slab is not typed. From {track}: {show_length(line.length_m, units)} along the rock, "
        f"{len(line.section_length_m)} sections of {show_angle(float(low))} to {show_angle(float(high))}.",
        "Length and slope of the track's pieces between foot and head.",
        source("practice_climb").words,
    )
    yield Finding(
        "heed",
        "slab_rough",
        "The heights of a track are rough: the steepest part of a slab reads too flat, easily by four degrees, and "
        "every pull, slide and force here is then too small. Measure the slab with an angle gauge, or ask who knows "
        "it, and type line.sections.",
        source=source("practice_climb").words,
    )


RULES: tuple[LineRule, ...] = (
    _hands_give_out,
    _gloves,
    _slab_measured,
)
