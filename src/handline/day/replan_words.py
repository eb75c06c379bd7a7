"""What to do from here, and the words of a replanned day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from handline.day.limits import DayLimits, limit_sentences
from handline.day.pace_posterior import READ_TO_S, PacePosterior
from handline.day.replan_report import Advice, Course, StretchSeen
from handline.quantity import say_clock, show_chance, show_duration, show_share


def limit_words(limits: DayLimits, kept: Sequence[str]) -> Mapping[str, str]:
    """A sentence for each limit by its key."""
    return {**limit_sentences(limits), "all": "All of these on one day" if len(kept) > 1 else "No limit is left"}


# A place that the party reaches in time on fewer days than this is no place to decide at: it will turn there.
# Common practice, no source.
IN_TIME_SHARE = 0.10
# Later than its latest time on more days than this, a passing counts as lost.
LOST_FROM_SHARE = 0.5


@dataclass(frozen=True)
class Decide:
    """The next place at which it is decided again; ``place`` is empty where there is none.

    ``by_clock_s`` is the latest time there from which the limits are met as often as wanted, NaN or infinite where
    there is none; ``there_by_share`` the chance of being there by then.
    """

    place: str
    by_clock_s: float
    there_by_share: float

    @property
    def has_time(self) -> bool:
        return bool(self.place) and bool(np.isfinite(self.by_clock_s))


@dataclass(frozen=True)
class Bar:
    """A line that nobody should step onto, on this rock, and why; ``before_line`` where the party is not on it yet."""

    rock: str
    says: str
    before_line: bool


def advise(
    courses: Sequence[Course], wanted: float, decide: Decide, bar: Bar | None = None, *, any_left: bool
) -> Advice:
    """What to do, from the chances of all ways on, and from the line where it is still to be gone up.

    Before a line that is barred the party turns, whatever the chances of going on are: at once where they say so, else
    at the foot. Past its foot it is told. Where nothing bars the line, the chances alone decide:

    1. With no limit left, or no way to turn, the party goes on.
    2. Where going on meets the limits often enough, it goes on, and holds the time at the next place to decide against
       the latest one there.
    3. Where it does not, but turning at the foot of the line does, it goes on to the foot: to decide there where it may
       well be there in time to go on, and else to turn there.
    4. Else it turns now, if turning keeps the limits oftener, or as often and brings it home sooner.

    Parameters
    ----------
    courses : sequence of Course
        Going on among them.
    wanted : float
        How surely the limits are to be kept, 0 to 1.
    bar : Bar, optional
        Why nobody should step onto the line.
    any_left : bool
        Whether any limit is left to miss.
    """
    by_chance = _advise_by_chance(courses, wanted, decide, any_left)
    return by_chance if bar is None else _at_the_bar(bar, by_chance, courses)


def _advise_by_chance(courses: Sequence[Course], wanted: float, decide: Decide, any_left: bool) -> Advice:
    by_key = {course.key: course for course in courses}
    on, here, foot = by_key["go on"], by_key.get("turn here"), by_key.get("turn at the foot")
    if not any_left:
        return Advice("go_on", "Go on", "There is no limit left to miss.")
    going_on = f"Going on, {_kept(on)}; you asked for {show_share(wanted)}."
    if here is None:
        return Advice("go_on", "Go on", going_on)
    foot_does = foot is not None and foot.share >= wanted
    in_time = decide.has_time and decide.there_by_share >= IN_TIME_SHARE
    if in_time and (on.share >= wanted or foot_does):
        return _turn_by(going_on, foot if on.share < wanted else None, decide)
    if on.share < wanted and foot is not None and foot_does:
        return _only_to_foot(going_on, foot)
    if on.share >= wanted:
        return Advice("go_on", "Go on", going_on)
    if (here.share, -here.home_clock_s[1]) > (on.share, -on.home_clock_s[1]):
        return _turn_now(going_on, here, foot, wanted)
    return Advice("go_on", "Go on", f"{going_on} Turning here is no better: {_kept(here)}, {_home(here)}.")


def _at_the_bar(bar: Bar, by_chance: Advice, courses: Sequence[Course]) -> Advice:
    """Turn before a line that nobody should step onto; know of it where it is still to be come down."""
    if not bar.before_line:
        headline = f"{by_chance.headline}; mind the line on {bar.rock} rock"
        return replace(by_chance, headline=headline, sentence=f"{by_chance.sentence} The line: {bar.says}")
    by_key = {course.key: course for course in courses}
    here, foot = by_key.get("turn here"), by_key.get("turn at the foot")
    why = f"Do not go onto the line on {bar.rock} rock. {bar.says}"
    if by_chance.key == "turn_now":
        return replace(by_chance, sentence=f"{why} {by_chance.sentence}")
    if foot is not None:
        return _only_to_foot(why, foot)
    if here is not None:
        return Advice("turn_now", "Turn now", f"{why} Turning now, {_kept(here)}, and you are {_home(here)}.")
    return Advice("turn_now", "Do not go onto the line", why)


def _turn_by(going_on: str, better: Course | None, decide: Decide) -> Advice:
    by = say_clock(decide.by_clock_s)
    only = "" if better is None else f" Going only as far as {better.turn_at}, {_kept(better)}."
    sentence = (
        f"{going_on}{only} You come to {decide.place} by {by} on {show_chance(decide.there_by_share)} of them;"
        " if you are not there by then, turn round."
    )
    return Advice("turn_by", f"Go on, turn at {decide.place} by {by}", sentence, decide.place, decide.by_clock_s)


def _only_to_foot(going_on: str, foot: Course) -> Advice:
    sentence = f"{going_on} Going only as far as {foot.turn_at}, {_kept(foot)}, and you are {_home(foot)}."
    return Advice("turn_by", f"Go on only as far as {foot.turn_at}, and turn there", sentence, foot.turn_at)


def _turn_now(going_on: str, here: Course, foot: Course | None, wanted: float) -> Advice:
    sentence = f"{going_on} Turning now, {_kept(here)}, and you are {_home(here)}."
    if foot is not None:
        sentence += f" Turning only at {foot.turn_at}, {_kept(foot)}, {_home(foot)}."
    if here.share < wanted:
        sentence += " Turning now does not meet them as often as you asked either, but it does better."
    return Advice("turn_now", "Turn now", sentence)


def _kept(course: Course) -> str:
    return f"your limits hold on {show_chance(course.share)} of days like this one"


def _home(course: Course) -> str:
    return f"home about {say_clock(course.home_clock_s[1])}"


def pace_words(pace: PacePosterior, stretches: Sequence[StretchSeen]) -> str:
    """The pace learned, in a sentence."""
    told = [stretch for stretch in stretches if stretch.tells]
    if not told or not float(pace.sigma) > 0.0:
        return "Nothing was learned of your pace yet, so it is the plan's."
    low, high = (float(end) for end in pace.band())
    factor = float(pace.factor)
    way = f"from {told[0].start} to {told[-1].end}"
    return (
        f"By the way {way} you take {factor:.2f} times as long as the plan's middle on what is left"
        f" (8 in 10: {low:.2f} to {high:.2f})."
    )


def notes(
    stretches: Sequence[StretchSeen], start_assumed_s: float | None, clock_s: float, new_weather: bool, why_no_turn: str
) -> Iterator[str]:
    """What the numbers rest on and what the leader should look at again."""
    if start_assumed_s is not None:
        yield f"No start was told, so the party is taken to have left at {say_clock(start_assumed_s)} as planned."
    for stretch in stretches:
        between = f"from {stretch.start} to {stretch.end}"
        if stretch.tells and stretch.learned_s - stretch.took_s >= READ_TO_S:
            cut = show_duration(stretch.learned_s - stretch.took_s)
            yield (
                f"The way {between} was quicker than on most days. {cut} of that is put down to a stop cut short, not "
                "to fast walking. Was water treated, did everybody rest?"
            )
        if stretch.shorter_share == 0.0:
            yield f"The way {between} was faster than on any simulated day: look again at place and time."
        if stretch.shorter_share == 1.0 and stretch.tells:
            yield (
                f"The way {between} was slower than on any simulated day. It counts as slow walking; a long stop there"
                " would make the rest look slower than it is."
            )
    yield f"Counted from {say_clock(clock_s)}, no storm having begun by then. Once one has, these chances do not hold."
    if new_weather:
        yield "The latest times are the plan's, with the weather it was made with; the chances are with what you typed."
    if why_no_turn:
        yield why_no_turn
