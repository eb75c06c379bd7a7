"""The numbers a plan rests on that a leader may want to change, each with where it comes from."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handline.day.line_assumptions import gloves_and_grips, reach_and_stretch, rests_at_stances
from handline.day.line_joining import joins_line
from handline.day.line_passage import passage_of
from handline.day.plan import Assumption
from handline.day.subjects import Setting
from handline.line.geometry import UP
from handline.line.grip import ENDURANCE_SHARE
from handline.line.tethers import GRIPPING, HITCH_BITE_M, HITCH_SLACK_M, NONE
from handline.quantity import say_clock, show_duration, show_force, show_length, show_mass, show_share
from handline.sources import source


def assumptions(setting: Setting) -> tuple[Assumption, ...]:
    """Every assumption of this plan, in the order of the day."""
    return tuple(_walking(setting)) + tuple(_line(setting)) + tuple(_storm(setting))


def _words(key: str) -> str:
    return source(key).words


def _walking(setting: Setting) -> Iterator[Assumption]:
    party, route = setting.trip.party, setting.trip.route
    model = route.pace_model
    yield Assumption(
        "Pace",
        f"the model {model} alone" if model else f"a mix of {len(setting.pace.mix.keys)} published models",
        "each model's own, below",
        "route.pace_model",
    )
    people, legs = show_share(party.pace_spread), show_share(party.leg_spread)
    spread = f"{people} between people, {legs} from leg to leg; the slowest counts"
    yield Assumption("Spread of pace", spread, _words("practice_pace_spread"), "party.pace_spread")
    memory = f"what a leg takes more or less stays with the next by a correlation of {party.leg_memory:g}"
    yield Assumption("A slow leg", memory, _words("practice_leg_memory"), "party.leg_memory")
    units = setting.trip.about.units
    if not party.members:
        lightest_kg = min(party.light_masses_kg)
        yield Assumption(
            "Lightest person",
            f"{show_mass(lightest_kg, units)}: the same pack slows the lightest most",
            _words("practice_lightest") if party.lightest_mass_kg is None else "as typed",
            "party.lightest_mass",
        )
    yield Assumption(
        "People of the pace models",
        "without a pack, but for the crews of Sullivan 2020; a lighter pack than theirs counts as no gain",
        _words("our_load_rule"),
        "party.factors.load",
    )


def _line(setting: Setting) -> Iterator[Assumption]:
    trip, units, tether = setting.trip, setting.trip.about.units, setting.chosen
    rate = f"{show_length(trip.line.climb_rate_m_s * 60, units)} a minute up, "
    rate += f"{show_length(trip.line.descend_rate_m_s * 60, units)} a minute down, one person to a bay"
    yield Assumption("Moving on the line", rate, _words("practice_line_rate"), "line.climb_rate")
    for joins in joins_line(setting):
        half, most = (show_duration(wait_s) for wait_s in joins.leg.wait.quantiles_s(joins.clock_s, (0.5, 0.9)))
        wait, stands_on = f"half the days {half} or less, nine in ten {most}", "as typed"
        if setting.waits_from == "crowd":
            wait = f"joining about {say_clock(joins.clock_s)} {wait}; by the hour, from the trip's own crowd"
            stands_on = _words("our_crowd_rules")
        elif f"wait_{joins.way}" in setting.guessed:
            stands_on = _words("practice_line_wait")
        yield Assumption(f"Wait before the line, {joins.way}", wait, stands_on, f"crowd.wait_{joins.way}")
    yield Assumption(
        "Body in a slip",
        f"{show_mass(setting.body_mass_kg, units)}, pack of {show_mass(trip.party.pack_mass_kg, units)} included; the "
        "heaviest of the party",
        f"{_words('rigid_mass')}; {_words('practice_pack')}",
        "party.body_mass",
    )
    yield Assumption(
        f"Friction on {setting.rock.name} rock",
        f"soles {setting.rock.mu_foot:g}, sliding body {setting.rock.mu_slide:g}",
        _words(setting.rock.source),
        "weather.rock",
    )
    if tether.kind != NONE:
        yield reach_and_stretch(setting)
        weakest = f"{tether.weakest.words}, {show_force(tether.weakest.force_N, units)}"
        yield Assumption("Weakest part of the tether", weakest, _words(tether.weakest.source), "tethers.own")
        change_s = tether.changeover_s if trip.line.changeover_s is None else trip.line.changeover_s
        yield Assumption("Changeover", f"{change_s:.0f} s a stop", _words("practice_line_rate"), "line.changeover")
    if tether.absorber is not None:
        absorber = tether.absorber
        text = f"opens above {show_force(absorber.activation_N, units)}, then at most "
        text += f"{show_force(absorber.ceiling_N, units)} dry and {show_force(absorber.wet_ceiling_N, units)} wet, "
        text += f"over {show_length(absorber.travel_m, units)}"
        yield Assumption("Absorber", text, _words(absorber.source))
        low = f"at least {show_force(absorber.low_N, units)} while it gives"
        yield Assumption("Absorber, braking", low, _words("absorber_low"))
    if tether.kind == GRIPPING:
        slack = f"{show_length(HITCH_SLACK_M, units)} of slack, bites within {show_length(HITCH_BITE_M, units)}"
        yield Assumption("Hitch", slack, _words("practice_hitch"))
    yield from _hands(setting)


def _hands(setting: Setting) -> Iterator[Assumption]:
    trip = setting.trip
    yield from gloves_and_grips(setting)
    yield Assumption(
        "Hands over an hour", f"{show_share(ENDURANCE_SHARE)} of the most they can do", _words("bjorksten_1977")
    )
    rests_s = sum(bay.hand_rest_s for bay in passage_of(trip, setting.line, setting.chosen, setting.rock, UP).bays)
    if rests_s > 0.0:
        text = f"{show_duration(rests_s)} for each climber on the way up, beyond those on dry rock"
        yield Assumption(f"Rests of the hands on {setting.rock.name} rock", text, _words("our_hand_rest"))
    yield from rests_at_stances(setting)


def _storm(setting: Setting) -> Iterator[Assumption]:
    guessed = "storm_chance" in setting.guessed
    yield Assumption(
        "A storm that day",
        show_share(setting.storm_chance),
        _words("practice_storm") if guessed else setting.storm_says,
        "weather.storm_chance",
    )
    when = "as lightning is spread over the hours, an hour earlier for high ground, level after the last published hour"
    spread = f"{_words('nws_pueblo_lightning')}; {_words('practice_storm')}"
    if setting.trip.weather.storm_chance is None and np.isfinite(setting.weather.thunder_chance).any():
        when, spread = f"hour by hour as the forecast says; hours it leaves out {when}", f"the forecast; {spread}"
    yield Assumption("When storms begin", when, spread, "weather.storm_from")
    if setting.camp is not None:
        yield Assumption(
            "Storms on the way to the camp",
            "not counted: the chance is from leaving the camp until off the line",
            _words("our_night_out"),
            "limits.off_line_before_storm",
        )
