"""Permits as the brief and the screen say them."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Sequence
from datetime import date
from functools import cache
from typing import Any

from handline.brief.html import brief_html
from handline.brief.permit_words import permit_line, permits_shown
from handline.day.plan import Plan
from handline.day.planning import make_plan
from tests.day.permit_trips import CAMP, LINE, WALK_UP, permit_trip

VALLEY = '\n[[permits]]\nname = "Valley permit"\nways = [{ way = "first come", opens = "1 May", chance = "50 %" }]\n'
HELD = LINE.replace("largest_party = 6", "held = true\nlargest_party = 6")
HOSTILE = "<script>alert(1)</script>"


@cache
def _plan(more: str, today: date | None = None) -> Plan:
    return make_plan(permit_trip(more), today=today)


def _no_pictures(specs: Sequence[dict[str, Any]]) -> Iterator[str]:
    return iter(['<svg xmlns="http://www.w3.org/2000/svg"/>'] * len(specs))


def _section(plan: Plan) -> str:
    page = brief_html(plan, _no_pictures)
    section = re.search(r'<section aria-labelledby="permits">.*?</section>', page, flags=re.S)
    assert section is not None
    return section[0]


def _words(plan: Plan) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", _section(plan))).split())


def test_a_line_each_on_the_screen() -> None:
    line, _ = _plan(LINE + WALK_UP + CAMP, date(2027, 3, 20)).permits
    assert permit_line(line) == (
        "Line permit: not held; checked at Foot. Apply by 31 March 2027 at 16:00 (in 11 days)."
    )
    held = _plan(HELD).permits[0]
    assert permit_line(held) == "Line permit: held; checked at Foot. Pick it up at the hut by 16 July 2027."
    over = _plan(LINE, date(2027, 7, 1)).permits[0]
    assert permit_line(over) == "Line permit: not held, and no way is left; checked at Foot."
    plain = _plan('\n[[permits]]\nname = "P"\nheld = true\n').permits[0]
    assert permit_line(plain) == "P: held."


def test_the_section_says_everything_of_a_permit_to_get() -> None:
    plan = _plan(LINE + WALK_UP + CAMP, date(2027, 4, 1))
    words = _words(plan)
    line, _ = plan.permits
    assert line.chance is not None
    for part in (
        "Line permit not held",
        line.why,
        "Checked at Foot. 40 people a day. One permit is for at most 6 people.",
        *line.ways,
        *line.next,
        f"It costs {line.fee}",
        "Have ready: list of names.",
        "Chance of getting it:",
        "30 other applications for 40 places",
        "What When From now It may be asked for 1 March 2027 31 days ago",
        "Last day to apply 31 March 2027, 16:00 1 day ago",
        "The draw is told 12 April 2027 in 11 days",
        "Stand in line the hut 16 July 2027, 07:00 in 106 days",
        "Last day to pick it up the hut 16 July 2027 in 106 days",
        "Not needed on this day Camp permit. Only for a night out.",
        "The day and these dates are in plan.ics beside this page",
        "Seen from 1 April 2027.",
    ):
        assert part in words, part


def test_without_a_day_nothing_is_past() -> None:
    words = _words(_plan(LINE))
    assert "ago" not in words
    assert "Seen from" not in words
    assert "From now" not in words
    page = brief_html(_plan(LINE), _no_pictures)
    assert "Deadlines of permits are seen from" not in page
    assert "Deadlines of permits are seen from 2027-04-01" in brief_html(
        _plan(LINE + WALK_UP + CAMP, date(2027, 4, 1)), _no_pictures
    )


def test_a_held_permit_is_short() -> None:
    words = _words(_plan(HELD))
    assert "Line permit held" in words
    assert "Carry: list of names." in words
    for part in ("By draw", "It costs", "Chance of getting it"):
        assert part not in words


def test_no_permits_and_none_needed() -> None:
    assert "The trip file names none. Ask the land manager." in _words(_plan(""))
    none_needed = _words(_plan(CAMP))
    assert "This day needs none of the permits in the trip file." in none_needed
    assert "Camp permit. Only for a night out." in none_needed
    assert "The day is in plan.ics" in none_needed


def test_several_have_a_chance_together_and_one_has_not() -> None:
    shown = permits_shown(_plan(LINE + VALLEY))
    assert shown.together.endswith("%).")
    assert "Line permit and Valley permit" in shown.together_says
    assert "All of them: " in _words(_plan(LINE + VALLEY))
    assert permits_shown(_plan(LINE)).together == ""
    assert "All of them" not in _words(_plan(LINE))


def test_what_keeps_the_party_from_it_is_said() -> None:
    words = _words(_plan(LINE.replace("largest_party = 6", "largest_party = 2")))
    assert 'A party of 3 does not fit "Line permit", which has 2 places on one permit: go as fewer.' in words


def test_hostile_names_stay_text() -> None:
    more = LINE.replace('"Line permit"', f'"{HOSTILE}"').replace('"the hut"', f'"{HOSTILE}"')
    section = _section(_plan(more))
    assert HOSTILE not in section
    assert html.escape(HOSTILE) in section
