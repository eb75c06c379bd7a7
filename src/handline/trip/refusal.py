"""How a value of the trip file is refused: a pydantic error that carries a whole Problem."""

from __future__ import annotations

from pydantic_core import PydanticCustomError

from handline.errors import Problem, unknown_choice


def refusal(what: str, *, allowed: str | None = None, mend: str | None = None) -> PydanticCustomError:
    """The error to raise for a value that cannot stand."""
    return _carrying(Problem(what=what, allowed=allowed, mend=mend))


def unknown_word(what: str, word: str, choices: tuple[str, ...]) -> PydanticCustomError:
    """The error to raise for a word that is not one of the choices, with its near miss."""
    return _carrying(unknown_choice(what, word, choices))


def _carrying(problem: Problem) -> PydanticCustomError:
    return PydanticCustomError("handline", "{what}", {"what": problem.what, "problem": problem})
