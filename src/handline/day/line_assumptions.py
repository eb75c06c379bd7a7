"""What the numbers of the line report rest on: what is drawn, over which range, what is held fixed, and whose word."""

from __future__ import annotations

from collections.abc import Iterator

from handline.day.line_passage import gloves_of
from handline.day.line_setting import LineSetting
from handline.day.plan import Assumption
from handline.line.geometry import WAYS
from handline.line.grip import GRIPS
from handline.line.slip_draws import REACH_SHARE, STIFFNESS_SHARE
from handline.line.tethers import HITCH_BITE_M, HITCH_SLACK_M, NONE
from handline.quantity import show_duration, show_force, show_length, show_mass, show_pull, show_share, show_span
from handline.sources import source


def line_assumptions(setting: LineSetting, mass_kg: tuple[float, float]) -> tuple[Assumption, ...]:
    """Every assumption of the report: slips, then the chosen tether, then hands and passage."""
    return (*_slips(setting, mass_kg), *_tether(setting), *_people(setting))


def _words(key: str) -> str:
    return source(key).words


def _slips(setting: LineSetting, mass_kg: tuple[float, float]) -> Iterator[Assumption]:
    units, rock = setting.trip.about.units, setting.rock
    low_mu, high_mu = rock.mu_slide_range
    ours = _words("our_slip_draws")
    yield Assumption("Where a slip starts", "anywhere on the line, evenly", ours)
    mass = f"{show_span(*mass_kg, show_mass, units)} with the pack, evenly"
    yield Assumption("Who slips", mass, f"{ours}; {_words('practice_lightest')}", "party.body_mass, party.members")
    friction = f"{low_mu:g} to {high_mu:g}, evenly; {rock.mu_slide:g} in the sentences"
    yield Assumption(f"Friction of a sliding body on {rock.name} rock", friction, _words(rock.source), "weather.rock")
    yield Assumption("Connector", "up to a reach ahead of the body or behind, evenly", ours)
    hitch = (
        f"{show_length(HITCH_SLACK_M, units)} of slack to a whole reach below the body, then a bite of "
        f"{show_length(HITCH_BITE_M, units)}"
    )
    yield Assumption("Hitch", hitch, _words("practice_hitch"))
    yield Assumption("Reach", f"{_shares(REACH_SHARE)} of it", ours, "tethers.reach")
    yield Assumption("Stiffness", f"{_shares(STIFFNESS_SHARE)} of the stiff end of what is known", ours)
    yield Assumption(
        "Sentences and bars along the rock",
        f"{show_mass(setting.body_mass_kg, units)}, the low end of friction, the whole reach, the stiff end: the "
        "careful end of everything at once, but a tether drawn shorter is stiffer and may stop up to 9 % harder",
        _words("wexler_1950"),
    )
    yield Assumption("Body", "rigid, but where it says otherwise", _words("rigid_mass"))
    yield Assumption("Stops", "they do not give; two people's forces on one stop add up", _words("rigid_mass"))
    yield Assumption("After a part breaks", "not followed: the slide shown ends there", ours)


def _tether(setting: LineSetting) -> Iterator[Assumption]:
    tether, units = setting.chosen, setting.trip.about.units
    if tether.kind == NONE:
        return
    yield reach_and_stretch(setting)
    if tether.absorber is not None:
        absorber = tether.absorber
        text = (
            f"brakes with {show_span(absorber.low_N, absorber.ceiling_N, show_force, units)} dry, up to "
            f"{show_force(absorber.wet_ceiling_N, units)} wet, over {show_length(absorber.travel_m, units)}"
        )
        yield Assumption("Absorber", text, f"{_words(absorber.source)}; {_words('absorber_low')}")


def _people(setting: LineSetting) -> Iterator[Assumption]:
    trip, units = setting.trip, setting.trip.about.units
    yield from gloves_and_grips(setting)
    yield Assumption("How hands tire", "on every bay, and come back at rests", _words("our_hand_rest"))
    rate = f"{show_length(trip.line.climb_rate_m_s * 60, units)} a minute up, "
    rate += f"{show_length(trip.line.descend_rate_m_s * 60, units)} a minute down"
    yield Assumption("Moving on the line", rate, _words("practice_line_rate"), "line.climb_rate, line.descend_rate")
    yield from rests_at_stances(setting)


def reach_and_stretch(setting: LineSetting) -> Assumption:
    """How far the chosen tether reaches, and how stiff it is."""
    tether, units = setting.chosen, setting.trip.about.units
    by_a_hundredth = show_force(0.01 * tether.stiffness_N, units)
    text = f"{show_length(tether.reach_m, units)} of reach, {by_a_hundredth} to stretch it by a hundredth"
    return Assumption(f"Tether: {tether.name}", text, _words(tether.source), "tethers.chosen")


def gloves_and_grips(setting: LineSetting) -> Iterator[Assumption]:
    """What is on the hands each way, and what they squeeze at most."""
    for way in WAYS:
        glove = gloves_of(setting.trip, way)
        text = f"{glove.title}, friction on the cable {glove.mu[setting.rock.name]:g}"
        yield Assumption(f"Hands going {way}", text, _words(glove.source), f"line.gloves_{way}")
    units = setting.trip.about.units
    squeezes = ", ".join(f"a {grip.title} {show_pull(grip.force_N, units)}" for grip in GRIPS.values())
    yield Assumption("What a hand squeezes at most", squeezes, _words("dodds_2014"))


def rests_at_stances(setting: LineSetting) -> Iterator[Assumption]:
    """How long one rests on the line, where there is a stance to do so."""
    line = setting.trip.line
    if line.stances_m:
        text = f"{show_duration(line.stance_rest_s)} at each of {len(line.stances_m)} stances"
        yield Assumption("Rests on the line", text, _words("practice_line_rate"), "line.stance_rest")


def _shares(ends: tuple[float, float]) -> str:
    low, high = ends
    return f"{show_share(low)} to {show_share(high)}"
