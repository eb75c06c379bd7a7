"""What the crowd's numbers rest on: the rules of the model in words, and every assumption with its source."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from handline.crowd.arrivals import ByHour, StartsAndWalk
from handline.crowd.rules import YIELDS
from handline.day.crowd_setting import CrowdSetting
from handline.day.plan import Assumption
from handline.line.passage import PASSAGE_SIGMA
from handline.quantity import show_clock, show_duration, show_share
from handline.sources import source

RULES = (
    "At the foot and at the head any number may wait, first come, first served; nobody overtakes.",
    "A bay holds one climber going up and one coming down. Who has no free bay ahead waits at a stance while there is "
    "a place, else stays in the bay and blocks it.",
    "Who meets somebody in a bay loses time, and so does the other; or one way waits, where the file says so.",
    "Everybody goes up once, stays above for their own time, queues at the head and comes down. Nobody turns back.",
    "Everybody climbs at the rates and ties on as your party does; people differ, rest, change over and now and then "
    "freeze.",
)


def comes_says(crowd: CrowdSetting) -> str:
    """How people come to the line, in words."""
    comes = crowd.arrivals.comes
    if isinstance(comes, StartsAndWalk):
        walk_s = np.quantile(comes.walk_s, (0.0, 1.0))
        return (
            f"they start about {show_clock(comes.start_clock_s)}, two in three within "
            f"{show_duration(comes.start_sigma_s)} of it, and walk {show_duration(float(walk_s[0]))} to "
            f"{show_duration(float(walk_s[1]))} to the foot"
        )
    if isinstance(comes, ByHour):
        start, end = float(comes.from_clock_s.min()), float(comes.to_clock_s.max())
        return f"they are at the foot from {show_clock(start)} to {show_clock(end)}, as counted"
    return "they come as asked"


def crowd_assumptions(crowd: CrowdSetting) -> tuple[Assumption, ...]:
    """Every assumption: who comes, then how they climb, then how they pass."""
    return (*_who(crowd), *_climbing(crowd))


def _words(key: str) -> str:
    return source(key).words


def _who(crowd: CrowdSetting) -> Iterator[Assumption]:
    arrivals, practice, ours = crowd.arrivals, _words("practice_crowd"), _words("our_crowd_arrivals")
    people = f"{crowd.people}, {crowd.people_says}; your {crowd.party_size} among them"
    yield Assumption("People a day", people, ours, "crowd.people_per_day")
    if isinstance(arrivals.comes, StartsAndWalk):
        share = f"{show_share(arrivals.come_share)} of the others come, party by party"
        yield Assumption("Share who come", share, practice, "crowd.share_who_come")
        yield Assumption("How they come", comes_says(crowd), f"{ours}; {_words('our_pace_mix')}", "crowd.starts")
    else:
        yield Assumption("How they come", comes_says(crowd), ours, "crowd.arrivals")
    yield Assumption("How many together", f"{arrivals.party_of}", practice, "crowd.parties_of")


def _climbing(crowd: CrowdSetting) -> Iterator[Assumption]:
    climbers, line, rates = crowd.climbers, crowd.line, _words("practice_line_rate")
    practice = _words("practice_crowd")
    speed = (
        f"{60.0 * climbers.up_m_s:.3g} m/min up, {60.0 * climbers.down_m_s:.3g} m/min down; two people in three within "
        f"{show_share(PASSAGE_SIGMA)} of it"
    )
    yield Assumption("Rates along the cable", speed, rates, "line.climb_rate")
    change = f"{climbers.changeover_s:.0f} s at each of {line.bays - 1} stops"
    yield Assumption("Changeovers", change, rates, "line.changeover")
    if climbers.rest_chance > 0.0:
        rest = f"{show_duration(climbers.rest_s)} each, {crowd.setting.trip.crowd.stance_places} places each way"
        yield Assumption("Stances", rest, practice, "line.stance_rest")
    freeze = (
        f"{show_share(climbers.freeze_chance)} of people once, half of them over {show_duration(climbers.freeze_s)}"
    )
    yield Assumption("Freezing", freeze, practice, "crowd.freeze_chance")
    passing = f"{YIELDS[line.yields].words}; a meeting costs each {line.pass_s:.0f} s"
    yield Assumption("Meeting in a bay", passing, f"{practice}; {_words('our_crowd_rules')}", "crowd.yields")
    yield Assumption("Above the line", f"half stay less than {show_duration(climbers.top_s)}", practice)
