"""docs/mutants.md: what was tried, what was seen, and what is explained."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

from tests.mutants.literals import Literal
from tests.mutants.reasons import Reasons

Ends = Mapping[str, Mapping[str, object]]

HEAD = """# Coefficients changed in their fourth digit

A wrong digit in a formula must turn a test red. `make mutate` proves it: it takes every number that is a coefficient,
one at a time, changes its fourth significant digit (by one to five units of it, 0.03 to 0.1 % of the number) in a
private copy of the tree, and runs the tests of that module, then those of its room that import it, then all of its
room, then those of other rooms that import it. If all stay green it changes the number the other way and asks again. A
number has survived when no test turned red either way. What was found is kept under `.cache/mutants`, so it can be
stopped and taken up again, and only what changed is tried anew: `python -m tests.mutants.coefficients --help` lists the
ways to ask for less.

This page is written by `python -m tests.mutants.coefficients --write` from what that machine has tried.

A test that is red shows that somebody looked at the number, not that the number is right: that is for the source named
beside the check. Of a threshold, one direction is enough: a test that stands exactly on it sees it move one way only.

"""


def write_page(page: Path, rooms: Mapping[str, list[Literal]], ends: Ends, reasons: Reasons) -> None:
    """Write the page anew from the numbers of each room and what the tests said of them, by key."""
    page.write_text("".join(_page(rooms, ends, reasons)), encoding="utf-8")


def _page(rooms: Mapping[str, list[Literal]], ends: Ends, reasons: Reasons) -> Iterator[str]:
    yield HEAD
    yield "## What was seen\n\n"
    yield "| room | numbers | no coefficient | coefficients | a test turned red | survived, explained"
    yield " | survived, open | not tried |\n|---|---|---|---|---|---|---|---|\n"
    total = [0] * 7
    for room, numbers in rooms.items():
        counts = _counts(numbers, ends, reasons)
        total = [whole + count for whole, count in zip(total, counts, strict=True)]
        yield f"| {room} | {' | '.join(str(count) for count in counts)} |\n"
    yield f"| all | {' | '.join(str(count) for count in total)} |\n\n"
    yield from _survivors(rooms, ends, reasons)
    yield from _left_out(rooms, reasons)


def _is_coefficient(literal: Literal, reasons: Reasons) -> bool:
    return not literal.left_out and not reasons.left_out(literal)


def _survived(literal: Literal, ends: Ends) -> bool:
    return ends.get(literal.key, {}).get("end") == "survived"


def _counts(numbers: list[Literal], ends: Ends, reasons: Reasons) -> list[int]:
    asked = [one for one in numbers if _is_coefficient(one, reasons)]
    survived = [one for one in asked if _survived(one, ends)]
    explained = sum(bool(reasons.explained(one)) for one in survived)
    killed = sum(ends.get(one.key, {}).get("end") == "killed" for one in asked)
    untried = len(asked) - killed - len(survived)
    left = len(numbers) - len(asked)
    return [len(numbers), left, len(asked), killed, explained, len(survived) - explained, untried]


def _survivors(rooms: Mapping[str, list[Literal]], ends: Ends, reasons: Reasons) -> Iterator[str]:
    survived = [
        one for numbers in rooms.values() for one in numbers if _is_coefficient(one, reasons) and _survived(one, ends)
    ]
    yield "## Changes that no test sees, and why\n\n"
    yield "Of these some were only tried upward, with the tests nearest to them: `--again` asks the others too.\n\n"
    for reason in reasons.explain:
        fits = [one for one in survived if reason.fits(one)]
        if fits:
            yield f"- {_named(fits)}: {reason.why}.\n"
    bare = [one for one in survived if not reasons.explained(one)]
    yield "\n## Changes that no test sees yet\n\n"
    if not bare:
        yield "None.\n"
    for one in bare:
        depth = " (only the nearest tests were run)" if ends[one.key].get("depth") == "near" else ""
        yield f"- `{one.file}`, `{one.name}`: {one.value!r}{depth}\n"


def _left_out(rooms: Mapping[str, list[Literal]], reasons: Reasons) -> Iterator[str]:
    numbers = [one for numbers in rooms.values() for one in numbers]
    yield "\n## Numbers that are no coefficients\n\nTold by their form:\n\n"
    by_form: dict[str, int] = {}
    for one in numbers:
        if one.left_out:
            by_form[one.left_out] = by_form.get(one.left_out, 0) + 1
    for why, count in sorted(by_form.items(), key=lambda each: -each[1]):
        yield f"- {why} ({count})\n"
    yield "\nWhole numbers count things, unless they are an exponent, a divisor, a factor from ten up or a constant"
    yield " with a unit.\n\nTold by name:\n\n"
    for reason in reasons.leave:
        fits = [one for one in numbers if not one.left_out and reason.fits(one)]
        if fits:
            yield f"- {_named(fits)}: {reason.why}.\n"


def _named(numbers: list[Literal]) -> str:
    by_file: dict[str, dict[str, int]] = {}
    for one in numbers:
        names = by_file.setdefault(one.file, {})
        names[one.name] = names.get(one.name, 0) + 1
    return "; ".join(
        f"`{file}`: " + ", ".join(f"`{name}`" + (f" ({count})" if count > 1 else "") for name, count in names.items())
        for file, names in by_file.items()
    )
