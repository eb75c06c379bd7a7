"""How the brief says what the chances hang on: what fails first, what would move them, what spreads the day."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from handline.day.plan_chances import ChanceMoved, ChancePlan, FailsFirstRow, SpreadPart, TurningBack, WaterPlanned
from handline.quantity import say_clock, show_chance, show_duration, show_error, show_share

# Where every limit fails on fewer days than this, a sentence is enough.
WORTH_A_TABLE = 0.005
# A change of less than half a tenth of a point reads as none.
NO_CHANGE = 0.0005
# Sources of the spread below this are named together.
SMALL_SHARE = 0.01
# No source of its own, so it has no row.
TOGETHER = "together"

THINGS: Mapping[str, str] = MappingProxyType(
    {
        "pace": "Pace",
        "start": "Start",
        "wait": "Waits before the line",
        "storm": "Storms",
        "rock": "Rock",
        "stops": "Stops at places",
    }
)


@dataclass(frozen=True)
class FailsShown:
    """One limit that fails first on some days."""

    limit: str
    days: str
    error: str
    where: str


@dataclass(frozen=True)
class MoveShown:
    """One thing, and the chance with it better and worse."""

    thing: str
    better: str
    better_chance: str
    better_change: str
    worse: str
    worse_chance: str
    worse_change: str


@dataclass(frozen=True)
class SpreadShown:
    """One source of the day's spread; ``bar`` is its share in per cent, for the bar."""

    words: str
    share: str
    error: str
    bar: float


@dataclass(frozen=True)
class ChancesShown:
    """All words about what the chances hang on. Each sentence stands where a table is not worth it, or beside it."""

    starts: str
    water: str
    turning_back: str
    fails: tuple[FailsShown, ...]
    fails_says: str
    moves: tuple[MoveShown, ...]
    moves_say: str
    spread: tuple[SpreadShown, ...]
    spread_says: str
    spread_rest: str


def chances_shown(turned: ChancePlan) -> ChancesShown:
    """What the chances of a plan hang on, in words."""
    worth = any(row.share >= WORTH_A_TABLE for row in turned.fails_first)
    return ChancesShown(
        starts=turned.starts.says,
        water=water_says(turned.water),
        turning_back="" if turned.turning_back is None else turning_back_says(turned.turning_back),
        fails=tuple(_fails(row) for row in turned.fails_first if row.share > 0.0) if worth else (),
        fails_says=_fails_say(turned.fails_first, worth),
        moves=tuple(_move(move) for move in turned.moves if _moves_it(move)),
        moves_say=_moves_say(turned.moves),
        spread=tuple(_spread(part) for part in turned.spread if part.key != TOGETHER and part.share >= SMALL_SHARE),
        spread_says=_spread_says(turned),
        spread_rest=_spread_rest(turned.spread),
    )


def water_says(water: WaterPlanned) -> str:
    """How often the water that is planned is enough."""
    enough = f"The water as planned is enough on {show_chance(water.share)} of days ± {show_error(water.error)}"
    if water.share >= 1.0:
        return f"{enough}."
    return f"{enough}; it runs short most often from {water.where}."


def turning_back_says(turning: TurningBack) -> str:
    """What the party's own rules of turning back do."""
    rules = "; ".join(
        f"at {rule.place} after {say_clock(rule.after_clock_s)}: on {show_share(rule.share)} of days"
        for rule in turning.rules
    )
    return (
        f"You turn back {rules}. So you go all the way on {show_chance(turning.top_share)}, and your limits hold on "
        f"{show_chance(turning.kept_share)} ± {show_error(turning.error)}, turned or not."
    )


def per_cent(share: float) -> str:
    """A small share to a tenth of a per cent: "2.4 %", or "under 0.1 %"."""
    return f"{100.0 * share:.1f} %" if share >= NO_CHANGE or share == 0.0 else "under 0.1 %"


def change_words(change: float) -> str:
    """How a chance changes: "up 2.8 points"."""
    if abs(change) < NO_CHANGE:
        return "no change"
    return f"{'up' if change > 0.0 else 'down'} {100.0 * abs(change):.1f} points"


def _fails(row: FailsFirstRow) -> FailsShown:
    return FailsShown(row.sentence, per_cent(row.share), show_error(row.error), row.leg)


def _fails_say(rows: Sequence[FailsFirstRow], worth: bool) -> str:
    if not rows:
        return "No limit is set, so none can fail."
    total = sum(row.share for row in rows)
    if total == 0.0:
        return "No limit failed on any simulated day."
    if not worth:
        return f"Hardly a day breaks a limit: {per_cent(total)} of them, {rows[0].sentence.lower()} most often."
    never = [row.sentence.lower() for row in rows if row.share == 0.0]
    also = f" Never the first to fail: {'; '.join(never)}." if never else ""
    return f"The place is where the party is when the limit fails; the time may have been lost before.{also}"


def _moves_it(move: ChanceMoved) -> bool:
    return max(abs(move.better_change), abs(move.worse_change)) >= NO_CHANGE


def _move(move: ChanceMoved) -> MoveShown:
    return MoveShown(
        thing=THINGS[move.key],
        better=move.better_says,
        better_chance=show_chance(move.better_share),
        better_change=change_words(move.better_change),
        worse=move.worse_says,
        worse_chance=show_chance(move.worse_share),
        worse_change=change_words(move.worse_change),
    )


def _moves_say(moves: Sequence[ChanceMoved]) -> str:
    if not moves:
        return "No limit is set, so there is no chance to move."
    still = [THINGS[move.key].lower() for move in moves if not _moves_it(move)]
    if len(still) == len(moves):
        return "Nothing that was tried moves the chance by a tenth of a point."
    nothing = f" No change from: {', '.join(still)}." if still else ""
    return (
        f"The days are drawn at random; two times in three that puts a change off by no more than "
        f"{show_error(max(move.error for move in moves))} points. A change not much larger may be luck.{nothing}"
    )


def _spread(part: SpreadPart) -> SpreadShown:
    return SpreadShown(_capital(part.words), show_share(part.share), show_error(part.error), 100.0 * part.share)


def _spread_says(turned: ChancePlan) -> str:
    if not turned.spread:
        return "Every simulated day is as long as the next."
    return (
        f"About two days in three are within {show_duration(turned.day_sigma_s)} of the average length. What "
        "makes days differ, and how much of the whole difference (its variance) each is:"
    )


def _spread_rest(parts: Sequence[SpreadPart]) -> str:
    small = [part.words for part in parts if part.key != TOGETHER and part.share < SMALL_SHARE]
    said = [f"Under {show_share(SMALL_SHARE)} each: {', '.join(small)}."] if small else []
    said += [
        f"What is left, {show_share(part.share)} ± {show_error(part.error)}, they make only with each other."
        for part in parts
        if part.key == TOGETHER and part.share > 0.0
    ]
    return " ".join(said)


def _capital(words: str) -> str:
    return words[0].upper() + words[1:]
