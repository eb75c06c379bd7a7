"""The copy that stays at home: one page for whoever waits, with when to worry, whom to call and what to tell them."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import Any

from handline.brief.card_places import kept_passings, left_out_words
from handline.brief.card_tries import BIG, SMALL, SMALLEST, Try
from handline.brief.contact_words import contacts_shown
from handline.brief.dated_words import day_and_clock, weekday_words
from handline.brief.typesetting import typeset
from handline.brief.weather_words import as_sentence
from handline.brief.words import is_known, other_days, walk_words
from handline.day.plan import PROBABILITIES, Passing, Plan
from handline.day.plan_load import GearShown
from handline.quantity import show_clock, show_height
from handline.trip.day_model import Paper

HOME_NAME = "home.pdf"
_HALF, _NINE = PROBABILITIES.index(0.50), PROBABILITIES.index(0.90)


def home_pdf(plan: Plan, paper: Paper | None = None) -> bytes:
    """The copy for home of a plan as PDF: exactly one page, the same bytes for the same plan.

    Parameters
    ----------
    plan : Plan
    paper : "letter" or "a4", optional
        Left out, as the plan says.
    """
    shown = {
        "name": plan.name,
        "day": weekday_words(date.fromisoformat(plan.date)),
        "about": f"Clock times are {plan.timezone}.{other_days(plan.timetable)}",
        "facts": [*_start_facts(plan), *_home_facts(plan)],
        "contacts": asdict(contacts_shown(plan)),
        "late": _late_words(plan),
        "tell": _tell_words(plan),
        "party": f"{plan.party_size} {'person' if plan.party_size == 1 else 'people'}",
        "where": _where_words(plan),
        "line": _line_words(plan),
        "gear": _gear_words(plan),
        "cautions": plan.cautions,
        "page": _tries(plan),
    }
    return typeset("home.typ", paper or plan.paper, shown)


# --- when ------------------------------------------------------------------------------------------------------------


def _start_facts(plan: Plan) -> list[dict[str, str]]:
    decision = plan.decision
    if decision.set_out_clock_s is None:
        return [_fact(plan, "They start", decision.start_clock_s)]
    return [
        _fact(plan, f"Set out for {decision.night_at}", decision.set_out_clock_s),
        _fact(plan, f"Leave {decision.night_at}", decision.start_clock_s),
    ]


def _home_facts(plan: Plan) -> list[dict[str, str]]:
    home = plan.timetable[-1]
    return [
        _fact(plan, "Home on half of such days by", home.arrive_clock_s[_HALF]),
        _fact(plan, "on nine in ten by", home.arrive_clock_s[_NINE]),
    ]


def _fact(plan: Plan, title: str, clock_s: float) -> dict[str, str]:
    day, clock = day_and_clock(plan.date, clock_s)
    return {"title": title, "clock": clock, "day": day}


def _late_words(plan: Plan) -> str:
    """What being late means."""
    day, clock = day_and_clock(plan.date, plan.timetable[-1].arrive_clock_s[_NINE])
    return (
        f"One day in ten they are home later than {clock} on {day}, and nothing need be wrong. "
        "If you know that somebody is hurt, do not wait: call at once."
    )


# --- what to tell ----------------------------------------------------------------------------------------------------


def _tell_words(plan: Plan) -> str:
    """What to say first; the rest of the page is to be read out."""
    decision, first = plan.decision, plan.timetable[0]
    out_s = decision.start_clock_s if decision.set_out_clock_s is None else decision.set_out_clock_s
    day, clock = day_and_clock(plan.date, out_s)
    meant_s = plan.contacts.home_by_clock_s
    home_s = plan.timetable[-1].arrive_clock_s[_NINE] if meant_s is None else meant_s
    home_day, home_clock = day_and_clock(plan.date, home_s)
    night = f", with a night at {decision.night_at}" if decision.night_at else ""
    many = "A party of one is" if plan.party_size == 1 else f"A party of {plan.party_size} is"
    return (
        f"“{many} overdue. They set out from {first.name} on {day} at {clock} for {decision.top_at}{night}, over a "
        f"slab with fixed cables, {plan.line.name}. They meant to be home by {home_clock} on {home_day}.” "
        "Then read out this page."
    )


def _where_words(plan: Plan) -> list[str]:
    """The way, and where on the map its highest place is."""
    route, units = plan.route, plan.units
    told = [
        f"{walk_words(route.length_m, units)} in all, {show_height(route.up_m, units)} of climb; between "
        f"{show_height(route.lowest_m, units)} and {show_height(route.highest_m, units)} of height."
    ]
    if is_known(route.latitude_deg) and is_known(route.longitude_deg):
        north, east = ("N" if route.latitude_deg >= 0.0 else "S"), ("E" if route.longitude_deg >= 0.0 else "W")
        told.append(
            f"The highest place is near {abs(route.latitude_deg):.5f} {north}, {abs(route.longitude_deg):.5f} {east}."
        )
    else:
        told.append("Where that is on the map is not in the plan.")
    return told


def _line_words(plan: Plan) -> str:
    line, units = plan.line, plan.units
    chosen = next(row for row in line.tethers if row.chosen)
    cables = {1: "one cable", 2: "two cables"}.get(line.cables, f"{line.cables} cables")
    return (
        f"{as_sentence(line.name)[:-1]}: {show_height(line.length_m, units)} along {cables}, {line.state}. They tie on "
        f"with this: {chosen.title}."
    )


def _gear_words(plan: Plan) -> dict[str, str]:
    """What they have for a night, planned or not."""
    night = f"A night at {plan.decision.night_at} is planned." if plan.decision.night_at else "No night is planned."
    gear, carried = plan.load.gear, plan.load.carried
    return {
        "night": night,
        "for_night": "; ".join(_item(item) for item in gear if item.night),
        "all": "; ".join((*(_item(item) for item in gear if not item.night), *carried)),
    }


def _item(item: GearShown) -> str:
    """How many there are; what is not shared everybody has."""
    count = item.count if item.shared else item.count * len(item.carriers)
    return f"{item.name} ×{count}"


# --- where they should be --------------------------------------------------------------------------------------------


def _tries(plan: Plan) -> list[Try]:
    """The page with every place in big type, then in smaller, then with fewer places."""
    every, looked_for, needed = (_places(plan, most) for most in (2, 1, 0))
    tries = [{"words": every, "scale": scale} for scale in (*BIG, 1.0, *SMALL)]
    tries += [{"words": fewer, "scale": 1.0} for fewer in (looked_for, needed)]
    return tries + [{"words": needed, "scale": scale} for scale in (*SMALL, *SMALLEST)]


def _places(plan: Plan, most: int) -> dict[str, Any]:
    shown = kept_passings(plan, most)
    return {"rows": [_row(passing) for passing in shown], "left_out": left_out_words(plan, shown)}


def _row(passing: Passing) -> dict[str, Any]:
    half, nine = (show_clock(passing.arrive_clock_s[index]).partition(" ") for index in (_HALF, _NINE))
    return {"name": passing.name, "way": passing.way, "half": half[::2], "nine": nine[::2]}
