"""Words of the trip file as a form says them: what is typed into a form stands in no quotes."""

from __future__ import annotations

import re
from dataclasses import replace

from handline.errors import Problem

_IN_QUOTES = re.compile(r",?(?: and all of it)? in quotes\b")


def without_quotes(words: str) -> str:
    """Words that do not ask for quotes any more."""
    return _IN_QUOTES.sub("", words.replace(" stands in quotes:", " is written"))


def in_a_form(problem: Problem) -> Problem:
    """A problem of what was typed into a form; a name that is suggested keeps its quotes, as in any sentence."""
    allowed, mend = (words and without_quotes(words) for words in (problem.allowed, problem.mend))
    return replace(problem, allowed=allowed and allowed.replace('"', ""), mend=mend)
