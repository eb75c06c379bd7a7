"""Change every coefficient of every formula in its fourth digit, one at a time, and see whether a test turns red.

Run it from the top of the tree: ``make mutate``, or ``python -m tests.mutants.coefficients --room line --sample 20``.
Every change is made in a private copy of the tree. It can be stopped at any time: what was found is kept, line by line,
under .cache/mutants, and is used again as long as neither the module nor the number changed.
"""

from __future__ import annotations

import argparse
import concurrent.futures
import hashlib
import json
import multiprocessing
import os
import random
import signal
import sys
import tempfile
import time
from collections.abc import Iterator
from itertools import groupby, zip_longest
from pathlib import Path

from tests.mutants import trial
from tests.mutants.literals import DOWN, UP, Literal, changed_source, changed_value, literals_of
from tests.mutants.reasons import Reasons, read_reasons
from tests.mutants.table import write_page

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src" / trial.PACKAGE
PAGE = ROOT / "docs" / "mutants.md"
KEPT = ROOT / ".cache" / "mutants" / "tried.jsonl"
ROOMS = ("line", "walking", "weather", "sky", "crowd", "season", "route", "ground")
# The units of the trip file are the only numbers of a formula below the rooms.
GROUND = ("quantity.py",)
NEAR, ROOM = "near", "room"
A_BATCH = 8
KILLED, SURVIVED = "killed", "survived"


def modules_of(room: str) -> list[str]:
    """The modules of a room, by their path under the package."""
    if room == "ground":
        return list(GROUND)
    return [f"{room}/{file.name}" for file in sorted((SOURCE / room).glob("*.py"))]


def stamp_of(literal: Literal) -> str:
    """What stands for a number in its module as it is now."""
    source = (SOURCE / literal.file).read_bytes()
    return hashlib.sha256(source + literal.key.encode()).hexdigest()[:20]


def kept_results() -> dict[str, dict[str, object]]:
    """What earlier runs found, the last word on each number."""
    if not KEPT.exists():
        return {}
    rows = (json.loads(line) for line in KEPT.read_text(encoding="utf-8").splitlines() if line.strip())
    return {str(row["stamp"]): row for row in rows}


def chosen(options: argparse.Namespace, reasons: Reasons) -> list[Literal]:
    """The numbers asked for that are coefficients, in the order they are written."""
    files = [file for room in options.room or ROOMS for file in modules_of(room)]
    if options.file:
        files = [file for file in files if file in options.file]
    found = [literal for file in files for literal in literals_of(SOURCE, file)]
    found = [literal for literal in found if not literal.left_out and not reasons.left_out(literal)]
    if options.name:
        found = [literal for literal in found if literal.name in options.name]
    if options.sample:
        drawn = random.Random(options.seed).sample(range(len(found)), min(options.sample, len(found)))
        found = [found[at] for at in sorted(drawn)]
    return found


def still_to_try(found: list[Literal], reasons: Reasons, depth: str, again: bool) -> list[Literal]:
    """Those of which nothing is known yet, and those that survived the nearest tests and have no reason to."""
    kept, left = kept_results(), []
    for literal in found:
        row = kept.get(stamp_of(literal))
        deeper = depth == ROOM and row is not None and row["depth"] == NEAR and not reasons.explained(literal)
        if row is None or (row["end"] == SURVIVED and (again or deeper)):
            left.append(literal)
    return left


class Bench:
    """One worker's private tree: made once, then one change after another."""

    def __init__(self, tree: Path) -> None:
        self.tree = tree
        self.changes = 0
        trial.copy_tree(ROOT, tree)
        trial.warm_up(tree)

    def try_numbers(self, numbers: list[Literal], depth: str) -> list[dict[str, object]]:
        """What the tests say of each of them."""
        rows: list[dict[str, object]] = []
        trials = trial.Trials(self.tree, lambda ready: rows.extend(self._try(ready, one, depth) for one in numbers))
        trials.start()
        return rows

    def _try(self, trials: trial.Trials, literal: Literal, depth: str) -> dict[str, object]:
        """Change one number until a test turns red: the module's own tests, those nearest, the room's, others' of it.

        Only in full depth is the change downward tried too, which comes last.
        """
        own, near = trial.tests_near(self.tree, literal.file)
        rest = [test for test in trial.tests_of_room(self.tree, literal.file) if test not in own + near]
        beyond = trial.tests_beyond(self.tree, literal.file)
        stages = [(UP, own), (UP, near)]
        if depth == ROOM:
            stages += [(UP, rest), (UP, beyond), (DOWN, own + near), (DOWN, rest), (DOWN, beyond)]
        row: dict[str, object] = {
            "stamp": stamp_of(literal), "key": literal.key, "line": literal.line, "value": literal.value,
            "end": SURVIVED, "depth": depth, "by": "", "way": "", "took_s": 0.0,
        }  # fmt: skip
        took_s = 0.0
        for way, tests in stages:
            if not tests:
                continue
            outcome = self._with_change(trials, literal, way, tests)
            took_s += outcome.took_s
            if outcome.said == trial.BROKEN:
                raise RuntimeError(f"{literal.key}: the tests could not run\n{outcome.by}")
            if outcome.said in (trial.RED, trial.HUNG):
                by = outcome.by or "a test did not come to an end"
                row.update(end=KILLED, by=by, way="up" if way == UP else "down")
                break
        return row | {"took_s": round(took_s, 2)}

    def _with_change(self, trials: trial.Trials, literal: Literal, way: int, tests: list[str]) -> trial.Outcome:
        red_before = self._red_before(trials, tests)
        file = self.tree / "src" / trial.PACKAGE / literal.file
        source = file.read_bytes()
        fresh = str(self.tree / "numba-fresh") if b"njit" in source else ""
        self.changes += 1
        try:
            file.write_bytes(changed_source(source, literal, way))
            # Python tells an old compiled file by size and whole seconds: no two changes may share them.
            os.utime(file, (self.changes, self.changes))
            return trials.run(tests, deselect=red_before, limit_s=300.0, fresh=fresh)
        finally:
            file.write_bytes(source)

    def _red_before(self, trials: trial.Trials, tests: list[str]) -> tuple[str, ...]:
        """Tests that are red without any change: they show nothing. Each list of tests is tried once by all workers."""
        known = self.tree.parent / (hashlib.sha256("\n".join(tests).encode()).hexdigest()[:20] + ".json")
        if known.exists():
            return tuple(json.loads(known.read_text(encoding="utf-8")))
        red: tuple[str, ...] = ()
        while True:
            outcome = trials.run(tests, deselect=red, limit_s=600.0)
            if outcome.said == trial.GREEN:
                break
            if outcome.said != trial.RED or len(red) > 5:
                raise RuntimeError(f"without any change the tests do not run: {outcome.by}")
            print(f"left aside, red without any change: {outcome.by}", file=sys.stderr)
            red = (*red, outcome.by)
        whole = self.tree / known.name
        whole.write_text(json.dumps(red), encoding="utf-8")
        os.replace(whole, known)
        return red


_bench: Bench | None = None


def _start_bench(folder: str) -> None:
    global _bench
    os.nice(10)
    _bench = Bench(Path(tempfile.mkdtemp(dir=folder)))


def _try(numbers: list[Literal], depth: str) -> list[dict[str, object]]:
    assert _bench is not None
    return _bench.try_numbers(numbers, depth)


def in_batches(numbers: list[Literal]) -> list[list[Literal]]:
    """By module and a few at a time: what one worker does before it tells."""
    batches: list[list[Literal]] = []
    for _, group in groupby(numbers, key=lambda literal: literal.file):
        of_file = list(group)
        batches += [of_file[at : at + A_BATCH] for at in range(0, len(of_file), A_BATCH)]
    # Two workers side by side on one module would both ask first what is red there without any change.
    half = (len(batches) + 1) // 2
    return [batch for pair in zip_longest(batches[:half], batches[half:]) for batch in pair if batch]


def tried(numbers: list[Literal], depth: str, workers: int) -> Iterator[dict[str, object]]:
    """The outcome for each number, as they come."""
    with (
        tempfile.TemporaryDirectory(prefix="mutants-") as folder,
        concurrent.futures.ProcessPoolExecutor(
            workers, multiprocessing.get_context("spawn"), initializer=_start_bench, initargs=(folder,)
        ) as pool,
    ):
        waiting = [pool.submit(_try, batch, depth) for batch in in_batches(numbers)]
        try:
            for done in concurrent.futures.as_completed(waiting):
                yield from done.result()
        finally:
            for one in waiting:
                one.cancel()


def run(options: argparse.Namespace) -> int:
    """Try what is asked for and not known yet; say what survives. 0 where nothing survives unexplained, else 1."""
    reasons = read_reasons()
    found = chosen(options, reasons)
    left = still_to_try(found, reasons, options.depth, options.again)[: options.limit]
    print(f"{len(found)} coefficients, {len(left)} to try", flush=True)
    if options.list:
        for literal in left:
            print(f"  {literal.key} line {literal.line}: {literal.value!r} -> {changed_value(literal.value, UP)!r}")
        return 0
    KEPT.parent.mkdir(parents=True, exist_ok=True)
    began = time.monotonic()
    with KEPT.open("a", encoding="utf-8") as file:
        for number, row in enumerate(tried(left, options.depth, options.workers) if left else (), start=1):
            file.write(json.dumps(row) + "\n")
            file.flush()
            each_s = (time.monotonic() - began) / number
            print(
                f"{number}/{len(left)} {row['end']:8} {row['key']} {row['by']}"
                f" (about {each_s * (len(left) - number) / 60:.0f} min left)",
                flush=True,
            )
    if options.write:
        write_page(PAGE, numbers_by_room(), ends_by_key(), reasons)
    return _said(found, reasons)


def numbers_by_room() -> dict[str, list[Literal]]:
    """Every number of every room, coefficients or not."""
    return {room: [one for file in modules_of(room) for one in literals_of(SOURCE, file)] for room in ROOMS}


def ends_by_key() -> dict[str, dict[str, object]]:
    """What is known of each number as it is now."""
    kept = kept_results()
    numbers = (one for numbers in numbers_by_room().values() for one in numbers)
    return {one.key: row for one in numbers if (row := kept.get(stamp_of(one)))}


def _said(found: list[Literal], reasons: Reasons) -> int:
    kept = kept_results()
    rows = [(literal, kept.get(stamp_of(literal))) for literal in found]
    survived = [literal for literal, row in rows if row is not None and row["end"] == SURVIVED]
    bare = [literal for literal in survived if not reasons.explained(literal)]
    killed = sum(row is not None and row["end"] == KILLED for _, row in rows)
    print(f"{killed} turned a test red, {len(survived)} did not ({len(survived) - len(bare)} of them explained)")
    for literal in bare:
        print(f"  survives: {literal.key} line {literal.line}: {literal.value!r}")
    return 1 if bare else 0


def main() -> int:
    """Read the options and run."""
    ask = argparse.ArgumentParser(prog="mutate", description=__doc__.splitlines()[0] if __doc__ else None)
    ask.add_argument("--room", action="append", choices=ROOMS, help="only this room; may be given more than once")
    ask.add_argument("--file", action="append", help="only this module, such as line/slide.py")
    ask.add_argument("--name", action="append", help="only this constant or function")
    ask.add_argument("--limit", type=int, help="try at most so many")
    ask.add_argument("--sample", type=int, help="draw so many at random")
    ask.add_argument("--seed", type=int, default=1, help="of that draw")
    ask.add_argument("--depth", choices=(NEAR, ROOM), default=ROOM, help="only the nearest tests, or the whole room's")
    ask.add_argument("--again", action="store_true", help="try again what survived before, explained or not")
    ask.add_argument("--workers", type=int, default=2)
    ask.add_argument("--list", action="store_true", help="only say what would be tried")
    ask.add_argument("--write", action="store_true", help="write docs/mutants.md from all that is known")
    options = ask.parse_args()
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    try:
        return run(options)
    except KeyboardInterrupt:
        print("stopped; what was found is kept and not tried again")
        return 130


if __name__ == "__main__":
    sys.exit(main())
