"""Why an option is recommended, or why none is: the headline and its reasons, with the numbers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from handline.choose.nearest import nearest, none_better_says, order_says, stops_slips
from handline.choose.options_report import Option
from handline.choose.options_words import (
    chance_words,
    latest_says,
    leave_words,
    pack_words,
    permit_words,
    slip_words,
)
from handline.choose.recommending import Bounds, as_likely, candidate
from handline.quantity import Units, say_clock, show_duration, show_share

NONE_MEETS = "No way of doing it meets what you stated."


def headline(recommended: Option | None) -> str:
    """The answer in one line."""
    if recommended is None:
        return NONE_MEETS
    planned = ", as planned" if recommended.as_planned else ""
    return f"{recommended.title}, {leave_words(recommended)}{planned}."


def why_recommended(options: Sequence[Option], recommended: Option, bounds: Bounds, units: Units) -> tuple[str, ...]:
    """What speaks for the recommended option, and what comes next."""
    return tuple(_why(options, recommended, bounds, units))


def _why(options: Sequence[Option], recommended: Option, bounds: Bounds, units: Units) -> Iterator[str]:
    asked = show_share(bounds.wanted_chance)
    yield (
        f"All your limits hold in {chance_words(recommended)} of days, {leave_words(recommended)}; you asked for "
        f"{asked}, and {latest_says(recommended)}."
    )
    yield f"{recommended.tether_title}. {recommended.sentence}"
    permits = permit_words(recommended)
    yield (
        f"{permits[:1].upper()}{permits[1:]}; half the days you are home by {say_clock(recommended.home_clock_s)}, "
        f"{show_duration(recommended.day_s)} after leaving; the heaviest pack is {pack_words(recommended, units)}."
    )
    possible = [option for option in options if option.state_on_date]
    meet = [option for option in possible if not option.against]
    yield (
        f"Of {len(options)} ways side by side {len(possible)} can be done on their date, and "
        f"{len(meet)} of those {'meets' if len(meet) == 1 else 'meet'} everything you stated."
    )
    others = [option for option in meet if option.key != recommended.key]
    if others:
        yield _next(max(others, key=lambda option: candidate(option).value), recommended, units)


def _next(other: Option, recommended: Option, units: Units) -> str:
    """What comes next, and where it differs."""
    title = f"{other.title[:1].lower()}{other.title[1:]}"
    slips = slip_words(other, units)
    permits = "" if other.permit_chance == 1.0 else f", {permit_words(other)}"
    equal = " as likely, within the error," if as_likely(candidate(other), candidate(recommended)) else ""
    return f"Next comes {title}:{equal} {leave_words(other)}, with {chance_words(other)}{permits}; {slips}."


def why_none(options: Sequence[Option]) -> tuple[str, ...]:
    """Why each way fails: of each way and state the option that comes nearest, with everything against it.

    Last comes what nearest means, where there are several of any.
    """
    blocks = [list(of_one) for _, of_one in groupby(options, key=lambda option: (option.way, option.state))]
    says = (order_says(),) if any(len(block) > 1 for block in blocks) else ()
    return (*map(_fails, blocks), *says)


def _fails(options: list[Option]) -> str:
    one = nearest(options)
    several = f" (the nearest of {len(options)})" if len(options) > 1 else ""
    none_better = f" {none_better_says(len(options))}" if several and not stops_slips(one) else ""
    return f"{one.title}{several}: {'; '.join(one.against)}.{none_better}"
