"""What is told on the way, for the program and for the page alike, and how far the two answers lie apart."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from handline.day.passed_told import PassedAt
from handline.day.planning import Simulated
from handline.day.replan_report import Replan
from handline.day.replanning import replan
from handline.day.subjects import Setting
from handline.day.today_typed import StormToday

HOUR_S, MINUTE_S = 3600.0, 60.0
# A chance this near to the wanted one is a coin flip: two arithmetics may fall on either side.
COIN_FLIP = 0.01


@dataclass(frozen=True)
class Told:
    """What is told at one moment of a day."""

    passed: tuple[PassedAt, ...]
    delay_s: float = 0.0
    storm: StormToday | None = None
    rock: str | None = None

    def to_page(self) -> dict[str, Any]:
        """The same as the script of the page takes it."""
        storm = None if self.storm is None else {"chance": self.storm.chance, "fromClockS": self.storm.from_clock_s}
        return {
            "passed": [{"passing": one.passing, "clockS": one.clock_s} for one in self.passed],
            "today": {"delayS": self.delay_s, "storm": storm, "rock": self.rock},
        }

    def replanned(self, setting: Setting, simulated: Simulated) -> Replan:
        return replan(setting, simulated, self.passed, self.delay_s, self.storm, self.rock)


def many_told(setting: Setting, simulated: Simulated) -> list[Told]:
    """Every passing in its middle; early, late and very late; several passings; a stay, a storm, the rock."""
    itinerary, arrive_s = setting.itinerary, simulated.days.arrive_clock_s
    foot = next(leg for leg, line_leg in enumerate(itinerary.line_legs) if line_leg is not None)
    top = itinerary.legs // 2

    def at(passing: int, late_min: float = 0.0) -> PassedAt:
        middle_s = float(np.median(arrive_s[passing]))
        return PassedAt(passing, float(np.floor(middle_s / MINUTE_S) + late_min) * MINUTE_S)

    start_s = setting.trip.depart_clock_s
    noon_s = 14.0 * HOUR_S
    told = [Told((at(passing),)) for passing in range(1, itinerary.legs)]
    told += [Told((at(foot, late_min),)) for late_min in (-30.0, 25.0, 50.0, 75.0, 120.0, 240.0)]
    told += [
        Told((PassedAt(0, start_s),)),
        Told((PassedAt(0, start_s + 20.0 * MINUTE_S), at(1, 25.0))),
        Told((PassedAt(0, start_s - 40.0 * MINUTE_S), at(1, -35.0), at(foot, -10.0))),
        Told((at(1, 6.0), at(foot, 40.0), at(foot + 1, 60.0))),
        Told(tuple(at(passing, 4.0 * passing) for passing in range(1, top + 2))),
        Told((at(1, 12.0),), delay_s=20.0 * MINUTE_S),
        Told((at(foot, 10.0),), delay_s=75.0 * MINUTE_S),
        Told((at(1),), storm=StormToday(0.6)),
        Told((at(foot, -20.0),), storm=StormToday(0.7, noon_s)),
        Told((at(top, 15.0),), storm=StormToday(0.99, at(top, 60.0).clock_s % 86400.0)),
        Told((at(1),), storm=StormToday(0.0)),
        Told((at(foot),), rock="wet"),
        Told((at(1), at(foot, 35.0)), delay_s=600.0, storm=StormToday(0.3), rock="iced"),
        Told((at(top + 1, 30.0),), rock="dry"),
    ]
    return told


@dataclass
class Apart:
    """The largest differences seen between the program's answers and the page's."""

    chance: float = 0.0
    clock_s: float = 0.0
    answers: int = 0
    coin_flips: int = 0
    verdicts: set[str] = field(default_factory=set)
    other_words: list[tuple[str, str]] = field(default_factory=list)

    def take(self, expected: Replan, found: Mapping[str, Any]) -> None:
        """Hold one answer against the other."""
        self.answers += 1
        self.verdicts.add(expected.advice.key)
        keys = [chance.key for chance in expected.chances]
        assert [chance["key"] for chance in found["chances"]] == keys, found
        assert [course["key"] for course in found["courses"]] == [course.key for course in expected.courses]
        for one, other in (*zip(expected.chances, found["chances"], strict=True),
                           *zip(expected.courses, found["courses"], strict=True)):  # fmt: skip
            self._chances(one.share, other["share"])
            self._chances(one.error, other["error"])
        for course, other in zip(expected.courses, found["courses"], strict=True):
            self._clocks(course.home_clock_s, other["homeClockS"])
        for row, other in zip(expected.ahead, found["ahead"], strict=True):
            self._clocks(row.arrive_clock_s, other["arriveClockS"])
            assert (row.by_latest_share is None) == (other["byLatestShare"] is None)
            self._chances(row.by_latest_share or 0.0, other["byLatestShare"] or 0.0)
        nearest = min(abs(course.share - expected.wanted_chance) for course in expected.courses)
        if expected.advice.key != found["advice"]["key"]:
            assert nearest < COIN_FLIP, (expected.advice, found["advice"])
            self.coin_flips += 1
        self.other_words += [pair for pair in _words(expected, found) if pair[0] != pair[1]]

    def _chances(self, one: float, other: float) -> None:
        self.chance = max(self.chance, abs(one - other))

    def _clocks(self, ones: Sequence[float], others: Sequence[float]) -> None:
        self.clock_s = max(self.clock_s, *(abs(one - other) for one, other in zip(ones, others, strict=True)))


def _words(expected: Replan, found: Mapping[str, Any]) -> list[tuple[str, str]]:
    """Every sentence of both answers, side by side."""
    advice, pace = found["advice"], found["pace"]
    pairs = [
        (expected.at, found["at"]),
        (expected.advice.headline, advice["headline"]),
        (expected.advice.sentence, advice["sentence"]),
        (expected.advice.turn_at, advice["turnAt"]),
        (expected.pace.says, pace["says"]),
        (expected.storm_says, found["stormSays"]),
        (expected.rock_says, found["rockSays"]),
        (expected.line_says, found["lineSays"]),
        ("\n".join(expected.notes), "\n".join(found["notes"])),
    ]
    pairs += [(one.sentence, other["sentence"]) for one, other in zip(expected.chances, found["chances"], strict=True)]
    pairs += [(one.held, other["held"]) for one, other in zip(expected.ahead, found["ahead"], strict=True)]
    return pairs
