"""The line of the day for the Plan: pulls, passage and wait, and every way of attaching with its sentence."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from statistics import NormalDist

import numpy as np

from handline.day.line_joining import joins_line
from handline.day.line_passage import gloves_of
from handline.day.line_setting import line_stands
from handline.day.plan import RANGE
from handline.day.plan_line import Limit, LinePlan, TetherRow
from handline.day.simulation import LineLeg
from handline.day.subjects import Setting
from handline.day.tether_words import tether_also, tether_sentence
from handline.line.audit import Outcome, audit
from handline.line.footing import bay_pulls
from handline.line.friction import ROCKS
from handline.line.limits import LIMITS
from handline.line.passage import PASSAGE_SIGMA, changeovers
from handline.line.tethers import NONE, Tether
from handline.sources import source

# A brief that is carried shows these, what was chosen, and what the party owns; ``handline line`` shows them all.
SHOWN = ("none", "one sling", "two slings", "rope lanyard", "friction hitch", "absorbing lanyard")


def plan_line(setting: Setting) -> LinePlan:
    """Everything the Plan says about the line."""
    line, trip = setting.line, setting.trip
    up, down = _way(setting, "up"), _way(setting, "down")
    return LinePlan(
        **vars(line_stands(setting)),
        body_mass_kg=setting.body_mass_kg,
        body_force_N=trip.limits.body_force_N,
        bays=bay_pulls(line, setting.body_mass_kg, gloves_of(trip, "up"), gloves_of(trip, "down")),
        passage_up_s=_passage_range(up, setting),
        passage_down_s=_passage_range(down, setting),
        wait_up_s=_wait_range(setting, "up"),
        wait_down_s=_wait_range(setting, "down"),
        tethers=tuple(tether_row(setting, tether) for tether in setting.tethers if is_shown(setting, tether)),
        limits=tuple(
            Limit(limit.key, limit.of, limit.what, limit.force_N, source(limit.source).words)
            for limit in LIMITS.values()
        ),
    )


def is_shown(setting: Setting, tether: Tether) -> bool:
    """Whether a brief that is carried shows a way of attaching."""
    own = {typed.name for typed in setting.trip.tethers.own}
    return tether.name in (*SHOWN, setting.chosen.name) or tether.name in own


def _way(setting: Setting, way: str) -> LineLeg | None:
    """The line on the way up or down; None where the route does not come back over it."""
    for leg, line_leg in zip(setting.route.legs, setting.itinerary.line_legs, strict=True):
        if line_leg is not None and setting.route.points[leg.end].way == way:
            return line_leg
    return None


def _passage_range(leg: LineLeg | None, setting: Setting) -> tuple[float, float, float]:
    """On the rock the line is judged by. The quantile of the largest of n normals is that of one at p^(1/n)."""
    passage_s = leg.passage_by_rock_s[list(ROCKS).index(setting.rock.name)] if leg is not None else 0.0
    slowest = (NormalDist().inv_cdf(probability ** (1.0 / setting.trip.party.size)) for probability in RANGE)
    low, middle, high = (passage_s * float(np.exp(PASSAGE_SIGMA * z)) for z in slowest)
    return low, middle, high


def _wait_range(setting: Setting, way: str) -> tuple[float, float, float]:
    """For the hour in which the party joins the queue on its middle day."""
    for joins in joins_line(setting):
        if joins.way == way:
            low, middle, high = joins.leg.wait.quantiles_s(joins.clock_s, RANGE)
            return low, middle, high
    return 0.0, 0.0, 0.0


def audits(setting: Setting, tether: Tether) -> dict[str, tuple[Outcome, ...]]:
    """What one way of attaching does on every state of the rock, by its name."""
    limit_N = setting.trip.limits.body_force_N
    return {rock.name: _audited(setting.line, tether, rock, setting.body_mass_kg, limit_N) for rock in ROCKS.values()}


# Whoever asks again about another start or another place asks for the same slips.
_audited = lru_cache(maxsize=512)(audit)


def tether_row(setting: Setting, tether: Tether, audited: Mapping[str, tuple[Outcome, ...]] | None = None) -> TetherRow:
    """One way of attaching: its sentence on the rock of the day, its changeovers, and its audit on every rock.

    ``audited`` is what ``audits`` gave, where it is known already.
    """
    line, trip = setting.line, setting.trip
    limit_N = trip.limits.body_force_N
    outcomes = audits(setting, tether) if audited is None else audited
    today = outcomes[setting.rock.name]
    changes = changeovers(line, tether.kind == NONE)
    typed_s = trip.line.changeover_s
    each_s = tether.changeover_s if typed_s is None or tether.kind == NONE else typed_s
    return TetherRow(
        name=tether.name,
        title=tether.title,
        chosen=tether.name == setting.chosen.name,
        sentence=tether_sentence(tether, today, limit_N, trip.about.units, trip.line.stanchion_holds_N),
        also=tether_also(tether, today, limit_N, trip.about.units),
        reach_m=tether.reach_m,
        part_N=tether.weakest.force_N,
        part_words=tether.weakest.words,
        changeovers=changes,
        changeover_s=each_s,
        untied_s=changes * each_s if tether.arms == 1 else 0.0,
        outcomes=tuple(outcome for rows in outcomes.values() for outcome in rows),
    )
