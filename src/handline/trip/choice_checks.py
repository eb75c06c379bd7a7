"""What must fit together in [choice]."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from handline.errors import Problem
from handline.trip.typed_parts import Found, Typed, is_text, table

_MOST_PREFERRED = 20


def _preferred_once(typed: Typed) -> Iterator[Found]:
    listed = table(typed, "choice").get("prefer")
    if not isinstance(listed, list):
        return
    if len(listed) > _MOST_PREFERRED:
        what = f"this list has {len(listed)} entries"
        yield ("choice", "prefer"), None, Problem(what, allowed=f"at most {_MOST_PREFERRED}")
    seen: set[str] = set()
    for i, words in enumerate(listed):
        if not is_text(words):
            continue
        plain = " ".join(words.lower().split())
        if plain in seen:
            yield ("choice", "prefer", i), words, Problem("this is given twice", mend="keep one of the two")
        seen.add(plain)


def _preference_counts(typed: Typed) -> Iterator[Found]:
    """Days that are preferred and a worth for the others need each other."""
    choice = table(typed, "choice")
    prefers = bool(choice.get("prefer"))
    if prefers and "others_worth" not in choice:
        yield (
            ("choice", "prefer"),
            None,
            Problem(
                "nothing says what other dates are worth beside these, so they would count as much",
                mend='write others_worth = "80 %", or another share',
            ),
        )
    if "others_worth" in choice and not prefers and isinstance(choice.get("prefer", []), list):
        yield (
            ("choice", "others_worth"),
            choice["others_worth"],
            Problem("no dates are preferred, so there are no others", mend='write prefer = ["Saturday"], say'),
        )


CHECKS: tuple[Callable[[Typed], Iterator[Found]], ...] = (_preferred_once, _preference_counts)
