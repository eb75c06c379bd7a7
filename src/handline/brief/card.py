"""The card the party carries: two pages of paper, what matters with cold hands in big type."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from typing import Any

from handline.brief import card_words as words
from handline.brief.card_tries import back_tries, front_tries
from handline.brief.contact_words import contacts_shown
from handline.brief.dated_words import weekday_words
from handline.brief.figures import day_strip
from handline.brief.stills import Spec, draw_here
from handline.brief.typesetting import picture_pdf, typeset
from handline.brief.weather_words import as_sentence
from handline.brief.words import SLOWER_THAN_PLANNED, other_days
from handline.day.plan import Plan
from handline.quantity import show_share
from handline.trip.day_model import Paper

CARD_NAME = "card.pdf"
_LEVELS = {"stop": "STOP", "heed": "HEED", "note": "NOTE"}


def card_pdf(plan: Plan, paper: Paper | None = None, strip_svg: str | None = None) -> bytes:
    """The card of a plan as PDF: exactly two pages, the same bytes for the same plan.

    Each page is shown as full as its paper holds: in smaller type first, then with fewer places and sentences, and it
    says how many are left out.

    Parameters
    ----------
    plan : Plan
    paper : "letter" or "a4", optional
        Left out, as the plan says.
    strip_svg : str, optional
        The day strip as it was drawn from ``strip_spec``; left out, it is drawn here.
    """
    svg = next(draw_here([strip_spec(plan)])) if strip_svg is None else strip_svg
    shown = {
        **_both_pages(plan),
        "front": front_tries(plan),
        "back": back_tries(plan),
    }
    return typeset("card.typ", paper or plan.paper, shown, picture_pdf(svg))


def strip_spec(plan: Plan) -> Spec:
    """What the picture on the card is drawn from."""
    return day_strip(plan).complete("narrow")


def _both_pages(plan: Plan) -> dict[str, Any]:
    decision, line, picture = plan.decision, plan.line, day_strip(plan)
    return {
        "name": plan.name,
        "day": weekday_words(date.fromisoformat(plan.date)),
        "about": f"Party of {plan.party_size}. Clock times are {plan.timezone}. {as_sentence(line.name)[:-1]} is "
        f"{line.state}, judged on {line.rock} rock.",
        "level": decision.level,
        "level_word": _LEVELS[decision.level],
        "headline": decision.headline,
        "why": decision.why,
        "facts": [asdict(fact) for fact in words.facts(plan)],
        "latest_says": f"By the latest time your limits still hold on {show_share(plan.wanted_chance)} of days, if no "
        f"storm has begun by then. {SLOWER_THAN_PLANNED}{other_days(plan.timetable)}",
        "rules": words.rules_words(plan),
        "sky": asdict(words.sky_said(plan)),
        "contacts": asdict(contacts_shown(plan)),
        "cautions": plan.cautions,
        "picture_alt": picture.alt,
        "water_notes": words.water_notes(plan),
        "made": f"Handline {plan.provenance.version}; seed {plan.provenance.seed}; "
        f"{plan.provenance.days:,} simulated days; inputs {plan.provenance.inputs_sha256[:12]}.",
    }
